"""Every kind of record, by its one-word name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from baulk.errors import UnknownRecord
from baulk.record.burial import Burial, Notice
from baulk.record.context import Context
from baulk.record.dating_result import DatingResult
from baulk.record.dating_settings import DatingSettings
from baulk.record.diary import DayEntry, FollowUp, NumberBlock, TermList, Visit, Waiver
from baulk.record.entity import Entity
from baulk.record.find import Document, Drawing, Find, Photo, Sample
from baulk.record.photo_point import PhotoPoint
from baulk.record.question import Evidence, Expectation, Question, Reading, Test
from baulk.record.relation import Relation
from baulk.record.shape import Element, Level, Outline
from baulk.record.site import LevelRun, Sight, Site, Station
from baulk.record.survey import Anomaly, Survey, SurveyLine
from baulk.record.unit import Backfill, Unit
from baulk.record.wall import Contact, Wall, WallOutline

__all__ = ["KINDS", "kind_named"]

KINDS: Mapping[str, type[Entity]] = MappingProxyType({
    kind.KIND: kind
    for kind in (
        Site, Station, Unit, Context, Relation, LevelRun, Sight, Level, Wall, Photo, PhotoPoint, Drawing,
        Outline, WallOutline, Contact, Element, Find, Sample, Document, DatingResult, DatingSettings, DayEntry, FollowUp, Visit,
        Waiver, Backfill, NumberBlock, TermList,
        Question, Reading, Evidence, Expectation, Test, Survey, SurveyLine, Anomaly, Burial, Notice,
    )
})  # fmt: skip
"""In the order in which they are taken in: a kind's references point to kinds before it, or to its own."""


def kind_named(name: str) -> type[Entity]:
    """Return the kind of that name; spaces, dashes, capitals and a plural s are forgiven.

    Raises
    ------
    UnknownRecord
        When there is no such kind.
    """
    tidy = name.strip().lower().replace(" ", "_").replace("-", "_")
    for candidate in (tidy, tidy.removesuffix("s"), tidy.removesuffix("ies") + "y"):
        if candidate in KINDS:
            return KINDS[candidate]
    raise UnknownRecord("kind of record", name, list(KINDS))
