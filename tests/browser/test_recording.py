"""Recording at the trench edge: contexts in three presses, boxes that are kept as they are filled, absences in words."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from baulk.record import Burial, Context, DayEntry, Drawing, Find, Notice, Unit
from tests.browser.recording import Devices, ServedSite
from tests.browser.waiting import until

pytestmark = pytest.mark.browser


def box_of(page: Page, field: str) -> Locator:
    """Return the box of a field on a sheet."""
    return page.locator(f"[data-field='{field}']")


def new_context(devices: Devices, kind: str, page: Page | None = None) -> tuple[Page, str]:
    """Make a context in three presses and return its page and number."""
    page = devices.record(page or devices.of(), heading="Record unit 1")
    page.get_by_role("link", name="New context").click()
    page.locator(".kinds label").filter(has=page.get_by_text(kind, exact=True)).click()
    page.get_by_role("button", name=f"Write {kind}").click()
    heading = page.locator("main h1")
    expect(heading).to_contain_text(re.compile(rf"{kind}\s+\d+"))
    return page, heading.inner_text().split()[-1]


def held(recorded: ServedSite, number: str) -> Context:
    """Return a context as the server has it, once it is there."""
    until(lambda: any(context.number == number for context in recorded.record.all(Context)))
    return recorded.record.numbered(Context, number)


def test_a_context_takes_three_presses(devices: Devices, recorded: ServedSite) -> None:
    """New, what it is, write: the context has the next number of the recorder's block, is open, and reaches the server."""
    _, number = new_context(devices, "fill")
    context = held(recorded, number)
    assert (context.kind, context.recorded_by) == ("fill", "AK")
    assert context.units == (recorded.record.numbered(Unit, "1").id,)


def test_numbers_follow_and_never_repeat(devices: Devices, recorded: ServedSite) -> None:
    """Two devices take their numbers from blocks of their own, and the next context has the next number."""
    page, first = new_context(devices, "deposit")
    _, second = new_context(devices, "cut", page)
    _, other = new_context(devices, "deposit", devices.of("RM"))
    assert int(second) == int(first) + 1
    assert other not in (first, second)
    assert held(recorded, other).recorded_by == "RM"


def test_what_is_typed_is_kept_on_a_pause_and_on_leaving(devices: Devices, recorded: ServedSite) -> None:
    """A box says “kept” once the disk has it; after a reload it stands there, and the server gets it."""
    page, number = new_context(devices, "deposit")
    box = box_of(page, "description")
    box.locator("textarea").fill("Grey ash, soft, in lenses.")
    expect(box.get_by_role("status")).to_have_text("kept")
    title = box_of(page, "title")
    title.locator("input").fill("Ash lens")
    title.locator("input").press("Tab")
    expect(title.get_by_role("status")).to_have_text("kept")
    page.reload()
    expect(box_of(page, "description").locator("textarea")).to_have_value("Grey ash, soft, in lenses.")
    until(lambda: held(recorded, number).title == "Ash lens")
    assert held(recorded, number).description == "Grey ash, soft, in lenses."


def test_a_blank_is_an_empty_box_and_its_need_is_plain(devices: Devices) -> None:
    """A blank box is dashed and says mandatory or expected; one that is filled is neither."""
    page, _ = new_context(devices, "deposit")
    box = box_of(page, "description")
    expect(box.locator("textarea")).to_have_css("border-top-style", "dashed")
    expect(box).to_contain_text("mandatory")
    expect(box_of(page, "mottles").locator(".need")).to_have_text("")
    box.locator("textarea").fill("Ash")
    expect(box.get_by_role("status")).to_have_text("kept")
    expect(box.locator("textarea")).to_have_css("border-top-style", "solid")
    expect(page.get_by_role("navigation", name="Parts of the sheet")).to_contain_text(re.compile(r"What is seen \d+ blanks"))


def test_a_field_is_left_without_a_value_on_purpose(devices: Devices, recorded: ServedSite) -> None:
    """Not applicable and not done with its reason stand in words; a value can still be written instead."""
    page, number = new_context(devices, "deposit")
    box_of(page, "boundary").get_by_role("button", name="Boundary below: no value, with the reason").click()
    box_of(page, "boundary").get_by_role("button", name="not applicable").click()
    expect(box_of(page, "boundary").locator("em")).to_have_text("not applicable")
    litres = box_of(page, "litres")
    litres.get_by_role("button", name="Volume dug: no value, with the reason").click()
    litres.get_by_role("textbox", name="not done:").fill("rain")
    litres.get_by_role("button", name="Write", exact=True).click()
    expect(litres.locator("em")).to_have_text("not done: rain")
    until(lambda: dict(held(recorded, number).absences) == {"boundary": "not applicable", "litres": "not done: rain"})
    litres.get_by_role("button", name="Write a value instead").click()
    litres.locator("input").fill("140")
    litres.locator("input").blur()
    until(lambda: held(recorded, number).litres == 140)


def test_lengths_are_read_off_any_tape(devices: Devices, recorded: ServedSite) -> None:
    """Centimetres and feet with inches become metres, shown at once, the words beside them for good; an unclear one is refused."""
    page, number = new_context(devices, "deposit")
    length = box_of(page, "length")
    length.locator("input").fill("7 ft 0 7/8 in")
    expect(length).to_contain_text(re.compile(r"= 2\.156\sm"))
    length.locator("input").blur()
    expect(length.get_by_role("status")).to_have_text("kept")
    width = box_of(page, "width")
    width.locator("input").fill("85 cm")
    width.locator("input").blur()
    until(lambda: held(recorded, number).width == 0.85)
    assert held(recorded, number).length == pytest.approx(2.155825)
    identity = held(recorded, number).id
    written = [change for change in recorded.office.store().histories([identity])[identity] if change.field == "length"]
    assert [change.entered for change in written] == ["7 ft 0 7/8 in"]
    thick = box_of(page, "thickness_max")
    thick.locator("input").fill("10' 4")
    thick.locator("input").blur()
    expect(thick.get_by_role("alert")).to_contain_text("tenths of a foot and inches are different. Write 10 ft 4 in for inches")
    assert held(recorded, number).thickness_max is None
    page.reload()
    for again in (page, devices.record(devices.of("RM"), f"sheet.{identity}", heading=number)):
        expect(box_of(again, "length")).to_contain_text("entered as 7 ft 0 7/8 in")
        expect(box_of(again, "length").locator("input")).to_have_value("2.155825")
    expect(box_of(page, "thickness_max")).not_to_contain_text("entered as")


def test_soil_colour_from_a_page_of_chips(devices: Devices, recorded: ServedSite) -> None:
    """A chip has its true colour and its notation as its name; arrow keys move about the page, Enter picks."""
    page, number = new_context(devices, "deposit")
    box = box_of(page, "colour_moist")
    box.get_by_role("button", name="Chips").click()
    chip = box.get_by_role("button", name="10YR 4/3", exact=True)
    expect(chip).to_have_css("background-color", "rgb(115, 92, 65)")
    chip.click()
    expect(box.get_by_role("textbox")).to_have_value("10YR 4/3")
    until(lambda: held(recorded, number).colour_moist == "10YR 4/3")
    chip.press("ArrowDown")
    expect(box.get_by_role("button", name="10YR 3/3", exact=True)).to_be_focused()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    until(lambda: held(recorded, number).colour_moist == "10YR 3/2")
    box.get_by_role("combobox", name="Page (hue)").select_option("N")
    expect(box.get_by_role("button", name="N 2.5/0", exact=True)).to_be_visible()
    dry = box_of(page, "colour_dry")
    dry.get_by_role("textbox").fill("brown")
    dry.get_by_role("textbox").blur()
    expect(dry.get_by_role("alert")).to_contain_text(
        "“brown” is no Munsell colour. Write hue value/chroma, such as 10YR 4/3 or N 3/0."
    )


def test_texture_by_feel_and_share_of_inclusions(devices: Devices, recorded: ServedSite) -> None:
    """Answers lead to a class that is written; a patch of known share writes its word."""
    page, number = new_context(devices, "deposit")
    box = box_of(page, "texture")
    box.get_by_text("Find it by feel").click()
    for answer in ("yes", "yes", "over 50 mm", "neither"):
        box.get_by_role("group", name="Find it by feel").get_by_role("button", name=answer, exact=True).click()
    box.get_by_role("button", name="Write clay").click()
    frequency = box_of(page, "inclusion_frequency")
    frequency.locator("summary").click()
    frequency.get_by_role("button", name=re.compile("moderate")).click()
    until(lambda: held(recorded, number).inclusion_frequency == "moderate")
    assert held(recorded, number).texture == "clay"


def test_what_a_field_is_and_how_it_is_said_well(devices: Devices) -> None:
    """“What is this?” tells what belongs in the field, its terms, an invented example and who asks for it."""
    page, _ = new_context(devices, "deposit")
    box = box_of(page, "description")
    box.get_by_role("button", name="Description: what is this?").click()
    expect(box).to_contain_text("What was seen, apart from what it may mean.")
    expect(box).to_contain_text("Said well (an invented example):")
    expect(box).to_contain_text("Asked for by: published recording manuals.")
    compaction = box_of(page, "compaction")
    compaction.get_by_role("button", name="Compaction: what is this?").click()
    expect(compaction).to_contain_text("The trade’s words: loose; friable; soft; firm")


def test_free_words_stand_beside_a_measure(devices: Devices, recorded: ServedSite) -> None:
    """Words beside a length are kept among the notes under its name, and stand beside it."""
    page, number = new_context(devices, "deposit")
    box = box_of(page, "length")
    box.get_by_role("button", name="Length: words beside it").click()
    box.get_by_role("textbox", name="Length: words beside it").fill("along the south side only")
    page.keyboard.press("Enter")
    expect(box.locator(".note")).to_have_text("along the south side only")
    until(lambda: held(recorded, number).notes == "Length: along the south side only")


def test_out_of_numbers_a_number_from_paper_is_taken_once(devices: Devices) -> None:
    """Out of reach and without a block, the number comes from the paper register, and is not taken twice."""
    page = devices.record(devices.of(), "document", heading="New document")
    page.context.set_offline(True)
    try:
        page.get_by_role("button", name="Write the document").click()
        expect(page.get_by_role("alert")).to_contain_text("No document number is left in your block")
        page.get_by_label("Number from the paper register").fill("D7")
        page.get_by_role("button", name="Write the document").click()
        expect(page.locator("main h1")).to_contain_text(re.compile(r"document\s+D7"))
        page.evaluate("location.hash = '#/record/document'")
        page.get_by_role("button", name="Write the document").click()
        page.get_by_label("Number from the paper register").fill("D7")
        page.get_by_role("button", name="Write the document").click()
        expect(page.get_by_role("alert")).to_contain_text("There is a document D7 already. A number is used once only")
    finally:
        page.context.set_offline(False)
    devices.faults[:] = [said for said in devices.faults if "ERR_INTERNET_DISCONNECTED" not in said]


def test_a_drawing_takes_a_photo_of_its_sheet(devices: Devices, recorded: ServedSite, tmp_path: Path) -> None:
    """A drawing of the register takes its kind and contexts, and a picture of the sheet that is kept and sent."""
    picture = tmp_path / "sheet.png"
    Image.linear_gradient("L").save(picture)
    page = devices.record(devices.of(), "drawing", heading="New drawing")
    page.get_by_text("section", exact=True).click()
    page.get_by_role("button", name="Write the drawing").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"drawing\s+\d+"))
    number = page.locator("main h1").inner_text().split()[-1]
    box_of(page, "file").locator("input[type=file]").set_input_files(picture)
    expect(box_of(page, "file").locator("img")).to_be_visible()
    sha = hashlib.sha256(picture.read_bytes()).hexdigest()
    until(lambda: any((one.number, one.file) == (number, sha) for one in recorded.record.all(Drawing)))
    until(lambda: sha in recorded.office.files)


def test_words_of_a_list_one_many_and_others(devices: Devices, recorded: ServedSite) -> None:
    """One word of a list, several tools, and a word that an open list does not have are all kept."""
    page, number = new_context(devices, "deposit")
    box_of(page, "compaction").get_by_text("friable", exact=True).click()
    for tool in ("trowel", "mattock"):
        box_of(page, "tools").get_by_text(tool, exact=True).click()
    box_of(page, "formation").get_by_role("button", name="another word").click()
    box_of(page, "formation").get_by_role("textbox", name="How it formed: another word").fill("blown")
    page.keyboard.press("Enter")
    until(lambda: held(recorded, number).formation == "blown")
    assert (held(recorded, number).compaction, held(recorded, number).tools) == ("friable", ("trowel", "mattock"))


def test_a_fill_names_its_cut_by_number(devices: Devices, recorded: ServedSite) -> None:
    """A reference is picked by typing its number; one that is not there is told."""
    page, number = new_context(devices, "fill")
    box = box_of(page, "fill_of")
    asked = box.get_by_role("combobox", name="Fill of: pick by number or word")
    asked.fill("9999")
    asked.press("Enter")
    expect(box.get_by_role("alert")).to_contain_text("No context 9999 is on this device.")
    asked.fill("105")
    asked.press("Enter")
    until(lambda: held(recorded, number).fill_of == recorded.record.numbered(Context, "105").id)


def test_a_find_from_a_context(devices: Devices, recorded: ServedSite) -> None:
    """Two presses beside the context write a find with its number, material and place."""
    page, number = new_context(devices, "deposit")
    page.get_by_role("link", name="Find from it").click()
    page.locator("[data-field='material'] select").select_option("glass waste")
    page.get_by_text("dry sieve", exact=True).click()
    page.get_by_role("button", name="Write the find").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"find\s+\d+"))
    find = page.locator("main h1").inner_text().split()[-1]
    until(lambda: any(one.number == find for one in recorded.record.all(Find)))
    kept = recorded.record.numbered(Find, find)
    assert (kept.material, kept.recovery, kept.status, kept.context) == (
        "glass waste",
        "dry sieve",
        "lifted",
        held(recorded, number).id,
    )


def test_the_diary_of_today(devices: Devices, recorded: ServedSite) -> None:
    """The day is begun by one press for the unit worked on, and written on from then."""
    page = devices.record(devices.of(), "day", heading="Diary")
    page.get_by_role("button", name="Begin the diary of today").click()
    box_of(page, "done").locator("textarea").fill("Opened the east half.")
    box_of(page, "done").locator("textarea").blur()
    until(lambda: any(entry.done == "Opened the east half." for entry in recorded.record.all(DayEntry)))


def test_possible_remains_are_stopped_covered_told_and_withheld(devices: Devices, recorded: ServedSite) -> None:
    """The step tells to stop, cover and notify, writes the log and the notice, and the crew's pages never show them."""
    page = devices.record(devices.of(), "remains", heading="Possible human remains")
    expect(page.locator("main")).to_contain_text("Stop work here.")
    expect(page.locator("main")).to_contain_text("no legal advice")
    expect(page.get_by_role("button", name="Write the log")).to_be_disabled()
    page.get_by_label("What was seen that raises the possibility").fill("A long cut, set east to west, with nails along both sides")
    for step in ("stopped", "covered", "notified"):
        page.get_by_label(step, exact=True).check()
    page.get_by_label("Covered with").fill("clean soil and boards")
    page.get_by_label("Whom you told").fill("site director, by telephone")
    page.get_by_role("button", name="Write the log").click()
    expect(page.get_by_role("status").filter(has_text="The log is kept on this device")).to_be_visible()
    until(lambda: any((one.cover or "") == "clean soil and boards" for one in recorded.record.all(Burial)))
    burial = next(one for one in recorded.record.all(Burial) if one.cover == "clean soil and boards")
    assert burial.steps == ("stopped", "covered", "notified")
    assert any(one.burial == burial.id and one.to == "site director, by telephone" for one in recorded.record.all(Notice))
    devices.record(page, "remains")
    expect(page.get_by_role("heading", name="On this device, not yet sent")).to_have_count(0)


def test_a_new_unit_is_laid_out(devices: Devices, recorded: ServedSite) -> None:
    """Corner and sides in any quantity give the four corners; the diagonal to tape is told; the sheet opens."""
    page = devices.record(devices.of(), "new-unit")
    page.get_by_label(re.compile("corner: Easting")).fill("110")
    page.get_by_label(re.compile("corner: Northing")).fill("205.5")
    page.get_by_label(re.compile("grid east")).fill("150 cm")
    page.get_by_label(re.compile("grid north")).fill("2")
    expect(page.locator("main")).to_contain_text(re.compile(r"Both diagonals should tape as 2\.50\sm"))
    page.get_by_label("Why here").fill("The line of the old wall")
    page.get_by_label("What it is to answer").fill("Does the wall run on?")
    page.get_by_role("button", name="Write the unit").click()
    expect(page.locator("main h1")).to_contain_text(re.compile(r"unit\s+\d+"))
    number = page.locator("main h1").inner_text().split()[-1]
    until(lambda: any(unit.number == number for unit in recorded.record.all(Unit)))
    unit = recorded.record.numbered(Unit, number)
    assert [tuple(corner) for corner in unit.corners or ()] == [(110, 205.5), (111.5, 205.5), (111.5, 207.5), (110, 207.5)]
    assert (unit.shape, unit.reason, unit.question) == ("rectangle", "The line of the old wall", "Does the wall run on?")
    devices.record(page, heading=f"Record unit {number}")
    expect(page.locator("main")).to_contain_text("No context yet.")
    page.locator("main fieldset").get_by_text("1", exact=True).click()
    expect(page.locator("main h1")).to_have_text("Record unit 1")


def test_what_is_lost_at_backfill_stands_beside_every_page(devices: Devices) -> None:
    """A new context brings its blanks, level, photo and relation into the list; each line opens the box that mends it."""
    page, number = new_context(devices, "deposit")
    aside = page.get_by_role("complementary", name="Only while open")
    expect(aside).to_contain_text(f"{number}: no level on its top")
    expect(aside).to_contain_text(f"{number}: no photo")
    expect(aside).to_contain_text(f"{number}: nothing says what it lies over or under")
    expect(aside).to_contain_text("From the last closing check")
    expect(aside.locator("li").first).to_contain_text(number)  # what is about the open sheet stands first
    aside.get_by_role("link", name=re.compile(rf"^Context {number}: Description")).click()
    expect(box_of(page, "description").locator("textarea")).to_be_focused()
    box_of(page, "description").locator("textarea").fill("Ash.")
    expect(aside.get_by_role("link", name=re.compile(rf"^{number}: Description"))).to_have_count(0)


def test_speaking_is_offered_only_where_the_device_listens(devices: Devices) -> None:
    """Where speech is heard a box has its button and takes the words; where it is not there is no button."""
    deaf = devices.join()
    deaf.add_init_script("delete window.SpeechRecognition; delete window.webkitSpeechRecognition;")
    deaf.reload()
    deaf, _ = new_context(devices, "deposit", deaf)
    expect(box_of(deaf, "description").get_by_role("button", name=re.compile("speak"))).to_have_count(0)
    listening = devices.join("RM")
    listening.add_init_script(
        """window.SpeechRecognition = class {
             start() {
               const said = { resultIndex: 0, results: [[{ transcript: ' grey ash ' }]] };
               setTimeout(() => { this.onresult(said); this.onend(); }, 50);
             }
             stop() {}
           };"""
    )
    listening.reload()
    listening, _ = new_context(devices, "deposit", listening)
    box = box_of(listening, "description")
    box.get_by_role("button", name="Description: speak into the box").click()
    expect(box.locator("textarea")).to_have_value("grey ash")
    expect(box.get_by_role("status")).to_have_text("kept")
