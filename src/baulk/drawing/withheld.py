"""Which shapes would show a withheld one as a gap, told by geometry.

What is withheld at all is told by `baulk.record.withholding`. A neighbour whose edge follows a withheld shape would show that
shape, so it is left out too, of drawings as of tables and pages. The count of what a drawing leaves out is always told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from shapely import LineString, Polygon, STRtree, make_valid, union_all

from baulk.record import Burial, Contact, Context, Outline, Position, SiteRecord, Unit, Wall, WallOutline, withheld_contexts

__all__ = ["follows", "hidden_rings", "neighbours_that_show"]

Ring = Sequence[Sequence[float]]

_NEAR = 0.03
_GIVES_AWAY = 0.25


def hidden_rings(record: SiteRecord, contexts: frozenset[str]) -> tuple[tuple[Position, ...], ...]:
    """Return the outlines in plan of withheld contexts and of the burials themselves."""
    outlines = (outline for context in sorted(contexts) for outline in record.pointing_at(Outline, "context", context))
    rings = [*(outline.ring for outline in outlines), *(burial.ring for burial in record.all(Burial, void=True))]
    return tuple(ring for ring in rings if ring)


def follows(
    ring: Ring,
    hidden: Iterable[Ring],
    metres: float,
    *,
    edges: Sequence[str] = (),
    limit: Ring = (),
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


def neighbours_that_show(record: SiteRecord) -> frozenset[str]:
    """Return the ids of the outlines, in plan and on walls, that would show a withheld shape, with the contacts drawn beside them.

    The outlines of withheld contexts themselves are not among them: these are withheld already.
    """
    known = record.worked_out.get("neighbours that show")
    if known is None:
        contexts = withheld_contexts(record)
        in_plan = _showing_in_plan(record, contexts) if contexts or record.all(Burial, void=True) else ()
        on_walls = _showing_on_walls(record, contexts) if contexts else ()
        known = record.worked_out["neighbours that show"] = frozenset([*in_plan, *on_walls])
    assert isinstance(known, frozenset)
    return known


def _showing_in_plan(record: SiteRecord, contexts: frozenset[str]) -> Iterator[str]:
    hidden = hidden_rings(record, contexts)
    near = _Near(hidden, record.metres)
    for outline in record.all(Outline, void=True):
        close = near.of(outline.ring) if outline.ring and outline.context not in contexts else ()
        if close and outline.ring:
            limit = _limit_of(record, record.get(Context, outline.context))
            if follows(outline.ring, close, record.metres, edges=outline.edges or (), limit=limit):
                yield outline.id


def _limit_of(record: SiteRecord, context: Context | None) -> Ring:
    """Return the corners of the unit of a context, when it was seen in one only; void units do not count."""
    found = (record.get(Unit, each) for each in (context.units or () if context else ()))
    units = [unit for unit in found if unit and unit.void is None]
    return units[0].corners or () if len(units) == 1 else ()


def _showing_on_walls(record: SiteRecord, contexts: frozenset[str]) -> Iterator[str]:
    for wall in record.all(Wall, void=True):
        outlines = [one for one in record.pointing_at(WallOutline, "wall", wall.id) if one.ring]
        hidden = [one.ring for one in outlines if one.ring and one.context in contexts]
        if not hidden:
            continue
        near = _Near(hidden, record.metres)
        left_out: set[str] = set()
        for one in outlines:
            close = near.of(one.ring) if one.ring and one.context not in contexts else ()
            if close and one.ring and follows(one.ring, close, record.metres, edges=one.edges or ()):
                left_out.add(one.context or "")
                yield one.id
        for contact in record.pointing_at(Contact, "wall", wall.id):
            if contact.later in left_out or contact.earlier in left_out:
                yield contact.id


class _Near:
    """Withheld rings by where they lie, so that each outline is compared with those beside it only."""

    def __init__(self, rings: Sequence[Ring], metres: float) -> None:
        self.rings = rings
        self.tree = STRtree([Polygon(ring).buffer(_NEAR / metres).envelope for ring in rings])

    def of(self, ring: Ring) -> list[Ring]:
        """Return the withheld rings whose surroundings a ring may reach."""
        return [self.rings[place] for place in self.tree.query(Polygon(ring).envelope).tolist()]
