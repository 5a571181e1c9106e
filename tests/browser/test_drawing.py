"""Drawing by hand on plan and walls: what is drawn is on record to the centimetre, with the kind of every edge."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from baulk.record import Contact, Context, Element, Find, Level, Outline, Position, Wall, WallOutline
from baulk.work.demo import DemoSites
from tests.browser.drawing_hand import Hand, arrives, choose_context, choose_tool, drawing
from tests.browser.recording import Devices, ServedSite, served_to_devices
from tests.browser.waiting import comes_to, until

pytestmark = pytest.mark.browser

LIMIT = "limit of excavation"


@pytest.fixture
def recorded(demo: DemoSites, tmp_path: Path) -> Iterator[ServedSite]:
    """A copy of the demo for each test, served to devices: what one draws would snap to what another drew."""
    yield from served_to_devices(demo.good, tmp_path)


@pytest.fixture
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join."""
    found = Devices(browser, recorded)
    yield found
    found.close()


def newest(site: ServedSite, before: int) -> Outline:
    """Return the outline that was drawn last."""
    found = arrives(site, before, Outline)[-1]
    assert isinstance(found, Outline)
    return found


def area(ring: tuple[Position, ...]) -> float:
    """Return the area of a ring, positive anticlockwise."""
    following = (*ring[1:], ring[0])
    pairs = zip(ring, following, strict=True)
    return sum(a.easting * b.northing - b.easting * a.northing for a, b in pairs) / 2


def near(ring: tuple[Position, ...], at: tuple[float, float]) -> float:
    """Return how far a place lies from the nearest corner."""
    return min(math.hypot(spot.easting - at[0], spot.northing - at[1]) for spot in ring)


def test_an_outline_drawn_by_finger_is_on_record_to_the_centimetre(devices: Devices, recorded: ServedSite) -> None:
    """A stroke from side to side closes along the unit's corner: corners to the centimetre, two limits, the rest seen."""
    before = len(recorded.record.all(Outline))
    hand = drawing(devices, touch=True, width=820, height=1180)
    page = hand.page
    choose_tool(page, "Outline")
    choose_context(page, "Context", "118")
    corners = [(112.0, 204.9), (112.42, 204.86), (112.62, 204.62), (112.55, 204.28), (112.7, 204.0)]
    hand.finger(corners)
    expect(page.locator(".desk div.bar")).to_contain_text("Area 0.")
    page.touchscreen.tap(*hand.on_page((112.52, 204.74)))
    marked = page.locator(".draft path.broad")
    expect(marked).to_have_css("stroke", "rgb(179, 64, 14)")
    expect(page.get_by_role("group", name="Edge")).to_be_visible()
    page.get_by_role("button", name="Keep the outline").tap()
    expect(page.get_by_role("status").filter(has_text="The outline of 118")).to_have_text(
        "The outline of 118 is on this device's disk."
    )
    outline = newest(recorded, before)
    assert outline.ring is not None
    assert outline.edges is not None
    for corner in corners:
        assert near(outline.ring, corner) <= 0.0101
    assert near(outline.ring, (112.0, 204.0)) == 0
    assert area(outline.ring) == pytest.approx(0.4986, abs=0.02)
    assert area(outline.ring) > 0
    assert len(outline.edges) == len(outline.ring)
    following = (*outline.ring[1:], outline.ring[0])
    for here, then, edge in zip(outline.ring, following, outline.edges, strict=True):
        along = (here.easting == then.easting == 112.0) or (here.northing == then.northing == 204.0)
        assert edge == (LIMIT if along else "seen")
    assert outline.edges.count(LIMIT) == 2
    assert (outline.context, outline.recorded_by) == (recorded.record.numbered(Context, "118").id, "AK")


def test_an_outline_by_keys_alone(devices: Devices, recorded: ServedSite) -> None:
    """With keys alone: points typed and set by the cross-hair, an edge made uncertain, closed, given another kind, and kept."""
    before = len(recorded.record.all(Outline))
    page = drawing(devices).page
    page.get_by_role("radio", name="Move and choose").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("radio", name="Outline", exact=True)).to_be_focused()
    context = page.get_by_role("combobox", name="Context", exact=True)
    context.focus()
    context.press("1")
    while "110 " not in context.evaluate("one => one.selectedOptions[0].textContent + ' '"):
        page.keyboard.press("ArrowDown")
    for east, north in (("113.2", "204.4"), ("113.6", "204.4")):
        page.get_by_label("Easting").focus()
        page.keyboard.type(east)
        page.keyboard.press("Tab")
        page.keyboard.type(north)
        page.keyboard.press("Enter")
    frame = page.get_by_role("application")
    frame.focus()
    for _ in range(3):
        page.keyboard.press("Shift+ArrowUp")
    for _ in range(5):
        page.keyboard.press("ArrowUp")
    expect(page.get_by_role("status").filter(has_text="east")).to_contain_text("113.600 east, 204.750 north")
    page.keyboard.press("Enter")
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("Enter")
    page.keyboard.press("Backspace")
    expect(page.locator(".sheet .said")).to_have_text("Taken back.")
    expect(page.locator(".desk div.bar")).to_contain_text("3 corners")
    page.keyboard.press("c")
    expect(page.locator(".desk div.bar")).to_contain_text("Area 0.07")
    page.get_by_text("Corners and edges").focus()
    page.keyboard.press("Enter")
    edge = page.get_by_label("Edge 2 to 3")
    edge.focus()
    edge.press("u")
    keep = page.get_by_role("button", name="Keep the outline")
    keep.focus()
    page.keyboard.press("Enter")
    outline = newest(recorded, before)
    assert outline.ring == ((113.2, 204.4), (113.6, 204.4), (113.6, 204.75))
    assert outline.edges == ("seen", "uncertain", "seen")


def test_every_key_of_the_sheet_does_what_the_help_says(devices: Devices) -> None:
    """Plus comes closer, minus goes farther, 0 shows the whole sheet; arrows move the cross-hair by 0.01, with Shift by 0.1."""
    hand = drawing(devices)
    page = hand.page
    frame = page.get_by_role("application")
    frame.focus()
    whole = hand.view()[2]
    page.keyboard.press("+")
    comes_to(lambda: hand.view()[2], pytest.approx(whole * 1.4))
    page.keyboard.press("-")
    comes_to(lambda: hand.view()[2], pytest.approx(whole))
    page.keyboard.press("+")
    page.keyboard.press("0")
    comes_to(lambda: hand.view()[2], pytest.approx(whole))
    page.keyboard.press("ArrowRight")
    said = page.locator(".sheet .said")
    expect(said).to_contain_text("113.000 east, 205.000 north")
    for key, words in (
        ("ArrowRight", "113.010 east, 205.000"), ("ArrowUp", "113.010 east, 205.010"), ("ArrowDown", "113.010 east, 205.000"),
        ("Shift+ArrowLeft", "112.910 east, 205.000"), ("Shift+ArrowDown", "112.910 east, 204.900"),
    ):  # fmt: skip
        page.keyboard.press(key)
        expect(said).to_contain_text(words)
    page.keyboard.press("Backspace")
    expect(said).to_contain_text("nothing to take back")


def test_an_outline_that_crosses_itself_is_told_and_mended(devices: Devices, recorded: ServedSite) -> None:
    """A bow is refused in words and cannot be kept; mending leaves out the smaller loop."""
    before = len(recorded.record.all(Outline))
    hand = drawing(devices)
    page = hand.page
    choose_tool(page, "Outline")
    choose_context(page, "Context", "101")
    for place in ((112.4, 204.3), (112.9, 204.3), (112.9, 204.8), (112.6, 204.1)):
        hand.press(place)
    page.get_by_role("button", name="Close the outline").click()
    expect(page.get_by_role("alert")).to_contain_text("The outline crosses itself")
    keep = page.get_by_role("button", name="Keep the outline")
    expect(keep).to_be_disabled()
    page.get_by_role("button", name="Mend: leave out the loop").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    keep.click()
    outline = newest(recorded, before)
    assert outline.ring is not None
    assert 0.03 < area(outline.ring) < 0.25
    assert near(outline.ring, (112.9, 204.8)) < 0.02


def test_an_outline_on_record_is_mended(devices: Devices, recorded: ServedSite) -> None:
    """A corner dragged and an edge pressed are changed in the outline on record; no second outline is made."""
    hand = drawing(devices)
    page = hand.page
    record = recorded.record
    pit = record.numbered(Context, "107")
    (held,) = record.pointing_at(Outline, "context", pit.id)
    assert held.ring is not None
    count = len(record.all(Outline))
    page.get_by_text("On this sheet").click()
    page.locator(".panel li button").filter(has_text="107").click()
    page.get_by_role("button", name="Close", exact=True).click()
    page.evaluate(f"location.hash = location.hash + '?chosen={pit.id}'")
    page.get_by_role("button", name="Mend the outline of 107").click()
    corner = held.ring[0]
    hand.mouse([(corner.easting, corner.northing), (corner.easting + 0.21, corner.northing - 0.17)])
    page.get_by_role("button", name="Keep the outline").click()

    def changed() -> bool:
        now = recorded.record.get(Outline, held.id)
        return now is not None and now.ring is not None and near(now.ring, (corner.easting, corner.northing)) > 0.1

    until(changed)
    assert len(recorded.record.all(Outline)) == count
    now = recorded.record.get(Outline, held.id)
    assert now is not None
    assert now.edges == held.edges


def test_setts_are_one_stroke_each(devices: Devices, recorded: ServedSite) -> None:
    """Two strokes along axes and one round a stone make three pieces, numbered on; what was set stays, undo takes one back."""
    before = len(recorded.record.all(Element))
    hand = drawing(devices)
    page = hand.page
    choose_tool(page, "Setts, bricks, stones")
    choose_context(page, "Structure", "109")
    page.get_by_role("group", name="How laid").get_by_text("on edge", exact=True).click()
    page.get_by_role("group", name="Mortar on it").get_by_text("clinging remnant").click()
    page.get_by_label("Breadth in mm").fill("85")
    expect(page.get_by_label("Number of the next one")).not_to_have_value("")
    first_number = page.get_by_label("Number of the next one").input_value()
    hand.mouse([(113.2, 204.2), (113.4, 204.2)])
    said = page.locator(".sheet .said")
    expect(said).to_contain_text(f"{first_number}: ")
    hand.mouse([(113.2, 204.4), (113.2, 204.6)])
    expect(said).to_contain_text("axis 0.0°")
    round_stone = [(113.6 + 0.1 * math.cos(turn / 6), 204.4 + 0.06 * math.sin(turn / 6)) for turn in range(38)]
    hand.mouse(round_stone)
    pieces = [one for one in arrives(recorded, before, Element, 3)[-3:] if isinstance(one, Element)]
    across, along, stone = pieces
    assert across.number == first_number
    assert [one.number for one in pieces] == [f"S{int(first_number[1:]) + place:02d}" for place in range(3)]
    assert {(one.attitude, one.mortar, one.recorded_by) for one in pieces} == {("on edge", "clinging remnant", "AK")}
    assert across.bearing == pytest.approx(90, abs=1)
    assert across.length == pytest.approx(200, abs=8)
    assert across.height == 85
    assert across.ring is not None
    assert area(across.ring) == pytest.approx(0.2 * 0.085, abs=0.001)
    assert along.bearing in (0, pytest.approx(180, abs=1), pytest.approx(0, abs=1))
    assert stone.ring is not None
    assert area(stone.ring) == pytest.approx(math.pi * 0.1 * 0.06, rel=0.1)
    assert stone.bearing == pytest.approx(90, abs=8)
    page.get_by_role("button", name="Undo what was kept").click()
    until(lambda: stone.id not in {one.id for one in recorded.record.all(Element)})
    expect(page.get_by_label("Number of the next one")).to_have_value(f"S{int(first_number[1:]) + 3:02d}")


def test_a_wall_is_laid_out_and_drawn_in_distance_and_height(devices: Devices, recorded: ServedSite) -> None:
    """The east wall gets its ends from the unit's corners; an outline has its limits there; a contact has its line."""
    walls, outlines, contacts = (len(recorded.record.all(kind)) for kind in (Wall, WallOutline, Contact))
    page = devices.join()
    page.goto(f"{recorded.address}#/draw/1%2Feast")
    page.get_by_label("Level of the string").fill("29.30")
    page.get_by_label("Checked by").fill("RM")
    page.get_by_role("button", name="Lay out this wall").click()
    wall = arrives(recorded, walls, Wall)[-1]
    assert isinstance(wall, Wall)
    assert (wall.face, wall.string_level, wall.drawn_by, wall.checked_by) == ("east", 29.3, "AK", "RM")
    assert wall.ends == ((114, 206), (114, 204))
    hand = Hand(page)
    page.locator("main .frame[data-view]").wait_for()
    choose_tool(page, "Outline")
    choose_context(page, "Context", "101")
    for place in ((0.0, 29.6), (0.0, 29.4), (1.0, 29.38), (2.0, 29.42), (2.0, 29.62), (1.0, 29.64)):
        hand.press(place)
    page.get_by_role("button", name="Close the outline").click()
    page.get_by_role("button", name="Keep the outline").click()
    drawn = arrives(recorded, outlines, WallOutline)[-1]
    assert isinstance(drawn, WallOutline)
    assert drawn.wall == wall.id
    assert drawn.edges == (LIMIT, "seen", "seen", LIMIT, "seen", "seen")
    assert drawn.ring is not None
    for spot, place in zip(drawn.ring, ((0, 29.6), (0, 29.4), (1, 29.38), (2, 29.42), (2, 29.62), (1, 29.64)), strict=True):
        assert spot == pytest.approx(place, abs=0.01)
    choose_tool(page, "Lines and contacts")
    page.get_by_label("Heights are measured from the string at 29.300").check()
    page.get_by_role("textbox", name="Distance along").fill("0.50")
    page.get_by_label("Above (+) or below (−) the string").fill("-0.15")
    page.get_by_role("button", name="Set point").click()
    expect(page.locator(".sheet .said")).to_have_text("0.500 along, level 29.150")
    page.get_by_role("button", name="Take back").click()
    page.get_by_role("radio", name="Contact", exact=True).check(force=True)
    choose_context(page, "Later (above, cutting)", "101")
    choose_context(page, "Earlier (below, cut)", "102")
    hand.mouse([(0.1, 29.4), (1.0, 29.38), (1.9, 29.42)])
    page.get_by_role("button", name="Keep the contact").click()
    contact = arrives(recorded, contacts, Contact)[-1]
    assert isinstance(contact, Contact)
    assert (recorded.record.label(contact.later), recorded.record.label(contact.earlier)) == ("101", "102")
    assert contact.line is not None
    assert contact.line[0] == pytest.approx((0.1, 29.4), abs=0.02)


def test_levels_and_finds_are_placed_by_a_press(devices: Devices, recorded: ServedSite) -> None:
    """A pressed place gets a level typed in feet and inches, kept as metres; a find its number from the recorder's block."""
    levels, finds = len(recorded.record.all(Level)), len(recorded.record.all(Find))
    hand = drawing(devices)
    page = hand.page
    choose_tool(page, "Level, find, sample")
    hand.press((112.8, 204.6))
    choose_context(page, "Context", "102")
    page.get_by_label("Level (height above datum)").fill("96 ft 6 in")
    page.get_by_role("button", name="Keep").click()
    level = arrives(recorded, levels, Level)[-1]
    assert isinstance(level, Level)
    assert (level.easting, level.northing) == pytest.approx((112.8, 204.6), abs=0.01)
    assert level.level == pytest.approx(96.5 * 0.3048)
    assert level.surface == "top"
    page.get_by_role("radio", name="Find", exact=True).check(force=True)
    hand.press((113.3, 204.2))
    page.get_by_role("button", name="Keep").click()
    find = arrives(recorded, finds, Find)[-1]
    assert isinstance(find, Find)
    assert (find.easting, find.northing) == pytest.approx((113.3, 204.2), abs=0.01)
    assert find.registered is True
    assert find.number


def test_the_chosen_context_is_shown_alone(devices: Devices, recorded: ServedSite) -> None:
    """With the tick set the sheet holds the chosen context and its pieces, and none of the others; without it all come back."""
    page = drawing(devices).page
    page.evaluate(f"location.hash = location.hash + '?chosen={recorded.record.numbered(Context, '107').id}'")
    summary = page.locator(".desk .panel summary").filter(has_text="pieces drawn")
    expect(summary).not_to_contain_text("· 0 pieces")
    page.get_by_text("How it is drawn").click()
    page.get_by_label("Show the chosen context alone").check()
    expect(page.locator("main .frame")).to_have_attribute("data-shown", "1")
    page.get_by_label("Show the chosen context alone").uncheck()
    expect(page.locator("main .frame")).not_to_have_attribute("data-shown", "1")


def test_a_reload_in_the_middle_of_an_outline_loses_no_corner(devices: Devices, recorded: ServedSite) -> None:
    """Corners set before a reload stand there after it, and the usual key takes the last back; once kept they are gone."""
    count = len(recorded.record.all(Outline))
    hand = drawing(devices)
    page = hand.page
    choose_tool(page, "Outline")
    choose_context(page, "Context", "118")
    for place in ((112.4, 204.3), (112.9, 204.3), (112.9, 204.8)):
        hand.press(place)
    page.reload()
    page.locator("main .frame[data-view]").wait_for()
    expect(page.locator(".draft circle.corner")).to_have_count(3)
    page.locator("main .frame").focus()
    page.keyboard.press("Control+z")
    expect(page.locator(".draft circle.corner")).to_have_count(2)
    hand.press((112.7, 204.7))
    page.get_by_role("button", name="Close the outline").click()
    page.get_by_role("button", name="Keep the outline").click()
    (*_, outline) = arrives(recorded, count, Outline)
    assert isinstance(outline, Outline)
    assert outline.context == recorded.record.numbered(Context, "118").id
    page.reload()
    page.locator("main .frame[data-view]").wait_for()
    expect(page.locator(".draft circle.corner")).to_have_count(0)
