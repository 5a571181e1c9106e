"""What a drawing leaves out when it may be seen by anyone: burials and what would give one away.

A burial's own record, the contexts it names, cuts read as a grave with their fills, coffins, and human bone are withheld, with
their levels, outlines, pieces and contacts. A neighbour whose edge follows a withheld shape would show that shape as a gap, so it
is left out too. The count of what is left out is always told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain, pairwise

from shapely import LineString, Polygon, make_valid, union_all

from baulk.record import Burial, Context, Find, Outline, Position, SiteRecord

__all__ = ["follows", "hidden_rings", "withheld_contexts", "withheld_finds"]

_NEAR = 0.03
_GIVES_AWAY = 0.25


def withheld_contexts(record: SiteRecord) -> frozenset[str]:
    """Return the ids of the contexts that belong to a burial, or are read as one; those of void burials too."""
    named = set(chain.from_iterable(burial.contexts or () for burial in record.all(Burial, void=True)))
    contexts = record.all(Context, void=True)
    named |= {context.id for context in contexts if _reads_as_burial(context)}
    return frozenset(named | {context.id for context in contexts if context.fill_of in named})


def _reads_as_burial(context: Context) -> bool:
    words = (context.cut_function, context.timber_type)
    return any("grave" in word.lower() or "coffin" in word.lower() for word in words if word)


def withheld_finds(record: SiteRecord, contexts: frozenset[str]) -> frozenset[str]:
    """Return the ids of finds from withheld contexts and of human bone from any."""
    return frozenset(
        find.id for find in record.all(Find) if find.context in contexts or (find.material or "").lower() == "human bone"
    )


def hidden_rings(record: SiteRecord, contexts: frozenset[str]) -> tuple[tuple[Position, ...], ...]:
    """Return the outlines in plan of withheld contexts and of the burials themselves."""
    outlines = (outline for context in sorted(contexts) for outline in record.pointing_at(Outline, "context", context))
    rings = [*(outline.ring for outline in outlines), *(burial.ring for burial in record.all(Burial, void=True))]
    return tuple(ring for ring in rings if ring)


def follows(
    ring: Sequence[Sequence[float]],
    hidden: Iterable[Sequence[Sequence[float]]],
    metres: float,
    *,
    edges: Sequence[str] = (),
    limit: Sequence[Sequence[float]] = (),
) -> bool:
    """Tell whether an outline's edge runs along a hidden one far enough to show its shape.

    Parameters
    ----------
    ring, hidden
        Rings in the site's own quantity.
    metres
        Metres to one of these.
    edges
        Kind of each edge of `ring`; the limit of excavation shows nothing of what it cuts through.
    limit
        The unit's corners; what runs along them shows nothing either.

    Notes
    -----
    Far enough is a quarter of the hidden ring's length off the limit, the edges lying within 3 cm (common practice, no source).
    """
    near = _NEAR / metres
    corners = [*ring, ring[0]]
    kinds = [*edges, *[""] * (len(ring) - len(edges))]
    free = [LineString(pair) for pair, kind in zip(pairwise(corners), kinds, strict=False) if kind != "limit of excavation"]
    edge = union_all(free)
    along_limit = Polygon(limit).exterior.buffer(near) if limit else Polygon()
    for shape in hidden:
        boundary = make_valid(Polygon(shape)).boundary.difference(along_limit)
        if boundary.length and edge.intersection(boundary.buffer(near)).length > _GIVES_AWAY * boundary.length:
            return True
    return False
