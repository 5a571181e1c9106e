"""Rules on the unit's place: corners, marks, the grid, and finds plotted inside the unit."""

from __future__ import annotations

import math

import numpy as np
from shapely import Point

from baulk.closing.blank import listed
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.errors import MeasureError
from baulk.grid.layout import Taped, check_taped, lay_out
from baulk.grid.points import GridPoint
from baulk.quantities import LengthUnit
from baulk.record import Find, Sample, Station, Unit

__all__ = ["RULES"]


def _corners(facts: UnitFacts) -> Verdict:
    return ask_each((facts.unit,), lambda unit: _judge_corners(facts, unit))


def _judge_corners(facts: UnitFacts, unit: Unit) -> Answer:
    if not unit.corners:
        return unknown("the corners have no grid positions")
    if len(unit.opening_levels or ()) < len(unit.corners):
        return unknown(f"{len(unit.opening_levels or ())} of {len(unit.corners)} corners have an opening level")
    if unit.design_width is None or unit.design_length is None:
        return unknown("the size as designed is blank")
    if len(unit.corners) != 4:
        return unknown(f"the unit has {len(unit.corners)} corners: only a unit of four is checked against its design")
    return _judge_tapes(facts, unit, unit.design_width, unit.design_length)


def _judge_tapes(facts: UnitFacts, unit: Unit, width: float, length: float) -> Answer:
    metres, tolerance = facts.metres, facts.limits.corner_tolerance
    corners = np.array(unit.corners) * metres
    try:
        layout = lay_out(GridPoint(*corners[0]), width=width * metres, depth=length * metres, unit=LengthUnit.METRE)
        by_grid = check_taped(layout, _taped(_between(corners)), tolerance=tolerance)
        taped = [*_padded(unit.sides, 4), *_padded(unit.diagonals, 2)]
        by_tape = check_taped(layout, _taped([value * metres for value in taped]), tolerance=tolerance)
    except MeasureError as refusal:
        return fails(str(refusal))
    if by_grid.within is False:
        return fails(f"the grid positions of the corners disagree with the size as designed. {by_grid.statement}")
    if by_tape.within is None:
        return unknown(by_tape.statement)
    return passes() if by_tape.within else fails(by_tape.statement)


def _taped(lengths: list[float]) -> Taped:
    return Taped(*lengths)


def _padded(given: tuple[float, ...] | None, count: int) -> list[float]:
    return [*(given or ())[:count], *[math.nan] * (count - len(given or ()))]


def _between(corners: np.ndarray) -> list[float]:
    ends = ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3))
    return [float(np.linalg.norm(corners[one] - corners[other])) for one, other in ends]


def _marks(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_marks(facts))])


def _judge_marks(facts: UnitFacts) -> Answer:
    needed = int(facts.limits.marks_needed)
    sure, unsure = 0, []
    for station in facts.site.record.all(Station):
        holds = _mark_holds(facts, station)
        if holds is None:
            unsure.append(station.number or "without a name")
        sure += holds is True
        if sure >= needed:
            return passes()
    if sure + len(unsure) >= needed:
        return unknown(f"{sure} permanent marks outside the unit are sure; nobody says it of {listed(unsure)}")
    if facts.unit.ties:
        return unknown(f"{sure} of {needed} permanent marks are on record; the ties are given in words only")
    return fails(f"{sure} of {needed} permanent marks outside the unit are on record")


def _mark_holds(facts: UnitFacts, station: Station) -> bool | None:
    if station.permanent is False or station.status in ("disturbed", "destroyed") or station.outside_unit is False:
        return False
    place = station.positions()
    outside: bool | None = station.outside_unit
    if outside is None and place and facts.area is not None:
        outside = not facts.area.covers(Point(place[0]))
    if outside is False:
        return False
    return None if station.permanent is None or outside is None or not place else True


def _grid(facts: UnitFacts) -> Verdict:
    return ask_each((facts.record.site,), lambda _site: _judge_grid(facts))


def _judge_grid(facts: UnitFacts) -> Answer:
    site = facts.record.site
    stations = facts.record.all(Station)
    tied = sum(
        station.projected_easting is not None and station.projected_northing is not None and bool(station.positions())
        for station in stations
    )
    if site.grid_rotation is None:
        return fails("the bearing of site grid north is not on record; enter it, in degrees clockwise from true north")
    if site.crs is None or tied < 2:
        return fails(
            f"the way to a national or state grid is not on record: grid named {site.crs or 'none'}, {tied} of 2 stations on both"
        )
    if site.is_blank("declination"):
        return unknown("nobody says whether a compass was used, and with which declination")
    return passes()


def _plotted(facts: UnitFacts) -> Verdict:
    plotted: list[Find | Sample] = [*(find for find in facts.finds if find.registered), *facts.samples]
    return verdict(((found.id,), _judge_plotted(facts, found)) for found in plotted)


def _judge_plotted(facts: UnitFacts, found: Find | Sample) -> Answer:
    name = f"{found.TITLE} {found.number or ''}".strip()
    if any(field in found.absences for field in ("easting", "northing", "level")):
        return skips()
    wanting = [field for field in ("easting", "northing", "level") if getattr(found, field) is None]
    if wanting:
        says = f"{name} has no {listed(wanting)}"
        return fails(says) if isinstance(found, Find) else unknown(says)
    if facts.area is None or not facts.unit.opening_levels or not facts.unit.base_levels:
        return unknown(f"{name}: the corners, opening or base levels of the unit are blank")
    spare = facts.limits.place_tolerance / facts.metres
    if not facts.area.buffer(spare).covers(Point(found.positions()[0])):
        away = facts.area.distance(Point(found.positions()[0])) * facts.metres
        return fails(f"{name} lies {away:.2f} m outside the unit")
    top, base = max(facts.unit.opening_levels) + spare, min(facts.unit.base_levels) - spare
    level = found.level or 0.0
    if not base <= level <= top:
        return fails(f"{name} at level {level:.3f} lies above the ground or below the base ({base:.3f} to {top:.3f})")
    return passes()


RULES = (
    Rule(
        "B01",
        "Every corner of the unit has easting, northing and level, and the taped sides and both diagonals agree with the design.",
        "Every other position hangs on the corners.",
        Severity.LOST,
        "units",
        "Tape the four sides and both diagonals again and level the corners; move the pegs or mend the figures.",
        "common practice, no source; the grid requirement is published state guidance",
        _corners,
        blocks=True,
    ),
    Rule(
        "B02",
        "The unit is tied to at least two permanent marks or building corners outside it.",
        "Stakes vanish; the unit must be found again.",
        Severity.LOST,
        "units",
        "Measure to a second permanent mark, and say of each mark that it is permanent and stands outside the unit.",
        "published state guidance",
        _marks,
    ),
    Rule(
        "B10",
        "Grid north, declination and the way to a national or state grid are on record.",
        "Every claim about orientation depends on it.",
        Severity.RECOVERABLE,
        "sites",
        "Enter what is said to be missing; a grid is tied by two stations with their positions on both grids.",
        "published field manuals",
        _grid,
        whole_site=True,
    ),
    Rule(
        "B11",
        "Registered finds and samples have positions inside the unit, between its surface and its base.",
        "The spot is gone once it is dug.",
        Severity.LOST,
        "registered finds and samples",
        "Look up the position in the finds book, or measure it again while the spot can be pointed at.",
        "published state guidance",
        _plotted,
    ),
)
