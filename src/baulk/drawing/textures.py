"""What a deposit is made of, as a fine pattern: our own designs, drawn from the ingredients.

Sand is dots, silt short dashes, clay longer fine lines; a mixed texture mixes the signs in the proportion of its name, so that a
sandier soil looks dottier. Rubble, gravel, mortar, charcoal, ash, peat and glass waste have signs of their own, strewn; built
masonry has the same signs in rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from math import cos, pi, sin
from types import MappingProxyType

__all__ = ["TEXTURES", "TILE", "texture_named", "texture_tile"]

TILE = 8.0
"""Side of the square that a pattern repeats, in millimetres on paper."""

_Run = tuple[tuple[float, float], ...]


def _round(radius: float, corners: int = 10) -> _Run:
    return tuple((radius * cos(2 * pi * k / corners), radius * sin(2 * pi * k / corners)) for k in range(corners))


def _box(width: float, height: float) -> _Run:
    return ((-width / 2, -height / 2), (width / 2, -height / 2), (width / 2, height / 2), (-width / 2, height / 2))


_PEBBLES = (_round(0.62, 12), _round(0.42, 12), _round(0.85, 14))
_STONES = (
    ((-0.9, -0.2), (-0.3, -0.8), (0.6, -0.6), (0.9, 0.1), (0.2, 0.75), (-0.6, 0.6)),
    ((-0.7, -0.5), (0.4, -0.7), (0.75, 0.2), (-0.1, 0.7), (-0.8, 0.3)),
)
_SHARDS = (((-0.75, 0.45), (0.0, -0.7), (0.6, 0.5)), ((-0.35, 0.55), (-0.2, -0.75), (0.5, 0.2)))
_LUMPS = (((-0.6, -0.2), (-0.1, -0.5), (0.55, -0.25), (0.4, 0.4), (-0.35, 0.42)), ((-0.35, -0.3), (0.4, -0.15), (0.15, 0.35)))

# sign -> (runs of which each use takes the next, closed, solid, turned from one to the next)
_SIGNS: Mapping[str, tuple[tuple[tuple[_Run, ...], ...], bool, bool, bool]] = MappingProxyType({
    "dot": (((_round(0.15, 8),), (_round(0.11, 8),)), True, True, False),
    "dash": (((((-0.45, 0.0), (0.45, 0.0)),),), False, False, False),
    "line": (((((-1.5, 0.0), (1.5, 0.0)),),), False, False, False),
    "round": (tuple((run,) for run in _PEBBLES), True, False, False),
    "brick": (((_box(1.7, 0.8),), (_box(1.0, 0.8),)), True, False, True),
    "stone": (tuple((run,) for run in _STONES), True, False, True),
    "plus": (((((-0.35, 0.0), (0.35, 0.0)), ((0.0, -0.35), (0.0, 0.35))),), False, False, False),
    "lump": (tuple((run,) for run in _LUMPS), True, True, True),
    "tick": (((((-0.3, -0.25), (0.0, 0.25), (0.3, -0.25)),),), False, False, False),
    "tuft": (((((-0.5, -0.6), (0.0, 0.5)), ((0.0, -0.8), (0.0, 0.5)), ((0.5, -0.6), (0.0, 0.5))),), False, False, False),
    "shard": (tuple((run,) for run in _SHARDS), True, False, True),
    "shell": (((((-0.6, 0.2), (-0.4, -0.25), (0.0, -0.42), (0.4, -0.25), (0.6, 0.2)),),), False, False, True),
    "grain": (((((-1.9, 0.0), (-0.9, -0.22), (0.0, 0.0), (0.9, 0.22), (1.9, 0.0)),),), False, False, False),
    "root": (((((-0.8, 0.3), (-0.3, -0.3), (0.2, 0.25), (0.8, -0.35)),),), False, False, True),
})  # fmt: skip

TEXTURES: Mapping[str, Mapping[str, int]] = MappingProxyType(
    {
        "sand": {"dot": 34},
        "loamy sand": {"dot": 28, "dash": 4},
        "sandy loam": {"dot": 22, "dash": 7, "line": 1},
        "loam": {"dot": 12, "dash": 10, "line": 2},
        "silt loam": {"dot": 6, "dash": 17, "line": 1},
        "silt": {"dash": 26},
        "sandy clay loam": {"dot": 18, "dash": 4, "line": 5},
        "clay loam": {"dot": 8, "dash": 8, "line": 6},
        "silty clay loam": {"dash": 14, "line": 6},
        "sandy clay": {"dot": 14, "line": 9},
        "silty clay": {"dash": 9, "line": 10},
        "clay": {"line": 15},
        "ash": {"tick": 18, "dot": 6},
        "mortar": {"plus": 20},
        "brick rubble": {"brick": 9, "dot": 6},
        "stone rubble": {"stone": 8, "dot": 6},
        "gravel": {"round": 13},
        "peat": {"tuft": 13},
        "charcoal": {"lump": 20},
        "glass waste": {"shard": 13, "dot": 5},
        "tabby": {"shell": 14},
        "concrete": {"dot": 16, "stone": 3},
        "timber": {"grain": 11},
        "disturbance": {"root": 11},
        "mixed": {"brick": 5, "stone": 4},
    }
)
"""Each texture's signs and how many of each stand in one tile."""

_ROWS: Mapping[str, tuple[str, tuple[_Run, ...]]] = MappingProxyType({
    "brick": ("laid brick", (_box(3.4, 1.5),)),
    "stone": ("laid stone", (((-1.8, -0.55), (-0.6, -0.8), (1.7, -0.65), (1.8, 0.6), (0.3, 0.78), (-1.75, 0.65)),)),
    "setts": ("laid setts", (((-1.4, -0.75), (1.4, -0.75), (1.7, -0.45), (1.7, 0.45), (1.4, 0.75), (-1.4, 0.75), (-1.7, 0.45),
                              (-1.7, -0.45)),)),
    "cobble": ("laid cobble", (tuple((across * 1.7, down * 0.8) for across, down in _round(1.0, 14)),)),
})  # fmt: skip
"""Built masonry: one piece, repeated in staggered rows of four to the tile's height."""

_OTHER_WORDS = {"re-used": "mixed", "glass": "glass waste", "rubble": "stone rubble", "bricks": "brick", "cobbles": "cobble",
                "sett": "setts", "wood": "timber"}  # fmt: skip


def texture_named(words: str | None) -> str:
    """Return the pattern for a recorded composition or material: the term itself, or the longest term among the words.

    An unknown or blank composition has no pattern: the empty string.

    Examples
    --------
    >>> texture_named("Silty clay loam"), texture_named("dark sandy loam with lenses"), texture_named("glop")
    ('silty clay loam', 'sandy loam', '')
    """
    text = " ".join((words or "").lower().split())[:200]
    known = {**{term: term for term in (*TEXTURES, *_ROWS)}, **_OTHER_WORDS}
    if text in known:
        return known[text]
    padded = f" {''.join(mark if mark.isalnum() or mark == '-' else ' ' for mark in text)} "
    found = [term for term in known if f" {term} " in padded]
    return known[max(found, key=len)] if found else ""


@cache
def texture_tile(texture: str) -> tuple[str, str]:
    """Return one tile of a pattern as two SVG paths: what is stroked and what is filled."""
    strokes: list[str] = []
    solids: list[str] = []
    for runs, closed, solid, centre, reach in _signs_of(texture):
        for shift in _shifts(centre, reach):
            for run in runs:
                spots = [f"{centre[0] + across + shift[0]:.2f} {centre[1] + down + shift[1]:.2f}" for across, down in run]
                path = "M" + "L".join(spots) + ("Z" if closed else "")
                (solids if solid else strokes).append(path)
    return "".join(strokes), "".join(solids)


def _signs_of(texture: str) -> Iterator[tuple[tuple[_Run, ...], bool, bool, tuple[float, float], float]]:
    if texture in _ROWS:
        runs = _ROWS[texture][1]
        for row in range(4):
            for place in range(2):
                yield runs, True, False, ((place * 4 + (2 if row % 2 else 0)) % TILE, row * 2 + 1), 1.9
        return
    signs = _interleaved(TEXTURES[texture])
    for (sign, use), centre in zip(signs, _strewn(len(signs)), strict=True):
        shapes, closed, solid, turned = _SIGNS[sign]
        runs = shapes[use % len(shapes)]
        if turned:
            angle = use * 2.399963  # the golden angle: no two neighbours lie alike
            runs = tuple(tuple((a * cos(angle) - d * sin(angle), a * sin(angle) + d * cos(angle)) for a, d in run) for run in runs)
        yield runs, closed, solid, centre, 2.0


def _strewn(count: int) -> list[tuple[float, float]]:
    """Return places strewn over the tile without rows: each the candidate farthest from those before it, across the edges too."""
    places: list[tuple[float, float]] = []
    state = 20011
    for _ in range(count):
        best, best_distance = (0.0, 0.0), -1.0
        for _ in range(14):
            state = (state * 1103515245 + 12345) % 2**31
            across = state / 2**31 * TILE
            state = (state * 1103515245 + 12345) % 2**31
            down = state / 2**31 * TILE
            distance = min((_apart(across, a) ** 2 + (1.7 * _apart(down, d)) ** 2 for a, d in places), default=1.0)
            if distance > best_distance:
                best, best_distance = (across, down), distance
        places.append(best)
    return places


def _apart(one: float, other: float) -> float:
    gap = abs(one - other)
    return min(gap, TILE - gap)


def _interleaved(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    """Return every sign with its own running number, the kinds spread evenly among each other."""
    placed = [((use + 0.5) / count, sign, use) for sign, count in counts.items() for use in range(count)]
    return [(sign, use) for _, sign, use in sorted(placed)]


def _shifts(centre: tuple[float, float], reach: float) -> list[tuple[float, float]]:
    """Return where a sign is drawn again so that it runs on over the tile's edges."""
    by_axis = [[0.0, *([TILE] if place < reach else []), *([-TILE] if place > TILE - reach else [])] for place in centre]
    return [(across, down) for across in by_axis[0] for down in by_axis[1]]
