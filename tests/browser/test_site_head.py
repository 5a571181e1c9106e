"""The head of the page on a phone: two rows, however long the name of the site and whatever waits."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from baulk.record import Site
from baulk.store import open_site
from baulk.work.pen import Pen
from tests.browser.recording import Devices, ServedSite, served_to_devices

pytestmark = pytest.mark.browser

NAME = "Otter Weir glassworks yard, the canal bank and the ground behind the workhouse"


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedSite]:
    """An empty site with a long name."""
    folder = tmp_path_factory.mktemp("head")
    path = folder / "made" / "long_name.gpkg"
    path.parent.mkdir()
    with open_site(path, create=True) as store:
        store.append([Pen("AK", "office", clock=lambda: 1_780_000_000_000).create(Site.KIND, {"code": "OW", "name": NAME})])
    yield from served_to_devices(path, folder)


def middles(page: Page) -> list[float]:
    """Return the middle of each thing in the head, from above."""
    boxes = [one.bounding_box() for one in page.locator("header .name, header .state, header button, header summary").all()]
    return sorted(round(box["y"] + box["height"] / 2) for box in boxes if box and box["width"])


def test_a_site_without_a_unit_says_what_its_plan_wants(devices: Devices, recorded: ServedSite) -> None:
    """The first page of an empty site says when the plan is drawn, and no request of it is refused."""
    page = devices.of()
    page.goto(f"{recorded.address}#/site")
    main = page.locator("main")
    expect(main).to_contain_text("The plan is drawn once a unit has corners or a control point has a place.")
    expect(main.get_by_role("alert")).to_have_count(0)


def test_what_is_told_goes_at_the_next_press(devices: Devices) -> None:
    """On a phone the words about having joined, which lie over the foot of the page, are gone as soon as the page is pressed."""
    page = devices.join("AK", width=360, height=640, touch=True)
    said = page.get_by_text("Joined as AK.")
    expect(said).to_be_visible()
    page.get_by_role("heading", level=1).first.tap()
    expect(said).to_have_count(0, timeout=1_000)


def test_a_phone_has_two_rows_of_head(devices: Devices) -> None:
    """At 360 by 640 a joined device with a long site name has a head of two rows and at most 110 pixels; nothing sticks out."""
    page = devices.record(devices.join("AK", width=360, height=640, touch=True), heading="Record")
    expect(page.locator("header .says")).to_be_visible()
    box = page.locator("header").bounding_box()
    assert box
    assert box["height"] <= 110
    assert len(set(middles(page))) == 2
    name = page.locator("header strong")
    assert name.evaluate("one => one.scrollWidth > one.clientWidth")
    assert name.get_attribute("title") == NAME
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    inside = page.locator("header button, header summary, header a").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect()).filter(box => box.right > 360 || box.width < 44 || box.height < 44)"
    )
    assert inside == []
    page.goto(page.url.split("#")[0] + "#/site")
    expect(page.locator("main")).to_contain_text(NAME)
