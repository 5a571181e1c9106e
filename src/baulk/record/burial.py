"""Possible human remains: stop, cover, notify, leave in place. Restricted throughout.

Nothing here is legal advice; local law and licensed practice decide.
"""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import FieldFacts, Need, Quantity, Sensitivity
from baulk.record.values import Bearing, Count, Day, Measure, Polygon, Position

__all__ = ["Burial", "Notice"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_LAW = "published state statutes and federal guidance"


def _held(
    label: str,
    text: str,
    need: Need = _E,
    quantity: Quantity = Quantity.TEXT,
    words: str = "",
    refers: str = "",
    source: str = _LAW,
) -> FieldFacts:
    return FieldFacts(label, text, need, quantity, words, refers, Sensitivity.RESTRICTED, (), source)


class Burial(Entity):
    """One possible burial. Its excavation fields open only when an authority's number is given."""

    KIND: ClassVar[str] = "burial"
    TITLE: ClassVar[str] = "possible burial"
    SHAPE: ClassVar[str] = "polygon"
    NUMBERED: ClassVar[bool] = True
    RESTRICTED: ClassVar[bool] = True

    number: Annotated[str | None, _held("Number", "Number in the burial log.", _M)] = None
    contexts: Annotated[
        tuple[str, ...] | None,
        _held("Contexts", "Cut, fill and other contexts of it.", _E, Quantity.REFERENCE, refers="context"),
    ] = None
    recognised_on: Annotated[Day | None, _held("Recognised on", "Day on which it was first recognised.", _M, Quantity.DAY)] = None
    recognised_at: Annotated[str | None, _held("Time", "Time of day, as in 10:40.", _M)] = None
    recognised_by: Annotated[str | None, _held("Recognised by", "Who.", _M)] = None
    evidence: Annotated[str | None, _held("Evidence", "What raised the possibility.", _M)] = None
    steps: Annotated[
        tuple[str, ...] | None,
        _held("Steps taken", "Stopped, covered, notified, left in place.", _M, Quantity.WORD, "burial_step"),
    ] = None
    ring: Annotated[Polygon | None, _held("Outline", "Extent seen, not dug to prove it.", _E, Quantity.POLYGON)] = None
    top_level: Annotated[Measure | None, _held("Top", "Level reached.", _E, Quantity.LEVEL)] = None
    orientation: Annotated[Bearing | None, _held("Orientation", "Bearing of the long axis.", _E, Quantity.BEARING)] = None
    cover: Annotated[str | None, _held("Cover", "What it was covered with.", _M)] = None
    left_exposed: Annotated[bool | None, _held("Left exposed", "True only while someone stands by it.", _M, Quantity.YES_NO)] = None
    authority: Annotated[str | None, _held("Authority", "Number, expiry and conditions of the licence to do more.", _E)] = None
    excavated: Annotated[
        str | None, _held("Excavation record", "Only under that authority: the osteologist's sheet.", Need.OPTIONAL)
    ] = None
    loose_bone: Annotated[Count | None, _held("Loose bone", "Pieces found out of place.", _E, Quantity.COUNT)] = None
    loose_bone_plan: Annotated[str | None, _held("Plan for loose bone", "Where it is and how it will be returned.", _E)] = None
    disposition: Annotated[str | None, _held("Outcome", "Left in place, reburied, returned, and when.", _E)] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the extent seen."""
        return self.ring or ()


class Notice(Entity):
    """One notification: who was told, when, and what was answered."""

    KIND: ClassVar[str] = "notice"
    TITLE: ClassVar[str] = "notice"
    RESTRICTED: ClassVar[bool] = True

    burial: Annotated[str, _held("Burial", "What it was about.", _M, Quantity.REFERENCE, refers="burial")]
    to: Annotated[
        str | None,
        _held("Told", "Coroner or medical examiner, state archaeologist, landowner, church, descendants.", _M),
    ] = None
    day: Annotated[Day | None, _held("Date", "Day.", _M, Quantity.DAY)] = None
    time: Annotated[str | None, _held("Time", "Time of day.", _E)] = None
    by: Annotated[str | None, _held("By", "Who told them, and how.", _M)] = None
    answer: Annotated[str | None, _held("Answer", "What they answered, with reference.", _M)] = None
    answered_on: Annotated[Day | None, _held("Answered on", "Day of the answer.", _E, Quantity.DAY)] = None
