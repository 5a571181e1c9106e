"""What wears a device out: twenty minutes apart, a hundred kills, an update in the middle."""

from __future__ import annotations

import contextlib
import os
import random
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, BrowserType, Error, Page, expect

from baulk.server.page import STATIC
from tests.browser.conftest import CHROMIUM
from tests.browser.recording_site import Device, RecordedSite, holds_there, new_device
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

WRITE = "(baulk, [id, field, value]) => baulk.write(id, field, value)"


@pytest.fixture
def site(tmp_path: Path) -> Iterator[RecordedSite]:
    """A fresh site with one unit and one layer, its page a copy of its own."""
    if not (STATIC / "index.html").exists():
        pytest.skip("the workbench is not built: run make setup")
    static = tmp_path / "page"
    shutil.copytree(STATIC, static)
    site = RecordedSite(tmp_path / "yard.gpkg", static=static)
    site.start()
    yield site
    site.stop()


def test_twenty_minutes_apart(browser: Browser, site: RecordedSite) -> None:
    """Two devices that write the same layer for twenty minutes without a network lose nothing, and one difference is left."""
    devices = [new_device(browser, site), new_device(browser, site)]
    for device, person in zip(devices, ("AK", "BM"), strict=True):
        device.page.clock.install()
        device.join(person, f"tablet of {person}")
        device.context.set_offline(True)
    written = set()
    for minute in range(20):
        for device, person in zip(devices, ("AK", "BM"), strict=True):
            device.page.clock.run_for(60_000)
            words = f"{person} in minute {minute}"
            device.run(WRITE, [site.layer, "title", words])
            written.add(words)
    for device in devices:
        expect(device.page.locator("header .says")).to_have_text("no network · 20 waiting")
        device.context.set_offline(False)
        device.page.clock.run_for(6_000)
        device.sent()
        expect(device.page.locator("main")).to_contain_text("clock is 20 minutes fast")
    for device in devices:
        device.page.clock.run_for(6_000)
        holds_there(device.page, "globalThis.baulkDevice.differences().map((one) => one.heads.length).join() === '2'")
    titles = [change.value for change in site.changes() if change.record == site.layer and change.field == "title"]
    assert sorted(titles) == sorted(written)
    for device in devices:
        device.context.close()


def test_an_update_in_the_middle_of_a_queue(browser: Browser, site: RecordedSite) -> None:
    """Entries of the page before the update are there after it and are sent; the new page is taken when the person says so."""
    device = new_device(browser, site)
    device.join("AK", "tablet 1")
    site.stop()
    device.run(WRITE, [site.layer, "title", "Before the update"])
    head = site.static / "index.html"
    head.write_text(head.read_text().replace("<title>Baulk</title>", "<title>Baulk</title><meta name='newer'>"))
    worker = site.static / "sw.js"
    worker.write_text(worker.read_text().replace('"version":"', '"version":"newer '))
    expect(device.page.locator("header .says")).to_contain_text("1 waiting")
    site.gate._clock = lambda: 4_000_000_000_000  # no token holds: nothing can be sent before the update
    site.start()
    device.page.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.update())")
    device.page.get_by_role("button", name="Take it now").click()
    device.page.locator("meta[name=newer]").wait_for(state="attached")
    until(lambda: bool(device.page.evaluate("globalThis.baulkDevice !== undefined")))  # its script comes after its head
    waiting = device.run("async (baulk) => (await baulk.waiting()).map((one) => one.change.value)")
    assert waiting == ["Before the update"]
    assert site._office is not None
    site.gate._clock = site._office.now
    device.page.reload()
    device.sent()
    assert [change.value for change in site.changes()][-6:].count("Before the update") == 1
    device.context.close()


OLDER = """
(values) => new Promise((resolve, reject) => {
  const opening = indexedDB.open('baulk device', 1);
  opening.onupgradeneeded = () => {
    const disk = opening.result;
    disk.createObjectStore('records', { keyPath: 'id' });
    disk.createObjectStore('queue', { keyPath: 'place', autoIncrement: true }).createIndex('record', 'record');
    disk.createObjectStore('files', { keyPath: 'sha256' });
    disk.createObjectStore('single');
  };
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const writing = opening.result.transaction(['queue', 'single'], 'readwrite');
    for (const [name, value] of Object.entries(values.single)) writing.objectStore('single').put(value, name);
    writing.objectStore('queue').add({ record: values.change.record, change: values.change });
    writing.oncomplete = () => { opening.result.close(); resolve(); };
  };
})
"""


def test_a_disk_of_an_older_layout_is_brought_up_and_its_queue_is_sent(browser: Browser, site: RecordedSite) -> None:
    """A device store of layout 1, with an entry waiting, opens under this page: the entry is sent, and new ones can be undone."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{site.address}mark.svg")
    token, _ = site.gate.join(site.gate.code, "AK", "tablet 1")
    change = {
        "id": "0197a000-0000-7000-8000-000000000001", "time": "1760000000000.000000", "device": "tablet 1", "person": "AK",
        "kind": "context", "record": site.layer, "field": "notes", "value": "Written under layout 1", "after": [],
    }  # fmt: skip
    single = {"token": token, "person": "AK", "device": "tablet 1", "time": change["time"], "revision": 0}
    page.evaluate(OLDER, {"change": change, "single": single})
    page.goto(site.address)
    device = Device(context, page, site)
    device.sent()
    assert any(one.id == change["id"] and one.value == "Written under layout 1" for one in site.changes())
    device.run(WRITE, [site.layer, "title", "Under the new layout"])
    device.run("(baulk) => baulk.undo()")
    assert device.run("(baulk, id) => baulk.get(id).values", site.layer)["title"] == "Dark silt"
    context.close()


KILLS = 100
WRITING = """
(baulk, record) => {
  void (async () => {
    for (let at = 0; ; at += 1) {
      const words = `${record.slice(-4)} ${Date.now()} ${at}`;
      await baulk.write(record, 'notes', words);
      acknowledged(words);
    }
  })();
}
"""


class Killed:
    """A browser of its own, with tabs that write until they are killed."""

    def __init__(self, kind: BrowserType, site: RecordedSite, folder: Path) -> None:
        self.kind, self.site, self.folder = kind, site, folder
        self.acknowledged: set[str] = set()
        self.context = self._launch()

    def _launch(self) -> BrowserContext:
        context = self.kind.launch_persistent_context(
            str(self.folder),
            executable_path=CHROMIUM,
            args=["--no-sandbox", "--disable-dev-shm-usage"],
            service_workers="block",  # the driver waits for ever for a worker that crashed with its tab
        )
        context.set_default_timeout(20_000)
        context.expose_function("acknowledged", self._heard)
        return context

    def _heard(self, words: str) -> None:
        self.acknowledged.add(words)

    def open(self) -> Page:
        """Open the page in a tab, its disk read."""
        page = self.context.new_page()
        page.goto(f"{self.site.address}#/device", wait_until="commit")
        self.ready(page)
        return page

    def ready(self, page: Page) -> None:
        """Wait until the page has read its disk."""
        holds_there(page, "globalThis.baulkDevice?.device.ready ?? false")

    def kill_tab(self, page: Page) -> None:
        """Let the tab's process crash; the crashed tab is left as it is."""
        with contextlib.suppress(Error):
            page.goto("chrome://crash", timeout=2_000, wait_until="commit")

    def kill_browser(self) -> None:
        """Kill every process of this browser at once, and start it again on the same disk."""
        mine = f"--user-data-dir={self.folder}"
        for process in Path("/proc").glob("[0-9]*/cmdline"):
            with contextlib.suppress(OSError):
                words = process.read_bytes().decode(errors="replace").split("\0")
                if mine in words and not any(word.startswith("--type=") for word in words):
                    os.kill(int(process.parent.name), signal.SIGKILL)
        with contextlib.suppress(Error):
            self.context.close()
        for lock in self.folder.glob("Singleton*"):
            lock.unlink(missing_ok=True)
        self.context = self._launch()


def test_a_hundred_kills_lose_no_acknowledged_change(browser: Browser, site: RecordedSite, tmp_path: Path) -> None:
    """A tab reloaded, crashed or killed with its browser at random while it writes keeps every change that was said to be kept."""
    rng = random.Random(20261125)
    killed = Killed(browser.browser_type, site, tmp_path / "profile")
    page = killed.context.new_page()
    Device(killed.context, page, site).join("AK", "tablet 1")
    for turn in range(KILLS):
        page.evaluate(f"(record) => ({WRITING})(globalThis.baulkDevice, record)", site.layer)
        page.wait_for_timeout(rng.uniform(5, 120))
        if turn % 25 == 24:
            killed.kill_browser()
            page = killed.open()
        elif turn % 6 == 5:
            killed.kill_tab(page)
            page = killed.open()
        else:
            page.reload(wait_until="commit")
            killed.ready(page)
    Device(killed.context, page, site).sent()
    killed.context.close()
    written = [change.value for change in site.changes() if change.field == "notes"]
    assert len(killed.acknowledged) > KILLS
    assert killed.acknowledged - set(written) == set()
    assert len(written) == len(set(written))
