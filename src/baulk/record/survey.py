"""Radar surveys: the grid, its lines and what was read from them."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, facts
from baulk.record.values import Day, FileMark, Measure, Path, Polygon, Position

__all__ = ["Anomaly", "Survey", "SurveyLine"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_GUIDE = "published survey guidance"


class Survey(Entity):
    """One radar survey."""

    KIND: ClassVar[str] = "survey"
    TITLE: ClassVar[str] = "survey"
    SHAPE: ClassVar[str] = "polygon"
    NUMBERED: ClassVar[bool] = True

    number: Annotated[str | None, facts("Survey", "Number.", _M, source=_GUIDE)] = None
    question: Annotated[str | None, facts("Question", "What it is to find.", _M, source=_GUIDE)] = None
    ring: Annotated[Polygon | None, facts("Area", "Corners on the site grid.", _M, Quantity.POLYGON, source=_GUIDE)] = None
    day: Annotated[Day | None, facts("Date", "Day of survey.", _M, Quantity.DAY, source=_GUIDE)] = None
    staff: Annotated[str | None, facts("Staff", "Who.", _M, source=_GUIDE)] = None
    instrument: Annotated[str | None, facts("Instrument", "Make and number.", _M, source=_GUIDE)] = None
    frequency: Annotated[Measure | None, facts("Centre frequency", "MHz.", _M, Quantity.NUMBER, source=_GUIDE)] = None
    separation: Annotated[
        Measure | None,
        facts("Antenna separation", "Distance between the antennas.", _M, Quantity.LENGTH, source=_GUIDE),
    ] = None
    window: Annotated[Measure | None, facts("Time window", "Nanoseconds.", _M, Quantity.NUMBER, source=_GUIDE)] = None
    line_spacing: Annotated[Measure | None, facts("Line spacing", "Between lines.", _M, Quantity.LENGTH, source=_GUIDE)] = None
    trace_spacing: Annotated[Measure | None, facts("Trace spacing", "Between traces.", _M, Quantity.LENGTH, source=_GUIDE)] = None
    weather: Annotated[str | None, facts("Weather and moisture", "On the day and before.", _M, source=_GUIDE)] = None
    obstacles: Annotated[str | None, facts("Obstacles", "Trees, kerbs, gaps.", _E, source=_GUIDE)] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the area."""
        return self.ring or ()


class SurveyLine(Entity):
    """One line walked."""

    KIND: ClassVar[str] = "survey_line"
    TITLE: ClassVar[str] = "survey line"
    SHAPE: ClassVar[str] = "line"

    survey: Annotated[str, facts("Survey", "The survey it belongs to.", _M, Quantity.REFERENCE, refers="survey")]
    number: Annotated[str | None, facts("Line", "Number in order of walking.", _M, source=_GUIDE)] = None
    path: Annotated[Path | None, facts("Path", "Start, turns and end on the site grid.", _M, Quantity.PATH, source=_GUIDE)] = None
    file: Annotated[FileMark | None, facts("File", "Raw data, by its SHA-256.", _M, Quantity.FILE, source=_GUIDE)] = None
    file_name: Annotated[str | None, facts("File name", "As recorded.", _E)] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the path walked."""
        return self.path or ()


class Anomaly(Entity):
    """Something read from a survey; no anomaly is never clearance."""

    KIND: ClassVar[str] = "anomaly"
    TITLE: ClassVar[str] = "anomaly"
    SHAPE: ClassVar[str] = "polygon"
    NUMBERED: ClassVar[bool] = True

    survey: Annotated[str, facts("Survey", "Where it was read.", _M, Quantity.REFERENCE, refers="survey")]
    number: Annotated[str | None, facts("Anomaly", "Number.", _M)] = None
    ring: Annotated[Polygon | None, facts("Outline", "On the site grid.", _M, Quantity.POLYGON)] = None
    depth_from: Annotated[Measure | None, facts("Depth from", "With the velocity used.", _M, Quantity.LENGTH)] = None
    depth_to: Annotated[Measure | None, facts("Depth to", "With the velocity used.", _E, Quantity.LENGTH)] = None
    reading: Annotated[str | None, facts("Class", "What it may be.", _M, Quantity.WORD, "anomaly_class", source=_GUIDE)] = None
    confidence: Annotated[
        str | None, facts("Confidence", "Firm, probable or doubtful.", _M, Quantity.WORD, "certainty", source=_GUIDE)
    ] = None
    alternatives: Annotated[str | None, facts("Alternatives", "What else it may be.", _M, source=_GUIDE)] = None
    evidence: Annotated[str | None, facts("Evidence", "Lines and slices it was read from.", _M, source=_GUIDE)] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the outline."""
        return self.ring or ()
