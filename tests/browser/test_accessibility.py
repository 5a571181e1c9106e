"""An accessibility engine finds nothing on any place, bright and dark, wide and on a phone; words have contrast 7 to 1."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Opener, settled

pytestmark = pytest.mark.browser

ENGINE = Path(__file__).parents[2] / "web" / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def findings(page: Page) -> list[str]:
    """Return what the engine finds, with enhanced contrast (7 to 1) asked for as well."""
    if not ENGINE.exists():
        pytest.skip("the engine is not fetched: run make setup")
    if not page.evaluate("() => 'axe' in globalThis"):
        page.evaluate(ENGINE.read_text(encoding="utf-8"))
    asked = {"runOnly": {"type": "tag", "values": TAGS}, "rules": {"color-contrast-enhanced": {"enabled": True}}}
    found: list[Any] = page.evaluate("asked => axe.run(document, asked)", asked)["violations"]
    return [f"{one['id']}: {node['target']} {node['failureSummary']}" for one in found for node in one["nodes"][:3]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", ["site", "unit", "block", "order", "dates", "readings", "readings/1", "closing", "registers"])
def test_the_engine_finds_nothing(opened: Opener, place: str, scheme: str) -> None:
    """No place breaks a rule of WCAG 2.2 AA, of good practice, or of contrast at 7 to 1, with a record chosen."""
    page = opened(place, scheme=scheme)
    page.locator(".chip, .stack button").first.click() if page.locator(".chip, .stack button").count() else None
    page.locator("aside.card, h1").last.wait_for()
    settled(page)
    assert findings(page) == []


@pytest.mark.parametrize("place", ["site", "unit", "block", "order", "dates", "readings", "readings/1", "closing", "registers"])
def test_the_engine_finds_nothing_on_a_phone(opened: Opener, place: str) -> None:
    """The phone's layout breaks no rule either."""
    assert findings(opened(place, width=360, height=640, touch=True)) == []


def test_the_engine_would_find_faint_words_and_a_nameless_button(opened: Opener) -> None:
    """The negative control: words at 5 to 1 and a button without a name are found."""
    page = opened("site")
    page.evaluate(
        """() => {
          const button = document.createElement('button');
          document.querySelector('main').append(button);
          const faint = document.createElement('p');
          faint.textContent = 'faint words';
          faint.style.color = '#6f685e';
          document.querySelector('main').append(faint);
        }"""
    )
    found = " ".join(findings(page))
    assert "button-name" in found
    assert "color-contrast-enhanced" in found
