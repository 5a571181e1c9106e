"""The patterns that Baulk brings, and a user's own in a folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from baulk.errors import FileError, InputError, TableError
from baulk.exchange.pattern_folder import own_patterns, pattern_named, patterns, shipped_patterns
from baulk.reading.from_record import MEASURES, RULES
from baulk.reading.pattern import COMMON_PRACTICE, Pattern, begin
from baulk.reading.prior import equal_prior
from baulk.reading.question import NONE_OF_THESE, is_burial_name
from baulk.reading.weigh import weigh

SHIPPED = shipped_patterns()
QUESTIONS = {
    "setting", "rectangular-cut", "round-cut", "dark-soil", "mixed-layer", "mortar-spread", "brick-rubble", "gravel-spread",
    "ditch", "burnt-patch", "posts-in-line", "void",
}  # fmt: skip
OWN = """name = "setting"
title = "My settings"
asks = "What was it?"
[[reading]]
key = "a"
name = "A"
prior = 0.5
why = "Mine."
[[reading]]
key = "b"
name = "B"
prior = 0.4
why = "Mine."
[[evidence]]
id = "x"
saw = "x"
expected = { a = "often", b = "seldom" }
does = "Look."
hours = 1
lost_at_backfill = true
source = "my own"
"""


def test_twelve_questions_have_patterns() -> None:
    """Each of the twelve questions is there under its name."""
    assert {pattern.name for pattern in SHIPPED} == QUESTIONS


@pytest.mark.parametrize("pattern", SHIPPED, ids=lambda pattern: pattern.name)
def test_a_shipped_pattern_is_whole(pattern: Pattern) -> None:
    """At least eight lines, every cell filled, every line with a source, every rule known and of the line's kind."""
    assert len(pattern.lines) >= 8
    named = [reading.id for reading in pattern.readings if not reading.none_of_these]
    for line in pattern.lines:
        cells = line.spreads if line.spreads is not None else line.expected
        assert set(cells) - {NONE_OF_THESE} == set(named), line.id
        assert len({cell.best for cell in line.expected.values()}) > 1 or line.spreads, f"{line.id} separates nothing"
        assert COMMON_PRACTICE in line.source or "read" in line.source or "memory" in line.source, line.id
        if line.rule is not None:
            assert line.rule in RULES and (line.rule in MEASURES) is (line.spreads is not None), line.id
    assert all(reading.prior_reason for reading in pattern.readings)
    assert sum(reading.prior or 0 for reading in pattern.readings) == pytest.approx(1)
    for reading in pattern.readings:
        assert reading.burial or not is_burial_name(reading.name)


@pytest.mark.parametrize("pattern", SHIPPED, ids=lambda pattern: pattern.name)
def test_every_named_reading_can_lead(pattern: Pattern) -> None:
    """Were every sighting as a reading expects it, and no reading held likelier before, it would lead: none is there for show."""
    for reading in pattern.readings:
        if reading.none_of_these:
            continue
        seen: dict[str, bool | float] = {}
        for line in pattern.lines:
            if line.spreads is not None:
                seen[line.id] = line.spreads[reading.id].centre
            else:
                seen[line.id] = line.expected[reading.id].best >= 0.5
        weighed = weigh(begin(pattern, seen=seen).question, prior=equal_prior(len(pattern.readings)))
        assert weighed.question.readings[weighed.leader].id == reading.id, weighed.question.readings[weighed.leader].id


def test_burials_are_thought_of_where_they_may_be() -> None:
    """Rectangular and round cuts, posts in line and voids each have a reading that calls for burial care."""
    held = {pattern.name for pattern in SHIPPED if any(reading.burial for reading in pattern.readings)}
    assert held == {"rectangular-cut", "round-cut", "posts-in-line", "void"}


def test_a_folder_of_ones_own_is_added_and_overrides(tmp_path: Path) -> None:
    """A file of the same name stands in place of the shipped pattern, another is added."""
    (tmp_path / "mine.toml").write_text(OWN, encoding="utf-8")
    (tmp_path / "new.toml").write_text(OWN.replace('"setting"', '"new"'), encoding="utf-8")
    (tmp_path / "notes.txt").write_text("no pattern", encoding="utf-8")
    held = {pattern.name: pattern for pattern in patterns(tmp_path)}
    assert set(held) == QUESTIONS | {"new"}
    assert held["setting"].title == "My settings" and held["setting"].from_user and not held["void"].from_user
    assert pattern_named("new", tmp_path).from_user


def test_a_faulty_file_of_ones_own_is_told_by_line(tmp_path: Path) -> None:
    """The message names the file and the line."""
    (tmp_path / "mine.toml").write_text(OWN.replace('"often"', '"oftn"'), encoding="utf-8")
    with pytest.raises(TableError, match=r"mine\.toml") as refusal:
        own_patterns(tmp_path)
    assert [fault.line for fault in refusal.value.faults] == [17]


def test_what_is_no_folder_and_no_text_is_refused(tmp_path: Path) -> None:
    """A missing folder, a file of other bytes and one that is too large are refused in words."""
    with pytest.raises(FileError, match="as the folder of your own patterns"):
        own_patterns(tmp_path / "nowhere")
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(FileError, match="is not text in UTF-8"):
        own_patterns(tmp_path)
    (tmp_path / "bytes.toml").write_bytes(b"#" * 1_000_001)
    with pytest.raises(FileError, match="is larger than a pattern can be"):
        own_patterns(tmp_path)


def test_a_name_that_no_pattern_has_is_answered_with_near_ones() -> None:
    """The names there are, and the nearest, stand in the message."""
    with pytest.raises(InputError, match=r"No pattern is called “settin”.*Did you mean setting"):
        pattern_named("settin")
