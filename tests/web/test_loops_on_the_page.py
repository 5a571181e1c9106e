"""The page finds a loop exactly when the relations hold one, names a shortest one, and is quick among many relations."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np

from tests.web.answers import answers_of

ORDERING = ("overlies", "cuts", "fills", "abuts")


def relation(at: int, later: str, earlier: str, how: str = "overlies") -> dict[str, str]:
    """Return a relation as the page holds it."""
    return {"id": f"r{at}", "later": later, "earlier": earlier, "how": how, "certainty": "firm"}


def closes_loop(held: list[dict[str, str]], new: dict[str, str]) -> bool:
    """Tell whether relations hold a loop, by merging what is one in time and taking away whatever has nothing above it."""
    one: dict[str, str] = {}

    def root(name: str) -> str:
        while one.get(name, name) != name:
            name = one[name]
        return name

    every = [*held, new]
    for each in every:
        if each["how"] in ("same as", "bonded with"):
            one[root(each["later"])] = root(each["earlier"])
    edges = {(root(each["later"]), root(each["earlier"])) for each in every if each["how"] in ORDERING}
    while edges:
        below = {earlier for _, earlier in edges}
        left = {edge for edge in edges if edge[0] in below}
        if left == edges:
            return True
        edges = left
    return False


def test_a_loop_is_told_link_by_link() -> None:
    """101 over 102 over 103: 103 over 101 closes a loop of three, told from the new relation round; 101 over 103 closes none."""
    held = [relation(1, "101", "102"), relation(2, "102", "103", "cuts")]
    asked = [relation(0, "103", "101"), relation(0, "101", "103"), relation(0, "101", "101"), relation(0, "101", "101", "same as")]
    ((loops),) = answers_of("loop", [{"relations": held, "asked": [{**one, "id": ""} for one in asked]}])
    first, second, itself, same = loops["loops"]
    assert [(step["from"], step["how"], step["to"]) for step in first] == [
        ("103", "overlies", "101"), ("101", "overlies", "102"), ("102", "cuts", "103"),
    ]  # fmt: skip
    assert second == []
    assert len(itself) == 1
    assert same == []


def test_what_is_one_in_time_closes_loops_too() -> None:
    """Two contexts called one in time, of which one lies over the other, are a loop; two that are only called one are none."""
    held = [relation(1, "101", "102"), relation(2, "102", "103")]
    asked: list[dict[str, str]] = [relation(0, "101", "103", "same as"), relation(0, "103", "101", "bonded with")]
    (told,) = answers_of("loop", [{"relations": held, "asked": asked}])
    assert [len(loop) for loop in told["loops"]] == [3, 3]
    (fine,) = answers_of(
        "loop", [{"relations": [relation(1, "101", "102", "same as")], "asked": [relation(0, "102", "101", "same as")]}]
    )
    assert fine["loops"] == [[]]


def test_the_search_agrees_with_another_way_of_looking() -> None:
    """Of 400 random cases a loop is told exactly when there is one, and every loop told is a closed chain of relations."""
    rng = np.random.default_rng(11)
    cases: list[dict[str, Any]] = []
    while len(cases) < 400:
        names = [f"c{at}" for at in range(int(rng.integers(3, 9)))]
        held: list[dict[str, str]] = []
        new: dict[str, str] | None = None
        for at in range(int(rng.integers(2, 14))):
            later, earlier = (str(name) for name in rng.choice(names, 2, replace=False))
            new = relation(
                at, later, earlier, str(rng.choice([*ORDERING, "same as", "bonded with"], p=[0.4, 0.15, 0.1, 0.1, 0.15, 0.1]))
            )
            if closes_loop(held, new):
                break
            held.append(new)
        assert new is not None
        cases.append({"relations": held, "asked": [new]} if new not in held else {"relations": held[:-1], "asked": [new]})
    looped = 0
    for case, answer in zip(cases, answers_of("loop", cases), strict=True):
        (loop,) = answer["loops"]
        expected = closes_loop(case["relations"], case["asked"][0])
        assert bool(loop) is expected, case
        looped += expected
        if loop:
            links = {(one["later"], one["earlier"]) for one in [*case["relations"], *case["asked"]]}
            both = links | {
                (one["earlier"], one["later"]) for one in [*case["relations"], *case["asked"]] if one["how"] not in ORDERING
            }
            assert all((step["from"], step["to"]) in both for step in loop)
            assert all(one["to"] == other["from"] for one, other in pairwise([*loop, loop[0]]))
    assert 50 < looped < 350


def test_five_thousand_relations_are_searched_at_once() -> None:
    """Asking fifty times among 5,000 relations of a deep sequence takes less than 25 ms each, the longest loop included."""
    held = [relation(at, f"c{at}", f"c{at + 1}") for at in range(5_000)]
    asked = [relation(-1, "c5000", "c0"), *(relation(-1, f"c{at}", f"c{at + 7}") for at in range(0, 4_900, 100))]
    (told,) = answers_of("loop", [{"relations": held, "asked": asked}])
    assert len(told["loops"][0]) == 5_001
    assert all(loop == [] for loop in told["loops"][1:])
    assert told["milliseconds"] / len(asked) < 25
