"""Recording with and without a network: nothing that the page called kept is ever lost."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Route, expect

from baulk.record import View, fold_record
from baulk.store import open_site
from baulk.work.pen import Pen
from tests.browser.conftest import settled
from tests.browser.recording_site import Device, Joiner, RecordedSite, new_device
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

WRITE = "(baulk, [id, field, value]) => baulk.write(id, field, value)"
CREATE = "(baulk, [kind, values]) => baulk.create(kind, values)"
VALUE = "(baulk, [id, field]) => baulk.get(id)?.values[field] ?? null"


def held(site: RecordedSite, record: str, name: str) -> list[Any]:
    """Return every value that was ever written into a field, earliest first."""
    changes = [change for change in site.changes() if change.record == record]
    return [
        change.value.get(name) if change.creates else change.value for change in changes if change.creates or change.field == name
    ]


def test_what_is_entered_reaches_the_site_file_and_other_devices(site: RecordedSite, joined: Joiner) -> None:
    """A record made on one device is in the site file and on another device, with its number, person and device."""
    one, other = joined(), joined("BM", "tablet 2")
    number = one.run("(baulk) => baulk.nextNumber('context')")
    made = one.run(CREATE, ["context", {"number": number, "kind": "deposit", "units": [site.unit]}])
    one.run(WRITE, [made, "title", "Sandy loam"])
    one.sent()
    changes = [change for change in site.changes() if change.record == made]
    assert [(change.person, change.device) for change in changes] == [("AK", "tablet 1")] * 2
    folded = fold_record(changes)
    assert folded.values == {"number": number, "kind": "deposit", "units": [site.unit], "title": "Sandy loam"}
    until(lambda: other.run(VALUE, [made, "title"]) == "Sandy loam")
    assert other.run("(baulk) => baulk.nextNumber('context')") != number


def test_records_keep_their_order_while_they_are_sent(site: RecordedSite, joined: Joiner) -> None:
    """Records made one after the other stand in that order on the device, also once the first is written again and all are sent."""
    device = joined()
    made = [device.run(CREATE, ["context", {"number": str(number), "kind": "deposit"}]) for number in (901, 902, 903)]
    order = "(baulk) => baulk.all('context').map((one) => one.id)"
    assert device.run(order)[-3:] == made
    device.run(WRITE, [made[0], "title", "Written again"])
    assert device.run(order)[-3:] == made
    device.sent()
    until(lambda: held(site, made[0], "title")[-1:] == ["Written again"])
    device.sent()
    assert device.run(order)[-3:] == made


def test_what_is_written_during_a_round_goes_out_right_after_it(site: RecordedSite, joined: Joiner) -> None:
    """While the server is slow to tell what is new a second thing is written: it is sent a moment after, not a whole rest later."""
    device = joined()
    asked: list[Route] = []

    def keep_waiting(route: Route) -> None:
        asked.append(route)

    device.page.route("**/api/sync/records*", keep_waiting)
    device.run(WRITE, [site.layer, "title", "First"])
    until(lambda: device.run("(baulk) => baulk.device.queued") == 0 and bool(asked))
    device.page.clock.install()
    device.page.clock.pause_at(time.time() + 10)  # from now on time passes on the page as it is told
    device.run(WRITE, [site.layer, "title", "Second"])
    for route in asked:
        route.continue_()
    device.page.unroute("**/api/sync/records*")
    until(lambda: not device.run("(baulk) => baulk.device.sending"))
    for _ in range(5):
        device.page.clock.run_for(100)
    until(lambda: "Second" in held(site, site.layer, "title"))


def test_two_devices_offline_edit_the_same_layer_and_a_person_settles_it(site: RecordedSite, joined: Joiner) -> None:
    """Both values are kept, the difference is shown side by side and settled with a reason, on every device."""
    one, other = joined(), joined("BM", "tablet 2")
    for device, words in ((one, "Dark silty clay"), (other, "Dark clayey silt")):
        device.context.set_offline(True)
        expect(device.page.locator("header .says")).to_contain_text("no network")
        device.run(WRITE, [site.layer, "title", words])
        device.run(CREATE, ["context", {"number": f"9{words[5]}", "kind": "deposit"}])
        expect(device.page.locator("header .says")).to_contain_text("2 waiting")
    one.context.set_offline(False)
    one.sent()
    other.context.set_offline(False)
    other.sent()
    expect(one.page.get_by_role("link", name="1 difference to settle")).to_be_visible()
    expect(other.page.get_by_role("link", name="1 difference to settle")).to_be_visible()
    assert {"Dark silty clay", "Dark clayey silt"} <= set(held(site, site.layer, "title"))
    one.page.get_by_role("link", name="1 difference to settle").click()
    card = one.page.locator("article")
    expect(card).to_contain_text("AK on tablet 1")
    expect(card).to_contain_text("BM on tablet 2")
    choice = card.locator("section").filter(has_text="Dark silty clay").get_by_role("button", name="This one is right")
    choice.click()
    expect(card.get_by_role("alert")).to_contain_text("Give the reason first")
    card.get_by_label("Reason").fill("rubbed again, both of us")
    choice.click()
    expect(one.page.locator("main")).to_contain_text("Nothing differs")
    one.sent()
    until(lambda: other.run("(baulk) => baulk.differences().length") == 0)
    assert other.run(VALUE, [site.layer, "title"]) == "Dark silty clay"
    assert held(site, site.layer, "title").count("Dark clayey silt") == 1
    assert any(change.why == "rubbed again, both of us" for change in site.changes())


def test_the_page_opens_and_records_with_the_server_stopped(site: RecordedSite, joined: Joiner) -> None:
    """After a reload without a server the places stand as last seen, entries go on, and all is sent when it is back."""
    device = joined()
    device.page.goto(f"{site.address}#/unit/1")
    expect(device.page.locator("main")).to_contain_text("Dark silt")
    settled(device.page)
    site.stop()
    device.page.reload()
    expect(device.page.locator("h1")).to_contain_text("Unit 1")
    expect(device.page.locator("main")).to_contain_text("Dark silt")
    expect(device.page.locator("main")).to_contain_text("shown as last seen")
    device.run(WRITE, [site.layer, "title", "Seen without a server"])
    device.page.reload()
    expect(device.page.locator("header .says")).to_contain_text("1 waiting")
    site.start()
    device.sent()
    assert held(site, site.layer, "title")[-1] == "Seen without a server"


def test_a_tab_that_hears_of_another(site: RecordedSite, joined: Joiner) -> None:
    """Two tabs of one device show the same: what one writes the other shows, and each change is sent once."""
    device = joined()
    second = device.context.new_page()
    second.goto(f"{site.address}#/device")
    twin = Device(device.context, second, site)
    until(lambda: twin.run(VALUE, [site.layer, "title"]) == "Dark silt")
    twin.run(WRITE, [site.layer, "title", "From the second tab"])
    until(lambda: device.run(VALUE, [site.layer, "title"]) == "From the second tab")
    device.run(WRITE, [site.layer, "title", "From the first tab"])
    until(lambda: twin.run(VALUE, [site.layer, "title"]) == "From the first tab")
    device.sent()
    assert held(site, site.layer, "title") == ["Dark silt", "From the second tab", "From the first tab"]
    assert twin.run("(baulk) => baulk.differences().length") == 0


def test_undo_takes_back_one_act_and_redo_does_it_again(site: RecordedSite, joined: Joiner) -> None:
    """Undo makes a new record void and puts an old value back, as further changes; the key does it too."""
    device = joined()
    made = device.run(
        "(baulk) => baulk.createMany([{kind: 'context', values: {number: '7'}}, {kind: 'context', values: {number: '8'}}])"
    )
    device.run(WRITE, [site.layer, "title", "Wrong words"])
    device.page.keyboard.press("Control+z")
    expect(device.page.get_by_role("status").filter(has_text="Undone: ")).to_contain_text("101")
    assert device.run(VALUE, [site.layer, "title"]) == "Dark silt"
    said = device.run("(baulk) => baulk.undo()")
    assert "and 1 entry with it" in said
    assert device.run("(baulk) => baulk.all('context').map((one) => one.values.number)") == ["101"]
    device.run("(baulk) => baulk.redo()")
    device.run("(baulk) => baulk.redo()")
    assert device.run(VALUE, [site.layer, "title"]) == "Wrong words"
    assert [device.run(VALUE, [one, "void"]) for one in made] == [None, None]
    device.sent()
    assert held(site, site.layer, "title") == ["Dark silt", "Wrong words", "Dark silt", "Wrong words"]
    refused = device.run("(baulk) => baulk.redo().catch((refusal) => refusal.message)")
    assert refused == "There is nothing to do again."


def test_an_expired_token_keeps_the_queue_and_says_to_join_again(site: RecordedSite, joined: Joiner) -> None:
    """With the token expired the entries stay and the page says so; after joining again they are sent."""
    device = joined()
    site.ahead = 31 * 86_400_000
    device.run(WRITE, [site.layer, "title", "After the token"])
    alarm = device.page.get_by_role("alert").filter(has_text="has expired")
    expect(alarm).to_contain_text("Nothing on this device is lost")
    expect(device.page.locator("header .says")).to_have_text("join again")
    alarm.get_by_role("link", name="Join").click()
    expect(device.page.locator("main")).to_contain_text("1 thing entered here wait")
    device.page.get_by_label("Joining code").fill(site.gate.code.lower())
    device.page.get_by_role("button", name="Join the site").click()
    device.sent()
    assert held(site, site.layer, "title")[-1] == "After the token"
    expect(alarm).to_have_count(0)


def test_storage_nearly_full_is_said(site: RecordedSite, joined: Joiner) -> None:
    """When little room is left the page says how much, and that nothing is lost."""
    device = joined()
    device.page.evaluate("navigator.storage.estimate = async () => ({ usage: 960e6, quota: 1000e6 })")
    device.run("(baulk) => baulk.sendNow()")
    alarm = device.page.get_by_role("alert").filter(has_text="nearly full")
    expect(alarm).to_contain_text("about 40\u00a0MB left")
    expect(alarm).to_contain_text("Nothing is lost so far")


def test_a_wrong_clock_is_said_and_put_right(site: RecordedSite, joined: Joiner) -> None:
    """A device three days slow is told so, and its entries carry the right time, so that they count as later."""
    device = joined()
    device.context.add_init_script("const right = Date.now; Date.now = () => right.call(Date) - 3 * 86400000;")
    device.page.reload()
    expect(device.page.locator("main")).to_contain_text("clock is 3 days slow")
    device.run(WRITE, [site.layer, "title", "Written by a slow clock"])
    device.sent()
    mine = next(change for change in site.changes() if change.value == "Written by a slow clock")
    others = [int(change.time[:13]) for change in site.changes()]
    assert abs(int(mine.time[:13]) - max(others)) < 60_000
    assert mine.id[:9] >= min(change.id for change in site.changes())[:9]


def test_an_upload_goes_on_where_it_was_cut(site: RecordedSite, joined: Joiner) -> None:
    """A photo of three pieces whose way is cut after the first begins again at the second, and is whole on the shelf."""
    device = joined()
    site.cut_after = 1
    sha = device.run(
        "async (baulk) => { const bytes = new Uint8Array(2500000).map((_, at) => (at * 7) % 251);"
        " return (await baulk.keepFile(new Blob([bytes]))).sha256; }"
    )
    expect(device.page.locator("header .says")).to_contain_text("1 waiting")
    until(lambda: len(site.uploads) >= 2)
    device.page.reload()
    site.cut_after = None
    device.sent()
    assert site.uploads[0] == 0
    assert site.uploads.count(0) == 1
    assert site.uploads[-1] == 2_000_000
    assert (site.path.with_suffix(".files") / sha[:2] / sha).exists() or list(site.path.parent.rglob(f"*{sha[4:]}*"))


def test_what_waits_goes_by_file_when_no_network_comes(site: RecordedSite, joined: Joiner, tmp_path: Path) -> None:
    """The file saved on one device, taken in twice on another, brings every entry and photo once, under its writer's name."""
    one = joined()
    one.context.set_offline(True)
    one.run(WRITE, [site.layer, "title", "Carried by hand"])
    sha = one.run("async (baulk) => (await baulk.keepFile(new Blob(['a photo']))).sha256")
    one.page.goto(f"{site.address}#/device")
    with one.page.expect_download() as download:
        one.page.get_by_role("button", name="Save what waits to a file").click()
    carried = tmp_path / "carried.waiting"
    download.value.save_as(carried)
    other = joined("BM", "laptop")
    other.page.goto(f"{site.address}#/device")
    for said in ("1 entry taken in", "Nothing new was in that file"):
        other.page.locator("input[type=file]").set_input_files(carried)
        expect(other.page.get_by_role("status").filter(has_text=said)).to_be_visible()
        other.sent()
    mine = [change for change in site.changes() if change.value == "Carried by hand"]
    assert [(change.person, change.device) for change in mine] == [("AK", "tablet 1")]
    assert list(site.path.parent.rglob(f"*{sha[4:]}*"))
    wrong = tmp_path / "wrong.waiting"
    wrong.write_text("{}\n")
    other.page.locator("input[type=file]").set_input_files(wrong)
    expect(other.page.get_by_role("status").filter(has_text="no file of waiting entries")).to_be_visible()


def test_what_the_server_refuses_stays_with_its_reason(site: RecordedSite, joined: Joiner) -> None:
    """A change that cannot be one stays on the device with the server's reason; those beside it are kept."""
    device = joined()
    head = {"form": "baulk waiting changes", "version": 1, "site": ""}
    wrong = {
        "id": "w1",
        "time": "soon",
        "device": "d",
        "person": "p",
        "kind": "context",
        "record": site.layer,
        "field": "title",
        "value": "x",
    }
    device.run("(baulk, lines) => baulk.takeIn(new Blob([lines]))", f"{json.dumps(head)}\n{json.dumps({'change': wrong})}\n")
    device.run(CREATE, ["context", {"number": "55", "kind": "deposit"}])
    alarm = device.page.get_by_role("alert").filter(has_text="refused 1 entry")
    expect(alarm).to_be_visible()
    alarm.get_by_role("link").click()
    expect(device.page.locator("main li.refused")).to_contain_text("Refused by the server: ")
    until(lambda: any(change.creates and change.value.get("number") == "55" for change in site.changes()))
    mine = next(change for change in site.changes() if change.creates and change.value.get("number") == "55")
    assert mine.time < "2"


def test_what_one_viewer_had_is_not_left_to_the_next(browser: Browser, tmp_path: Path) -> None:
    """A device that held burials and is joined again for the crew holds them no longer; what waits on it stays."""
    site = RecordedSite(tmp_path / "yard.gpkg", view=View.RESTRICTED)
    with open_site(site.path) as store:
        store.append([Pen("ME", "site office").create("burial", {"number": "B1"})])
    site.start()
    device = new_device(browser, site)
    device.join("AK", "tablet 1")
    assert device.run("(baulk) => baulk.all('burial').length") == 1
    site.gate._view = View.CREW
    device.context.set_offline(True)
    device.run(WRITE, [site.layer, "title", "Waits through the joining"])
    device.context.set_offline(False)
    device.join("BM", "tablet 1")
    until(lambda: device.run(VALUE, [site.layer, "title"]) == "Waits through the joining")
    assert device.run("(baulk) => baulk.all('burial').length") == 0
    until(lambda: device.run("(baulk) => baulk.all('unit').length") == 1)
    assert [change.person for change in site.changes() if change.value == "Waits through the joining"] == ["AK"]
    device.context.close()
    site.stop()
