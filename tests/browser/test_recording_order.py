"""Relations by pointing, a loop told before it is written, and the other sheet's side asked for."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from baulk.record import Context, Relation
from tests.browser.recording import Devices, ServedSite
from tests.browser.waiting import until

pytestmark = pytest.mark.browser


def identity(recorded: ServedSite, number: str) -> str:
    """Return the id of a context."""
    return recorded.record.numbered(Context, number).id


def between(recorded: ServedSite, later: str, earlier: str) -> list[Relation]:
    """Return the relations from one context to another."""
    record = recorded.record
    ids = {context.id: context.number for context in record.all(Context)}
    return [one for one in record.all(Relation) if (ids.get(one.later), ids.get(one.earlier)) == (later, earlier)]


def press_layer(page: Page, number: str) -> None:
    """Press a context in the stack."""
    page.locator("main .layer").filter(has=page.get_by_text(number, exact=True)).click()


def side(page: Page, name: str) -> Locator:
    """Return one of the two sides of the relation."""
    return page.get_by_role("button", name=re.compile(rf"^{name} \(", re.IGNORECASE))


def turned_over(page: Page, number: str) -> None:
    """Have the context with which a relation begins as the one over."""
    expect(page.locator("main .slot").filter(has_text=number)).to_have_count(1)
    if number not in side(page, "over").inner_text():
        page.get_by_role("button", name="The other way round").click()
    expect(side(page, "over")).to_contain_text(number)


def made(devices: Devices, recorded: ServedSite, page: Page, kind: str) -> str:
    """Make a context and return its number."""
    devices.record(page, "new", heading="New context")
    page.locator(".kinds label").filter(has=page.get_by_text(kind, exact=True)).click()
    page.get_by_role("button", name=f"Write {kind}").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(rf"{kind}\s+\d+"))
    number = page.locator("main h1").inner_text().split()[-1]
    until(lambda: any(context.number == number for context in recorded.record.all(Context)))
    return number


def test_a_relation_is_written_by_pointing_and_both_sheets_are_asked(devices: Devices, recorded: ServedSite) -> None:
    """Press over, press under, say how: it is written on one sheet, and on both once the other side was seen."""
    page = devices.of()
    number = made(devices, recorded, page, "deposit")
    devices.record(page, f"relate.{identity(recorded, number)}", heading="What lies over what?")
    turned_over(page, number)
    press_layer(page, "118")
    page.get_by_text("overlies", exact=True).click()
    page.get_by_text("firm", exact=True).click()
    page.get_by_text("plan and wall", exact=True).click()
    expect(page.get_by_text("This makes a loop.")).to_have_count(0)
    page.get_by_role("button", name=f"Write: {number} overlies 118").click()
    until(lambda: len(between(recorded, number, "118")) == 1)
    (relation,) = between(recorded, number, "118")
    assert (relation.how, relation.certainty, relation.where_seen, relation.sheet) == (
        "overlies", "firm", "plan and wall", "later's sheet",
    )  # fmt: skip
    page.get_by_role("button", name="Later", exact=True).click()
    devices.record(page, f"sheet.{identity(recorded, '118')}")
    asked = page.locator("li").filter(has_text=f"overlain by {number}")
    expect(asked).to_contain_text(f"written on the sheet of {number} only")
    asked.get_by_role("button", name="Seen from here too").click()
    expect(asked.get_by_role("button", name="Seen from here too")).to_have_count(0)
    until(lambda: between(recorded, number, "118")[0].sheet == "both sheets")


def test_a_loop_is_told_link_by_link_before_it_is_written(devices: Devices, recorded: ServedSite) -> None:
    """118 over 101 runs against the order: the loop is told, and it is written only as doubtful, or the other way round."""
    page = devices.record(devices.of(), "relate", heading="What lies over what?")
    press_layer(page, "118")
    press_layer(page, "101")
    page.get_by_text("overlies", exact=True).click()
    told = page.get_by_role("alert").filter(has_text="This makes a loop.")
    expect(told).to_contain_text("118 overlies 101 (the new one)")
    expect(told).to_contain_text("A layer cannot be earlier than itself")
    links = told.locator("li").all_inner_texts()
    assert len(links) >= 3
    ends = [re.match(r"(\d+) .* (\d+)(?: \(.*\))?$", link) for link in links]
    assert all(one and other and one[2] == other[1] for one, other in zip(ends, ends[1:] + ends[:1], strict=True))
    expect(page.get_by_role("button", name="Write: 118 overlies 101")).to_have_count(0)
    page.get_by_label(re.compile("What it rests on")).fill("Seen in the north wall, where a root had gone down")
    page.get_by_role("button", name="Write it as doubtful: 118 overlies 101").click()
    until(lambda: [one.certainty for one in between(recorded, "118", "101")] == ["doubtful"])
    assert between(recorded, "118", "101")[0].basis == "Seen in the north wall, where a root had gone down"
    page.get_by_role("button", name=re.compile("Yes, write it on the sheet of 101 too")).click()
    until(lambda: between(recorded, "118", "101")[0].sheet == "both sheets")
    page.get_by_role("button", name="Undo").click()
    until(lambda: between(recorded, "118", "101")[0].sheet == "later's sheet")
    page.get_by_role("button", name="Undo").click()
    until(lambda: between(recorded, "118", "101") == [])


def test_the_loop_is_mended_by_turning_it_round(devices: Devices, recorded: ServedSite) -> None:
    """“The other way round” takes the loop away; a relation that is there already is not written twice."""
    page = devices.record(devices.of(), "relate", heading="What lies over what?")
    press_layer(page, "102")
    press_layer(page, "101")
    page.get_by_text("overlies", exact=True).click()
    expect(page.get_by_text("This makes a loop.")).to_be_visible()
    page.locator("p.row").get_by_role("button", name="The other way round").click()
    expect(page.get_by_text("This makes a loop.")).to_have_count(0)
    before = len(between(recorded, "101", "102"))
    assert before >= 1
    expect(page.get_by_text("This is written already.")).to_be_visible()
    expect(page.get_by_role("button", name="Write: 101 overlies 102")).to_be_disabled()


def test_a_context_is_not_laid_over_itself(devices: Devices) -> None:
    """Pressing the same context twice is told in words and nothing can be written."""
    page = devices.record(devices.of(), "relate", heading="What lies over what?")
    press_layer(page, "118")
    press_layer(page, "118")
    expect(page.get_by_role("alert").filter(has_text="A context cannot lie over itself.")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("^Write"))).to_have_count(0)


def test_pointing_on_the_plan(devices: Devices, recorded: ServedSite) -> None:
    """A press on a shape of the plan takes its context, as a press in the stack does."""
    page = devices.record(devices.of(), "relate", heading="What lies over what?")
    page.get_by_text("On the plan", exact=True).click()
    shape = page.locator(f"svg g[data-record='{identity(recorded, '107')}'] polygon").last
    box = shape.bounding_box()
    assert box
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.get_by_role("button", name=re.compile(r"Over \(later\) 10\d"))).to_be_visible()


def test_a_loop_of_what_this_device_alone_knows(devices: Devices, recorded: ServedSite) -> None:
    """With the network gone, the loop between two new contexts is told from the device's own relations."""
    page = devices.of()
    one, other = made(devices, recorded, page, "deposit"), made(devices, recorded, page, "deposit")
    page.context.set_offline(True)
    try:
        for over, under in ((one, other), (other, one)):
            page.evaluate(f"location.hash = '#/record/relate.{identity(recorded, over)}'")
            turned_over(page, over)
            press_layer(page, under)
            page.get_by_text("overlies", exact=True).click()
            if over == one:
                page.get_by_role("button", name=f"Write: {one} overlies {other}").click()
                expect(page.get_by_text(f"Kept: {one} overlies {other}.")).to_be_visible()
        expect(page.get_by_role("alert").filter(has_text="This makes a loop.")).to_contain_text(f"{one} overlies {other}")
    finally:
        page.context.set_offline(False)
    until(lambda: len(between(recorded, one, other)) == 1)
    devices.faults[:] = [said for said in devices.faults if "ERR_INTERNET_DISCONNECTED" not in said]


def test_turning_round_leaves_the_empty_side_waiting(devices: Devices, recorded: ServedSite) -> None:
    """With one side there, “The other way round” moves it across and the next press fills the side that is empty."""
    page = devices.record(devices.of(), "relate", heading="What lies over what?")
    press_layer(page, "101")
    page.get_by_role("button", name="The other way round").click()
    expect(side(page, "under")).to_contain_text("101")
    expect(side(page, "over")).to_have_attribute("aria-pressed", "true")
    press_layer(page, "118")
    expect(side(page, "over")).to_contain_text("118")
    expect(side(page, "under")).to_contain_text("101")
    side(page, "under").click()
    press_layer(page, "102")
    expect(side(page, "over")).to_contain_text("118")
    expect(side(page, "under")).to_contain_text("102")


def test_a_new_context_begins_as_the_earlier_one(devices: Devices, recorded: ServedSite) -> None:
    """A context that nothing lies over yet begins as the one under; once something does, as the one over."""
    page = devices.of()
    number = made(devices, recorded, page, "deposit")
    page.get_by_role("link", name="Relation to another").click()
    expect(side(page, "under")).to_contain_text(number)
    expect(side(page, "over")).to_have_attribute("aria-pressed", "true")
    press_layer(page, "118")
    page.get_by_text("overlies", exact=True).click()
    page.get_by_role("button", name=f"Write: 118 overlies {number}").click()
    until(lambda: [one.sheet for one in between(recorded, "118", number)] == ["earlier's sheet"])
    page.get_by_role("button", name="Later", exact=True).click()
    expect(side(page, "over")).to_contain_text(number)
    expect(side(page, "under")).to_have_attribute("aria-pressed", "true")


def test_the_page_follows_the_record_when_a_relation_is_undone(devices: Devices, recorded: ServedSite) -> None:
    """After Undo the page no longer says “Kept” nor asks for the other sheet; written on both sheets, it says so."""
    page = devices.of()
    number = made(devices, recorded, page, "deposit")
    page.get_by_role("link", name="Relation to another").click()
    press_layer(page, "118")
    page.get_by_text("overlies", exact=True).click()
    write = page.get_by_role("button", name=f"Write: 118 overlies {number}")
    write.click()
    kept, other = page.get_by_text(f"Kept: 118 overlies {number}."), page.get_by_role("button", name="Yes, write it on the sheet")
    expect(kept).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("status").filter(has_text=f"Taken back: 118 overlies {number} is not written.")).to_be_visible()
    expect(kept).to_have_count(0)
    expect(other).to_have_count(0)
    until(lambda: between(recorded, "118", number) == [])
    write.click()
    other.click()
    expect(page.get_by_text(f"It stands on the sheets of 118 and {number}.")).to_be_visible()
    expect(other).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(other).to_be_visible()
    until(lambda: [one.sheet for one in between(recorded, "118", number)] == ["earlier's sheet"])


def test_a_fill_over_a_cut_is_taken_to_fill_it(devices: Devices, recorded: ServedSite) -> None:
    """A new fill is asked which cut it fills: one press says both contexts and how, one Undo takes all of it back."""
    page = devices.of()
    cut = made(devices, recorded, page, "cut")
    fill = made(devices, recorded, page, "fill")
    page.get_by_role("link", name="Relation to another").click()
    page.get_by_role("group", name=f"Which cut does {fill} fill?").get_by_role("button", name=cut).click()
    write = page.get_by_role("button", name=f"Write: {fill} fills {cut}")
    write.click()
    until(lambda: [one.how for one in between(recorded, fill, cut)] == ["fills"])
    until(lambda: recorded.record.numbered(Context, fill).fill_of == identity(recorded, cut))
    page.get_by_role("button", name="Undo").click()
    until(lambda: between(recorded, fill, cut) == [])
    until(lambda: recorded.record.numbered(Context, fill).fill_of is None)
    write.click()
    until(lambda: recorded.record.numbered(Context, fill).fill_of == identity(recorded, cut))
    layer = made(devices, recorded, page, "deposit")
    devices.record(page, f"relate.{identity(recorded, layer)}", heading="What lies over what?")
    turned_over(page, layer)
    press_layer(page, cut)
    expect(page.get_by_role("button", name=f"Write: {layer} … {cut}")).to_be_disabled()


def test_a_new_fill_is_written_with_its_cut(devices: Devices, recorded: ServedSite) -> None:
    """While a fill is made the cuts are offered: the fill, its cut and the relation are one act, taken back by one Undo."""
    page = devices.of()
    cut = made(devices, recorded, page, "cut")
    devices.record(page, "new", heading="New context")
    page.locator(".kinds label").filter(has=page.get_by_text("fill", exact=True)).click()
    page.get_by_role("group", name="Which cut does it fill?").get_by_role("button", name=cut).click()
    page.get_by_role("button", name="Write fill").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"fill\s+\d+"))
    fill = page.locator("main h1").inner_text().split()[-1]
    until(lambda: [one.how for one in between(recorded, fill, cut)] == ["fills"])
    assert recorded.record.numbered(Context, fill).fill_of == identity(recorded, cut)
    page.get_by_role("button", name="Undo").click()
    until(lambda: fill not in [one.number for one in recorded.record.all(Context)])
    until(lambda: not [one for one in recorded.record.all(Relation) if one.earlier == identity(recorded, cut)])
