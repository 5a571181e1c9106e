"""Missed and contradicted relations, each kind shown found and shown absent."""

from __future__ import annotations

import time

import pytest

from baulk.record import Contact, Context, Level, Outline, Relation, Site, SiteRecord, Wall
from baulk.sequence.from_record import relations_from
from baulk.sequence.missed import KINDS_OF_SUSPICION, missed_relations
from baulk.sequence.order import order_of
from baulk.sequence.suspicion import Mend, Suspicion
from baulk.sequence.wrong_levels import exchanged_digits


def found_in(*entities) -> tuple[Suspicion, ...]:
    """Return what is found in a record of these entities."""
    record = SiteRecord.of(entities)
    known = relations_from(record)
    return missed_relations(record, order_of(known.relations), known=known)


def square(context: str, east: float, north: float = 0.0, size: float = 1.0) -> Outline:
    """Return a square outline."""
    ring = [(east, north), (east + size, north), (east + size, north + size), (east, north + size)]
    return Outline(id=f"o{context}", context=context, ring=ring)


def layer(number: str, kind: str = "deposit", **fields) -> Context:
    """Return a context."""
    return Context(id=f"c{number}", number=number, kind=kind, **fields)


def top(context: str, level: float, east: float = 0.5, surface: str = "top", **fields) -> Level:
    """Return a level."""
    return Level(
        id=f"l{context}{surface}{east}", context=context, surface=surface, easting=east, northing=0.5, level=level, **fields
    )


def over(later: str, earlier: str, how: str | None = "overlies", **fields) -> Relation:
    """Return a relation entered from both sheets."""
    return Relation(id=f"r{later}{earlier}", later=later, earlier=earlier, how=how, sheet="both sheets", **fields)


PAIR = (layer("1"), layer("2"), top("c1", 10.0), top("c2", 9.5), layer("3"), over("c1", "c3"), over("c2", "c3"))
"""Two layers over a third, half a metre apart in height, with no path between the two."""


def test_overlap_at_different_levels_without_a_path_is_a_missed_relation() -> None:
    """The higher is named as the later one; evidence, records and mend say what was seen."""
    (one,) = found_in(*PAIR, square("c1", 0), square("c2", 0.5))
    assert (one.what, one.later, one.earlier) == ("missed relation", "c1", "c2")
    assert one.evidence == (
        "1 and 2 overlap in plan, stand 500 mm apart in height, and no path of relations leads from one to the other."
    )
    assert one.records == ("c1", "c2", "oc1", "oc2")
    assert one.mend == Mend(None, "how", "overlies")
    assert "if 1 overlies 2, as the levels suggest, enter that from both sheets" in one.settle


def test_one_missed_relation_is_told_once_and_not_for_everything_below() -> None:
    """Of a pile of four cut in the middle only the two that lie next to each other are named."""
    pile = [layer(str(n)) for n in range(1, 5)]
    marks = [part for n in range(1, 5) for part in (top(f"c{n}", 10.0 - n / 10), square(f"c{n}", 0))]
    found = found_in(*pile, *marks, over("c1", "c2"), over("c3", "c4"))
    assert [(one.what, one.later, one.earlier) for one in found] == [("missed relation", "c2", "c3")]


def test_a_cut_counts_by_its_top() -> None:
    """A pit dug from the top of a layer reaches far below it, and still cuts it."""
    pit = (layer("1", "cut"), layer("2"), layer("3"), over("c1", "c3", "cuts"), over("c2", "c3"))
    levels = (top("c1", 10.05), top("c1", 8.0, surface="base"), top("c2", 10.0), top("c2", 9.5, surface="base"))
    (one,) = found_in(*pit, *levels, square("c1", 0), square("c2", 0))
    assert (one.later, one.earlier, one.mend) == ("c1", "c2", Mend(None, "how", "cuts"))


def test_a_fill_whose_sheet_names_its_cut_needs_no_levels() -> None:
    """Where the sheet says what it fills and no relation does, that is told, and answers the overlap."""
    ground = (layer("3"), over("c1", "c3"), over("c2", "c3", "cuts"), top("c1", 9.0), top("c2", 9.5))
    (one,) = found_in(layer("1", "fill", fill_of="c2"), layer("2", "cut"), *ground, square("c1", 0), square("c2", 0))
    assert (one.what, one.later, one.earlier, one.mend) == ("missed relation", "c1", "c2", Mend(None, "how", "fills"))
    assert one.evidence == "The sheet of 1 says that it fills 2, and no relation or path says so."


def test_outlines_that_touch_along_an_edge_count_and_those_at_a_corner_do_not() -> None:
    """Side by side for a metre is a touch; meeting at one corner, or a hand's breadth apart, is not."""
    (one,) = found_in(*PAIR, square("c1", 0), square("c2", 1.0))
    assert "1 and 2 touch in plan" in one.evidence
    assert found_in(*PAIR, square("c1", 0), square("c2", 1.0, 1.0)) == ()
    assert found_in(*PAIR, square("c1", 0), square("c2", 1.1)) == ()


@pytest.mark.parametrize(
    "settled",
    [
        (over("c1", "c2"),),
        (over("c2", "c1"),),
        (layer("4"), over("c1", "c4"), over("c4", "c2")),
        (over("c1", "c2", "same as"),),
    ],
    ids=["related", "related the other way", "by a path", "the same"],
)
def test_a_path_either_way_or_an_equation_answers_an_overlap(settled) -> None:
    """Nothing is missed where a path leads from one to the other or the two are one."""
    assert [
        one.what for one in found_in(*PAIR, square("c1", 0), square("c2", 0.5), *settled) if one.what == "missed relation"
    ] == []


def test_overlap_at_one_level_or_without_levels_is_left_alone() -> None:
    """Contexts at one height, or with a level on one only, may lie side by side as far as anyone can tell."""
    base = (layer("1"), layer("2"), layer("3"), over("c1", "c3"), over("c2", "c3"), square("c1", 0), square("c2", 0.5))
    assert found_in(*base, top("c1", 10.0), top("c2", 10.01)) == ()
    assert found_in(*base, top("c1", 10.0)) == ()


def test_contexts_of_a_loop_are_not_held_beside_each_other() -> None:
    """While a loop stands its contexts have no order to compare with."""
    loop = (over("c1", "c3"), over("c3", "c1"), layer("1"), layer("2"), layer("3"), over("c2", "c3"))
    assert found_in(*loop, top("c1", 10.0), top("c2", 9.5), square("c1", 0), square("c2", 0.5)) == ()


def test_a_fill_over_its_cut_is_to_be_entered_as_filling_it() -> None:
    """What the mend says follows from the kinds of the two contexts."""
    ground = (layer("3"), over("c1", "c3"), over("c2", "c3", "cuts"), top("c1", 10.0), top("c2", 9.5))
    whats = {one.what: one for one in found_in(layer("1", "fill"), layer("2", "cut"), *ground, square("c1", 0), square("c2", 0.0))}
    assert whats["missed relation"].mend == Mend(None, "how", "fills")
    assert set(whats) == {"missed relation", "fill without a cut"}


WALL = (
    Wall(id="w", number="W1", unit="u"),
    Contact(id="k", wall="w", later="c1", earlier="c2"),
    layer("1"),
    layer("2"),
    layer("3"),
)


def test_a_contact_on_a_wall_without_a_relation_is_missed() -> None:
    """It is so even when a path through others says the same, and the sentence tells which."""
    (one,) = found_in(*WALL, over("c1", "c3"), over("c2", "c3"))
    assert (one.what, one.later, one.earlier, one.records) == ("missed contact", "c1", "c2", ("k", "w"))
    assert one.evidence == "Wall W1 shows 1 over 2; no relation between the two is on record, and no path says so either."
    (by_path,) = found_in(*WALL, over("c1", "c3"), over("c3", "c2"))
    assert "only a path through others says so" in by_path.evidence
    assert found_in(*WALL, over("c1", "c2"), over("c2", "c3")) == ()
    again = Contact(id="k2", wall="w2", later="c1", earlier="c2")
    (twice,) = found_in(*WALL, again, Wall(id="w2", number="W2", unit="u"), over("c1", "c3"), over("c2", "c3"))
    assert twice.records == ("k", "w", "k2", "w2")


def test_a_wall_that_shows_the_opposite_contradicts_the_relation_or_the_path() -> None:
    """The relation to blame stands in the records; through a path none is named."""
    (one,) = found_in(*WALL, over("c2", "c1"), over("c1", "c3"))
    assert (one.what, one.records) == ("contradicted by a wall", ("k", "w", "rc2c1"))
    assert one.evidence.endswith("the relation on record says the opposite.")
    (by_path,) = found_in(*WALL, over("c2", "c3"), over("c3", "c1"))
    assert by_path.evidence.endswith("a path of relations says the opposite.")
    assert one.mend is None


STACK = (layer("1"), layer("2"), over("c1", "c2"))


def test_levels_contradict_a_relation_and_the_plan_gives_the_slip_away() -> None:
    """The lower top stands above the upper base; the value on the plan fits and is named."""
    levels = (top("c1", 10.2), top("c1", 10.0, surface="base"), top("c2", 10.9, on_plan=9.9))
    (one,) = found_in(*STACK, *levels)
    assert (one.what, one.later, one.earlier) == ("contradicted by levels", "c1", "c2")
    assert one.evidence == (
        "1 is recorded as overlying 2, but the top of 2 stands 900 mm above the base of 1 at about the same point "
        "(10.900 over 10.000)."
    )
    assert one.mend == Mend("lc2top0.5", "level", 9.9)
    assert "the plan says 9.900" in one.settle
    assert found_in(*STACK, top("c1", 10.2), top("c1", 10.0, surface="base"), top("c2", 9.9)) == ()


def test_exchanged_digits_are_named_only_when_one_exchange_alone_explains_it() -> None:
    """9.81 written as 9.18 on a base explains itself; where several exchanges would do, none is named."""
    (one,) = found_in(*STACK, top("c1", 9.95), top("c1", 9.18, surface="base"), top("c2", 9.80), top("c2", 9.60, surface="base"))
    assert one.mend == Mend("lc1base0.5", "level", 9.81)
    assert "with two digits exchanged it is 9.810" in one.settle
    (many,) = found_in(*STACK, top("c1", 10.0, surface="base"), top("c2", 12.345))
    assert many.mend is None
    assert "look for exchanged digits" in many.settle


def test_levels_far_apart_in_plan_say_nothing() -> None:
    """Beyond the reach of 0.25 m a slope may explain any difference."""
    assert found_in(*STACK, top("c1", 10.0, surface="base"), top("c2", 10.9, east=0.8)) == ()
    assert len(found_in(*STACK, top("c1", 10.0, surface="base"), top("c2", 10.9, east=0.7))) == 1


def test_a_site_in_feet_is_told_of_a_difference_in_feet() -> None:
    """Levels kept in feet contradict each other by feet first, with the millimetres beside."""
    levels = (top("c1", 9.0), top("c1", 9.5, surface="base"))
    (one,) = found_in(Site(id="s", length_unit="ft"), layer("1", "cut"), layer("2"), over("c1", "c2", "cuts"), *levels)
    assert one.evidence.startswith("The base of 1 stands 0.50 ft (152 mm) above its top")


def test_a_base_above_its_own_top_is_found_also_on_a_cut() -> None:
    """One context only is named; a disturbance is passed over."""
    levels = (top("c1", 9.0), top("c1", 9.5, surface="base"))
    cut = (layer("1", "cut"), layer("2"), over("c1", "c2", "cuts"))
    (one,) = found_in(*cut, *levels)
    assert (one.what, one.later, one.earlier) == ("contradicted by levels", "c1", None)
    assert one.evidence.startswith("The base of 1 stands 500 mm above its top")
    assert found_in(layer("1", "disturbance"), layer("2"), over("c1", "c2"), *levels) == ()


def test_fills_without_a_cut_and_cuts_that_cut_nothing() -> None:
    """A fill may name its cut on its own sheet; a relation that does not say how leaves the cut open."""
    whats = [
        (one.what, one.later)
        for one in found_in(layer("1", "fill"), layer("2", "cut"), over("c1", "c2"), layer("3"), over("c2", "c3"))
    ]
    assert whats == [("fill without a cut", "c1"), ("cut that cuts nothing", "c2")]
    assert (
        found_in(layer("1", "fill", fill_of="c2"), layer("2", "cut"), over("c1", "c2"), layer("3"), over("c2", "c3", "cuts")) == ()
    )


def test_a_floating_context_is_found_and_equals_count_together() -> None:
    """Two contexts that are one and have no other relation float as one."""
    found = found_in(layer("1"), layer("2"), over("c1", "c2"), layer("3"), layer("4"), over("c3", "c4", "same as"))
    assert [(one.what, one.later, one.records) for one in found] == [("floating context", "c3", ("c3", "c4"))]


def test_every_kind_of_suspicion_is_listed_and_in_order() -> None:
    """What comes out is sorted by the list that the docs give."""
    found = found_in(*PAIR, square("c1", 0), square("c2", 0.5), layer("9", "fill"), layer("8", "cut"))
    assert [one.what for one in found] == [
        "missed relation", "fill without a cut", "cut that cuts nothing", "floating context", "floating context",
    ]  # fmt: skip
    assert all(one.what in KINDS_OF_SUSPICION and one.settle.endswith(".") and one.evidence.endswith(".") for one in found)


def test_exchanges_are_of_any_two_digits_neighbours_first() -> None:
    """Every value comes once, never the level itself; a level with equal digits has fewer."""
    assert exchanged_digits(28.903)[:2] == (82.903, 29.803)
    assert exchanged_digits(11.111) == ()
    assert exchanged_digits(28.903, apart=1) == (82.903, 29.803, 28.093, 28.93)


def test_a_site_of_many_outlines_takes_time_in_proportion() -> None:
    """Four times as many contexts take no more than about four times as long (bound: 9; all pairs would be 16)."""

    def seconds(side: int) -> float:
        contexts = [layer(str(n)) for n in range(side * side)]
        shapes = [square(f"c{n}", n % side, n // side, 1.2) for n in range(side * side)]
        levels = [top(f"c{n}", 10.0 + n % 7, n % side) for n in range(side * side)]
        record = SiteRecord.of([*contexts, *shapes, *levels, *(over(f"c{n}", "c0") for n in range(1, side * side))])
        known = relations_from(record)
        order = order_of(known.relations)
        best = float("inf")
        for _ in range(2):
            start = time.process_time()
            missed_relations(record, order, known=known)
            best = min(best, time.process_time() - start)
        return best

    assert seconds(60) < 9 * seconds(30)
