"""The order as a sheet: what is drawn, what is left out and said."""

from __future__ import annotations

import xml.etree.ElementTree as ET

from baulk.drawing import order_drawing, to_svg
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


def drawn(record: SiteRecord, **options: object) -> tuple[ET.Element, tuple[str, ...]]:
    """Return the drawing's SVG as a tree and its notes."""
    known = relations_from(record)
    scene = order_drawing(record, known, order_of(known.relations), **options)  # type: ignore[arg-type]
    return ET.fromstring(to_svg(scene)), scene.notes


def records(tree: ET.Element) -> set[str]:
    """Return the ids of the records drawn."""
    return {group.get("data-record") for group in tree.iter(f"{SVG}g") if group.get("data-record")}  # type: ignore[misc]


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
