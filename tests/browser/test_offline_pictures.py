"""Small pictures of photos on a device out of reach, and numbers of a device with several tabs."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image
from playwright.sync_api import expect

from baulk.store import FileShelf, open_site
from baulk.work.pen import Pen
from tests.browser.recording_site import Device, Joiner, RecordedSite
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

THUMBS = """(baulk) => new Promise((resolve) => {
  const opening = indexedDB.open('baulk device');
  opening.onsuccess = () => {
    const asked = opening.result.transaction('thumbs').objectStore('thumbs').getAll();
    asked.onsuccess = () => { opening.result.close(); resolve(asked.result.map((one) => [one.sha256, one.bytes])); };
  };
})"""
NEXT = "(baulk) => baulk.nextNumber('context')"


def photo_of(site: RecordedSite, number: str, colour: str) -> tuple[str, str]:
    """Keep a photo of one colour with the site, as the office would; returns the record's id and the file's hash."""
    out = io.BytesIO()
    Image.new("RGB", (1600, 1200), colour).save(out, "JPEG")
    sha = FileShelf(site.path.with_suffix(".files")).keep(out.getvalue())
    with open_site(site.path) as store:
        pen = Pen("ME", "site office")
        pen.saw(store.changes())
        made = pen.create("photo", {"number": number, "unit": site.unit, "contexts": [site.layer], "file": sha})
        store.append([made])
    return made.record, sha


def second_tab(device: Device, site: RecordedSite) -> Device:
    """Open the page in another tab of the same device."""
    page = device.context.new_page()
    page.goto(f"{site.address}#/device")
    twin = Device(device.context, page, site)
    until(lambda: twin.run("(baulk) => baulk.all('number_block').length") > 0)
    return twin


def test_a_photo_never_opened_is_told_out_of_reach(site: RecordedSite, joined: Joiner) -> None:
    """Its small picture is fetched behind the record, shows with the server stopped, and goes when the photo is withheld."""
    photo, sha = photo_of(site, "P1", "teal")
    device = joined()
    until(lambda: [one[0] for one in device.run(THUMBS)] == [sha])
    assert 0 < device.run(THUMBS)[0][1] < 20_000
    site.stop()
    expect(device.page.locator("header .says")).to_contain_text("no network")
    told = device.run(
        "async (baulk, sha) => { const { address, small } = await baulk.pictureOf(sha); const seen = new Image();"
        " seen.src = address; await seen.decode(); return [small, seen.naturalWidth, seen.naturalHeight]; }",
        sha,
    )
    assert told == [True, 320, 240]
    device.page.set_viewport_size({"width": 360, "height": 640})
    device.page.goto(f"{site.address}#/record/sheet.{photo}")
    picture = device.page.locator("main img").first
    expect(picture).to_be_visible()
    expect(device.page.locator("main")).to_contain_text("Small, as this device holds it")
    picture.scroll_into_view_if_needed()
    site.start()
    site.write(photo, "sensitive", True)
    until(lambda: device.run(THUMBS) == [])


def test_small_pictures_stop_when_room_runs_short(site: RecordedSite, joined: Joiner) -> None:
    """With little room left none is fetched, and they come once there is room again."""
    device = joined()
    device.page.evaluate("navigator.storage.estimate = async () => ({ usage: 960e6, quota: 1000e6 })")
    photo, sha = photo_of(site, "P1", "olive")
    until(lambda: device.run("(baulk, id) => baulk.get(id) !== undefined", photo))
    expect(device.page.get_by_role("alert").filter(has_text="nearly full")).to_be_visible()
    for _ in range(2):  # once a second round begins, the first is over
        seen = device.run("(baulk) => { baulk.sendNow(); return baulk.device.seen; }")
        until(lambda: device.run("(baulk) => baulk.device.seen") > seen)  # noqa: B023  waited for before the next turn
    assert device.run(THUMBS) == []
    device.page.evaluate("navigator.storage.estimate = async () => ({ usage: 10e6, quota: 10e9 })")
    until(lambda: [one[0] for one in device.run(THUMBS)] == [sha])


def test_two_tabs_are_never_offered_one_number(site: RecordedSite, joined: Joiner) -> None:
    """Ten asked for at once in each of two tabs, and used: every number is used once, and each tab is told another one."""
    device = joined()
    twin = second_tab(device, site)
    assert device.run(NEXT) == device.run(NEXT)  # a tab that looks again is told the same
    assert twin.run(NEXT) != device.run(NEXT)
    take = """async (baulk) => {
      const taken = [];
      for (let at = 0; at < 10; at += 1) {
        const number = await baulk.nextNumber('context');
        await baulk.create('context', { number, kind: 'deposit' });
        taken.push(number);
      }
      globalThis.taken = taken;
    }"""
    for one in (device, twin):
        one.page.evaluate(f"void ({take})(globalThis.baulkDevice)")  # begun in both before either is done
    until(lambda: all(one.page.evaluate("globalThis.taken?.length") == 10 for one in (device, twin)))
    used = [*device.page.evaluate("globalThis.taken"), *twin.page.evaluate("globalThis.taken")]
    assert len(set(used)) == 20, sorted(used, key=int)
    device.sent()
    numbers = [change.value["number"] for change in site.changes() if change.creates and change.kind == "context"]
    assert len(numbers) == len(set(numbers)) == 21


def test_a_number_not_used_goes_back(site: RecordedSite, joined: Joiner) -> None:
    """What one tab was offered another gets when it is given back, and when the tab is closed."""
    device = joined()
    twin = second_tab(device, site)
    first = device.run(NEXT)
    second = twin.run(NEXT)
    assert int(second) == int(first) + 1
    device.run("(baulk) => baulk.giveBack('context')")
    twin.run("(baulk, number) => baulk.create('context', { number, kind: 'deposit' })", second)
    assert twin.run(NEXT) == first
    twin.page.close()
    until(lambda: device.run("(baulk) => baulk.giveBack('context').then(() => baulk.nextNumber('context'))") == first)


def test_a_unit_given_up_gives_its_number_back(site: RecordedSite, joined: Joiner) -> None:
    """The number that the page of a new unit shows is offered in another tab once that page is left."""
    device = joined()
    twin = second_tab(device, site)
    device.page.goto(f"{site.address}#/record/new-unit")
    head = device.page.locator("main h1")
    expect(head).to_have_text(re.compile(r"\d"))
    shown = int(re.findall(r"\d+", head.inner_text())[0])
    units = "(baulk) => baulk.all('number_block').filter((one) => one.values.series === 'unit').length"
    until(lambda: twin.run(units) == 1)
    again = "(baulk) => baulk.giveBack('unit').then(() => baulk.nextNumber('unit'))"
    assert int(twin.run(again)) == shown + 1
    device.page.goto(f"{site.address}#/device")
    until(lambda: int(twin.run(again)) == shown)
