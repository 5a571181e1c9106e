"""The order as a sheet: what is drawn, what is left out and said."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations
from typing import Any

import networkx as nx
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from baulk.drawing import order_drawing, to_svg
from baulk.drawing.order_folds import folded
from baulk.drawing.order_surety import certainty_word, least_sure, surest
from baulk.record import Context, Relation, SiteRecord
from baulk.sequence.from_record import relations_from
from baulk.sequence.order import order_of

SVG = "{http://www.w3.org/2000/svg}"


def site(relations: str, **kinds: str) -> SiteRecord:
    """Return a record of contexts 1 to 5 with relations like ``1>2 2?3``; ``?`` is a doubtful one."""
    contexts = [
        Context(id=f"c{n}", number=str(n), kind=kinds.get(f"k{n}", "deposit"), colour_moist="10YR 4/3", phase=None)
        for n in range(1, 6)
    ]
    rows = []
    for place, words in enumerate(relations.split()):
        mark = "?" if "?" in words else ">"
        later, earlier = words.split(mark)
        certainty = "doubtful" if mark == "?" else "firm"
        rows.append(Relation(id=f"r{place}", later=f"c{later}", earlier=f"c{earlier}", certainty=certainty, sheet="both sheets"))
    return SiteRecord.of([*contexts, *rows])


def drawn(record: SiteRecord, **options: Any) -> tuple[ET.Element, tuple[str, ...]]:
    """Return the drawing's SVG as a tree and its notes."""
    known = relations_from(record)
    scene = order_drawing(record, known, order_of(known.relations), **options)
    return ET.fromstring(to_svg(scene)), scene.notes


def records(tree: ET.Element) -> set[str]:
    """Return the ids of the records drawn."""
    return {record for group in tree.iter(f"{SVG}g") if (record := group.get("data-record"))}


def relation_titles(tree: ET.Element) -> set[str]:
    """Return what is told of each line."""
    return {title.text for title in tree.iter(f"{SVG}title") if title.text and " is later than " in title.text}


def test_needed_relations_are_drawn_and_redundant_ones_counted() -> None:
    """A redundant relation is not drawn; a note counts it; every context is there once."""
    tree, notes = drawn(site("1>2 2>3 1>3 3>4 4>5"))
    assert relation_titles(tree) == {"1 is later than 2", "2 is later than 3", "3 is later than 4", "4 is later than 5"}
    assert records(tree) == {"c1", "c2", "c3", "c4", "c5"}
    assert any(note.startswith("1 redundant relations") for note in notes)


def test_a_loop_is_opened_at_its_doubtful_relation_and_named() -> None:
    """With a loop the drawing still comes, without the least certain relation, and says which that is."""
    tree, notes = drawn(site("1>2 2>3 3?1 3>4 4>5"))
    assert "3 is later than 1" not in relation_titles(tree)
    assert any("Left out because they close a loop: 3 > 1" in note for note in notes)
    _, sound = drawn(site("1>2 2>3 3>4 4>5"))
    assert not any("loop" in note for note in sound)


def test_certainty_is_the_quality_of_the_line() -> None:
    """A doubtful relation is dotted and a firm one is not."""
    tree, _ = drawn(site("1>2 2?3 3>4 4>5"))
    dashes = {}
    for group in tree.iter(f"{SVG}g"):
        title = group.find(f"{SVG}title")
        if title is not None and title.text and " is later than " in title.text:
            path = group.find(f".//{SVG}path")
            assert path is not None
            dashes[title.text] = path.get("stroke-dasharray")
    assert dashes["1 is later than 2"] is None
    assert dashes["2 is later than 3"]


def strokes(tree: ET.Element) -> dict[str, tuple[str | None, str | None]]:
    """Return dashes and width of each line by what is told of it."""
    found = {}
    for group in tree.iter(f"{SVG}g"):
        title = group.findtext(f"{SVG}title") or ""
        if " is later than " in title:
            path = group.find(f".//{SVG}path")
            assert path is not None
            found[title] = (path.get("stroke-dasharray"), path.get("stroke-width"))
    return found


def unsaid(record: SiteRecord, *relations: str) -> SiteRecord:
    """Return a record in which nobody said how sure some relations are."""
    return SiteRecord.of([
        one.model_copy(update={"certainty": None}) if one.id in relations else one for one in record.by_id.values()
    ])  # fmt: skip


def test_a_blank_certainty_is_drawn_and_named_as_not_recorded() -> None:
    """A relation whose certainty nobody wrote has a line of its own, is told so and stands in the key, and is not probable."""
    record = unsaid(site("1>2 2?3 3>4 4>5"), "r0")
    tree, _ = drawn(record)
    lines = strokes(tree)
    blank = lines.pop("1 is later than 2, how surely is not recorded")
    assert blank not in lines.values()
    assert "how surely seen: not recorded" in words(tree)
    assert "edge uncertain; contact probable" not in words(tree)
    said, _ = drawn(site("1>2 2?3 3>4 4>5"))
    assert "how surely seen: not recorded" not in words(said)


def test_a_blank_on_one_sheet_gives_way_to_the_word_on_another() -> None:
    """A relation written twice, once without a certainty, is drawn by the word that was written, not by the weight of a blank."""
    twice = Relation(id="r9", later="c2", earlier="c3", certainty=None, sheet="later's sheet", how="overlies")
    record = site("1>2 2?3 3>4 4>5")
    tree, _ = drawn(SiteRecord.of([*record.by_id.values(), twice]))
    assert strokes(tree) == strokes(drawn(record)[0])


def test_a_line_through_a_blank_is_not_recorded_either() -> None:
    """A line that stands for a chain is no surer than its links: with a blank one among them nobody said how sure it is."""
    record = unsaid(site("1>2 2>3 3>4 4>5"), "r1")
    tree, _ = drawn(record, contexts=["c1", "c3", "c5"])
    assert relation_titles(tree) == {"1 is later than 3, how surely is not recorded", "3 is later than 5"}


def test_lines_folded_together_are_as_sure_as_the_least_of_them() -> None:
    """Of lines drawn as one a doubtful one tells, then one that nobody said, then the least."""
    nan = float("nan")
    assert certainty_word(least_sure(0.95, 0.75)) == "probable"
    assert certainty_word(least_sure(0.95, nan)) is None
    assert certainty_word(least_sure(nan, 0.5)) == certainty_word(least_sure(0.5, nan)) == "doubtful"
    assert certainty_word(surest(nan, 0.5)) == certainty_word(surest(0.5, nan)) == "doubtful"
    assert certainty_word(surest(0.5, 0.95)) == "firm"
    folded_tree, _ = drawn(unsaid(site("1>2 1>3 1>4 2>5 3>5 4>5"), "r1"), fold_over=3)
    assert relation_titles(folded_tree) == {
        "1 is later than 3 contexts, 2–4, how surely is not recorded", "3 contexts, 2–4 is later than 5",
    }  # fmt: skip


def test_chosen_contexts_keep_the_order_that_runs_through_the_others() -> None:
    """When 2 is not shown, 1 is still joined to 3, which lies under it through 2."""
    tree, _ = drawn(site("1>2 2>3 3>4 4>5"), contexts=["c1", "c3", "c5"])
    assert records(tree) == {"c1", "c3", "c5"}
    assert relation_titles(tree) == {"1 is later than 3", "3 is later than 5"}


def test_a_context_without_relations_is_named() -> None:
    """A floating context is drawn and named in a note."""
    _, notes = drawn(site("1>2 2>3 3>4"))
    assert any("Without any relation" in note and "5" in note for note in notes)


def test_same_contexts_share_a_box() -> None:
    """Two contexts that are one stand in one box with both numbers."""
    base = site("1>2 3>4")
    same = Relation(id="s", later="c2", earlier="c3", how="same as")
    record = SiteRecord.of([*base.by_id.values(), same])
    tree, _ = drawn(record)
    texts = {text.text for text in tree.iter(f"{SVG}text")}
    assert "2 = 3" in texts
    assert {"1 is later than 2 = 3", "2 = 3 is later than 4"} <= relation_titles(tree)


def test_an_empty_site_says_so() -> None:
    """Without contexts there is a sheet with a sentence and no box."""
    record = SiteRecord.of([])
    tree, notes = drawn(record)
    assert records(tree) == set()
    assert "No contexts are recorded yet." in notes


def words(tree: ET.Element) -> set[str]:
    """Return all words on the sheet."""
    return {"".join(text.itertext()) for text in tree.iter(f"{SVG}text")}


def test_a_chain_is_folded_only_beyond_the_number_given() -> None:
    """Five contexts in a chain are one box with their numbers when two boxes are allowed, five boxes when five are."""
    record = site("1>2 2>3 3>4 4>5")
    small, notes = drawn(record, fold_over=2)
    assert {"5 contexts", "1–5"} <= words(small)
    assert relation_titles(small) == set()
    assert any("5 contexts are folded into 1 box:" in note for note in notes)
    large, notes = drawn(record, fold_over=5)
    assert records(large) == {"c1", "c2", "c3", "c4", "c5"}
    assert not any("folded" in note for note in notes)


def test_a_context_is_unfolded_by_its_id() -> None:
    """Asked for by id, a context stands alone and what is above and below it stays as it was."""
    tree, _ = drawn(site("1>2 2>3 3>4 4>5"), fold_over=1, unfold=["c1"])
    assert {"1", "4 contexts", "2–5"} <= words(tree)
    assert relation_titles(tree) == {"1 is later than 4 contexts, 2–5"}


def test_contexts_with_the_same_above_and_below_are_folded_at_their_least_certainty() -> None:
    """2, 3 and 4 between 1 and 5 become one box; the line to it is as doubtful as its most doubtful part."""
    record = site("1>2 1>3 1?4 2>5 3>5 4>5")
    tree, _ = drawn(record, fold_over=3)
    assert relation_titles(tree) == {"1 is later than 3 contexts, 2–4", "3 contexts, 2–4 is later than 5"}
    ends = {"later": np.array([0, 0, 0, 1, 2, 3]), "earlier": np.array([1, 2, 3, 4, 4, 4])}
    found = folded(5, certainty=np.array([0.95, 0.95, 0.5, 0.95, 0.95, 0.95]), bands=[0] * 5, most=3, kept=frozenset(), **ends)
    assert sorted(found.certainty.tolist()) == [0.5, 0.95]


def test_phases_are_not_folded_together() -> None:
    """A chain that runs through two phases becomes a box in each."""
    base = site("1>2 2>3 3>4 4>5")
    later = [Context(id=f"c{n}", number=str(n), kind="deposit", phase=2 if n < 3 else 1) for n in range(1, 6)]
    more = [
        Context(id="c0", number="0", kind="deposit", phase=2),
        Relation(id="r", later="c0", earlier="c1", certainty="firm", how="overlies"),
    ]
    others = [one for one in base.by_id.values() if not isinstance(one, Context)]
    tree, _ = drawn(SiteRecord.of([*others, *later, *more]), fold_over=1)
    assert {"3 contexts", "0–2", "3–5"} <= words(tree)


@settings(max_examples=150, deadline=None)
@given(st.sets(st.sampled_from(list(combinations(range(9), 2)))), st.integers(0, 8), st.sets(st.integers(0, 8)))
def test_folding_keeps_the_order_between_what_stays_open(pairs: set[tuple[int, int]], most: int, kept: set[int]) -> None:
    """Between groups kept open, one is later than the other after folding just when it was before; every group is in one box."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(9))
    graph.add_edges_from(pairs)
    ends = sorted(nx.transitive_reduction(graph).edges())
    later, earlier = np.array([a for a, _ in ends], dtype=np.int64), np.array([b for _, b in ends], dtype=np.int64)
    found = folded(9, later, earlier, np.full(len(ends), 0.95), [0] * 9, most, frozenset(kept))
    assert sorted(one for box in found.boxes for one in box) == list(range(9))
    boxes = nx.DiGraph()
    boxes.add_nodes_from(range(len(found.boxes)))
    boxes.add_edges_from(zip(found.later.tolist(), found.earlier.tolist(), strict=True))
    assert nx.is_directed_acyclic_graph(boxes)
    alone = {box[0]: place for place, box in enumerate(found.boxes) if len(box) == 1}
    assert kept <= set(alone)
    for one in kept:
        for other in kept:
            assert nx.has_path(graph, one, other) == nx.has_path(boxes, alone[one], alone[other])


def test_a_context_more_leaves_the_others_where_they_were() -> None:
    """With the earlier places as wish, a sixth context changes the order of no other from left to right."""
    base = site("1>2 1>3 1>4 1>5")
    places = {"c4": 1.0, "c2": 2.0, "c5": 3.0, "c3": 4.0}
    six = Context(id="c6", number="6", kind="deposit")
    under = Relation(id="r6", later="c1", earlier="c6", certainty="firm", how="overlies")
    tree, _ = drawn(SiteRecord.of([*base.by_id.values(), six, under]), start=places)
    across = {
        "".join(text.itertext()): float(text.get("x", "0"))
        for group in tree.iter(f"{SVG}g") if group.get("data-record") for text in group.iter(f"{SVG}text")
    }  # fmt: skip
    assert across["4"] < across["2"] < across["5"] < across["3"]


def test_a_known_date_stands_in_the_box() -> None:
    """A context's provisional date is written under its number as far as it is known; without one there is only the number."""
    contexts = [
        Context(id="a", number="1", kind="deposit", spot_begin=1799),
        Context(id="b", number="2", kind="deposit", spot_end=1792),
        Context(id="c", number="3", kind="deposit", spot_begin=1762, spot_end=1820),
        Context(id="d", number="4", kind="deposit"),
    ]
    rows = [Relation(id=f"r{one}{two}", later=one, earlier=two, sheet="both sheets") for one, two in ("ab", "bc", "cd")]
    tree, _ = drawn(SiteRecord.of([*contexts, *rows]))
    texts = [text.text for text in tree.iter(f"{SVG}text")]
    assert [words for words in texts if words in ("from 1799", "to 1792", "1762–1820")] == ["from 1799", "to 1792", "1762–1820"]
    assert sum(words in ("1", "2", "3", "4") for words in texts) == 4
