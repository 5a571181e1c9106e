"""The table of weights: what its bars, brackets and ranges say is what was weighed, read back from the drawing itself."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest

from baulk.drawing import to_svg
from baulk.drawing.readings import Beside, readings_drawing
from baulk.reading.grouping import Treatment
from baulk.reading.question import Evidence, Question, Reading, question_of
from baulk.reading.scale import expectation_of
from baulk.reading.weigh import Weighed, weigh
from baulk.record import Site, SiteRecord
from tests.drawings.read_svg import SVG, groups, lines, paths, read, runs, words

RECORD = SiteRecord.of([Site(id="s", code="OW", name="Otter Weir", invented=True)])
WORDS = {"p": "usually", "w": "seldom"}


def question(cells: dict[str, dict[str, str]], causes: dict[str, str] | None = None) -> Question:
    """Return a question of two readings and *none of these*."""
    pieces = []
    for name, row in cells.items():
        expected = {reading: expectation_of(word) for reading, word in row.items()}
        pieces.append(Evidence(name, f"sighting {name}", expected, cause=(causes or {}).get(name)))
    return question_of("What was it?", [Reading("p", "Path", 0.5), Reading("w", "Wall", 0.4)], pieces, number="1")


@pytest.fixture
def weighed() -> Weighed:
    """Two pieces with one cause, one on its own, one with a blank cell."""
    cells = {"a": WORDS, "b": {"p": "often", "w": "now and then"}, "c": {"p": "seldom", "w": "often"}, "d": {"p": "often"}}
    return weigh(question(cells, {"a": "how it was laid", "b": "how it was laid"}))


def drawn(weighed: Weighed, **more: Any) -> ElementTree.Element:
    """Return the drawing, parsed."""
    beside = Beside({"a": "1.1", "b": "1.2", "c": "1.3", "d": "1.4", "p": "1A", "w": "1B"}, **more)
    return read(to_svg(readings_drawing(RECORD, weighed, beside)))


def bars(root: ElementTree.Element) -> dict[str, tuple[float, float]]:
    """Return left and right end of each bar by the name of its cell."""
    found = {}
    for group in groups(root, "weight"):
        across = [spot[0] for path in group.iter(f"{SVG}path") for run in runs(path.get("d") or "") for spot in run][:4]
        found[group.get("data-name") or ""] = (min(across), max(across))
    return found


def axes(root: ElementTree.Element) -> list[float]:
    """Return where the axes of the columns stand, from left to right."""
    group = groups(root, "axes")[0]
    return sorted(run[0][0] for run in lines(group, "baulk-line-weight-axis"))


def axis_of(root: ElementTree.Element, weighed: Weighed, reading: str) -> float:
    """Return the axis of a reading's column."""
    return axes(root)[weighed.order.index(weighed.question.place(reading))]


def test_a_bar_stands_on_the_side_and_is_as_long_as_its_weight(weighed: Weighed) -> None:
    """Every bar begins at its column's axis, runs right for a weight above 0, and its length is in proportion to the weight."""
    root = drawn(weighed)
    found, lengths, weights = bars(root), [], []
    for piece, evidence in enumerate(weighed.question.evidence):
        for place, reading in enumerate(weighed.question.readings):
            left, right = found[f"{evidence.id} {reading.id}"]
            weight, axis = float(weighed.piece_weights[piece, place]), axis_of(root, weighed, reading.id)
            if abs(weight) > 0.1:
                assert (left if weight > 0 else right) == pytest.approx(axis, abs=0.01)
                lengths.append(right - left)
                weights.append(abs(weight))
    per_deciban = np.array(lengths) / np.array(weights)
    assert len(lengths) > 8
    assert per_deciban == pytest.approx(per_deciban[0], rel=0.01)


def test_the_check_of_bars_can_fail(weighed: Weighed) -> None:
    """Control: the bars of the same question weighed in another way do not fit the weights."""
    other = weigh(question({"a": {"p": "seldom", "w": "usually"}, "b": WORDS, "c": WORDS, "d": {"p": "seldom"}}))
    root = drawn(other)
    left, right = bars(root)["a p"]
    weight = float(weighed.piece_weights[0, weighed.question.place("p")])
    assert weight > 0.1
    assert left < axis_of(root, other, "p") - 0.1 and right == pytest.approx(axis_of(root, other, "p"), abs=0.01)


def test_the_scale_says_how_long_its_decibans_are(weighed: Weighed) -> None:
    """The bar printed beside the table is as long as a weight of that size."""
    root = drawn(weighed)
    scale = groups(root, "bar-scale")[0]
    said = float(scale.get("data-name") or 0)
    ends = [spot[0] for run in lines(scale, "baulk-line-weight") for spot in run]
    left, right = bars(root)["c w"]
    weight = abs(float(weighed.piece_weights[2, weighed.question.place("w")]))
    assert (max(ends) - min(ends)) / 2 / said == pytest.approx((right - left) / weight, rel=0.01)


def test_pieces_of_one_cause_are_open_and_the_counted_bar_is_filled(weighed: Weighed) -> None:
    """Of a group only the row that counts is filled, it has a bracket over its pieces, and it names the cause."""
    root = drawn(weighed)
    cause = groups(root, "cause")
    assert [group.get("data-name") for group in cause] == ["how it was laid"]
    assert len(paths(cause[0], "baulk-soil")) == 3
    bracket = lines(cause[0], "baulk-line-common-cause")[0]
    rows = {group.get("data-name"): group for group in groups(root, "evidence")}
    for mark in ("1.1", "1.2"):
        assert paths(rows[mark], "baulk-soil") == []
        middle = [spot[1] for path in rows[mark].iter(f"{SVG}path") for run in runs(path.get("d") or "") for spot in run]
        assert min(spot[1] for spot in bracket) <= max(middle) and max(spot[1] for spot in bracket) >= min(middle)
    assert len(paths(rows["1.3"], "baulk-soil")) == 3


def test_counted_in_full_nothing_is_bracketed(weighed: Weighed) -> None:
    """Where every piece counts in full there is no bracket and every bar is filled."""
    root = drawn(weigh(weighed.question, Treatment.FULL))
    assert groups(root, "cause") == []
    assert len(paths(groups(root, "evidence")[0], "baulk-soil")) == 3


def test_the_range_and_the_answer_stand_at_their_shares(weighed: Weighed) -> None:
    """On the scale from 0 to 100 per cent of each column, range and answer stand where the weighing has them, also in words."""
    root = drawn(weighed)
    for group in groups(root, "answer"):
        place = weighed.question.place(group.get("data-name") or "")
        track = lines(group, "baulk-line-faint-weight-step")[0]
        nought, whole = track[0][0], track[1][0]
        span = lines(group, "baulk-line-range-of-the-answer")[0]
        shares = [(spot[0] - nought) / (whole - nought) for spot in span]
        assert shares == pytest.approx([weighed.low[place], weighed.high[place]], abs=0.002)
        tick = lines(group, "baulk-line-answer")[0][0][0]
        assert (tick - nought) / (whole - nought) == pytest.approx(weighed.posterior[place], abs=0.002)
        said = [float(number) for number in re.findall(r"[\d.]+", words(group)[0])]
        assert said == pytest.approx([100 * weighed.posterior[place]], abs=0.51)


def test_columns_stand_likeliest_first(weighed: Weighed) -> None:
    """The readings stand from the likeliest on the left to the least likely."""
    root = drawn(weighed)
    heads = sorted(groups(root, "reading"), key=lambda group: float(next(group.iter(f"{SVG}text")).get("x") or 0))
    assert [group.get("data-record") for group in heads] == [weighed.question.readings[place].id for place in weighed.order]


def test_a_blank_cell_is_an_empty_box(weighed: Weighed) -> None:
    """The one cell that nobody filled in has a broken box, and the key tells what it means; without it the key is silent."""
    root = drawn(weighed)
    assert len(groups(root, "blank")) == 1
    assert "line: blank cell" in {group.get("data-name") for group in groups(root, "key-entry")}
    whole = drawn(weigh(question({"a": WORDS})))
    assert groups(whole, "blank") == []
    assert "line: blank cell" not in {group.get("data-name") for group in groups(whole, "key-entry")}


def test_what_is_missing_set_aside_or_to_be_minded_is_told(weighed: Weighed) -> None:
    """Tests lost at backfill are named as such, evidence set aside with its reason, and a caution stands in the sheet."""
    root = drawn(
        weighed,
        tests=(("Lift one sett", True, 1.0), ("Read the rental", False, 4.0)),
        set_aside=(("1.5 a nail", "may be modern"),),
        caution="Possible human remains: stop work.",
    )
    assert "LOST AT BACKFILL: Lift one sett (1 h)" in words(groups(root, "tests")[0])
    assert "Read the rental (4 h)" in words(groups(root, "tests")[0])
    assert "1.5 a nail: set aside, may be modern" in words(groups(root, "set-aside")[0])
    assert words(groups(root, "caution")[0]) == ["Possible human remains: stop work."]


def test_a_question_without_evidence_is_drawn(weighed: Weighed) -> None:
    """Where nothing was seen yet the sheet shows the priors as the answer."""
    empty = weigh(question({}))
    root = drawn(empty)
    assert groups(root, "evidence") == [] and len(groups(root, "answer")) == 3
    assert empty.posterior == pytest.approx(empty.prior.shares)
