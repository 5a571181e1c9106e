"""Relations that the modelled sections of the faces speak of, beside those that the rest of the record already tells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from baulk.ground.levels_of import outline_of, unit_ground
from baulk.ground.section_contacts import contacts_along
from baulk.record import Context, Unit, withheld_contexts
from baulk.sequence.paths import reaches
from baulk.sequence.placed_contexts import PlacedContexts
from baulk.sequence.relations import relations_of
from baulk.sequence.suspicion import Mend, Suspicion
from baulk.work.order import SiteOrder
from baulk.work.shape import seen_ground
from baulk.work.unit_sections import FaceSection, unit_sections

__all__ = ["IN_THE_MODEL", "missed_in_the_model"]

IN_THE_MODEL = "missed in the model"
"""What such a suspicion is: it stands beside those of `baulk.sequence.missed.KINDS_OF_SUSPICION`."""

_ROOM = ("cut", "disturbance")
_SURE = 0.025
"""Standard deviation in metres of the height between two contexts beyond which the model cannot tell whether they touch."""
_LEAST = 0.20
"""Metres of a face along which two contexts must touch; both figures are our judgement."""
_ON_EDGE = 0.02


@dataclass(frozen=True, slots=True)
class _Touch:
    """Two contexts that touch along a face: ids, name of the face, metres of it."""

    later: str
    earlier: str
    unit: Unit
    face: str
    metres: float


def missed_in_the_model(found: SiteOrder, told: Sequence[Suspicion] = ()) -> tuple[Suspicion, ...]:
    """Return the contexts that touch in the modelled section of a face and have no path of relations between them.

    Parameters
    ----------
    found : SiteOrder
        The order.
    told : sequence of Suspicion
        What is told already; a pair that it names, or that it would answer once entered, is passed over.

    Returns
    -------
    tuple of Suspicion
        One for each pair, with the face along which it touches longest. Nothing is told where the model cannot tell: a surface is
        missing, or not known to 25 mm (standard deviation), or the two touch for less than 0.2 m.

    Notes
    -----
    A unit is modelled only when two of its contexts reach one face and no path leads from either to the other. Withheld contexts,
    and neighbours that would show them, are not modelled.
    """
    placed = PlacedContexts(found.record, found.known, found.order)
    longest: dict[frozenset[str], _Touch] = {}
    for unit in found.record.all(Unit):
        for touch in _touching(found, placed, unit):
            pair = frozenset((touch.later, touch.earlier))
            if pair not in longest or touch.metres > longest[pair].metres:
                longest[pair] = touch
    return tuple(_told(found, touch) for touch in _unanswered(found, list(longest.values()), told))


def _touching(found: SiteOrder, placed: PlacedContexts, unit: Unit) -> Iterator[_Touch]:
    wanted = _open_pairs(found, placed, unit)
    if not wanted:
        return
    for face in unit_sections(found.record, unit.id):
        for contact in contacts_along(face.section, sure=_SURE):
            if contact.metres >= _LEAST and frozenset((contact.later, contact.earlier)) in wanted:
                yield _Touch(contact.later, contact.earlier, unit, _name(face), contact.metres)


def _name(face: FaceSection) -> str:
    return f"{face.face.name} wall {face.wall}" if face.wall else f"{face.face.name} face"


def _open_pairs(found: SiteOrder, placed: PlacedContexts, unit: Unit) -> set[frozenset[str]]:
    """Return the pairs of contexts that meet along the limits of a unit and have no path between them."""
    record, hidden = seen_ground(found.record), withheld_contexts(found.record)
    ground = unit_ground(record, unit)
    if ground is None:
        return set()
    ids, pieces = [], []
    for context in record.pointing_at(Context, "units", unit.id):
        outline = None if context.kind in _ROOM or context.id in hidden else outline_of(record, context.id)
        if outline is not None and context.id in found.known.index:
            piece = shapely.intersection(shapely.buffer(outline.ground, _ON_EDGE), ground.boundary)
            if piece.length >= _LEAST:
                ids.append(context.id)
                pieces.append(piece)
    if len(ids) < 2:
        return set()
    one, other = shapely.STRtree(pieces).query(pieces, predicate="intersects")
    one, other = one[one < other], other[one < other]
    place = np.array([found.known.index[identity] for identity in ids], np.int64)
    free = placed.apart(place[one], place[other])
    return {frozenset((ids[first], ids[second])) for first, second in zip(one[free].tolist(), other[free].tolist(), strict=True)}


def _unanswered(found: SiteOrder, touches: list[_Touch], told: Sequence[Suspicion]) -> Iterator[_Touch]:
    """Yield the contacts that neither the relations nor what is told already, nor the other contacts, would answer."""
    if not touches:
        return
    index, group = found.known.index, found.order.merging.group
    relations = found.order.relations
    said = {(one.later, one.earlier) for one in told if one.earlier is not None}
    named = {frozenset(pair) for pair in said}
    left = [touch for touch in touches if frozenset((touch.later, touch.earlier)) not in named]
    for touch in left:
        others = said | {(one.later, one.earlier) for one in left if one is not touch}
        pairs = [
            (int(group[index[later]]), int(group[index[earlier]]))
            for later, earlier in others
            if later in index and earlier in index
        ]
        more = np.array([pair for pair in pairs if pair[0] != pair[1]], np.int64).reshape(-1, 2)
        whole = relations_of(
            relations.count, np.concatenate([relations.later, more[:, 0]]), np.concatenate([relations.earlier, more[:, 1]])
        )
        ends = np.array([[group[index[touch.later]]], [group[index[touch.earlier]]]], np.int64)
        if not reaches(whole, ends[0], ends[1])[0] and not reaches(whole, ends[1], ends[0])[0]:
            yield touch


def _told(found: SiteOrder, touch: _Touch) -> Suspicion:
    record = found.record
    later, earlier = record.label(touch.later), record.label(touch.earlier)
    length = touch.metres / record.metres
    unit = "m" if record.metres == 1 else "ft"
    return Suspicion(
        IN_THE_MODEL,
        touch.later,
        touch.earlier,
        f"In the modelled section of the {touch.face} of unit {record.label(touch.unit.id)}, {later} lies on {earlier} for "
        f"{length:.1f} {unit}; no path of relations leads from one to the other.",
        f"See the face: if {later} lies on {earlier} there, enter “overlies” from both sheets; if not, look again at the levels of "
        "both.",
        (touch.later, touch.earlier, touch.unit.id),
        Mend(None, "how", "overlies"),
    )
