"""How the sheet takes fingers, palm and pen, how it stands on a phone and in the dark, and how smoothly it moves."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from baulk.record import Context, Element, Outline
from baulk.store import FileShelf, open_site
from baulk.work.pen import Pen
from tests.browser.drawing_hand import Hand, arrives, choose_context, choose_tool, drawing
from tests.browser.recording import Devices, ServedSite, served_to_devices
from tests.browser.test_accessibility import findings
from tests.browser.waiting import comes_to, painted, until

pytestmark = pytest.mark.browser

MANY = 2000
SMOOTH = 34.0
"""Milliseconds between two frames at 30 a second; the machine that draws here has no graphics processor."""


@pytest.fixture
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join."""
    found = Devices(browser, recorded)
    yield found
    found.close()


def has_corners(page: Page, count: int) -> None:
    """Wait until the draft has so many corners, with everything that was done before taken by the page."""
    painted(page)
    expect(page.locator(".draft circle.corner")).to_have_count(count)


def test_two_fingers_move_and_resize_and_draw_nothing(devices: Devices) -> None:
    """With a drawing tool in hand two fingers that part come closer about their middle; no corner is set."""
    hand = drawing(devices, touch=True, width=820, height=1180)
    choose_tool(hand.page, "Outline")
    before = hand.view()[2]
    x, y = hand.on_page((113.0, 205.0))
    hand.touches([[(x - 30, y)], *[[(x - 30 - step, y), (x + 30 + step, y)] for step in range(0, 61, 6)]])
    comes_to(lambda: hand.view()[2] / before, pytest.approx(3, rel=0.15))
    again = hand.on_page((113.0, 205.0))
    assert again == pytest.approx((x, y), abs=6)
    has_corners(hand.page, 0)


def test_a_pen_draws_and_from_then_on_a_finger_moves_the_sheet(devices: Devices) -> None:
    """Once a pen has drawn, a palm or finger draws nothing and moves the sheet; switched off, a finger draws again."""
    hand = drawing(devices, touch=True, width=820, height=1180)
    page = hand.page
    choose_tool(page, "Outline")
    stroke = [(112.4, 204.4), (112.7, 204.5), (112.9, 204.3)]
    hand.pen(stroke)
    has_corners(page, 3)
    at = hand.view()[:2]
    hand.finger(stroke)
    has_corners(page, 3)
    until(lambda: hand.view()[:2] != pytest.approx(at, abs=0.01))
    page.get_by_text("How it is drawn").tap()
    page.get_by_label("Pen draws, fingers move").uncheck()
    page.get_by_role("button", name="Leave it").tap()
    has_corners(page, 0)
    hand.finger(stroke)
    has_corners(page, 3)


def test_the_way_of_a_finger_over_the_sheet_is_the_sheet_s_own(devices: Devices) -> None:
    """No move of a finger on the sheet is left to the browser, which would swallow the press after a stroke that ends in motion."""
    hand = drawing(devices, touch=True, width=820, height=1180)
    page = hand.page
    page.evaluate(
        """() => {
          globalThis.moves = [];
          addEventListener('touchmove', event => globalThis.moves.push(event.defaultPrevented));
        }"""
    )
    choose_tool(page, "Outline")
    hand.finger([(112.4, 204.4), (112.9, 204.3)])
    has_corners(page, 2)
    moves = page.evaluate("() => globalThis.moves")
    assert len(moves) > 5
    assert all(moves)


def test_a_drawing_is_kept_without_a_network(devices: Devices, recorded: ServedSite) -> None:
    """Out of reach an outline is kept on the device and says so; when the network is back the server has it."""
    before = len(recorded.record.all(Outline))
    hand = drawing(devices)
    page = hand.page
    page.context.set_offline(True)
    choose_tool(page, "Outline")
    choose_context(page, "Context", "118")
    hand.mouse([(112.4, 204.4), (112.7, 204.4), (112.7, 204.7), (112.4, 204.7), (112.4, 204.41)])
    page.get_by_role("button", name="Keep the outline").click()
    expect(page.locator(".sheet .said")).to_have_text("The outline of 118 is on this device's disk.")
    assert len(recorded.record.all(Outline)) == before
    devices.faults.clear()  # what the browser says of requests that found no network
    page.context.set_offline(False)
    (*_, outline) = arrives(recorded, before, Outline)
    assert isinstance(outline, Outline)
    assert outline.context == recorded.record.numbered(Context, "118").id
    devices.faults.clear()


SHEETS = ("plan", "north", "photo")


def sheet_of(recorded: ServedSite, sheet: str) -> str:
    """Return the address of a sheet; a photo's is its id."""
    return next(one.id for one in recorded.record.entities["photo"] if getattr(one, "file", None)) if sheet == "photo" else sheet


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_engine_finds_nothing_on_a_sheet(devices: Devices, recorded: ServedSite, scheme: str) -> None:
    """No sheet breaks a rule of WCAG 2.2 AA, of good practice, or of contrast at 7 to 1, whatever tool is in hand."""
    page = devices.join(color_scheme=scheme)
    for sheet in SHEETS:
        drawing(devices, sheet_of(recorded, sheet), page)
        tools = page.locator(".desk .tools .wide label")
        for place in range(tools.count()):
            tools.nth(place).click()
            painted(page)
            assert findings(page) == []


def test_every_sheet_on_a_phone(devices: Devices, recorded: ServedSite) -> None:
    """At 360 by 640 nothing spills, every target is at least 44 pixels, and the engine finds nothing, whatever tool is in hand."""
    page = devices.join(touch=True, width=360, height=640)
    for sheet in SHEETS:
        drawing(devices, sheet_of(recorded, sheet), page)
        tools = page.locator(".desk .tools select")
        for name in tools.locator("option").all_inner_texts():
            tools.select_option(label=name)
            painted(page)
            assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
            assert small_targets(page) == []
            assert findings(page) == []


def small_targets(page: Page) -> list[str]:
    """Return what of the place is pressed and smaller than a gloved finger needs."""
    found = page.evaluate(
        """() => [...document.querySelectorAll('main :is(button, a, select, summary, label, input)')]
          .filter(one => !one.matches('input:is([type=radio], [type=checkbox])'))
          .filter(one => one.checkVisibility({ visibilityProperty: true }))
          .filter(one => !one.matches('label:has(select, input:not([type=radio], [type=checkbox]))'))
          .map(one => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
          .filter(([, box]) => box.width < 44 || box.height < 44).map(([text, box]) => `${text} ${box.width}x${box.height}`)"""
    )
    return list(found)


@pytest.fixture(scope="module")
def paved(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedSite]:
    """An invented unit of 10 m with 2,000 setts, served to devices."""
    site = tmp_path_factory.mktemp("paved") / "site.gpkg"
    pen = Pen("RM", "office")
    with open_site(site, create=True) as store:
        unit = pen.create("unit", {"number": "1", "corners": [[0, 0], [10, 0], [10, 10], [0, 10]], "opened": "2026-05-11"})
        yard = pen.create("context", {"number": "1", "kind": "structure", "units": [unit.record]})
        setts = []
        for count in range(MANY):
            east, north = (count % 40) * 0.25, (count // 40) * 0.2
            ring = [[east, north], [east + 0.21, north], [east + 0.21, north + 0.09], [east, north + 0.09]]
            setts.append(pen.create("element", {"number": f"S{count:04d}", "context": yard.record, "ring": ring}))
        store.append([pen.create("site", {"code": "OTW", "length_unit": "m", "invented": True}), unit, yard, *setts])
    FileShelf(site.with_suffix(".files"))
    yield from served_to_devices(site, tmp_path_factory.mktemp("paved_served"))


def frames(hand: Hand) -> list[float]:
    """Return the milliseconds between frames while the sheet is dragged to and fro."""
    x, y = hand.on_page((5.0, 5.0))
    return list(
        hand.page.evaluate(
            """([x, y]) => new Promise(done => {
              const frame = document.querySelector('main .frame');
              const about = { pointerId: 1, pointerType: 'mouse', clientY: y, bubbles: true };
              const send = (type, dx) => frame.dispatchEvent(new PointerEvent(type, { ...about, clientX: x + dx }));
              frame.setPointerCapture = () => undefined;
              const times = [];
              send('pointerdown', 0);
              const next = at => {
                times.push(at);
                if (times.length > 90) {
                  send('pointerup', 0);
                  done(times.slice(1).map((one, index) => one - times[index]));
                  return;
                }
                send('pointermove', 60 * Math.sin(times.length / 6) + 20);
                requestAnimationFrame(next);
              };
              requestAnimationFrame(next);
            })""",
            [x, y],
        )
    )


def test_two_thousand_setts_move_smoothly(browser: Browser, paved: ServedSite) -> None:
    """While a sheet of 2,000 setts is dragged, half of the frames come within a thirtieth of a second; all are on the sheet."""
    devices = Devices(browser, paved)
    hand = drawing(devices)
    expect(hand.page.locator(".desk .panel")).to_contain_text("2,000 pieces drawn")
    before = hand.view()[:2]
    taken = sorted(frames(hand))
    assert taken[len(taken) // 2] <= SMOOTH, taken
    assert hand.view()[:2] != before
    assert len(paved.record.all(Element)) == MANY
    devices.close()


@pytest.mark.parametrize(("scheme", "paper"), [("light", (255, 255, 255)), ("dark", (230, 224, 211))])
def test_the_sheet_is_paper_dimmed_at_night(devices: Devices, scheme: str, paper: tuple[int, int, int]) -> None:
    """The paper is white by day and dimmed in the dark, and what is drawn on it is not paper."""
    hand = drawing(devices, color_scheme=scheme)
    spots = [hand.on_page((112.3, 206.12)), hand.on_page((113.0, 205.4))]

    def shown() -> list[object]:
        """Return the colours of a place that is blank and of one that is drawn on."""
        seen = Image.open(io.BytesIO(hand.page.screenshot())).convert("RGB")
        return [seen.getpixel((round(x), round(y))) for x, y in spots]

    until(lambda: shown()[0] == paper != shown()[1])
