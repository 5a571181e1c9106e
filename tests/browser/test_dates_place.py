"""The place Dates: bounds, why, the chronology begun by a button, which is earlier, what absence does, what to do next."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Opener
from tests.browser.test_accessibility import findings

pytestmark = pytest.mark.browser
LONG = 90_000


def box(page: Page, title: str) -> Locator:
    """Return the part of the page under a heading."""
    return page.locator("section").filter(has=page.get_by_role("heading", name=title, exact=True))


def worked_out(page: Page) -> Page:
    """Press the button, unless somebody did before, and wait until the ranges are there."""
    button = page.get_by_role("button", name="Work out the chronology")
    expect(button.or_(page.get_by_role("heading", name="The site and its phases"))).to_be_visible(timeout=LONG)
    if button.is_visible():
        button.click()
        expect(page.get_by_role("status").filter(has_text=re.compile("Working it out|Worked out"))).to_be_visible()
    expect(page.get_by_role("heading", name="The site and its phases")).to_be_visible(timeout=LONG)
    return page


def test_bounds_are_there_before_anything_is_worked_out(opened: Opener) -> None:
    """Each context has its bounds with what set them, and a chip of the way chooses the context everywhere."""
    page = opened("dates")
    row = page.locator("li").filter(has=page.get_by_role("button", name="113 Backfill of drain trench"))
    expect(row).to_contain_text("1799 or later: find 12, halfpenny")
    expect(row).to_contain_text("1888 or earlier: document 3")
    row.get_by_role("button", name=re.compile("108$")).click()
    expect(page).to_have_url(re.compile("chosen="))
    expect(page.locator(".drawing .frame svg .baulk-dated").first).to_be_attached()


def test_why_shows_all_aids_on_one_drawing(opened: Opener) -> None:
    """The question stands in the address; aids come with what they hold for, and one outside of it says so."""
    page = opened("dates/108")
    why = box(page, "Why this date?")
    expect(why).to_contain_text("the bound hangs on find 12, halfpenny")
    expect(why.locator("svg .baulk-aid").first).to_be_attached()
    expect(why.locator("svg .baulk-bore")).to_have_count(2)
    aid = why.locator("details").filter(has_text="pipe stems, Hanson 1620-1710")
    expect(aid).to_contain_text("outside of what it holds for: not to be used")
    aid.locator("summary").click()
    expect(aid).to_contain_text("Residual stems pull the date back.")
    why.get_by_label("Context").fill("122")
    why.get_by_role("button", name="Why?").click()
    expect(page).to_have_url(re.compile("#/dates/122"))
    expect(why.locator("svg .baulk-curve")).to_have_count(1)


def test_the_chronology_is_begun_by_a_button_and_answers(opened: Opener) -> None:
    """Ranges stand beside bounds, prior light behind posterior dark, and absence, order and the next sample are answered."""
    page = worked_out(opened("dates"))
    row = page.locator("li").filter(has=page.get_by_role("button", name="108 Mixed brown layer"))
    expect(row).to_contain_text("95 %: 1799 to 18")
    expect(row).to_contain_text("by order and span alone")
    expect(page.locator("svg .baulk-prior").first).to_be_attached()
    expect(page.locator("svg .baulk-posterior").first).to_be_attached()
    earlier = box(page, "Which is earlier?")
    earlier.get_by_label("Is this one earlier").fill("118")
    earlier.get_by_label("than this one?").fill("102")
    earlier.get_by_role("button", name="How likely?").click()
    expect(earlier).to_contain_text("above 99 per cent", timeout=LONG)
    absence = box(page, "What the absence of later finds does")
    absence.get_by_role("button", name="Compare with and without").click()
    expect(absence).to_contain_text("108: none of 29 sherds is whiteware, made from 1820.", timeout=LONG)
    best = box(page, "What would date this best?")
    best.get_by_label("Context").fill("118")
    best.get_by_role("button", name="What would?").click()
    expect(best).to_contain_text("dig and sieve the rest of 118", timeout=LONG)
    expect(best.locator("li").filter(has_text="dig and sieve").get_by_role("button", name=re.compile("118$"))).to_be_visible()
    assert findings(page) == []


def test_years_and_spans_are_asked_for(opened: Opener) -> None:
    """The brown layer is of the nineteenth century; one phase is over before another; what each rests on can be opened."""
    page = worked_out(opened("dates"))
    within = box(page, "How likely is it of these years?")
    for label, given in (("Context", "108"), ("From the year", "1800"), ("To the year", "eighteen")):
        within.get_by_label(label).fill(given)
    within.get_by_role("button", name="How likely?").click()
    expect(within).to_contain_text("Give the years as whole numbers")
    within.get_by_label("To the year").fill("1899")
    within.get_by_role("button", name="How likely?").click()
    expect(within).to_contain_text("108 is of 1800 to 1899: ", timeout=LONG)
    spans = box(page, "How do two phases stand in time?")
    spans.get_by_label("First phase or contexts").fill("phase 2")
    spans.get_by_label("Second phase or contexts").fill("phase 5")
    spans.get_by_role("button", name="How do they stand?").click()
    expect(spans).to_contain_text("Phase 2 is over before phase 5 begins, with years between", timeout=LONG)
    expect(spans.get_by_role("button", name=re.compile("109$"))).to_be_visible()
    put_in = page.locator("details").filter(has=page.get_by_role("heading", name="What was put in"))
    put_in.locator("summary").click()
    put_in.get_by_role("button", name=re.compile("12$")).first.click()
    assert "chosen=" in page.url


def test_suppositions_are_varied_once_and_kept(opened: Opener) -> None:
    """Begun by a button, told one by one, summed up, and there at once when the page is opened again."""
    page = worked_out(opened("dates"))
    varied = box(page, "What if the suppositions were others?")
    button = varied.get_by_role("button", name="Vary them")
    if button.is_visible():
        button.click()
    expect(varied).to_contain_text("Seed and all else are the same each time", timeout=2 * LONG)
    varied.locator("summary").filter(has_text="without the absence of later finds").click()
    expect(varied).to_contain_text("becomes")
    page.reload()
    expect(box(page, "What if the suppositions were others?")).to_contain_text("Seed and all else are the same", timeout=20_000)


def test_absence_may_be_left_out(opened: Opener) -> None:
    """The other chronology is worked out when it is chosen, and the drawing says which one it is of."""
    page = worked_out(opened("dates"))
    page.get_by_text("is left out", exact=True).click()
    expect(page.locator("main svg").filter(has_text="absence of later finds left out").first).to_be_attached(timeout=LONG)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 1366


def test_worked_out_it_fits_a_phone(opened: Opener) -> None:
    """At 360 by 640 nothing spills over and nothing to be pressed is smaller than a finger."""
    page = worked_out(opened("dates/108", width=360, height=640, touch=True))
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
    for button in page.locator("main button:visible, main summary:visible").all():
        area = button.bounding_box()
        assert area is not None
        assert area["height"] >= 44, button.inner_text()
    assert findings(page) == []
