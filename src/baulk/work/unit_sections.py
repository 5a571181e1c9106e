"""Sections of the modelled ground on the faces of a unit, beside the drawn walls, with contacts for the relations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from baulk.errors import InputError, UnknownRecord
from baulk.ground.drawn_wall import WallDifference, compare_with_drawn
from baulk.ground.section import Face, Section, section_along, unit_faces
from baulk.ground.section_contacts import SectionContact, contacts_along
from baulk.record import SiteRecord, Unit, Wall, WallOutline, withheld_contexts
from baulk.work.bodies import UnitBody, bodies_of_unit
from baulk.work.order import SiteOrder
from baulk.work.shape import seen_ground

__all__ = ["ContactCheck", "FaceSection", "section_of_unit", "unit_sections"]


@dataclass(frozen=True, slots=True)
class ContactCheck:
    """A contact read off the model beside the relations: ``on record``, ``missing`` or ``against`` the order."""

    contact: SectionContact
    verdict: str
    says: str


@dataclass(frozen=True, slots=True, eq=False)
class FaceSection:
    """One face: the modelled section, the drawn wall's number (None when not drawn), differences and contacts."""

    face: Face
    section: Section
    wall: str | None
    differences: tuple[WallDifference, ...]
    contacts: tuple[ContactCheck, ...]


def unit_sections(
    record: SiteRecord, unit_id: str, order: SiteOrder | None = None, *, spacing: float = 0.05, restricted: bool = False
) -> tuple[FaceSection, ...]:
    """Return the section on each face of a unit.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    unit_id : str
        Id of the unit.
    order : SiteOrder, optional
        To hold the contacts against.
    spacing : float
        Metres between heights.
    restricted : bool
        Whether burials are included.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    InputError
        When its corners are not on record.
    """
    record, unit, bodies = _unit(record, unit_id, restricted=restricted)
    if not unit.corners:
        raise InputError(f"Unit {record.label(unit.id)} has no corners on record, so it has no faces. Enter its corners.")
    found = []
    walls = record.pointing_at(Wall, "unit", unit.id)
    for face in unit_faces(np.array(unit.corners, float) * record.metres):
        wall = next((one for one in walls if one.face == face.name), None)
        ends = face.ends if wall is None or not wall.ends else np.array([wall.ends[0], wall.ends[-1]], float) * record.metres
        section = _section(bodies, ends, spacing)
        differences = () if wall is None else compare_with_drawn(section, _drawn(record, wall))
        found.append(FaceSection(Face(face.name, ends), section, None if wall is None else wall.number or wall.id, differences,
                                 _checked(record, contacts_along(section), order)))  # fmt: skip
    return tuple(found)


def section_of_unit(
    record: SiteRecord, unit_id: str, line: ArrayLike, *, spacing: float = 0.05, restricted: bool = False
) -> Section:
    """Return the section of a unit's modelled ground along any line (k × 2, metres).

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    MeasureError
        When the line has no length.
    """
    _, _, bodies = _unit(record, unit_id, restricted=restricted)
    return _section(bodies, line, spacing)


def _unit(record: SiteRecord, unit_id: str, *, restricted: bool) -> tuple[SiteRecord, Unit, tuple[UnitBody, ...]]:
    hidden = frozenset() if restricted else withheld_contexts(record)
    record = seen_ground(record, restricted=restricted)
    unit = record.get(Unit, unit_id)
    if unit is None:
        raise UnknownRecord("unit", unit_id, [one.number or one.id for one in record.all(Unit)])
    return record, unit, bodies_of_unit(record, unit, hidden)


def _section(bodies: tuple[UnitBody, ...], line: ArrayLike, spacing: float) -> Section:
    return section_along(line, [found for body in bodies if (found := body.as_body()) is not None], spacing)


def _drawn(record: SiteRecord, wall: Wall) -> dict[str, list[ArrayLike]]:
    shapes: dict[str, list[ArrayLike]] = {}
    for one in record.pointing_at(WallOutline, "wall", wall.id):
        if one.context and one.ring:
            shapes.setdefault(one.context, []).append(np.array(one.ring, float) * record.metres)
    return shapes


def _checked(record: SiteRecord, contacts: tuple[SectionContact, ...], order: SiteOrder | None) -> tuple[ContactCheck, ...]:
    return tuple(_check(record, one, order) for one in contacts)


def _check(record: SiteRecord, contact: SectionContact, order: SiteOrder | None) -> ContactCheck:
    upper, lower = record.label(contact.later), record.label(contact.earlier)
    told = f"{upper} lies on {lower} along {contact.metres:.2f} m of the modelled face"
    index = {} if order is None else order.known.index
    if order is None or contact.later not in index or contact.earlier not in index:
        return ContactCheck(contact, "not checked", told)
    if order.order.why(index[contact.later], index[contact.earlier]) is not None:
        return ContactCheck(contact, "on record", told)
    if order.order.why(index[contact.earlier], index[contact.later]) is not None:
        return ContactCheck(contact, "against", f"{told}, but {lower} is recorded as the later: see the wall, or the levels")
    return ContactCheck(contact, "missing", f"{told}, and nothing recorded orders the two: a relation may have been missed")
