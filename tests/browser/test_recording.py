"""Recording at the trench edge: contexts in three presses, boxes that are kept as they are filled, absences in words."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from baulk.record import Context, Unit
from baulk.work.demo import DemoSites
from tests.browser.recording import Devices, ServedSite, served_to_devices, until

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def recorded(demo: DemoSites, tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedSite]:
    """The demo, served to devices."""
    yield from served_to_devices(demo.good, tmp_path_factory.mktemp("recorded"))


@pytest.fixture
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join."""
    found = Devices(browser, recorded)
    yield found
    found.close()


def box_of(page: Page, field: str) -> Locator:
    """Return the box of a field on a sheet."""
    return page.locator(f"[data-field='{field}']")


def test_a_context_takes_three_presses(devices: Devices, recorded: ServedSite) -> None:
    """New, what it is, write: the context has the next number of the recorder's block, is open, and reaches the server."""
    page = devices.record(devices.join(), heading="Record unit 1")
    page.get_by_role("link", name="New context").click()
    page.get_by_text("fill", exact=True).click()
    page.get_by_role("button", name="Write fill").click()
    heading = page.locator("main h1")
    expect(heading).to_contain_text("fill")
    number = heading.inner_text().split()[-1]
    until(lambda: any(context.number == number for context in recorded.record.all(Context)))
    context = recorded.record.numbered(Context, number)
    assert (context.kind, context.recorded_by) == ("fill", "AK")
    assert context.units == (recorded.record.numbered(Unit, "1").id,)
