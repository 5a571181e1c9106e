"""Which shapes would show a withheld one as a gap, told by geometry.

What is withheld at all is told by `baulk.record.withholding`. A neighbour whose edge follows a withheld shape would show that
shape, so it is left out too, of drawings as of tables and pages. The count of what a drawing leaves out is always told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon, STRtree, make_valid, union_all

from baulk.record import Burial, Contact, Context, Outline, Position, SiteRecord, Unit, Wall, WallOutline, withheld_contexts

__all__ = ["bring_neighbours_along", "follows", "hidden_rings", "neighbours_that_show"]

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


def bring_neighbours_along(before: SiteRecord, now: SiteRecord, touched: Iterable[str]) -> None:
    """Keep for `now` which neighbours show a withheld shape, when nothing that was touched has to do with shapes.

    Parameters
    ----------
    before, now : SiteRecord
        The whole record as it stood and as it stands; the same contexts are withheld in both.
    touched : iterable of str
        Ids of all records in which they differ.
    """
    known = before.worked_out.get("neighbours that show")
    if known is not None and not any(_has_to_do(before, now, each) for each in touched):
        now.worked_out["neighbours that show"] = known


def _has_to_do(before: SiteRecord, now: SiteRecord, identity: str) -> bool:
    was, stands = before.by_id.get(identity), now.by_id.get(identity)
    if isinstance(was, Context) and isinstance(stands, Context):
        return was.units != stands.units
    return isinstance(was or stands, Context | Outline | WallOutline | Contact | Wall | Unit | Burial)


def _showing_in_plan(record: SiteRecord, contexts: frozenset[str]) -> Iterator[str]:
    near = _Near(hidden_rings(record, contexts), record.metres)
    outlines = [one for one in record.all(Outline, void=True) if one.ring and one.context not in contexts]
    for place, close in near.of_all([one.ring or () for one in outlines]).items():
        outline = outlines[place]
        if outline.ring:
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

    def of_all(self, rings: Sequence[Ring]) -> dict[int, list[Ring]]:
        """Return the withheld rings whose surroundings each of many rings may reach, by the ring's place; others are left out."""
        edges = np.array([_edges(ring) for ring in rings]).reshape(-1, 4)
        found: dict[int, list[Ring]] = {}
        for place, hidden in zip(*self.tree.query(shapely.box(*edges.T)).tolist(), strict=True):
            found.setdefault(place, []).append(self.rings[hidden])
        return found

    def of(self, ring: Ring) -> list[Ring]:
        """Return the withheld rings whose surroundings a ring may reach."""
        return [self.rings[place] for place in self.tree.query(Polygon(ring).envelope).tolist()]


def _edges(ring: Ring) -> tuple[float, float, float, float]:
    eastings, northings = zip(*ring, strict=True)
    return min(eastings), min(northings), max(eastings), max(northings)
