"""A new context tells where its number comes from, and takes one that was promised on paper when it is free."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.recording_site import Joiner, RecordedSite
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

BLOCKS = "(baulk) => baulk.all('number_block').filter((one) => one.values.series === 'context').map((one) => one.values.first)"


def test_a_second_device_says_why_its_numbers_go_on_later(site: RecordedSite, joined: Joiner) -> None:
    """It names the block; a taken number is refused, and one of the other device's block is taken with a caution."""
    first = joined()
    until(lambda: len(first.run(BLOCKS)) == 1)
    second = joined("BM", "phone", has_touch=True)
    until(lambda: len(second.run(BLOCKS)) == 2)
    start, later = sorted(second.run(BLOCKS))
    page = second.page
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(f"{site.address}#/record/new")
    main = page.locator("main")
    expect(main).to_contain_text(f"{later} is from BM’s block {later} to {later + 19} on this device")
    page.get_by_text("deposit", exact=True).click()
    page.get_by_role("button", name="Use a number promised on paper").click()
    box = page.get_by_label("Number promised on paper")
    box.fill("101")
    expect(main).to_contain_text("101 is taken already")
    page.get_by_role("button", name="Write deposit 101").click()
    expect(page.get_by_role("alert").filter(has_text="101")).to_be_visible()
    assert second.run("(baulk) => baulk.all('context').length") == 1
    promised = str(start + 2)
    box.fill(promised)
    expect(main).to_contain_text(f"It lies in AK’s block {start} to {start + 19}, which another device has: tell AK")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.get_by_role("button", name=f"Write deposit {promised}").click()
    until(lambda: second.run("(baulk, number) => baulk.numbered('context', number) !== undefined", promised))
    second.sent()
    until(lambda: first.run("(baulk, number) => baulk.numbered('context', number) !== undefined", promised))
    assert second.run("(baulk) => baulk.nextNumber('context')") == str(later)
