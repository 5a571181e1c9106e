"""The job on a new, empty site kept in feet, from one device: lay out, dig, order, wall, photo, closing check, report."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from baulk.record import Context, Photo, Relation, Site, Unit, Wall
from baulk.store import open_site
from baulk.work.pen import Pen
from tests.browser.recording import Devices, ServedSite, served_to_devices
from tests.browser.waiting import until

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


def written(page: Page, kind: str) -> str:
    """Make a context in three presses and return its number."""
    page.get_by_role("link", name=re.compile("^New context|^← Unit")).first.click()
    if "new" not in page.url.rsplit("/", 1)[-1]:
        page.get_by_role("link", name="New context").click()
    page.locator(".kinds label").filter(has=page.get_by_text(kind, exact=True)).click()
    page.get_by_role("button", name=f"Write {kind}").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(rf"{kind}\s+\d+"))
    return page.locator("main h1").inner_text().split()[-1]


def test_the_job_on_a_fresh_site(devices: Devices, recorded: ServedSite, tmp_path: Path) -> None:
    """A unit is laid out in feet, three contexts put in order, a loop mended, wall and photo made, then closed and reported."""
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
    expect(page.locator("main .layer .number")).to_have_text(["2", "3", "1"])
    the_loop_is_mended(devices, recorded, page)
    a_wall_and_a_photo(devices, recorded, page, tmp_path)
    page.goto(f"{recorded.address}#/closing/1")
    expect(page.locator("main .state")).to_contain_text("Not ready to fill in")
    expect(page.locator("main")).to_contain_text("Lost for good once filled in")
    page.goto(f"{recorded.address}#/report/1")
    expect(page.locator("main article")).to_contain_text("Weir field")
    page.locator("main summary").filter(has_text="Context").first.click()
    expect(page.locator("main article")).to_contain_text("fill")


def the_loop_is_mended(devices: Devices, recorded: ServedSite, page: Page) -> None:
    """The oldest layer over the fill runs in a circle, which is told; turned round nothing contradicts, and nothing was written."""
    devices.record(page, "relate", heading="What lies over what?")
    for number in ("1", "2"):
        page.locator("main .layer").filter(has=page.get_by_text(number, exact=True)).click()
    page.get_by_text("overlies", exact=True).click()
    expect(page.get_by_role("alert").filter(has_text="This makes a loop.")).to_contain_text("1 overlies 2 (the new one)")
    page.locator("p.row").get_by_role("button", name="The other way round").click()
    expect(page.get_by_text("This makes a loop.")).to_have_count(0)
    assert len(recorded.record.all(Relation)) == 2


def a_wall_and_a_photo(devices: Devices, recorded: ServedSite, page: Page, folder: Path) -> None:
    """A wall is laid out from the unit's corners and a photo of a context kept and sent."""
    page.goto(f"{recorded.address}#/draw/1%2Feast")
    page.get_by_label("Level of the string").fill("98.5")
    page.get_by_role("button", name="Lay out this wall").click()
    until(lambda: [wall.ends for wall in recorded.record.all(Wall)] == [((105, 205.5), (105, 200))])
    picture = folder / "IMG_0001.jpg"
    Image.linear_gradient("L").resize((640, 480)).convert("RGB").save(picture)
    devices.record(page, f"photo.{recorded.record.numbered(Context, '3').id}", heading="Photo")
    page.get_by_label("What it shows").fill("The cut, cleaned")
    page.locator("input[type=file][capture=environment]").set_input_files(picture)
    page.get_by_role("button", name="Yes, sharp").click()
    until(lambda: [photo.subject for photo in recorded.record.all(Photo)] == ["The cut, cleaned"])
    file = recorded.record.all(Photo)[0].file
    assert file is not None
    until(lambda: file in recorded.office.files)
