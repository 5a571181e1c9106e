"""Radiocarbon ages that are odd before anything is modelled: told with the two results, by how much, and what it may mean."""

from __future__ import annotations

from typing import Any

from baulk.record import Context, DatingResult, Entity, Relation, Sample, SiteRecord, View
from baulk.work.out_of_place import out_of_place
from baulk.work.study import Study


def _carbon(number: str, context: str, **more: Any) -> DatingResult:
    return DatingResult(id=f"d{number}", number=number, context=context, method="radiocarbon", **more)


def _study(*results: Entity) -> Study:
    """Return four layers over one another, the two lowest recorded as one."""
    contexts = [
        Context(id=one, number=str(place + 1), kind="deposit", recorded_on="2026-05-11") for place, one in enumerate("abcd")
    ]
    relations = [
        Relation(id="r1", later="a", earlier="b", how="overlies"), Relation(id="r2", later="b", earlier="c", how="overlies"),
        Relation(id="r3", later="c", earlier="d", how="same as"),
    ]  # fmt: skip
    return Study(SiteRecord.of([*contexts, *relations, *results]))


def test_an_age_against_the_order_is_told_with_both_results() -> None:
    """Each pair once, under the age that stands against most: the years, the errors, and what it may mean."""
    found = _study(
        _carbon("1", "a", age=1000, error=30, dated_material="shell"), _carbon("2", "c", age=600, error=40),
        _carbon("3", "b", age=610, error=40), _carbon("4", "d", age=1500, error=40),
    ).dating.bounds(View.CREW)  # fmt: skip
    (told,) = found.oddities
    assert told.says == (
        "result 1, radiocarbon (1,000 ± 30, shell) of 1 stands against 2 others: older than result 2, radiocarbon (600 ± 40) of 3 "
        "below it, by 400 years, 8 times the error of their difference; older than result 3, radiocarbon (610 ± 40) of 2 below it, "
        "by 390 years, 8 times the error of their difference."
    )
    assert (told.records, told.contexts) == (("d1", "d2", "d3"), ("a", "c", "b"))
    beware = [line for line in found.why("2") if "beware: " in line]
    assert "result 1, radiocarbon" in beware[0] and "or the order is wrong" in beware[1]
    other = _study(_carbon("1", "a", age=900, error=30), _carbon("2", "b", age=910, error=30), _carbon("3", "c", age=500, error=30))
    (odd,) = other.dating.bounds(View.CREW).oddities
    assert odd.says.startswith("result 3, radiocarbon (500 ± 30) of 3 stands against 2 others: younger than result 2")


def test_ages_in_order_are_no_oddity() -> None:
    """Negative control: what lies below is older, or younger by no more than the errors allow."""
    found = _study(_carbon("1", "a", age=600, error=30), _carbon("2", "b", age=560, error=40), _carbon("3", "c", age=900, error=30))
    assert found.dating.bounds(View.CREW).oddities == ()


def test_ages_of_one_sample_are_pooled_with_the_check() -> None:
    """Two that agree are told with their mean where they are; two that do not are told as odd, and their mean may not be used."""
    sample, other = Sample(id="s", number="1", context="a"), Sample(id="t", number="2", context="b")
    found = _study(
        sample, other, _carbon("1", "a", age=600, error=30, sample="s"), _carbon("2", "a", age=620, error=30, sample="s"),
        _carbon("3", "b", age=650, error=30, sample="t"), _carbon("4", "b", age=900, error=30, sample="t"),
    ).dating.bounds(View.CREW)  # fmt: skip
    (odd,) = found.oddities
    assert odd.says.startswith("results 3 and 4 are of one sample, pooled 775 ± 21 BP (T = 34.7")
    assert "this mean may not be used" in odd.says
    assert [line for line in found.why("1") if "pooled: results 1 and 2 are of one sample, pooled 610 ± 21 BP" in line]


def test_words_in_place_of_an_age_are_told() -> None:
    """A laboratory's remark is no age, and a result of a context that is not there has no place in the order."""
    found = _study(_carbon("1", "a", age_limit="too little carbon"), _carbon("2", "zz", age=100, error=20), _carbon("3", "b"))
    told = " ".join(one.says for one in found.dating.bounds(View.CREW).oddities)
    assert "result 1, radiocarbon: “too little carbon” is no radiocarbon age" in told
    assert "result 2, radiocarbon: its context is void or not on record" in told
    assert "result 3, radiocarbon: no age with an error is recorded, nor a limit" in told


def test_the_chronology_names_the_sample_that_dates_something_else() -> None:
    """Of three ages the one against the other two is named with its layer and its record; nothing else is."""
    dated = _study(
        _carbon("1", "a", age=250, error=25, own_age="young"), _carbon("2", "b", age=900, error=25, own_age="young"),
        _carbon("3", "c", age=400, error=25, own_age="young"),
    ).dating.dated(View.CREW)  # fmt: skip
    told = out_of_place(dated)
    assert [(one.what, one.name, one.records) for one in told if one.intrusive > 0.5] == [
        ("sample", "result 2, radiocarbon", ("d2",)),
    ]  # fmt: skip
    assert told[0].says.endswith("In 2.")
