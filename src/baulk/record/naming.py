"""What a record is called on a page or in a list: its number, or words that tell which one it is; and words to know it by."""

from __future__ import annotations

from baulk.record.diary import DayEntry
from baulk.record.entity import Entity
from baulk.record.photo_point import PhotoPoint
from baulk.record.relation import Relation
from baulk.record.shape import Element, Level, Outline
from baulk.record.site import Sight
from baulk.record.site_record import SiteRecord
from baulk.record.wall import Contact, WallOutline

__all__ = ["called", "known_by"]

_TELLING = ("title", "name", "subject", "object", "asks", "mark", "purpose", "says", "done", "saw", "does", "why")


def called(record: SiteRecord, entity: Entity) -> str:
    """Return the record's number; of one without a number, what it joins or belongs to."""
    number = getattr(entity, "number", None)
    if isinstance(entity, Relation | Contact):
        return f"{record.label(entity.later)} {entity.how or '?'} {record.label(entity.earlier)}"
    if isinstance(entity, Level):
        return f"{entity.surface or 'level'} of {record.label(entity.context)}"
    if isinstance(entity, Outline):
        return f"outline of {record.label(entity.context)}"
    if isinstance(entity, WallOutline):
        return f"{record.label(entity.context)} on {record.label(entity.wall)}"
    if isinstance(entity, Element):
        return f"{record.label(entity.context)}/{number or '?'}"
    if isinstance(entity, PhotoPoint):
        return f"{record.label(entity.photo)}/{entity.point or '?'}"
    if isinstance(entity, Sight):
        return f"{record.label(entity.run)}/{entity.place or '?'}"
    if isinstance(entity, DayEntry) and entity.day:
        return entity.day
    return str(number) if number else f"{entity.TITLE} {entity.id[-6:]}"


def known_by(entity: Entity) -> str:
    """Return the few words by which a record is known; empty when it has none."""
    held = (getattr(entity, field, None) for field in _TELLING)
    return next((words for words in held if isinstance(words, str) and words), "")
