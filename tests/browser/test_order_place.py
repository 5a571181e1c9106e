"""The place “Order” answers why, how likely, what to doubt, what seems missed, and which phases; a large order unfolds."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from random import Random

import pytest
from playwright.sync_api import Locator, Page, expect

from baulk.record import Context, Relation, Site, SiteRecord, Unit, build
from baulk.work.study import Study
from tests.browser.conftest import Opener, serving, settled
from tests.browser.test_accessibility import findings
from tests.browser.waiting import comes_to, until

pytestmark = pytest.mark.browser


def why(page: Page) -> Locator:
    """Return the part that asks why."""
    return page.get_by_role("region", name="Why is one later than the other?")


def ask(page: Page, later: str, earlier: str) -> None:
    """Ask by number."""
    why(page).get_by_label("Later", exact=True).fill(later)
    why(page).get_by_label("Earlier", exact=True).fill(earlier)
    why(page).get_by_role("button", name="Ask").click()
    settled(page)


def boxes_on_path(page: Page) -> list[str]:
    """Return the numbers of the boxes marked as the chain."""
    names = page.locator(".drawing g.on-path[data-record]").evaluate_all("boxes => boxes.map(box => box.dataset.name)")
    return [str(name) for name in names]


def test_why_is_answered_by_number_step_by_step(opened: Opener) -> None:
    """101 is later than 118 by three relations, each with where it was seen; the chain is marked in the drawing and the address."""
    page = opened("order")
    ask(page, "101", "118")
    expect(why(page)).to_contain_text("101 > 102 > 108 > 118")
    steps = why(page).locator("ol > li")
    expect(steps).to_have_count(3)
    expect(steps.nth(0)).to_contain_text("seen in plan and wall · firm")
    expect(steps.nth(2)).to_contain_text("seen in wall · probable")
    comes_to(lambda: sorted(boxes_on_path(page)), ["101", "102", "108", "118"])
    expect(page.locator('.drawing g.baulk-relation.on-path[data-name="101>102"]')).to_have_count(1)
    steps.nth(2).locator(".chip").first.click()
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("deposit 108")
    settled(page)  # a picture of the card whose fetching the reload breaks off would count as a fault
    page.reload()
    settled(page)
    expect(why(page)).to_contain_text("101 > 102 > 108 > 118")


def test_why_is_answered_by_pointing(opened: Opener) -> None:
    """The first context pointed to is the later one, the second the earlier; a list serves as well as the drawing."""
    page = opened("order")
    why(page).get_by_role("button", name="Point to both").click()
    expect(why(page)).to_contain_text("Point to the later context")
    page.locator('.drawing g[data-name="102"]').click()
    expect(why(page)).to_contain_text("102 is to be the later one")
    page.locator(".stack button").filter(has_text=re.compile(r"^\s*119\b")).click()
    settled(page)
    expect(why(page).get_by_label("Earlier", exact=True)).to_have_value("119")
    expect(why(page).locator("ol > li").first).to_contain_text("overlies")
    expect(why(page).get_by_role("button", name="Point to both")).to_have_attribute("aria-pressed", "false")


def test_why_is_answered_by_keys_alone(opened: Opener) -> None:
    """Full stop steps without taking, Enter takes; Escape stops pointing and keeps the page as it was."""
    page = opened("order")
    why(page).get_by_role("button", name="Point to both").press("Enter")
    frame = page.locator(".drawing .frame")
    frame.focus()
    page.keyboard.press(".")
    page.keyboard.press(".")
    expect(why(page).get_by_label("Later", exact=True)).to_have_value("")
    page.keyboard.press("Enter")
    expect(why(page).get_by_label("Later", exact=True)).not_to_have_value("")
    expect(frame).to_be_focused()
    page.keyboard.press("Escape")
    expect(why(page).get_by_role("button", name="Point to both")).to_be_visible()


def test_without_a_chain_the_likely_order_is_offered(opened: Opener) -> None:
    """Nothing makes 107 later than 112: said so, and P(112 before 107) is 80 % of 8,400 orders, counted over 22 contexts."""
    page = opened("order")
    ask(page, "107", "112")
    expect(why(page)).to_contain_text("Nothing recorded makes 107 later than 112")
    comes_to(lambda: boxes_on_path(page), [])
    why(page).get_by_role("button", name="How likely is it?").click()
    expect(why(page)).to_contain_text("P(112 before 107)")
    expect(why(page)).to_contain_text(re.compile(r"80\.0\s%"))
    expect(why(page)).to_contain_text("All 8,400 orders were counted.")
    expect(why(page)).to_contain_text("22 contexts")
    expect(why(page)).to_contain_text("It is no date.")


def test_the_other_way_round_is_one_press(opened: Opener) -> None:
    """Asked the wrong way round, the page says so, and a press turns the question."""
    page = opened("order")
    ask(page, "118", "101")
    expect(why(page)).to_contain_text("No chain makes 118 later than 101")
    why(page).get_by_role("button", name="Ask the other way round").click()
    settled(page)
    expect(why(page)).to_contain_text("101 > 102 > 108 > 118")


def test_what_cannot_be_asked_is_told_in_words(opened: Opener, mistaken_address: str) -> None:
    """Asked with one number only, the page asks for two contexts and sends nothing."""
    page = opened("order", at=mistaken_address)
    why(page).get_by_label("Later", exact=True).fill("101")
    why(page).get_by_role("button", name="Ask").click()
    expect(why(page)).to_contain_text("Give two contexts by their numbers")


def test_the_loop_names_the_relation_to_doubt(opened: Opener, mistaken_address: str) -> None:
    """The loop of the copy with mistakes is shown with the one relation to doubt, its certainty, its sheet and its cycle."""
    page = opened("order", at=mistaken_address)
    loop = page.locator("main li").filter(has_text="earlier than itself")
    assert {"108", "109", "111", "113"} <= set(re.findall(r"\d+", loop.locator("p").first.inner_text()))
    relation = loop.locator(".relation")
    expect(relation).to_have_count(1)
    expect(relation).to_contain_text("overlies")
    expect(relation).to_contain_text("seen in plan · probable · entered on later's sheet")
    expect(loop).to_contain_text(re.compile(r"It closes 109 .* 109\."))
    relation.locator(".chip").first.click()
    expect(page.locator(".drawing g.chosen")).to_have_count(1)


def test_the_contradicted_relation_has_evidence_and_how_to_settle_it(opened: Opener, mistaken_address: str) -> None:
    """The wrong level of 119 is shown with both contexts, what was seen, where to look, and the records that show it."""
    page = opened("order", at=mistaken_address)
    card = page.locator("main li").filter(has_text="levels book")
    expect(card).to_contain_text("900 mm above the base of 118")
    expect(card).to_contain_text("To settle it:")
    expect(card.locator(".chip").first).to_contain_text("118")
    card.get_by_role("button", name="top of 119").click()
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("29.803")


def test_the_sound_demo_asks_for_no_look(opened: Opener) -> None:
    """The negative control: the demo without mistakes shows no card, and says what was not compared."""
    page = opened("order")
    expect(page.locator("main")).to_contain_text("Nothing in the relations asks for a look.")
    expect(page.locator("main")).to_contain_text("Records that are withheld here were not compared.")
    expect(page.locator(".look > li")).to_have_count(0)


def test_phase_conflicts_are_one_press_away(opened: Opener, mistaken_address: str) -> None:
    """The line on conflicts opens the table with those alone; all can be shown; the phase of a possible grave is withheld."""
    page = opened("order", at=mistaken_address)
    page.get_by_role("button", name="2 contexts are put in a phase that the order contradicts").click()
    rows = page.locator("main table tbody tr:not(.conflict)")
    expect(rows).to_have_count(2)
    expect(page.locator("main tr.conflict").first).to_contain_text("108 > 109 > 113")
    page.get_by_role("radio", name="all").check()
    expect(rows).to_have_count(22)
    expect(rows.filter(has_text="114").first).to_contain_text("withheld")
    rows.filter(has_text="104").first.locator(".chip").click()
    expect(page.get_by_role("complementary", name="Chosen record")).to_contain_text("fill 104")


@pytest.mark.parametrize(("width", "scheme"), [(1366, "light"), (1366, "dark"), (360, "light"), (360, "dark")])
def test_the_engine_finds_nothing_in_the_answers(opened: Opener, mistaken_address: str, width: int, scheme: str) -> None:
    """With a chain, the loop, the missed relation and the phase table open, no rule is broken and nothing spills over."""
    page = opened("order/101%3E119", at=mistaken_address, width=width, scheme=scheme, touch=width == 360)
    page.locator("summary").filter(has_text="Phase table").click()
    settled(page)
    assert findings(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width


def test_the_engine_finds_nothing_in_a_likely_order(opened: Opener) -> None:
    """The likely order breaks no rule either, in the dark."""
    page = opened("order/107%3E112", scheme="dark")
    why(page).get_by_role("button", name="How likely is it?").click()
    settled(page)
    assert findings(page) == []


def large_record(count: int = 3000) -> SiteRecord:
    """Return an invented site of many contexts, each over one or two of the sixty next."""
    chance = Random(3)
    made = [
        build(Site, {"id": "s", "code": "BIG", "name": "Many contexts (invented)", "invented": True, "length_unit": "m"}),
        build(Unit, {"id": "u1", "number": "1"}),
        *(build(Context, {"id": f"c{one}", "number": str(one), "kind": "deposit", "units": ["u1"]}) for one in range(1, count + 1)),
    ]
    for one in range(1, count):
        for below in {min(count, one + chance.randint(1, 60)) for _ in range(chance.choice([1, 1, 2]))}:
            made.append(build(Relation, {"id": f"r{one}-{below}", "later": f"c{one}", "earlier": f"c{below}"}))
    return SiteRecord.of(made, revision=1)


@pytest.fixture(scope="module")
def large() -> Study:
    """The large site."""
    return Study(large_record())


@pytest.fixture(scope="module")
def large_address(large: Study) -> Iterator[str]:
    """Its address."""
    yield from serving(lambda: large)


def drawn_anew(page: Page) -> None:
    """Wait until the drawing stands as it was last asked for."""
    page.locator("[aria-busy=false] .drawing svg").wait_for()


def test_three_thousand_contexts_are_folded_and_unfold(opened: Opener, large_address: str) -> None:
    """The drawing starts legible, folded to some 400 boxes; a box pressed is opened, and all can be folded again, each in time."""
    page = opened("order", at=large_address)
    drawn_anew(page)
    folds = page.locator(".drawing g.baulk-fold")
    boxes = page.locator(".drawing g[data-record]")
    before, shown = folds.count(), boxes.count()
    assert 0 < before <= shown <= 450
    letters = page.locator(".drawing g[data-record] text").first.evaluate("text => text.getBoundingClientRect().height")
    assert letters > 7
    started = time.monotonic()
    inside = folds.evaluate_all(
        """folds => {
          const frame = document.querySelector('.drawing .frame').getBoundingClientRect();
          return folds.findIndex(fold => {
            const box = fold.getBoundingClientRect();
            return box.left > frame.left && box.right < frame.right && box.top > frame.top && box.bottom < innerHeight;
          });
        }"""
    )
    assert inside >= 0
    fold = folds.nth(inside)
    name, record = fold.get_attribute("data-name"), fold.get_attribute("data-record")
    fold.click()
    expect(page.get_by_role("button", name="Fold all again")).to_be_visible()
    drawn_anew(page)
    counted = re.match(r"\d+", name or "")
    assert counted is not None
    held = int(counted[0])
    expect(page.locator(f'.drawing g[data-record="{record}"]:not(.baulk-fold)')).to_have_count(1)
    until(lambda: boxes.count() >= shown + held - 2)
    assert time.monotonic() - started < 30
    page.get_by_role("button", name="Fold all again").click()
    expect(boxes).to_have_count(shown)


def test_a_fold_opens_by_keys_and_the_drawing_keeps_the_focus(opened: Opener, large_address: str) -> None:
    """Full stop steps to a folded box, Enter opens it; the drawing has the focus before and after."""
    page = opened("order", at=large_address)
    drawn_anew(page)
    frame = page.locator(".drawing .frame")
    frame.focus()
    for _ in range(400):
        page.keyboard.press(".")
        if page.locator(".drawing g.baulk-fold.chosen").count():
            break
    record = page.locator(".drawing g.baulk-fold.chosen").get_attribute("data-record")
    page.keyboard.press("Enter")
    expect(page.locator(f'.drawing g[data-record="{record}"]:not(.baulk-fold)')).to_have_count(1)
    expect(frame).to_be_focused()


def test_a_chain_is_taken_out_of_the_folds(opened: Opener, large: Study, large_address: str) -> None:
    """Contexts of a chain that lie folded are drawn by themselves and marked; a chosen one can be taken out as well."""
    foot = next(str(one) for one in range(300, 900) if large.order.why_steps("1", str(one)))
    links = len(large.order.why_steps("1", foot) or ())
    assert links > 5
    page = opened(f"order/1%3E{foot}", at=large_address)
    expect(why(page).locator("ol > li")).to_have_count(links)
    expect(page.locator(".drawing g.on-path[data-record]:not(.baulk-fold)")).to_have_count(links + 1)
    hidden = "2000"
    page = opened(f"order?chosen=c{hidden}", at=large_address)
    drawn_anew(page)
    button = page.get_by_role("button", name=f"Take {hidden} out of its fold")
    if page.locator(f'.drawing g[data-record="c{hidden}"]').count() == 0:
        button.click()
    expect(page.locator(f'.drawing g.chosen[data-record="c{hidden}"]')).to_have_count(1)
