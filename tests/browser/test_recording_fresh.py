"""A new, empty site kept in feet: lay out, three contexts, their order, all from one device."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from baulk.record import Context, Relation, Site, Unit
from baulk.store import open_site
from baulk.work.pen import Pen
from tests.browser.recording import Devices, ServedSite, served_to_devices, until

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedSite]:
    """A site of which nothing is known but its name and that it is kept in feet."""
    folder = tmp_path_factory.mktemp("fresh")
    path = folder / "made" / "weir_field.gpkg"
    path.parent.mkdir()
    values = {"code": "WF26", "name": "Weir field", "length_unit": "ft", "vertical_datum": "assumed", "invented": True}
    with open_site(path, create=True) as store:
        store.append([Pen("AK", "office", clock=lambda: 1_780_000_000_000).create(Site.KIND, values)])
    yield from served_to_devices(path, folder)


@pytest.fixture(scope="module")
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join."""
    found = Devices(browser, recorded)
    yield found
    found.faults[:] = [said for said in found.faults if "drawings/site.svg" not in said]  # a site without a unit has no plan
    found.close()


def written(page: Page, kind: str) -> str:
    """Make a context in three presses and return its number."""
    page.get_by_role("link", name=re.compile("^New context|^← Unit")).first.click()
    if "new" not in page.url.rsplit("/", 1)[-1]:
        page.get_by_role("link", name="New context").click()
    page.locator(".kinds label").filter(has=page.get_by_text(kind, exact=True)).click()
    page.get_by_role("button", name=f"Write {kind}").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(rf"{kind}\s+\d+"))
    return page.locator("main h1").inner_text().split()[-1]


def test_a_unit_and_its_first_contexts(devices: Devices, recorded: ServedSite) -> None:
    """A five-foot unit is laid out in feet and inches, three contexts are numbered from 1, and the stack follows their order."""
    page = devices.record(devices.of(), heading="Record")
    expect(page.locator("main")).to_contain_text("No unit is on this device yet.")
    page.get_by_role("link", name="New unit").click()
    for label, typed in (
        ("corner: Easting", "100"),
        ("corner: Northing", "200"),
        ("grid east", "5 ft"),
        ("grid north", "5 ft 6 in"),
    ):
        page.get_by_label(re.compile(label)).fill(typed)
    page.get_by_label("Why here").fill("Dark line in the bank")
    page.get_by_label("What it is to answer").fill("Is it a wall?")
    page.get_by_role("button", name="Write the unit").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"unit\s+1"))
    until(lambda: len(recorded.record.all(Unit)) == 1)
    unit = recorded.record.all(Unit)[0]
    assert [tuple(corner) for corner in unit.corners or ()] == [(100, 200), (105, 200), (105, 205.5), (100, 205.5)]
    devices.record(page, heading="Record unit 1")
    numbers = [written(page, kind) for kind in ("deposit", "fill", "cut")]
    assert numbers == ["1", "2", "3"]
    for over, how, under in (("2", "fills", "3"), ("3", "cuts", "1")):
        devices.record(page, "relate", heading="What lies over what?")
        for number in (over, under):
            page.locator("main .layer").filter(has=page.get_by_text(number, exact=True)).click()
        page.get_by_text(how, exact=True).click()
        page.get_by_role("button", name=f"Write: {over} {how} {under}").click()
        page.get_by_role("button", name=re.compile("Yes, write it on the sheet")).click()
    until(lambda: [relation.sheet for relation in recorded.record.all(Relation)] == ["both sheets"] * 2)
    fill = recorded.record.numbered(Context, "2")
    assert fill.fill_of == recorded.record.numbered(Context, "3").id
    devices.record(page, heading="Record unit 1")
    assert [layer.locator(".number").inner_text() for layer in page.locator("main .layer").all()] == ["2", "3", "1"]
