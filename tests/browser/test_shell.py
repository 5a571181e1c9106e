"""The shell: one list of actions, the places at the foot of a phone, the walk, and the page kept for times without a network."""

from __future__ import annotations

import json

import pytest
from PIL import Image
from playwright.sync_api import expect

from baulk.server.page import STATIC
from tests.browser.conftest import Opener, settled
from tests.browser.test_accessibility import findings
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

PLACES = ("join", "device", "settle")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", PLACES)
def test_the_engine_finds_nothing(opened: Opener, place: str, scheme: str) -> None:
    """Joining, the device and the differences break no rule of WCAG 2.2 AA, of good practice, or of contrast at 7 to 1."""
    page = opened(place, scheme=scheme)
    assert findings(page) == []
    page.keyboard.press("/")
    expect(page.get_by_role("dialog")).to_be_visible()
    assert findings(page) == []


@pytest.mark.parametrize("place", PLACES)
def test_a_phone_shows_them_whole(opened: Opener, place: str) -> None:
    """At 360 by 640 they are no wider than the screen, every target has 44 pixels, and the engine finds nothing."""
    page = opened(place, width=360, height=640, touch=True)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, a, select, input, summary')]
          .filter(one => one.checkVisibility({ visibilityProperty: true }) && !one.matches('.skip, [type=radio], dialog *'))
          .map(one => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
          .filter(([, box]) => box.width < 44 || box.height < 44).map(([text, box]) => `${text} ${box.width}x${box.height}`)"""
    )
    assert small == []
    assert findings(page) == []


def test_one_list_of_actions_is_searched_by_keys(opened: Opener) -> None:
    """The key / opens the list, a word finds, Enter does it, Escape shuts it; in a field the key is a letter."""
    page = opened("site")
    page.keyboard.press("/")
    dialog = page.get_by_role("dialog", name="What do you want to do?")
    expect(dialog.get_by_role("searchbox")).to_be_focused()
    page.keyboard.type("clos")
    expect(dialog.get_by_role("listitem")).to_have_text(["Go to Closing"])
    page.keyboard.press("Enter")
    expect(page).to_have_url(page.url.split("#")[0] + "#/closing")
    page.keyboard.press("/")
    page.keyboard.type("dark")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator("html")).to_have_attribute("data-theme", "dark")
    page.keyboard.press("/")
    page.keyboard.press("Escape")
    expect(dialog).to_be_hidden()
    page.goto(page.url.split("#")[0] + "#/join")
    page.get_by_label("Your initials").press_sequentially("a/b")
    expect(page.get_by_label("Your initials")).to_have_value("a/b")
    expect(dialog).to_be_hidden()


def test_the_foot_of_a_phone_has_four_places_and_more(opened: Opener) -> None:
    """Record, unit, order and closing stand at the foot; “More” shows every other place above them, and a press goes there."""
    page = opened("unit", width=360, height=640, touch=True)
    shown = page.locator("nav li:visible")
    expect(shown).to_have_text(["Record", "Unit", "Order", "Closing", "More"])
    page.get_by_role("button", name="More").tap()
    until(lambda: shown.count() > 9)
    box = page.locator("nav").bounding_box()
    assert box
    assert box["y"] + box["height"] == pytest.approx(640, abs=1)
    page.get_by_role("link", name="Registers").tap()
    expect(page.locator("h1")).to_be_visible()
    expect(shown).to_have_count(5)


def test_the_walk_leads_through_the_places_once(opened: Opener) -> None:
    """The walk goes from place to place and is not offered again on this device once it was ended."""
    page = opened("registers")
    walk = page.get_by_role("region", name="Walk through the example")
    walk.get_by_role("button", name="Walk through it").click()
    for place in ("site", "unit", "order", "closing", "registers", "record"):
        expect(page.locator(f"nav a[href^='#/{place}']")).to_have_attribute("aria-current", "page")
        settled(page)
        if place != "record":
            walk.get_by_role("button", name="Next").click()
    walk.get_by_role("button", name="End the walk").click()
    expect(walk).to_have_count(0)
    settled(page)
    page.reload()
    page.locator("main h1").wait_for()
    expect(walk).to_have_count(0)


def test_the_walk_is_put_off_with_one_press(opened: Opener) -> None:
    """Who says “not now” is not asked again."""
    page = opened("site")
    page.get_by_role("button", name="Not now").click()
    settled(page)
    page.reload()
    page.locator("main h1").wait_for()
    expect(page.get_by_role("button", name="Not now")).to_have_count(0)


def test_what_is_refused_to_join_is_said_in_words(opened: Opener) -> None:
    """Blank boxes are named before anything is sent."""
    page = opened("join")
    page.get_by_label("Name of this device").fill("")
    page.get_by_role("button", name="Join the site").click()
    alarm = page.get_by_role("alert")
    for said in ("The code is blank", "The initials are blank", "The device has no name"):
        expect(alarm).to_contain_text(said)


def test_the_page_can_be_installed() -> None:
    """The manifest names icons that are there in the size it says, and the worker keeps every file of the page."""
    manifest = json.loads((STATIC / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["display"] == "standalone"
    for icon in manifest["icons"]:
        path = STATIC / icon["src"].lstrip("/")
        assert path.exists()
        if icon["type"] == "image/png":
            with Image.open(path) as picture:
                assert f"{picture.width}x{picture.height}" == icon["sizes"]
    worker = (STATIC / "sw.js").read_text(encoding="utf-8")
    files = {f"/{path.relative_to(STATIC).as_posix()}" for path in STATIC.rglob("*") if path.is_file()}
    assert len(files) > 8
    left_out = {file for file in files if f'"{file}"' not in worker}
    assert left_out == {"/index.html", "/sw.js", "/font-licence.txt"}
    assert '"/"' in worker
