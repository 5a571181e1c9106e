"""The workbench with the demo site: every place, one selection, keys alone, a phone, the dark."""

from __future__ import annotations

import gzip
import re

import pytest
from playwright.sync_api import Locator, Page, expect

from baulk.record import Burial, Context, Notice
from baulk.server.page import STATIC
from baulk.store import open_site
from baulk.work.demo import DemoSites
from tests.browser.conftest import Opener, settled
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

PLACES = (
    "site", "record", "unit", "draw", "block", "order", "dates", "readings", "closing", "report", "registers", "settle", "device",
)  # fmt: skip


def stack_row(page: Page, number: str) -> Locator:
    """Return the row of a context in the list of layers."""
    return page.locator(".stack button").filter(has_text=re.compile(rf"^\s*{number}\b"))


@pytest.mark.parametrize("place", PLACES)
def test_each_place_loads_with_the_demo(opened: Opener, place: str) -> None:
    """Each place shows its heading and its own words, for a device on which nobody has joined, without error or refusal."""
    page = opened(place)
    expect(page.locator("h1")).to_have_count(1)
    expect(page.locator("header").first).to_contain_text("Otter Weir glassworks yard")
    expect(page.locator("header").first).to_contain_text("Invented example")
    expect(page.locator(f"nav a[href^='#/{place}']")).to_have_attribute("aria-current", "page")
    telling = {
        "site": "Unit 1",
        "record": "Join the site on this device",
        "unit": "Curved setting of setts",
        "draw": "Say who records",
        "block": "Curved setting of setts",
        "order": "Curved setting of setts",
        "dates": "Curved setting of setts",
        "readings": "What is the curved setting of setts?",
        "report": "Introduction",
        "settle": "every field has one value in view",
        "device": "nobody has joined on this device",
    }
    expect(page.locator("main")).to_contain_text(telling.get(place, "10"))


@pytest.mark.parametrize("place", ["site", "unit", "order"])
def test_drawings_are_there_and_in_sight(opened: Opener, place: str) -> None:
    """A drawing is more than an empty sheet: it has shapes, they lie on the screen, and it fills its frame's width or height."""
    page = opened(place)
    frame = page.locator(".drawing .frame").first
    until(lambda: page.locator(".drawing svg path").count() > 20)
    box, inside = frame.bounding_box(), frame.locator("svg").bounding_box()
    assert box and inside
    assert abs(box["width"] - inside["width"]) < 2
    assert box["height"] > 250


def test_what_is_chosen_in_the_list_is_chosen_in_every_drawing(opened: Opener) -> None:
    """A context chosen in the list is marked in plan, on the wall and in the order, and its card tells its fields."""
    page = opened("unit")
    stack_row(page, "118").click()
    card = page.get_by_role("complementary", name="Chosen record")
    expect(card).to_contain_text("deposit 118")
    expect(card).to_contain_text("Old ground")
    expect(card.locator("dt").filter(has_text="Composition")).to_have_count(1)
    expect(page.locator(".walls g.chosen").first).to_be_attached()
    page.get_by_role("link", name="Order").click()
    settled(page)
    expect(page.locator(".drawing g.chosen")).to_have_count(1)
    expect(stack_row(page, "118")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("link", name="Registers").click()
    settled(page)
    expect(page.locator("tr.chosen th")).to_contain_text("118")
    page.reload()
    settled(page)
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("deposit 118")


def test_pressing_a_shape_in_the_plan_chooses_its_context(opened: Opener) -> None:
    """The shape pressed in the plan tells its context; pressing the card's Close chooses none."""
    page = opened("unit")
    number = page.locator('.plan g.baulk-number[data-name="107"]')
    number.click()
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("fill 107")
    expect(stack_row(page, "107")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Close", exact=True).click()
    expect(page.locator("aside.card")).to_have_count(0)
    expect(page.locator("g.chosen")).to_have_count(0)


def test_a_card_shows_blanks_as_boxes_and_absences_in_words(opened: Opener) -> None:
    """A mandatory or expected field without a value is an empty box; the label opens what the field is."""
    page = opened("registers/site")
    page.locator("th .chip").first.click()
    card = page.get_by_role("complementary", name="Chosen record")
    blank = card.locator(".row").filter(has_text="Jurisdiction profile")
    expect(blank.locator(".blank")).to_be_visible()
    expect(card.locator(".row").filter(has_text="Projected grid").locator("em")).to_have_text("not applicable")
    blank.get_by_role("button").click()
    expect(blank).to_contain_text("Name of the set of rules that the closing check follows.")


def test_lengths_are_shown_in_metres_or_feet(opened: Opener) -> None:
    """The switch shows every length in feet, 2 m as 6.56 ft, and is remembered on this device."""
    page = opened("unit")
    row = page.locator("main .row").filter(has_text="Width as designed")
    expect(row).to_contain_text(re.compile(r"2\.00\sm"))
    page.get_by_text("View", exact=True).click()
    page.get_by_role("radio", name="ft").check()
    expect(row).to_contain_text(re.compile(r"6\.56\sft"))
    page.reload()
    settled(page)
    expect(row).to_contain_text(re.compile(r"6\.56\sft"))


def test_every_place_can_be_reached_by_keys_alone(opened: Opener) -> None:
    """Tab reaches the skip link first, then the places; Enter goes; in a drawing the keys zoom, move and choose."""
    page = opened("site")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Skip to the place")).to_be_focused()
    for place in PLACES[1:]:
        link = page.locator(f"nav a[href^='#/{place}']")
        tab_to(page, link)
        page.keyboard.press("Enter")
        settled(page)
        expect(link).to_have_attribute("aria-current", "page")
    link = page.locator("nav a[href^='#/order']")
    tab_to(page, link, back=True)
    page.keyboard.press("Enter")
    settled(page)
    frame = page.locator(".drawing .frame")
    tab_to(page, frame)
    svg = frame.locator("svg")
    first = view(svg)
    page.keyboard.press("+")
    until(lambda: view(svg)[2] < first[2])
    closer = view(svg)
    page.keyboard.press("ArrowDown")
    until(lambda: view(svg)[1] > closer[1])
    page.keyboard.press("0")
    until(lambda: view(svg)[3] > first[3])
    page.keyboard.press(".")
    expect(frame.locator("g.chosen")).to_have_count(1)
    chosen = page.locator("aside.card h2").inner_text()
    page.keyboard.press(".")
    expect(page.locator("aside.card h2")).not_to_have_text(chosen)
    page.keyboard.press("Escape")
    expect(page.locator("aside.card")).to_have_count(0)


def tab_to(page: Page, target: Locator, *, back: bool = False) -> None:
    """Press Tab until `target` has the focus; every stop on the way must show its focus."""
    for _ in range(400):
        page.keyboard.press("Shift+Tab" if back else "Tab")
        if target.evaluate("element => element === document.activeElement"):
            return
    pytest.fail("Tab never reached it")


def view(svg: Locator) -> list[float]:
    """Return the numbers of a drawing's view box."""
    return [float(part) for part in (svg.get_attribute("viewBox") or "").split()]


def test_focus_is_seen(opened: Opener) -> None:
    """What has the focus has an outline of three pixels."""
    page = opened("site")
    for _ in range(12):
        page.keyboard.press("Tab")
        widths = page.evaluate(
            "() => [document.activeElement, document.activeElement.parentElement]"
            ".map(one => getComputedStyle(one)).filter(one => one.outlineStyle !== 'none').map(one => parseFloat(one.outlineWidth))"
        )
        assert max(widths, default=0) >= 3


@pytest.mark.parametrize("place", PLACES)
def test_nothing_spills_over_on_a_phone(opened: Opener, place: str) -> None:
    """At 360 by 640 the page is no wider than the screen, and the places stand at its foot."""
    page = opened(place, width=360, height=640, touch=True)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
    bar = page.locator("nav").bounding_box()
    assert bar
    assert abs(bar["y"] + bar["height"] - 640) < 1


@pytest.mark.parametrize("place", PLACES)
def test_targets_are_large_enough_for_gloves(opened: Opener, place: str) -> None:
    """On a phone every button, link and field that is shown is at least 44 pixels high and wide."""
    page = opened(place, width=360, height=640, touch=True)
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, a, select, input:not([type=radio]), summary, label')]
          .filter(one => one.checkVisibility({ visibilityProperty: true }))
          .filter(one => !one.matches('.skip, label:has(select), label:has(input[type=search])'))
          .map(one => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
          .filter(([, box]) => box.width < 44 || box.height < 44).map(([text, box]) => `${text} ${box.width}x${box.height}`)"""
    )
    assert small == []


def test_a_phone_shows_the_chosen_record_from_the_foot(opened: Opener) -> None:
    """The card leaves part of the place in sight, opens to show all, and never covers the places."""
    page = opened("unit", width=360, height=640, touch=True)
    stack_row(page, "104").tap()
    card = page.locator("aside.card")
    expect(card).to_contain_text("104")
    box, bar = card.bounding_box(), page.locator("nav").bounding_box()
    assert box and bar
    assert box["y"] > 640 * 0.4
    assert box["y"] + box["height"] <= bar["y"] + 1
    page.get_by_role("button", name="Show all of it").tap()
    height = box["height"]
    until(lambda: (card.bounding_box() or box)["height"] > height)
    below = card.bounding_box()
    assert below
    assert below["y"] + below["height"] <= bar["y"] + 1


def test_the_mistakes_are_told_where_the_order_is(opened: Opener, mistaken_address: str) -> None:
    """The copy with mistakes shows its loop and the relations entered on one sheet, each with the contexts to look at."""
    page = opened("order", at=mistaken_address)
    notices = page.locator("main li").filter(has_text="earlier than itself")
    expect(notices).to_have_count(1)
    expect(notices.locator(".chip").nth(2)).to_be_visible()
    expect(page.locator("main li").filter(has_text="one sheet only").first).to_be_visible()


@pytest.fixture(scope="module")
def withheld_words(demo: DemoSites) -> set[str]:
    """Every longer text of the demo's possible burials, and what the sheets of their contexts say."""
    with open_site(demo.good, read_only=True) as store:
        record = store.record()
    hidden = [
        *record.all(Burial),
        *record.all(Notice),
        *(record.numbered(Context, number) for number in ("114", "115", "116", "117")),
    ]
    texts = {value for entity in hidden for name, value in entity if isinstance(value, str) and name not in {"id", "term_list"}}
    return {text for text in texts if len(text) > 12 and " " in text}


@pytest.mark.parametrize("place", PLACES)
def test_no_word_of_the_possible_burials_is_shown(opened: Opener, place: str, withheld_words: set[str]) -> None:
    """Nothing on any place repeats the sheets of the demo's possible burials; the words looked for are really in the record."""
    assert len(withheld_words) > 20
    text = opened(place).locator("body").inner_text()
    assert {words for words in withheld_words if words in text} == set()


def test_reduced_motion_and_dark_are_followed(opened: Opener) -> None:
    """The page follows the device into the dark, and the reader's own choice wins over the device."""
    page = opened("site", scheme="dark")
    expect(page.locator("body")).to_have_css("background-color", "rgb(23, 21, 17)")
    page.get_by_text("View", exact=True).click()
    page.get_by_role("radio", name="bright").check()
    expect(page.locator("body")).to_have_css("background-color", "rgb(247, 242, 230)")


def test_first_load_is_small() -> None:
    """Page, script, style and fonts of the first load are below 400 kB as sent compressed (fonts are compressed already)."""
    page = (STATIC / "index.html").read_text(encoding="utf-8")
    every = [path for path in STATIC.rglob("*") if path.suffix in {".html", ".js", ".css", ".woff2", ".svg"}]
    files = [path for path in every if path.suffix != ".js" or path.name in page]
    assert any(path.name.startswith("scene-") for path in set(every) - set(files)), "the drawing library is in the first load"
    sent = sum(len(path.read_bytes() if path.suffix == ".woff2" else gzip.compress(path.read_bytes())) for path in files)
    assert 20_000 < sent < 400_000


def test_a_register_says_what_is_void_and_withheld(opened: Opener) -> None:
    """The head of the table begins with a capital; rows that are void are counted apart, and a withheld row says that it is."""
    page = opened("registers/context")
    expect(page.locator("thead th").first).to_have_text("Context")
    expect(page.get_by_role("status").first).to_contain_text("1 of them void")
    expect(page.locator("tbody .kept").first).to_have_text("withheld")
    page.goto(page.url.replace("registers/context", "registers/unit"))
    settled(page)
    expect(page.locator("thead th").first).to_have_text("Unit")
    expect(page.get_by_text("of them void")).to_have_count(0)
