"""Patterns from their text: what is taken, and every fault told by its line."""

from __future__ import annotations

import pytest

from baulk.errors import InputError, TableError
from baulk.reading.finding import Finding
from baulk.reading.pattern import Pattern, begin, merged
from baulk.reading.pattern_text import pattern_of
from baulk.reading.question import NONE_OF_THESE
from baulk.reading.spread import expectations_of, spread_of
from baulk.reading.weigh import weigh

TEXT = """name = "lump"
title = "A lump"
asks = "What is the lump?"

[[reading]]
key = "brick"
name = "Brick"
prior = 0.6
why = "Common."

[[reading]]
key = "grave"
name = "Possible grave"
prior = 0.2
why = "Rare."

[[evidence]]
id = "red"
saw = "it is red"
expected = { brick = "usually", grave = "seldom", none = "now and then" }
rule = "dark_soil"
cause = "colour"
does = "Look."
hours = 0.1
lost_at_backfill = true
source = "common practice, no source"

[[evidence]]
id = "size"
saw = "its length"
measures = "length, mm"
grain = 5
spread = { brick = "about 215, give or take 8", grave = "between 500 and 2200" }
does = "Measure it."
hours = 0.2
lost_at_backfill = false
source = "common practice, no source"
"""


def test_a_pattern_is_read_with_none_of_these_and_priors_scaled() -> None:
    """Priors 0.6 and 0.2 share nine tenths, a burial is known by its name, and cells hold their words."""
    held = pattern_of(TEXT, "lump.toml", ["dark_soil"])
    assert [round(reading.prior or 0, 3) for reading in held.readings] == [0.675, 0.225, 0.1]
    assert [reading.burial for reading in held.readings] == [False, True, False]
    red, size = held.lines
    assert red.expected["brick"].word == "usually" and red.expected[NONE_OF_THESE].word == "now and then"
    assert red.rule == "dark_soil" and red.cause == "colour" and red.lost_at_backfill
    assert size.spreads is not None and size.spreads["grave"].even and size.grain == 5


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('asks = "What is the lump?"\n', "", 1, "This key is missing."),
        ("prior = 0.6", 'prior = "much"', 8, "The value is to be a number."),
        ("prior = 0.6", "prior = 1.5", 8, "A prior lies between 0 and 1."),
        ('key = "grave"', 'key = "brick"', 12, "Another reading has this key, or it is “none”"),
        ('key = "grave"', 'key = "none"', 12, "which is always there."),
        ('saw = "it is red"', 'sew = "it is red"', 19, "No such key is known here"),
        ('brick = "usually"', 'brick = "usualy"', 20, "Did you mean usually?"),
        ('brick = "usually"', 'brik = "usually"', 20, "No reading has this key; they are brick, grave, none. Did you mean brick?"),
        ('rule = "dark_soil"', 'rule = "dark_soul"', 21, "No rule of that name reads the record. Did you mean dark_soil?"),
        ("hours = 0.1", "hours = 0", 24, "Every look costs some time: give hours above 0."),
        ('id = "size"', 'id = "red"', 29, "Another piece of evidence has this id."),
        ("grain = 5\n", "", 32, "A measure has “spread”, “measures” and a “grain” above 0, and no “expected”."),
        ('"about 215, give or take 8"', '"about 215"', 33, "is given for where a measure lies"),
        ('"about 215, give or take 8"', '"usually"', 33, "Write “about 12, give or take 4” or “between 0 and 90”."),
        ('source = "common practice, no source"\n\n', 'source = ""\n\n', 26, "The value is to be text in quotes."),
        ("lost_at_backfill = true", 'lost_at_backfill = "yes"', 25, "The value is to be true or false."),
        ("hours = 0.1", "hours = = 1", 24, "This is not TOML"),
    ],
)
def test_a_fault_is_told_by_its_line(old: str, new: str, line: int, words: str) -> None:
    """One fault at a time, each with the line a person would look at."""
    assert old in TEXT
    with pytest.raises(TableError) as refusal:
        pattern_of(TEXT.replace(old, new, 1), "lump.toml", ["dark_soil"])
    assert words in str(refusal.value) and "lump.toml" in str(refusal.value)
    assert line in {fault.line for fault in refusal.value.faults}


def test_all_faults_are_told_at_once_in_order_of_line() -> None:
    """Three faults in three places are three lines of one message."""
    text = (
        TEXT.replace('brick = "usually"', 'brick = "usualy"')
        .replace("prior = 0.2", "prior = 0")
        .replace("hours = 0.2", "hours = -1")
    )
    with pytest.raises(TableError) as refusal:
        pattern_of(text, "lump.toml")
    assert [fault.line for fault in refusal.value.faults] == [14, 20, 35]


def test_a_pattern_of_one_reading_is_refused() -> None:
    """A pattern weighs readings against each other: one alone is none."""
    text = TEXT.replace('[[reading]]\nkey = "grave"\nname = "Possible grave"\nprior = 0.2\nwhy = "Rare."\n', "")
    text = text.replace(', grave = "seldom"', "").replace(', grave = "between 500 and 2200"', "")
    with pytest.raises(TableError, match="A pattern needs at least two readings that compete"):
        pattern_of(text, "lump.toml")


def test_a_line_without_expectations_is_refused() -> None:
    """Neither words nor spreads: nothing could be weighed."""
    text = TEXT.replace('expected = { brick = "usually", grave = "seldom", none = "now and then" }\n', "")
    with pytest.raises(TableError, match="Say how expected it is under each reading"):
        pattern_of(text, "lump.toml")


def lump() -> Pattern:
    """Return the pattern of the text."""
    return pattern_of(TEXT, "lump.toml")


def test_what_is_known_becomes_evidence_and_what_is_not_a_test() -> None:
    """Without findings all lines are tests; a finding, a person's word and a measure turn them into evidence."""
    assert [test.id for test in begin(lump()).tests] == ["red", "size"]
    told = begin(lump(), [Finding("dark_soil", False, "It is pale.", ("c1",))], {"size": 216.0}, number="7", about=["c1"])
    red, size = told.question.evidence
    assert not red.seen and red.records == ("c1",) and red.cause == "colour"
    assert size.saw == "length, mm: 216" and told.tests == ()
    assert told.told["red"].says == "It is pale." and told.question.number == "7"
    assert weigh(told.question).leader == 0


def test_a_person_stands_before_the_record() -> None:
    """What somebody says was seen is taken, whatever the rule reads."""
    told = begin(lump(), [Finding("dark_soil", False, "It is pale.")], {"red": True})
    assert told.question.evidence[0].seen


def test_a_rule_that_cannot_tell_gives_the_test_its_words() -> None:
    """The test is what the rule says to do."""
    told = begin(lump(), [Finding("dark_soil", None, "No colour.", (), None, "Read the colour.")])
    assert told.tests[0].does == "Read the colour." and told.question.evidence == ()


def test_a_users_pattern_stands_in_place_of_the_shipped_one() -> None:
    """Of two with one name the user's is kept and marked; others stay."""
    other = pattern_of(TEXT.replace('name = "lump"', 'name = "other"'), "other.toml")
    own = pattern_of(TEXT.replace("A lump", "My lump"), "lump.toml")
    held = merged([lump(), other], [own])
    assert [(pattern.name, pattern.title, pattern.from_user) for pattern in held] == [
        ("lump", "My lump", True), ("other", "A lump", False),
    ]  # fmt: skip


def test_a_measure_not_taken_is_a_test_cut_between_the_centres() -> None:
    """Centres of 215 and 1350 mm: below and above 782.5, as likely as the spreads say."""
    test = begin(lump()).tests[1]
    assert test.outcomes == ("below 782", "782 or above")
    assert test.chances["brick"][0] == pytest.approx(0.999)
    assert test.chances["grave"][0] == pytest.approx(282.5 / 1700)


@pytest.mark.parametrize(
    "text",
    ["about 12", "about 15 to 12, give or take 4", "about 5, give or take 0", "between 9 and 3", "about 1.2.3, give or take 1"],
)
def test_what_is_no_spread_is_refused(text: str) -> None:
    """Half a sentence, ranges the wrong way round and no width are refused in words."""
    with pytest.raises(InputError, match="is given for where a measure lies"):
        spread_of(text)


def test_the_range_of_a_measured_chance_holds_all_corners_and_what_lies_between() -> None:
    """Means 10 to 14 and deviations 1 to 6: no mean and deviation between gives a chance beyond the stated ends."""
    spread = spread_of("about 10 to 14, give or take 1 to 6")
    assert spread is not None and spread_of(spread.says) == spread
    for value in (3.0, 9.0, 12.0, 16.0, 25.0):
        stated = expectations_of(value, 1.0, {"x": spread})["x"]
        chances = []
        for step in range(41):
            for wide in range(41):
                one = spread_of(f"about {10 + step / 10:.3f}, give or take {1 + wide / 8:.3f}")
                assert one is not None
                chances.append(one.within(value - 1, value + 1).best)
        assert min(chances) >= stated.low - 1e-9 and max(chances) <= stated.high + 1e-9
        assert max(chances) == pytest.approx(stated.high, rel=0.02) and min(chances) == pytest.approx(stated.low, rel=0.02)
        assert stated.low <= stated.best <= stated.high


@pytest.mark.parametrize(("value", "grain"), [(float("nan"), 1.0), (5.0, 0.0)])
def test_a_measure_without_value_or_grain_is_refused(value: float, grain: float) -> None:
    """No number, and a measurement that claims to have no error, are refused in words."""
    with pytest.raises(InputError, match=r"is given as measured\. A value is a number, and its grain"):
        expectations_of(value, grain, {})


def test_a_reading_without_a_spread_takes_any_value_as_likely() -> None:
    """Of none of these every value that some spread reaches is as likely as any other."""
    spread = spread_of("about 10, give or take 5")
    assert spread is not None
    held = expectations_of(10.0, 1.0, {"x": spread}, ["x", "n"])
    assert held["n"].best == pytest.approx(2 / 22) and held["x"].best > held["n"].best


def test_what_nobody_goes_looking_for_is_no_test() -> None:
    """A line that is not sought, such as human bone, is evidence when it is seen and no test when it is not."""
    held = pattern_of(TEXT.replace('id = "red"', 'id = "red"\nsought = false'), "lump.toml")
    assert [test.id for test in begin(held).tests] == ["size"]
    assert [piece.id for piece in begin(held, seen={"red": True}).question.evidence] == ["red"]
