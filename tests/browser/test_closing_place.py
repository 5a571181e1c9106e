"""The closing page: what would be lost for good first, counted once, and short on a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opener
from tests.browser.waiting import until

pytestmark = pytest.mark.browser


def test_the_head_and_the_first_list_count_the_same(opened: Opener, mistaken_address: str) -> None:
    """What the head says would be lost for good is the list that stands first, the stop-list before the rest of it."""
    page = opened("closing", at=mistaken_address)
    head = page.locator("p.state").inner_text()
    (lost,) = re.findall(r"What (\d+) rules ask would be lost for good", head)
    (barred,) = re.findall(r"(\d+) rules of the stop-list stand open", head)
    first = page.locator("details.group").first
    expect(first.locator("h2")).to_have_text(f"Lost for good once filled in · {lost}")
    told = first.locator(".told").all_inner_texts()
    assert len(told) == int(lost)
    stops = ["stop-list" in words for words in told]
    assert stops == sorted(stops, reverse=True)
    open_groups = page.locator("details.group", has=page.locator(".fail, .cannot-tell"))
    assert sum("stop-list" in words for words in open_groups.locator(".told").all_inner_texts()) == int(barred)


def test_a_phone_shows_one_line_a_rule_that_opens(opened: Opener, mistaken_address: str) -> None:
    """At 360 by 640 only the first list is open and its rules are folded; a press opens one with what mends it."""
    page = opened("closing", at=mistaken_address, width=360, height=640, touch=True)
    expect(page.locator("details.group[open]")).to_have_count(1)
    assert page.evaluate("document.documentElement.scrollHeight") < 4000
    card = page.locator("details.card").filter(has_text="Every structure has material")
    expect(card.get_by_text("Of 2 structures, 1 fails: 112 has no 10 pieces measured")).to_be_hidden()
    card.locator("summary").first.tap()
    expect(card.get_by_text("Of 2 structures, 1 fails: 112 has no 10 pieces measured")).to_be_visible()
    expect(card.get_by_text("measure at least ten pieces")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    wide = opened("closing", at=mistaken_address)
    until(lambda: wide.locator("details.card[open]").count() > 10)
