"""A unit as a block: solids that are seen, turned by keys, drawn apart, cut through and chosen; a drawing where they cannot be."""

from __future__ import annotations

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener, settled
from tests.browser.waiting import painted, until

pytestmark = pytest.mark.browser

SOILS = {"102": (126, 122, 110), "120": (168, 146, 99)}
Pixels = NDArray[np.uint8]


def solids(page: Page) -> Pixels:
    """Return the pixels of the solids once they are drawn."""
    frame = page.locator(".solids[data-ready=true]")
    frame.wait_for()
    painted(page)
    return np.asarray(Image.open(io.BytesIO(frame.screenshot())).convert("RGB"))


def changed(one: Pixels, other: Pixels) -> float:
    """Return the share of pixels that differ."""
    return float((np.abs(one.astype(int) - other.astype(int)).max(axis=2) > 8).mean())


def share_of(pixels: Pixels, number: str) -> float:
    """Return the share of pixels in the soil colour of a context's top, to within its shading by slope."""
    return float((np.abs(pixels.astype(int) - SOILS[number]).max(axis=2) < 14).mean())


def test_solids_are_seen_in_their_soil_colours(opened: Opener) -> None:
    """The tops of the ash layer and of the alluvium are seen, each in its own soil colour, on paper."""
    pixels = solids(opened("block"))
    assert share_of(pixels, "102") > 0.005
    assert share_of(pixels, "120") > 0.003
    assert 0.1 < float((pixels.min(axis=2) < 240).mean()) < 0.9


def test_keys_turn_zoom_and_step(opened: Opener) -> None:
    """Arrow keys turn, plus comes closer, 0 turns back, a full stop chooses the lowest solid first."""
    page = opened("block")
    first = solids(page)
    frame = page.locator(".solids")
    frame.focus()
    page.keyboard.press("ArrowLeft")
    until(lambda: changed(first, solids(page)) > 0.02)
    turned = solids(page)
    page.keyboard.press("+")
    until(lambda: changed(turned, solids(page)) > 0.02)
    page.keyboard.press("0")
    until(lambda: changed(first, solids(page)) < 0.002)
    page.keyboard.press(".")
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("deposit 120")
    page.keyboard.press("PageUp")
    expect(page.get_by_label("Drawn apart")).to_have_value("45")


def test_drawing_apart_and_together_changes_how_high_it_stands(opened: Opener) -> None:
    """Together the lowest context is hidden beneath the others; apart it is seen."""
    page = opened("block")
    page.get_by_label("Drawn apart").fill("0")
    together = share_of(solids(page), "120")
    page.get_by_label("Drawn apart").fill("100")
    until(lambda: share_of(solids(page), "120") > together + 0.003)


def test_a_cut_shows_what_lies_inside(opened: Opener) -> None:
    """Cut through, looking north, the solids are filled with their own colour at the cut; moving the cut changes it."""
    page = opened("block")
    page.get_by_label("Drawn apart").fill("0")
    whole = solids(page)
    page.get_by_text("looking north").click()
    until(lambda: changed(whole, solids(page)) > 0.02)
    cut = solids(page)
    page.get_by_label("Where the cut stands").fill("70")
    until(lambda: changed(cut, solids(page)) > 0.01)


def test_choice_is_shared_with_the_other_places(opened: Opener) -> None:
    """A context chosen in the list is marked in the solids and stays chosen in the unit; a press on a solid chooses it."""
    page = opened("block")
    solids(page)
    page.locator("main .chip").filter(has_text="118").click()
    expect(page.locator(".solids")).to_have_attribute("data-marked", page.url.split("chosen=")[1])
    page.get_by_role("link", name="Unit").click()
    settled(page)
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("deposit 118")
    page.get_by_role("link", name="Block").click()
    settled(page)
    solids(page)
    page.keyboard.press("Escape")
    pixels = solids(page)
    rows, columns = np.nonzero(np.abs(pixels.astype(int) - SOILS["120"]).max(axis=2) < 14)
    at = len(rows) // 2
    page.locator(".solids").click(position={"x": float(columns[at]), "y": float(rows[at])})
    expect(page.locator("aside.card")).to_be_visible()


def test_withheld_contexts_are_not_in_the_block(opened: Opener) -> None:
    """No solid, list row or reason names a context of a possible burial; how many are withheld is told."""
    page = opened("block")
    expect(page.locator("main .chip .number").filter(has_text="118").first).to_be_visible()
    chips = page.locator("main .chip .number").all_inner_texts()
    assert "118" in chips
    assert not {"114", "115", "116", "117"} & set(chips)
    expect(page.locator("main")).to_contain_text("4 contexts are withheld and not drawn.")


def test_without_the_means_the_drawing_stands_in(opened: Opener) -> None:
    """A browser that cannot draw solids shows the block drawing and the same list, and says why."""
    page = opened("site")
    page.evaluate("() => { HTMLCanvasElement.prototype.getContext = () => null; location.hash = '#/block'; }")
    settled(page)
    expect(page.get_by_role("status").filter(has_text="cannot draw solids")).to_be_visible()
    until(lambda: page.locator(".drawing svg path").count() > 50)
    until(lambda: page.locator("main .chip").count() > 10)
    expect(page.locator(".solids")).to_have_count(0)


def test_the_drawing_library_is_fetched_only_here(opened: Opener) -> None:
    """Other places do not fetch the drawing library; opening the block does."""
    page = opened("unit")
    fetched: list[str] = []
    page.on("request", lambda request: fetched.append(request.url))
    assert not page.evaluate("() => performance.getEntriesByType('resource').some(one => one.name.includes('scene-'))")
    page.get_by_role("link", name="Block").click()
    solids(page)
    assert any("scene-" in url for url in fetched)
