"""A question is weighed from the page alone: read, answered cell by cell, begun, and compared with what it was before."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from baulk.record import Evidence, Expectation, Question, Reading, Test
from baulk.work.demo import DemoSites
from tests.browser.conftest import Opener
from tests.browser.recording import Devices, ServedSite, served_to_devices
from tests.browser.test_accessibility import findings
from tests.browser.waiting import comes_to, until

pytestmark = pytest.mark.browser


@pytest.fixture
def recorded(demo: DemoSites, tmp_path: Path) -> Iterator[ServedSite]:
    """A copy of the demo site for each test: a word said in one would weigh in another."""
    yield from served_to_devices(demo.good, tmp_path)


@pytest.fixture
def devices(browser: Browser, recorded: ServedSite) -> Iterator[Devices]:
    """Devices on which people join; an error that a page tells fails the test."""
    found = Devices(browser, recorded)
    yield found
    found.close()


def question(devices: Devices, page: Page, number: str = "1") -> Page:
    """Go to a question."""
    page.goto(f"{devices.site.address}#/readings/{number}")
    page.locator("main table").first.wait_for()
    return page


def shares(page: Page) -> dict[str, float]:
    """Return the answer as it stands on the page, in per cent by the mark of the reading."""
    rows = page.locator("main section ol").first.locator("li")
    return {
        row.locator(".mark").inner_text(): float(re.sub(r"[^\d.]", "", row.locator(".share").inner_text())) for row in rows.all()
    }


def cell(page: Page, piece: str, reading: str) -> Locator:
    """Return the cell of a piece under a reading."""
    return page.get_by_role("button", name=re.compile(rf"^{re.escape(piece)} under {re.escape(reading)}"))


def test_anyone_may_read_the_table(opened: Opener) -> None:
    """Without joining the page shows the answer, the table and the tests, and says how to join; nothing can be changed."""
    page = opened("readings/1")
    expect(page.locator("h1")).to_have_text("1. What is the curved setting of setts?")
    until(lambda: next(iter(shares(page)), "") == "1A")
    expect(page.get_by_role("link", name="To ask or to answer, join the site with this device first").first).to_be_visible()
    expect(page.locator("tbody tr.together")).to_have_count(4)
    cell(page, "1.09", "Path round a post or tree").click()
    expect(page.locator("[data-editor]")).to_be_focused()
    expect(page.locator(".editor").get_by_role("radio", name="often: at")).to_be_disabled()
    expect(page.locator(".lost").first).to_have_text("Lost at backfill")


def test_a_withheld_question_is_told_without_its_words(opened: Opener) -> None:
    """The list counts the question that weighs a grave, tells what to do, and shows none of its words; its address is unknown."""
    page = opened("readings")
    expect(page.locator("main")).to_contain_text("1 question is withheld here. Possible human remains: stop, cover, notify")
    assert "rectangular" not in page.locator("main").inner_text().lower()


def test_a_bar_is_as_long_as_its_weight_and_stands_on_its_side(opened: Opener) -> None:
    """Bars right of the axis say “for” in words, those left “against”, and lengths keep the proportion of the decibans."""
    page = opened("readings/1")
    found = []
    for button in page.locator("button.cell").all():
        told = re.search(r"([\d.]+) decibans (for|against)", button.get_attribute("aria-label") or "")
        bar = button.locator("rect")
        left, width = (float(bar.get_attribute(name) or 0) for name in ("x", "width"))
        if told and float(told[1]) > 1:
            assert (left == 50) == (told[2] == "for") and (left + width == pytest.approx(50)) == (told[2] == "against")
            found.append(width / float(told[1]))
    assert len(found) > 40
    assert max(found) / min(found) < 1.1


def test_a_word_chosen_in_a_cell_shifts_the_answer_at_once(devices: Devices, recorded: ServedSite) -> None:
    """One word changed by keys alone turns the lead; the site file has it; undo takes it back."""
    page = question(devices, devices.of("AK"))
    before = shares(page)
    cell(page, "1.09", "Path round a post or tree").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-editor]")).to_be_focused()
    page.get_by_role("radio", name="hardly ever").focus()
    page.keyboard.press("Space")
    expect(page.locator("main section ol").first.locator("li").first.locator(".mark")).to_have_text("1E")
    expect(page.locator(".editor [role=status]")).to_contain_text("Now: Yard surface, the rest robbed")
    page.keyboard.press("Escape")
    expect(cell(page, "1.09", "Path round a post or tree")).to_be_focused()
    until(lambda: _word(recorded, "1.09", "1A") == "hardly ever")
    page.get_by_role("button", name="Undo").first.click()
    expect(page.locator("main section ol").first.locator("li").first.locator(".mark")).to_have_text("1A")
    comes_to(lambda: shares(page), before)
    until(lambda: _word(recorded, "1.09", "1A") == "often")


def _word(recorded: ServedSite, piece: str, reading: str) -> str | None:
    record = recorded.record
    held = [one for one in record.all(Expectation) if (record.label(one.evidence), record.label(one.reading)) == (piece, reading)]
    return held[-1].word if held else None


def test_why_and_cause_are_kept_and_a_piece_is_set_aside(devices: Devices, recorded: ServedSite) -> None:
    """Words typed beside a cell are kept; a piece that is set aside stays in the table with its reason and weighs nothing."""
    page = question(devices, devices.of("AK"))
    cell(page, "1.12", "Stand for a crane or winch").click()
    page.get_by_label("Why", exact=True).fill("A stand needs no name in a rental.")
    page.get_by_label("Why", exact=True).press("Tab")
    page.get_by_role("button", name="Close").click()
    page.get_by_role("button", name="1.12 The rental").click()
    page.get_by_label("Set aside because").fill("which way is not said")
    page.get_by_label("Set aside because").press("Tab")
    expect(page.locator("tr.aside")).to_contain_text("set aside: which way is not said")
    until(lambda: any(one.set_aside for one in recorded.record.all(Evidence)))
    until(lambda: any(one.why == "A stand needs no name in a rental." for one in recorded.record.all(Expectation)))
    page.get_by_label("Set aside because").fill("")
    page.get_by_label("Set aside because").press("Tab")
    expect(page.locator("tr.aside")).to_have_count(0)


def test_a_question_is_begun_weighed_and_compared(devices: Devices, recorded: ServedSite) -> None:
    """A newcomer's way: choose a pattern and a context, accept what the record says, answer a look, and the path leads."""
    page = devices.of("TB")
    page.goto(f"{recorded.address}#/readings")
    page.locator("summary", has_text="Ask a new question").click()
    page.get_by_label("What kind of thing is it?").select_option("setting")
    page.get_by_role("checkbox", name=re.compile("^109 ")).check()
    page.get_by_role("button", name="Ask it").click()
    expect(page.locator("h1")).to_have_text("3. What was the setting of bricks or stones?")
    expect(page.locator("main")).to_contain_text("Nothing is seen yet. Begin with what the record says")
    accepting = page.get_by_role("button", name=re.compile("^Accept: "))
    accepting.first.wait_for()
    while accepting.count():
        label = accepting.first.get_attribute("aria-label")
        accepting.first.click()
        expect(page.get_by_role("button", name=label or "", exact=True)).to_have_count(0)
    page.get_by_role("button", name=re.compile("^There ")).first.click()
    expect(page.locator("main section ol").first.locator("li").first).to_contain_text("Path or paved way")
    number = 3
    until(lambda: any(one.number == str(number) for one in recorded.record.all(Question)))
    own = recorded.record.numbered(Question, str(number))
    until(lambda: len(recorded.record.pointing_at(Evidence, "question", own.id)) > 10)
    until(lambda: len(recorded.record.pointing_at(Reading, "question", own.id)) > 8)
    page.locator("summary", has_text="Changes of mind").click()
    page.get_by_label("State after").select_option(index=1)
    expect(page.locator("main section table").last).to_contain_text("Path or paved way")


def test_a_question_of_ones_own(devices: Devices, recorded: ServedSite) -> None:
    """Without a pattern the readings are named one a line, and none of these is always there; a piece is taken out again."""
    page = devices.of("TB")
    page.goto(f"{recorded.address}#/readings")
    page.locator("summary", has_text="Ask a new question").click()
    page.get_by_label("What kind of thing is it?").select_option("own")
    page.get_by_role("button", name="Ask it").click()
    expect(page.locator("details.frame")).to_contain_text("Write the question, and at least two readings, one a line.")
    page.get_by_label("The question in words").fill("What stood in the socket?")
    page.get_by_label("What may it have been?").fill("A post\nA tree")
    page.get_by_role("button", name="Ask it").click()
    expect(page.locator("h1")).to_contain_text("What stood in the socket?")
    expect(page.locator("main section ol").first.locator("li")).to_have_count(3)
    page.locator("summary", has_text="Enter evidence").click()
    adding = page.locator("details", has_text="Enter evidence")
    adding.get_by_label("What was seen").fill("Shreds of bark")
    adding.get_by_role("button", name="Enter", exact=True).click()
    before = shares(page)
    page.get_by_role("button", name=re.compile(r"under A tree: not said")).click()
    page.get_by_role("radio", name=re.compile("^usually")).check()
    post = next(mark for mark in before if mark.endswith("A"))
    expect(page.locator(".editor")).to_contain_text(f"does not count yet: not said under {post}.")
    expect(page.locator("tr.waits th")).to_contain_text(f"does not count yet: not said under {post}")
    expect(page.locator("main [role=note]")).to_contain_text("One piece does not count yet")
    assert shares(page) == before
    page.get_by_role("button", name="Say “cannot say” in the cells not said").click()
    expect(page.locator("tr.waits")).to_have_count(0)
    expect(page.get_by_role("button", name=re.compile(r"under A post: cannot say; .* against"))).to_have_count(1)
    expect(page.locator("main section ol").first.locator("li").first).to_contain_text("A tree")
    assert shares(page)[post] < before[post]
    page.keyboard.press("Escape")
    page.get_by_role("button", name=re.compile(r"Shreds of bark$")).click()
    page.get_by_role("button", name="Take out of the table").click()
    expect(page.locator("tbody")).not_to_contain_text("Shreds of bark")


def test_all_that_the_record_says_is_accepted_in_one_press(devices: Devices, recorded: ServedSite) -> None:
    """Each line gets a mark of its own."""
    page = question(devices, devices.of("TB"))
    page.get_by_role("button", name=re.compile("^Accept all")).click()
    expect(page.locator("main")).to_contain_text("The record has nothing more to say to this pattern.")
    until(lambda: {"soft", "old-ground", "void"} <= {one.line for one in recorded.record.all(Evidence)})
    marks = [one.number for one in recorded.record.all(Evidence) if one.question == recorded.record.numbered(Question, "1").id]
    assert len(set(marks)) == len(marks)


def enter_what_the_bark_was(page: Page) -> None:
    """Press how the look at the bark came out, and wait until it is counted."""
    page.get_by_role("button", name=re.compile("^roots: it grew there")).click()
    expect(page.locator("tbody")).to_contain_text("Have the bark of 122 named: a growing tree, or a post?: roots: it grew there")


def test_a_test_that_was_made_is_entered_by_its_outcome(devices: Devices, recorded: ServedSite) -> None:
    """Pressing what came out counts it as evidence and takes it off the list of looks."""
    page = question(devices, devices.of("AK"))
    enter_what_the_bark_was(page)
    until(lambda: any(one.result == "roots: it grew there" for one in recorded.record.all(Test)))


def test_a_look_not_taken_yet_is_entered_and_ranked(devices: Devices, recorded: ServedSite) -> None:
    """A look with its hours and a word for each reading stands in the list with what it is expected to tell."""
    page = question(devices, devices.of("AK"))
    page.locator("summary", has_text="Enter a look not taken yet").click()
    adding = page.locator("details", has_text="Enter a look not taken yet")
    adding.get_by_role("button", name="Enter", exact=True).click()
    expect(adding).to_contain_text("Say what is to be done, and how many hours it takes.")
    adding.get_by_label("What is to be done").fill("Do the arcs close to a ring?")
    adding.get_by_label("Yes, if it was “Path round a post or tree”").select_option("usually")
    adding.get_by_label("Yes, if it was “Yard surface, the rest robbed”").select_option("hardly ever")
    adding.get_by_role("button", name="Enter", exact=True).click()
    expect(
        page.locator("ol li", has_text="Do the arcs close to a ring?").get_by_role("button", name=re.compile("^yes"))
    ).to_be_visible()
    until(lambda: any(one.does == "Do the arcs close to a ring?" for one in recorded.record.all(Test)))
    entered = next(one for one in recorded.record.all(Test) if one.does == "Do the arcs close to a ring?")
    path = next(one.id for one in recorded.record.all(Reading) if one.number == "1A")
    assert entered.outcomes is not None and entered.outcomes["yes"][path] == 0.9 and entered.outcomes["no"][path] == 0.1
    assert entered.only_open == "lost for good" and entered.hours == 1.0


def test_evidence_and_readings_are_added(devices: Devices, recorded: ServedSite) -> None:
    """A new piece stands in the table with blank cells shown as empty boxes; a new reading has a column of its own."""
    page = question(devices, devices.of("AK"))
    enter_what_the_bark_was(page)
    page.locator("summary", has_text="Enter evidence").click()
    page.get_by_label("What was seen").last.fill("Glass drips trodden between the setts")
    page.get_by_role("button", name="Enter", exact=True).first.click()
    expect(page.locator("tbody")).to_contain_text("Glass drips trodden between the setts")
    until(lambda: page.locator("button.cell.blank").count() >= 5)
    page.locator("summary", has_text="Add a reading").click()
    adding = page.locator("details", has_text="Add a reading")
    adding.get_by_label("Reading", exact=True).fill("Turning place for carts")
    adding.get_by_role("button", name="Enter", exact=True).click()
    expect(page.locator("thead")).to_contain_text("Turning place for carts")
    note = page.locator("main [role=note]", has_text="pieces do not count yet")
    expect(note).to_contain_text("1G")
    note.get_by_role("button", name=re.compile("^Say “cannot say” in all")).click()
    expect(page.locator("tr.waits")).to_have_count(0)
    expect(page.locator("main")).to_contain_text("not said under 1G: taken as “cannot say”")  # of the test that was made
    until(lambda: any(one.name == "Turning place for carts" and one.number == "1G" for one in recorded.record.all(Reading)))


def test_a_prior_that_is_no_share_is_refused_beside_its_box(devices: Devices, recorded: ServedSite) -> None:
    """Words, and a number above 1, are refused in words and blank nothing; a share with a comma is kept."""
    page = question(devices, devices.of("AK"))
    page.locator("thead button.head").first.click()
    prior = page.get_by_label("Prior, 0 to 1")
    was = prior.input_value()
    for typed, told in (("half", "is no number"), ("5", "0 to 1")):
        prior.fill(typed)
        prior.blur()
        expect(page.locator(".editor").get_by_role("alert")).to_contain_text(told)
    assert not [one for one in recorded.record.all(Reading) if one.prior is not None and one.prior > 1]
    prior.fill("0,27")
    prior.blur()
    expect(page.locator(".editor").get_by_role("alert")).to_have_count(0)
    until(lambda: any(one.prior == 0.27 for one in recorded.record.all(Reading)))
    prior.fill(was)  # as it was, for the other tests of this site
    prior.blur()
    until(lambda: not any(one.prior == 0.27 for one in recorded.record.all(Reading)))


def test_on_a_phone_two_readings_stand_side_by_side(devices: Devices) -> None:
    """At 360 pixels nothing runs over the edge, the leader stands beside a reading of choice, and targets are large enough."""
    page = question(devices, devices.join("RM", width=360, height=740, touch=True))
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    expect(page.locator("thead th")).to_have_count(3)
    page.get_by_label("Beside the leader, show").select_option(label="1C Footing of a curved wall")
    expect(page.locator("thead")).to_contain_text("Footing of a curved wall")
    cell(page, "1.10", "Footing of a curved wall").tap()
    expect(page.locator(".editor")).to_contain_text("Of a hundred that truly were “Footing of a curved wall”")
    small = [
        box for button in page.locator("main button:visible, main select:visible, main summary:visible").all()
        if (box := button.bounding_box()) and (box["height"] < 43.5 or box["width"] < 43.5)
    ]  # fmt: skip
    assert small == []
    assert findings(page) == []


def test_the_engine_finds_nothing_while_a_cell_is_open(devices: Devices) -> None:
    """The accessibility engine finds nothing with an editor, the proposals and the changes open."""
    page = question(devices, devices.of("AK"))
    cell(page, "1.01", "Path round a post or tree").click()
    page.locator("summary", has_text="Changes of mind").click()
    page.get_by_label("State after").wait_for()
    assert findings(page) == []


def test_a_word_that_changes_nothing_says_with_which_piece_it_is_counted_once(devices: Devices, recorded: ServedSite) -> None:
    """Under one cause the least expected word stands; the other says so, and the old reason beside a new word is asked for."""
    page = question(devices, devices.join("OR"))
    place = cell(page, "1.08", "Yard surface, the rest robbed")
    old = next(
        one.why for one in recorded.record.all(Expectation)
        if (recorded.record.label(one.evidence), recorded.record.label(one.reading)) == ("1.08", "1E")
    )  # fmt: skip
    place.click()
    before, editor = shares(page), page.locator(".editor")
    expect(editor.get_by_role("button", name="It still holds")).to_have_count(0)
    page.get_by_role("radio", name=re.compile("^as often as not")).check()
    expect(editor.get_by_role("status").first).to_contain_text("Kept.")
    expect(editor).to_contain_text(re.compile("Counted once, together with 1.09 .*1.09 is less expected and stands for all"))
    assert shares(page) == before
    expect(editor).to_contain_text("“as often as not” was said after this reason was written. Does the reason still hold?")
    expect(editor.get_by_label("Why", exact=True)).to_have_value(old or "")
    editor.get_by_role("button", name="It still holds").click()
    expect(editor.get_by_role("button", name="It still holds")).to_have_count(0)
    page.get_by_role("radio", name=re.compile("^hardly ever")).check()
    expect(editor).to_contain_text("the word here is the least expected of them, so it stands for all")
    editor.get_by_role("button", name="Take it out and write another").click()
    expect(editor.get_by_label("Why", exact=True)).to_be_focused()
    expect(editor.get_by_label("Why", exact=True)).to_have_value("")
    page.keyboard.type("Rows bend round the socket.")
    page.keyboard.press("Tab")
    expect(editor.get_by_role("button", name="It still holds")).to_have_count(0)
    page.get_by_role("radio", name=re.compile("^seldom")).check()
    assert findings(page) == []


def test_one_share_is_told_with_one_rounding(devices: Devices) -> None:
    """The likeliest share stands in the sentences as it stands in the list, with the same decimals."""
    page = question(devices, devices.of("AK"))
    told = page.locator("main section .share").first.inner_text().replace("\u00a0", " ")
    low, high = page.locator("main section .low").first.inner_text().replace("\u00a0", " ").split(";")[0].split(" to ")
    expect(page.locator("p.says")).to_contain_text(f"is the likeliest reading at {told};")
    expect(page.locator("p.says")).to_contain_text(f"it lies between {low} and {high}")
    assert float(high.removeprefix("over ").removesuffix(" %")) > 90 and "." in high  # where the two roundings parted


def test_joining_late_keeps_the_code_and_comes_back(devices: Devices, recorded: ServedSite) -> None:
    """The code of the printed address is still there after looking about, and joining leads back to the question."""
    context = devices.browser.new_context(locale="en-GB")
    devices.contexts.append(context)
    page = context.new_page()
    page.goto(f"{recorded.address}#/join/{recorded.code}")
    expect(page.get_by_label("Joining code")).to_have_value(recorded.code)
    page.goto(f"{recorded.address}#/readings/1")
    page.get_by_role("link", name="To ask or to answer, join the site with this device first").first.click()
    expect(page.get_by_label("Joining code")).to_have_value(recorded.code)
    page.locator("main form input").nth(1).fill("LJ")
    page.get_by_role("button", name="Join the site").click()
    expect(page.locator("h1")).to_have_text("1. What is the curved setting of setts?")
    page.locator("summary", has_text="Enter evidence").wait_for()
    page.goto(f"{recorded.address}#/join")
    expect(page.get_by_label("Joining code")).to_have_value("")


def test_out_of_reach_it_says_so_and_weighs_when_the_server_answers(devices: Devices, recorded: ServedSite) -> None:
    """A word said without a network is kept, the old answer is told as such, and the new one comes by itself."""
    page = question(devices, devices.join("NW"))
    before = shares(page)
    place = cell(page, "1.10", "Path round a post or tree")
    place.click()
    page.context.set_offline(True)
    page.get_by_role("radio", name=re.compile("^nearly always")).check()
    said = "Not weighed: the server does not answer. What you entered is kept on this device"
    expect(page.locator(".editor").get_by_role("status").first).to_contain_text(said)
    expect(page.locator(".editor").get_by_role("status").first).not_to_contain_text("Now:")
    assert shares(page) == before and _word(recorded, "1.10", "1A") != "nearly always"
    page.context.set_offline(False)
    expect(page.locator(".editor").get_by_role("status").first).to_contain_text("Now:")
    until(lambda: shares(page) != before)
    until(lambda: _word(recorded, "1.10", "1A") == "nearly always")
    devices.faults[:] = [one for one in devices.faults if "ERR_INTERNET_DISCONNECTED" not in one]  # this is what was tried
