"""Sheets, share charts and the stack of the page: every field once, every share true, nothing above what lies over it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from baulk.record import CONTEXT_KINDS
from baulk.server.field_view import kind_views
from tests.web.answers import answers_of


def test_every_field_stands_on_its_sheet_exactly_once() -> None:
    """Of every kind, and every kind of context, each field that belongs stands in one group; number and void stand elsewhere."""
    cases = [(view, sort) for view in kind_views() for sort in (CONTEXT_KINDS if view.kind == "context" else ("",))]
    asked = [{"kind": view.kind, "sort": sort, "fields": [field.model_dump() for field in view.fields]} for view, sort in cases]
    for (view, sort), groups in zip(cases, answers_of("groups", asked), strict=True):
        placed = [name for group in groups for name in group["fields"]]
        belong = [field.name for field in view.fields if not field.applies or sort in field.applies]
        assert sorted(placed) == sorted(set(belong) - {"number", "void"}), view.kind
        assert all(group["title"] and group["fields"] for group in groups)


def test_description_stands_apart_from_interpretation() -> None:
    """What was seen and what it may mean are in different groups, and what was seen comes first."""
    fields = [field.model_dump() for view in kind_views() if view.kind == "context" for field in view.fields]
    (groups,) = answers_of("groups", [{"kind": "context", "sort": "deposit", "fields": fields}])
    at = {name: place for place, group in enumerate(groups) for name in group["fields"]}
    assert at["description"] < at["interpretation"]
    assert at["interpretation"] == at["reasons"] == at["alternatives"]


def test_a_share_chart_covers_what_it_says() -> None:
    """The dots of each patch cover the share it tells to 0.2 per cent, lie on it, and none touches another."""
    (charts,) = answers_of("shares", [{}])
    assert [chart["word"] for chart in charts] == ["rare", "occasional", "moderate", "frequent", "abundant"]
    for chart in charts:
        dots = np.array([[dot["across"], dot["down"], dot["radius"]] for dot in chart["dots"]])
        covered = float((math.pi * dots[:, 2] ** 2).sum()) / 100
        assert covered == pytest.approx(chart["percent"], abs=0.2)
        apart = np.hypot(*(dots[:, None, :2] - dots[None, :, :2]).transpose(2, 0, 1)) - dots[:, None, 2] - dots[None, :, 2]
        assert apart[~np.eye(len(dots), dtype=bool)].min() > -0.2
        assert (dots[:, :2] - dots[:, 2:]).min() >= -0.1
        assert (dots[:, :2] + dots[:, 2:]).max() <= 100.1


def test_the_stack_puts_nothing_above_what_lies_over_it() -> None:
    """Of random orders without a loop, no context stands above one that is later, and all of them are there."""
    rng = np.random.default_rng(3)
    cases: list[dict[str, Any]] = []
    for _ in range(60):
        names = [f"c{at}" for at in range(int(rng.integers(2, 30)))]
        pairs = {tuple(sorted(int(at) for at in rng.choice(len(names), 2, replace=False))) for _ in range(40)}
        relations = [
            {"id": f"r{at}", "later": names[over], "earlier": names[under], "how": "overlies", "certainty": "firm"}
            for at, (over, under) in enumerate(sorted(pairs))
        ]
        cases.append({"ids": [str(name) for name in rng.permutation(names)], "relations": relations})
    for case, stack in zip(cases, answers_of("latest", cases), strict=True):
        at = {name: place for place, name in enumerate(stack)}
        assert sorted(stack) == sorted(case["ids"])
        assert all(at[one["later"]] < at[one["earlier"]] for one in case["relations"])


def test_a_loop_does_not_stop_the_stack() -> None:
    """Contexts in a loop stand below those that are clear of it, and none is lost."""
    loop = [("a", "b"), ("b", "c"), ("c", "b")]
    relations = [
        {"id": f"r{at}", "later": over, "earlier": under, "how": "overlies", "certainty": ""}
        for at, (over, under) in enumerate(loop)
    ]
    (stack,) = answers_of("latest", [{"ids": ["c", "b", "a"], "relations": relations}])
    assert stack[0] == "a"
    assert sorted(stack) == ["a", "b", "c"]


def test_words_beside_a_measure_stand_among_the_notes() -> None:
    """Each note is a line under the field's name, told beside that field alone, and what was noted before stays."""
    (found,) = answers_of(
        "notes", [{"notes": "Dug in rain.\nLength: at the top", "label": "Length", "words": " along \n the base "}]
    )
    assert found == ["at the top", "along the base"]
    (other,) = answers_of("notes", [{"notes": "Length: at the top", "label": "Width", "words": "north end"}])
    assert other == ["north end"]
