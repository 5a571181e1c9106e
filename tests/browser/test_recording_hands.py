"""Recording with gloves on a phone, by keys alone, and as an accessibility engine sees it."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from baulk.record import Context, LevelRun
from tests.browser.conftest import settled
from tests.browser.recording import Devices, ServedSite
from tests.browser.test_accessibility import findings
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

PAGES = ("", "new", "new-unit", "relate", "levels", "photo", "find", "sample", "drawing", "follow_up", "station", "day", "remains")

SMALL = """() => {
  const pressed = 'a, button, select, summary, input, textarea, label'.split(', ').map((one) => `main ${one}`).join(', ');
  const counts = (one) => one.checkVisibility()
    && !one.matches('input[type=radio], input[type=checkbox], input[type=file]')
    && !(one.matches('label') && one.querySelector('input[type=text], textarea, select'))
    && !(one.matches('a') && one.closest('p') && !one.matches('.button'));
  return [...document.querySelectorAll(pressed)].filter(counts)
    .map((one) => [one.getBoundingClientRect(), one])
    .filter(([box]) => box.width > 0 && (box.height < 43.5 || box.width < 43.5))
    .map(([box, one]) => `${one.tagName} ${one.className} ${one.textContent.trim().slice(0, 30)} ${box.width}x${box.height}`);
}"""
NAMES = """() => {
  const one = document.activeElement;
  const words = (id) => document.getElementById(id)?.textContent ?? '';
  const by = (one.getAttribute('aria-labelledby') ?? '').split(' ').map(words).join(' ');
  const around = one.closest('label')?.textContent ?? '';
  return [one.tagName, one.getAttribute('aria-label') ?? '', around, by, one.textContent].join('|');
}"""


@pytest.fixture(scope="module")
def phone(devices: Devices) -> Page:
    """A phone of 360 by 640 on which a person has joined."""
    return devices.join("RM", width=360, height=640, touch=True)


def sheets(recorded: ServedSite) -> list[str]:
    """Return the pages of a deposit, a cut, a structure, the unit and a levels run."""
    kinds = {context.kind: context.id for context in recorded.record.all(Context)}
    unit = next(iter(recorded.record.entities["unit"])).id
    run = recorded.record.all(LevelRun)[0].id
    return [*(f"sheet.{kinds[kind]}" for kind in ("deposit", "cut", "structure")), f"sheet.{unit}", f"levels.{run}"]


def small(page: Page) -> list[str]:
    """Return what can be pressed and is smaller than 44 by 44, links within a sentence left out."""
    found = page.evaluate(SMALL)
    assert isinstance(found, list)
    return found


def test_every_page_fits_a_phone_and_a_glove(devices: Devices, recorded: ServedSite, phone: Page) -> None:
    """At 360 by 640, upright and lying, no page is wider than the screen, and what can be pressed is 44 by 44 at least."""
    faults = []
    for page in (*PAGES, *sheets(recorded)):
        devices.record(phone, page)
        for width, height in ((360, 640), (640, 360)):
            phone.set_viewport_size({"width": width, "height": height})
            if phone.evaluate("document.documentElement.scrollWidth") > width:
                faults.append(f"{page} is wider than {width}")
            faults += [f"{page}: {one}" for one in small(phone)]
    phone.set_viewport_size({"width": 360, "height": 640})
    assert faults == []


def test_the_engine_finds_nothing_on_any_page(devices: Devices, recorded: ServedSite) -> None:
    """No page of recording breaks a rule of WCAG 2.2 AA, of good practice, or of contrast at 7 to 1."""
    page = devices.of()
    found = []
    for detail in (*PAGES, *sheets(recorded)):
        devices.record(page, detail)
        settled(page)
        found += [f"{detail}: {one}" for one in findings(page)]
    assert found == []


def test_the_engine_finds_nothing_in_the_dark(devices: Devices, recorded: ServedSite) -> None:
    """The dark theme breaks no rule either, on the pages that between them hold every part."""
    page = devices.of()
    page.emulate_media(color_scheme="dark")
    found = []
    for detail in ("", "relate", "photo", sheets(recorded)[0], sheets(recorded)[-1]):
        devices.record(page, detail)
        found += [f"{detail}: {one}" for one in findings(page)]
    page.emulate_media(color_scheme="light")
    assert found == []


def test_the_engine_finds_nothing_once_everything_is_opened(devices: Devices, recorded: ServedSite) -> None:
    """Help, chips, questions by feel, the share chart, lists and reasons opened all at once break no rule either."""
    page = devices.record(devices.of(), sheets(recorded)[0])
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    for name in ("what is this?", "no value, with the reason", "Chips", "From the list"):
        for button in page.locator("main .page").get_by_role("button", name=name).all():
            button.click()
    assert findings(page) == []
    devices.record(page, "photo")
    page.get_by_role("button", name="Show the board").click()
    assert findings(page) == []
    page.keyboard.press("Escape")


def test_a_context_by_keys_alone(devices: Devices, recorded: ServedSite) -> None:
    """Keys alone make a context, write its description and put it into the order."""
    page = devices.record(devices.of("KB"), heading="Record unit 1")
    page.keyboard.press("Tab")  # keys are in use: a letter after a press by hand does nothing
    page.keyboard.press("n")
    expect(page.locator("main h1")).to_have_text("New context")
    tab_to(page, "deposit")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    expect(page.get_by_role("button", name=re.compile("^Write fill"))).to_be_enabled()
    tab_to(page, "Write fill")
    page.keyboard.press("Enter")
    expect(page.locator("main h1")).to_contain_text("fill")
    number = page.locator("main h1").inner_text().split()[-1]
    tab_to(page, "Description", "TEXTAREA")
    page.keyboard.type("Brown loam.")
    page.keyboard.press("Tab")
    until(lambda: any(one.number == number and one.description == "Brown loam." for one in recorded.record.all(Context)))
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("r")
    expect(page.locator("main h1")).to_have_text("What lies over what?")
    for layer in (number, "118"):
        tab_to(page, layer)
        page.keyboard.press("Enter")
    tab_to(page, "overlies")
    page.keyboard.press("Space")
    tab_to(page, f"Write: {number} overlies 118")
    page.keyboard.press("Enter")
    expect(page.get_by_text(f"Kept: {number} overlies 118.")).to_be_visible()


def tab_to(page: Page, name: str, tag: str = "") -> None:
    """Press Tab until what is named so, and is such an element, has the focus, and fail after a round of the page."""
    for _ in range(220):
        page.keyboard.press("Tab")
        said = page.evaluate(NAMES)
        of, *names = said.split("|")
        if of.startswith(tag) and any(part.strip().startswith(name) for part in names):
            return
    raise AssertionError(f"Tab never reached “{name}”")
