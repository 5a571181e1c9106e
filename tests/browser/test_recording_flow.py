"""Filling in without detours: numbers as typed, kinds in sight on a phone, a first benchmark in place, Tab from box to box."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from baulk.record import Context, Find, LevelRun, Station
from tests.browser.recording import Devices, ServedSite
from tests.browser.waiting import until

pytestmark = pytest.mark.browser


def sheet(devices: Devices, recorded: ServedSite, number: str, page: Page | None = None) -> Page:
    """Open the sheet of a context."""
    identity = recorded.record.numbered(Context, number).id
    return devices.record(page or devices.of(), f"sheet.{identity}", heading=number)


def test_a_number_typed_in_full_counts(devices: Devices, recorded: ServedSite) -> None:
    """The number of a context typed into a new find is taken as it stands; one that nothing has is told on leaving the box."""
    page = devices.record(devices.of(), "find", heading="New find")
    box, write = page.get_by_role("combobox", name=re.compile("^Context")), page.get_by_role("button", name="Write the find")
    box.fill("99999")
    expect(write).to_be_disabled()
    box.press("Tab")
    expect(page.get_by_role("alert")).to_contain_text("No context 99999 is on this device.")
    box.fill("107")
    expect(write).to_be_enabled()
    before = len(recorded.record.all(Find))
    write.click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"find\s+\S+"))
    until(lambda: len(recorded.record.all(Find)) == before + 1)
    newest = max(recorded.record.all(Find), key=lambda find: find.id)
    assert newest.context == recorded.record.numbered(Context, "107").id


def test_a_number_typed_on_a_sheet_is_kept_on_leaving(devices: Devices, recorded: ServedSite) -> None:
    """Tab out of a box with a whole number writes it; a press on another entry of the list writes that one alone."""
    page = devices.record(devices.of(), "find", heading="New find")
    box = page.get_by_role("combobox", name=re.compile("^Context"))
    box.fill("10")
    page.locator(".offer").filter(has_text="101").first.click()
    expect(page.locator(".one .number")).to_have_text("101")
    page.get_by_role("button", name="Take 101 out").click()
    box.fill("107")
    box.press("Tab")
    expect(page.locator(".one .number")).to_have_text("107")
    page.get_by_role("button", name="From the list").first.click()
    box.press("ArrowDown")
    expect(page.locator(".offer").first).to_be_focused()
    page.keyboard.press("ArrowRight")
    expect(page.locator(".offer").nth(1)).to_be_focused()


def test_all_kinds_are_in_reach_on_a_phone(devices: Devices) -> None:
    """At 360 by 640, with nothing chosen and with a kind chosen, no kind lies under the button that writes."""
    page = devices.join("RM", width=360, height=640, touch=True)
    devices.record(page, "new", heading="New context")
    expect(page.get_by_text("The next number of your block is")).to_be_visible()
    page.get_by_role("button", name="Not now").click()
    labels = page.locator(".kinds label")
    expect(labels).to_have_count(7)
    for chosen in (None, "cut"):
        if chosen:
            labels.filter(has_text=chosen).first.click()
        page.evaluate("scrollTo(0, document.querySelector('.kinds').getBoundingClientRect().top + scrollY - 60)")
        for at in range(7):
            assert labels.nth(at).evaluate(
                "one => { const b = one.getBoundingClientRect();"
                " return one.contains(document.elementFromPoint(b.x + b.width / 2, b.y + b.height / 2)); }"
            ), (chosen, labels.nth(at).inner_text())


def test_the_contexts_are_in_the_first_screen_of_a_relation(devices: Devices, recorded: ServedSite) -> None:
    """At 360 by 640 the first context to point at is seen without scrolling."""
    page = devices.join("KB", width=360, height=640, touch=True)
    devices.record(page, "relate", heading="What lies over what?")
    walk = page.get_by_role("button", name="Not now")
    if walk.count():
        walk.click()
    page.evaluate("scrollTo(0, 0)")
    box = page.locator("main .layer").first.bounding_box()
    nav = page.locator("nav").last.bounding_box()
    assert box and nav
    assert box["y"] + box["height"] <= 640 - 62


def test_a_first_benchmark_is_named_where_the_run_begins(devices: Devices, recorded: ServedSite) -> None:
    """Name and level are asked for on the page of levels; the run begins on it, and its end on the same mark is spelt out."""
    page = devices.record(devices.of(), "levels", heading="Levels")
    page.get_by_text("A station that is not in the list").click()
    page.get_by_label("Name of the station or benchmark").fill("BM 9")
    page.get_by_label("Its level").fill("100 ft")
    page.get_by_role("button", name="Write the station").click()
    begin = page.get_by_role("button", name="Begin the run")
    expect(begin).to_be_enabled()
    begin.click()
    expect(page.locator("main h1")).to_contain_text("Levels, run AK")
    expect(page.locator("main")).to_contain_text("From BM 9, level 30.480.")
    expect(page.locator("[data-shown='misclosure']")).to_contain_text(
        "hold the staff on BM 9 once more, and choose “Close on BM 9”"
    )
    until(lambda: any(one.number == "BM 9" for one in recorded.record.all(Station)))
    station = next(one for one in recorded.record.all(Station) if one.number == "BM 9")
    assert station.level == pytest.approx(30.48)
    until(lambda: any(run.start == run.end == station.id for run in recorded.record.all(LevelRun)))
    page.get_by_label("Backsight").fill("1.5")
    page.get_by_role("button", name="Write the line").click()
    expect(page.get_by_role("status").filter(has_text="Kept: backsight on BM 9.")).to_be_visible()


def test_tab_goes_from_box_to_box(devices: Devices, recorded: ServedSite) -> None:
    """Tab skips what stands beside the names; a key goes there from the box, arrows go between, Tab goes back to the box."""
    page = sheet(devices, recorded, "107")
    description = page.locator("[data-field='description'] textarea")
    page.locator("[data-field='title'] input").focus()
    reached = []
    for _ in range(12):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.hasAttribute('data-aid')"))
    assert not any(reached)
    description.focus()
    page.keyboard.press("Alt+ArrowUp")
    expect(page.get_by_role("button", name="Description: what is this?")).to_be_focused()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("button", name="Description: no value, with the reason")).to_be_focused()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    expect(page.locator("[data-field='description'] .help")).to_be_visible()
    page.keyboard.press("Escape")
    expect(description).to_be_focused()
    page.keyboard.press("F2")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    expect(description).to_be_focused()


def in_hand(page: Page) -> str | None:
    """Return the field whose box has the focus."""
    found = page.evaluate("document.activeElement.closest('[data-field]')?.dataset.field")
    return None if found is None else str(found)


def test_the_number_stays_in_sight_and_the_next_blank_is_one_press_away(devices: Devices) -> None:
    """Far down a sheet its kind and number are seen; “Next blank” goes on to the next empty box that is wanted, and round."""
    page = devices.record(devices.of(), "new", heading="New context")
    page.locator(".kinds label").filter(has=page.get_by_text("deposit", exact=True)).click()
    page.get_by_role("button", name="Write deposit").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"deposit\s+\d+"))
    number = page.locator("main h1").inner_text().split()[-1]
    leap = page.get_by_role("button", name=re.compile("^Next blank"))
    reached: list[str | None] = []
    for _ in range(4):
        before = in_hand(page)
        leap.click()
        until(lambda: in_hand(page) not in (None, before))  # noqa: B023  waited for before the next turn
        reached.append(in_hand(page))
    assert len(set(reached)) == 4
    for field in reached:
        expect(page.locator(f"[data-field='{field}'].blank:not(.optional)")).to_have_count(1)
    page.evaluate("scrollTo(0, document.body.scrollHeight / 2)")
    until(lambda: page.evaluate("scrollY") > 500)
    expect(page.locator(".along strong")).to_contain_text(f"deposit {number}")
    expect(page.locator(".along strong")).to_be_in_viewport()


def test_a_colour_is_tidied_to_the_spelling_of_the_book(devices: Devices, recorded: ServedSite) -> None:
    """“10yr 3/2” stands as 10YR 3/2 once its box is left."""
    page = sheet(devices, recorded, "107")
    box = page.locator("[data-field='colour_dry'] input")
    box.fill("10yr 3/2")
    box.press("Tab")
    expect(box).to_have_value("10YR 3/2")
    until(lambda: recorded.record.numbered(Context, "107").colour_dry == "10YR 3/2")
