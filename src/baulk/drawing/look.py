"""How a context looks: its soil colour and texture, the quality of its edges, and the words that the key says of it.

Certainty is line quality everywhere: firm, broken, dotted. A cut is an open line with notches on its down-slope side and is never
filled. What is not recorded is shown as not recorded: no colour is invented, and an edge of unknown kind is a thin line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from baulk.drawing.scene import Stroke
from baulk.drawing.textures import texture_named
from baulk.errors import MeasureError, shorten
from baulk.ground import luminance_of, srgb_of
from baulk.record import WITHHELD_WORD, Context

__all__ = [
    "BURIAL",
    "CERTAINTY_LINES", "EDGE_LINES", "LINES", "LINE_WORDS", "Appearance", "appearance_of", "context_title", "line_for",
]  # fmt: skip

LINES: Mapping[str, Stroke] = MappingProxyType(
    {
        "firm": Stroke("firm", 0.35),
        "broken": Stroke("broken", 0.35, (2.2, 1.2)),
        "dotted": Stroke("dotted", 0.45, (0.01, 1.1), round_ends=True),
        "cut away": Stroke("cut away", 0.35, (0.8, 0.6, 0.8, 1.9)),
        "limit of excavation": Stroke("limit of excavation", 0.4, (6.0, 1.3, 0.5, 1.3)),
        "unsaid": Stroke("unsaid", 0.16),
    }
)
"""Every quality of line by name."""

LINE_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "firm": "edge seen; contact firm",
        "broken": "edge uncertain; contact probable",
        "dotted": "contact doubtful",
        "cut away": "edge cut away by a later cut",
        "limit of excavation": "limit of excavation",
        "unsaid": "how surely seen: not recorded",
    }
)
"""What the key says of each quality of line."""

BURIAL = Stroke("possible burial", 0.6, (0.01, 1.3), round_ends=True)
"""The outline of a possible burial, on restricted sheets alone."""

EDGE_LINES: Mapping[str | None, str] = MappingProxyType({
    "seen": "firm", "uncertain": "broken", "cut away": "cut away", "limit of excavation": "limit of excavation", None: "unsaid",
})  # fmt: skip
CERTAINTY_LINES: Mapping[str | None, str] = MappingProxyType({
    "firm": "firm", "probable": "broken", "doubtful": "dotted", None: "unsaid",
})  # fmt: skip

_DARK_BELOW = 0.16
"""Texture is drawn light on soils of less luminance than this, dark on the others."""


@dataclass(frozen=True, slots=True)
class Appearance:
    """How one context's ground is drawn.

    Parameters
    ----------
    fill
        ``#RRGGBB``, or None when the context has no soil colour.
    texture
        Name of the pattern, or empty.
    light_texture
        Whether the pattern is light on dark.
    says
        What the key says of it, as in ``10YR 3/2, sandy loam``.
    """

    fill: str | None
    texture: str
    light_texture: bool
    says: str


def appearance_of(context: Context) -> Appearance:
    """Return how a context's ground is drawn; a cut has neither colour nor texture, a withheld context only the word."""
    if context.kind == "cut":
        return Appearance(None, "", False, "cut")
    if context.absences.get("colour_moist") == WITHHELD_WORD:
        return Appearance(None, "", False, WITHHELD_WORD)
    if context.kind in ("deposit", "fill", None):
        fill, colour_words = _soil_colour(context)
        texture, texture_words = _known_texture(context.texture, "composition")
        light = fill is not None and luminance_of(fill) < _DARK_BELOW
        return Appearance(fill, texture, light, f"{colour_words}; {texture_words}")
    if context.kind == "structure":
        texture, words = _known_texture(context.material, "material")
        return Appearance(None, texture, False, f"structure; {words}")
    texture = {"timber": "timber", "disturbance": "disturbance"}.get(context.kind, "")
    return Appearance(None, texture, False, context.kind)


def _soil_colour(context: Context) -> tuple[str | None, str]:
    for munsell, state in ((context.colour_moist, ""), (context.colour_dry, " (dry)")):
        if munsell:
            try:
                return srgb_of(munsell), f"{munsell}{state}"
            except MeasureError:
                return None, f"{munsell}{state} cannot be shown"
    return None, "colour not recorded"


def _known_texture(words: str | None, what: str) -> tuple[str, str]:
    if not words:
        return "", f"{what} not recorded"
    return texture_named(words), shorten(words, 40)


def line_for(kind: str | None, lines: Mapping[str | None, str] = EDGE_LINES) -> str:
    """Return the name of the line for a kind of edge or, with `CERTAINTY_LINES`, for a certainty; unknown words count as unsaid."""
    return lines.get(kind, "unsaid")


def context_title(context: Context, number: str) -> str:
    """Return what a reader who cannot see the drawing is told of a context."""
    name = f", {shorten(context.title, 80)}" if context.title else ""
    return f"{number}: {context.kind or 'kind not recorded'}{name}; {appearance_of(context).says}"
