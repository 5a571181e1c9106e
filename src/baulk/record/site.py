"""The site, its control points and its levels book."""

from __future__ import annotations

from typing import Annotated, ClassVar

from baulk.record.entity import Entity
from baulk.record.facts import Need, Quantity, Sensitivity, facts
from baulk.record.values import Bearing, Day, Measure, Position, position_at

__all__ = ["LevelRun", "Sight", "Site", "Station"]

_M, _E = Need.MANDATORY, Need.EXPECTED
_MANUAL = "published recording manuals"
_BOOK = "published levelling instructions"
_AGENCY = Sensitivity.AGENCY


class Site(Entity):
    """The site as a whole; a site file has one."""

    KIND: ClassVar[str] = "site"
    TITLE: ClassVar[str] = "site"

    code: Annotated[str | None, facts("Site code", "Short code that stands on every sheet, bag and file.", _M, source=_MANUAL)] = (
        None
    )
    name: Annotated[str | None, facts("Name", "What the site is called.", _M, source=_MANUAL)] = None
    invented: Annotated[
        bool | None,
        facts("Invented", "True when the record is an example and not of a real place.", quantity=Quantity.YES_NO),
    ] = None
    length_unit: Annotated[
        str | None,
        facts("Quantity of lengths", "m, ft (international foot) or ft_us (US survey foot); levels and co-ordinates too.",
              _M, Quantity.WORD, "length_unit", source="published state guidance"),
    ] = "m"  # fmt: skip
    vertical_datum: Annotated[str | None, facts("Vertical datum", "What levels are heights above.", _M, source=_MANUAL)] = None
    crs: Annotated[
        str | None,
        facts(
            "Projected grid",
            "Code of the national or state grid, as in EPSG:27700.",
            _E,
            sensitivity=_AGENCY,
            source=_MANUAL,
        ),
    ] = None
    grid_rotation: Annotated[
        Bearing | None,
        facts(
            "Grid north",
            "Bearing of site grid north, degrees clockwise from true north.",
            _M,
            Quantity.BEARING,
            source="published field manuals",
        ),
    ] = None
    declination: Annotated[
        Measure | None,
        facts(
            "Declination",
            "Magnetic north, degrees east of true north, on the day it was used.",
            _E,
            Quantity.NUMBER,
            source="published field manuals",
        ),
    ] = None
    profile: Annotated[
        str | None, facts("Jurisdiction profile", "Name of the set of rules that the closing check follows.", _E)
    ] = None
    permit: Annotated[
        str | None,
        facts("Permit or licence", "Number of the permit, licence or review.", _M, source="published state guidance"),
    ] = None
    director: Annotated[
        str | None,
        facts("Director", "Who answers for the work.", _M, sensitivity=_AGENCY, source="published state guidance"),
    ] = None
    organisation: Annotated[
        str | None, facts("Organisation", "Who carries the work out.", _E, source="published state guidance")
    ] = None
    client: Annotated[str | None, facts("Client or agency", "For whom.", _E, source="published state guidance")] = None
    place: Annotated[str | None, facts("Place", "Address or parish.", _E, sensitivity=_AGENCY)] = None
    background: Annotated[
        str | None,
        facts(
            "Background",
            "What maps, documents and earlier work tell of the place, with sources.",
            _E,
            source="published report guidance",
        ),
    ] = None
    setting: Annotated[str | None, facts("Setting", "Geology, soils, land use.", _E, source="published report guidance")] = None
    aims: Annotated[
        str | None, facts("Aims", "The questions that the work was to answer.", _M, source="published report guidance")
    ] = None
    stop_radius: Annotated[
        Measure | None,
        facts("Stop-work radius", "Distance round possible human remains in which work stops; set by your permit or local law.",
              _E, Quantity.LENGTH, source="project agreements differ: no national figure"),
    ] = None  # fmt: skip
    repository: Annotated[
        str | None, facts("Archive", "Where finds and records will be kept.", _E, source="published report guidance")
    ] = None


class Station(Entity):
    """A control point: a mark whose position or level is known."""

    KIND: ClassVar[str] = "station"
    TITLE: ClassVar[str] = "station"
    SHAPE: ClassVar[str] = "point"

    number: Annotated[str | None, facts("Name", "Name of the mark.", _M, source=_MANUAL)] = None
    mark: Annotated[str | None, facts("Mark", "What it is and how to find it again.", _M, sensitivity=_AGENCY, source=_MANUAL)] = (
        None
    )
    permanent: Annotated[
        bool | None,
        facts("Permanent", "Whether it will outlast the dig.", _M, Quantity.YES_NO, source="published state guidance"),
    ] = None
    outside_unit: Annotated[
        bool | None, facts("Outside the unit", "Whether it stands clear of every unit.", _E, Quantity.YES_NO)
    ] = None
    easting: Annotated[Measure | None, facts("Easting", "Site grid easting.", _M, Quantity.LENGTH, source=_MANUAL)] = None
    northing: Annotated[Measure | None, facts("Northing", "Site grid northing.", _M, Quantity.LENGTH, source=_MANUAL)] = None
    level: Annotated[Measure | None, facts("Level", "Height above the vertical datum.", _E, Quantity.LEVEL, source=_MANUAL)] = None
    projected_easting: Annotated[
        Measure | None,
        facts(
            "Projected easting",
            "Easting on the national or state grid, metres.",
            _E,
            Quantity.NUMBER,
            sensitivity=_AGENCY,
        ),
    ] = None
    projected_northing: Annotated[
        Measure | None,
        facts(
            "Projected northing",
            "Northing on the national or state grid, metres.",
            _E,
            Quantity.NUMBER,
            sensitivity=_AGENCY,
        ),
    ] = None
    accuracy: Annotated[Measure | None, facts("Accuracy", "Standard deviation of the position.", _E, Quantity.LENGTH)] = None
    method: Annotated[str | None, facts("Method", "How it was fixed.", _E, source=_MANUAL)] = None
    status: Annotated[str | None, facts("Status", "Good, disturbed or destroyed.", _E, Quantity.WORD, "station_status")] = None

    def positions(self) -> tuple[Position, ...]:
        """Return the mark's position."""
        return position_at(self.easting, self.northing)


class LevelRun(Entity):
    """One run of levels: it starts with a backsight on a known mark and ends with a foresight on one."""

    KIND: ClassVar[str] = "level_run"
    TITLE: ClassVar[str] = "levels run"

    number: Annotated[str | None, facts("Run", "Number of the run in the levels book.", _M, source=_BOOK)] = None
    day: Annotated[Day | None, facts("Date", "Day of the run.", _M, Quantity.DAY, source=_BOOK)] = None
    instrument: Annotated[str | None, facts("Instrument", "Instrument and its number.", _E, source=_BOOK)] = None
    observer: Annotated[str | None, facts("Observer", "Who read.", _E, sensitivity=_AGENCY, source=_BOOK)] = None
    start: Annotated[
        str | None,
        facts("Starts on", "Station of the first backsight.", _M, Quantity.REFERENCE, refers="station", source=_BOOK),
    ] = None
    end: Annotated[
        str | None,
        facts("Ends on", "Station of the last foresight.", _M, Quantity.REFERENCE, refers="station", source=_BOOK),
    ] = None
    limit: Annotated[
        Measure | None,
        facts("Limit of misclosure", "Largest misclosure that the project accepts.", _E, Quantity.LENGTH),
    ] = None
    two_peg_on: Annotated[
        Day | None, facts("Two-peg check", "Day of the last collimation check of the instrument.", _E, Quantity.DAY)
    ] = None


class Sight(Entity):
    """One line of the levels book."""

    KIND: ClassVar[str] = "sight"
    TITLE: ClassVar[str] = "staff reading"

    run: Annotated[str | None, facts("Run", "The run it belongs to.", _M, Quantity.REFERENCE, refers="level_run", source=_BOOK)] = (
        None
    )
    place: Annotated[int | None, facts("Line", "Its line in the run, from 1.", _M, Quantity.COUNT, source=_BOOK)] = None
    point: Annotated[str | None, facts("Point", "What the staff stood on.", _M, source=_BOOK)] = None
    backsight: Annotated[
        Measure | None,
        facts("Backsight", "Reading on a point whose level is known.", quantity=Quantity.LENGTH, source=_BOOK),
    ] = None
    intermediate: Annotated[
        Measure | None,
        facts("Intermediate", "Reading on a point that is not carried on from.", quantity=Quantity.LENGTH, source=_BOOK),
    ] = None
    foresight: Annotated[
        Measure | None, facts("Foresight", "Last reading of a set-up.", quantity=Quantity.LENGTH, source=_BOOK)
    ] = None
    booked_level: Annotated[
        Measure | None,
        facts(
            "Level as booked",
            "The reduced level that was written in the book, to be checked.",
            quantity=Quantity.LEVEL,
            source=_BOOK,
        ),
    ] = None
