"""The levels book at the trench edge: height of instrument as it runs, levels on contexts, whether the run closes."""

from __future__ import annotations

import math
import re

import pytest
from playwright.sync_api import Page, expect

from baulk.grid.levels import Booking, reduce_by_instrument_height
from baulk.grid.points import Level as Height
from baulk.record import Context, Level, LevelRun, Sight, Station, Unit
from tests.browser.recording import Devices, ServedSite
from tests.browser.waiting import comes_to, until

pytestmark = pytest.mark.browser


def benchmark(recorded: ServedSite) -> Station:
    """Return a station whose level is known."""
    return next(station for station in recorded.record.all(Station) if station.level is not None)


def begun(devices: Devices, recorded: ServedSite, context: str = "107") -> Page:
    """Begin a run from the benchmark for a context, and return its page."""
    identity = recorded.record.numbered(Context, context).id
    page = devices.record(devices.of(), f"levels..{identity}", heading="Levels")
    page.locator(".offer").filter(has_text=str(benchmark(recorded).number)).first.click()
    page.get_by_label("Instrument and its number").fill("dumpy 4")
    page.get_by_role("button", name="Begin the run").click()
    expect(page.locator("main h1")).to_contain_text("Levels, run AK")
    return page


def run_of(page: Page, recorded: ServedSite) -> LevelRun:
    """Return the run that a page shows, once the server has it; other runs of the day have the same instrument and observer."""
    asked = re.search(r"levels\.([^.?]+)", page.url)
    assert asked
    until(lambda: recorded.record.get(LevelRun, asked[1]) is not None)
    run = recorded.record.get(LevelRun, asked[1])
    assert run is not None
    return run


def booked(sight: Sight) -> Booking:
    """Return a staff reading as the reduction on the server takes it."""

    def read(value: float | None) -> float:
        return math.nan if value is None else value

    return Booking(str(sight.point), read(sight.backsight), read(sight.intermediate), read(sight.foresight))


def test_a_level_from_a_staff_reading(devices: Devices, recorded: ServedSite) -> None:
    """Backsight, a reading on a context at a typed place, a turning point and the close: reduced as the server reduces them."""
    page = begun(devices, recorded)
    start = benchmark(recorded)
    assert start.level is not None
    page.get_by_label("Backsight").fill("1.855")
    expect(page.locator("output")).to_have_text(f"height of instrument {start.level + 1.855:.3f}")
    page.get_by_role("button", name="Write the line").click()
    expect(page.locator("[data-shown='instrument']")).to_have_text(f"{start.level + 1.855:.3f}")
    page.get_by_label("Easting").fill("100.5")
    page.get_by_label("Northing").fill("200.75")
    page.get_by_label("Staff reading").fill("2.410")
    expect(page.locator("output")).to_have_text(f"level {start.level + 1.855 - 2.410:.3f}")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").filter(has_text="Kept: top of 107.")).to_be_visible()
    expect(page.locator("tbody tr")).to_have_count(2)
    page.get_by_text("Turning point", exact=True).click()
    page.get_by_text("something else", exact=True).click()
    page.get_by_label("What it stands on", exact=True).fill("sett by the lock")
    page.get_by_label("Foresight").fill("1.280")
    page.get_by_label("Backsight after moving").fill("0.945")
    page.get_by_role("button", name="Write the line").click()
    expect(page.get_by_role("status").filter(has_text="Kept: sett by the lock.")).to_be_visible()
    expect(page.locator("[data-shown='misclosure']")).to_contain_text("not closed yet")
    page.get_by_text(re.compile("^Close on")).click()
    page.get_by_label("Foresight").fill("1.524")
    page.get_by_role("button", name="Write the line").click()
    expect(page.locator("[data-shown='misclosure']")).to_have_text("-4.0 mm, within the limit of 7.1 mm")
    run = run_of(page, recorded)
    until(lambda: len(recorded.record.pointing_at(Sight, "run", run.id)) == 4)
    sights = sorted(recorded.record.pointing_at(Sight, "run", run.id), key=lambda sight: sight.place or 0)
    bookings = [booked(sight) for sight in sights]
    reduced = reduce_by_instrument_height(bookings, benchmark=Height(start.level))
    rows = page.locator("tbody tr")
    expect(rows).to_have_count(4)
    comes_to(
        lambda: [float(rows.nth(at).locator("td").last.inner_text()) for at in range(4)], pytest.approx(reduced.level.round(3))
    )
    (level,) = recorded.record.pointing_at(Level, "sight", sights[1].id)
    assert (level.surface, level.easting, level.northing) == ("top", 100.5, 200.75)
    assert level.level == pytest.approx(reduced.level[1])


def test_a_corrected_reading_moves_its_level_only_when_told(devices: Devices, recorded: ServedSite) -> None:
    """After a slip in a reading is put right, the page says that the level written differs, and writes the new one when asked."""
    page = begun(devices, recorded, "118")
    start = benchmark(recorded)
    assert start.level is not None
    page.get_by_label("Backsight").fill("1.500")
    page.get_by_role("button", name="Write the line").click()
    page.get_by_label("Staff reading").fill("2.140")
    page.get_by_role("button", name="Write the line").click()
    run = page.url
    page.get_by_role("link", name="top of 118").click()
    box = page.locator("[data-field='intermediate']")
    box.locator("input").fill("2.410")
    box.locator("input").blur()
    expect(box.get_by_role("status")).to_have_text("kept")
    page.goto(run)
    told = page.get_by_role("alert").filter(has_text="Level on 118 is written as")
    expect(told).to_contain_text(f"the book gives {start.level - 0.91:.3f} now")
    told.get_by_role("button", name="Write what the book gives").click()
    expect(told).to_have_count(0)


def test_a_place_is_taken_by_a_press_on_the_plan(devices: Devices, recorded: ServedSite) -> None:
    """A press in the middle of the plan writes the easting and northing of the middle of the unit."""
    page = begun(devices, recorded)
    page.get_by_label("Backsight").fill("1.500")
    page.get_by_role("button", name="Write the line").click()
    page.get_by_text("Press the place on the plan").click()
    plan = page.locator("main svg[role='img']")
    box = plan.bounding_box()
    assert box
    plan.click(position={"x": box["width"] / 2, "y": box["height"] / 2}, force=True)
    corners = recorded.record.numbered(Unit, "1").positions()
    middle = [sum(axis) / len(corners) for axis in zip(*corners, strict=True)]
    for label, wanted in zip(("Easting", "Northing"), middle, strict=True):
        place = page.get_by_label(label)
        expect(place).not_to_have_value("")
        assert float(place.input_value()) == pytest.approx(wanted, abs=0.03)


def test_a_slip_of_the_pen_is_told_at_once(devices: Devices, recorded: ServedSite) -> None:
    """A reading longer than a staff is doubted in words; it is kept all the same."""
    page = begun(devices, recorded)
    page.get_by_label("Backsight").fill("18.55")
    page.get_by_role("button", name="Write the line").click()
    expect(page.locator("main")).to_contain_text(
        "backsight 18.550 is longer than a staff of 5 m: is the decimal point in its place?"
    )
