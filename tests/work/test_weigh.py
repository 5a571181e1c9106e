"""A question of the record is weighed as it is written: what counts, what does not, and what cannot be used is said."""

from __future__ import annotations

import math
from typing import Any

import pytest

from baulk.errors import InputError, UnknownRecord
from baulk.reading.grouping import Treatment
from baulk.record import Burial, SiteRecord, View, record_for
from baulk.work.asked import asked_question, questions_of
from baulk.work.weigh import beside_of, questions_withheld, weighed_question
from tests.work.question_site import question_record


def odds(record: SiteRecord, treatment: str = "") -> float:
    """Return the odds of path against wall."""
    found = weighed_question(record, record, "1", treatment=treatment).argument.weighed
    place = found.question.place
    return float(found.posterior[place("rp")] / found.posterior[place("rw")])


def test_the_answer_follows_from_words_and_priors() -> None:
    """Two pieces of one cause, both usually against seldom, count once: odds are 5 to 4 times 0.90 to 0.10."""
    assert odds(question_record()) == pytest.approx(0.5 / 0.4 * 0.9 / 0.1)
    assert odds(question_record(), treatment="in full") == pytest.approx(0.5 / 0.4 * (0.9 / 0.1) ** 2)
    assert odds(question_record({"q": {"treatment": "in full"}})) == pytest.approx(0.5 / 0.4 * (0.9 / 0.1) ** 2)


def test_cells_are_found_by_their_own_record_by_id_and_by_mark() -> None:
    """A cell of its own goes before the evidence's map, whose keys are ids or marks; a chance and a range may stand for a word."""
    record = question_record({"x1": {"word": "0.5"}, "x2": {"word": "0.2 to 0.8"}, "e2": {"expected": None}})
    assert odds(record) == pytest.approx(0.5 / 0.4)
    assert asked_question(record, "1").question.evidence[0].notes == {"rw": "walls are bonded"}


def test_what_is_set_aside_stays_in_the_table_without_counting() -> None:
    """Evidence that is set aside is told with its reason and weighs nothing; counted again it shifts the answer."""
    record = question_record()
    found = weighed_question(record, record, "1")
    assert [one.id for one in found.asked.set_aside] == ["e3"]
    assert beside_of(found).set_aside == (("1.3 A nail", "may be modern"),)
    counted = question_record({"e3": {"set_aside": None, "expected": {"rp": "seldom", "rw": "usually"}}})
    assert odds(counted) == pytest.approx(odds(record) * 0.1 / 0.9)


def test_looked_for_and_not_there_counts_the_other_way() -> None:
    """Evidence that was looked for and was not there counts by the chance of not seeing it."""
    record = question_record({"e1": {"seen": False}, "e2": None})
    assert odds(record) == pytest.approx(0.5 / 0.4 * 0.1 / 0.9)


def test_a_test_that_was_made_counts_as_evidence() -> None:
    """Its outcome weighs by its chances, and it is no test any more; a result that is no outcome is said and weighs nothing."""
    record = question_record({"t1": {"result": "worn"}})
    assert odds(record) == pytest.approx(odds(question_record()) * 0.8 / 0.1)
    found = weighed_question(record, record, "1")
    assert [ranked.observation.id for ranked in found.argument.tests] == ["t2"]
    other = question_record({"t1": {"result": "broken"}})
    assert odds(other) == pytest.approx(odds(question_record()))
    assert "1-T1 came out as “broken”, which is none of its outcomes (“worn”, “rough”): it counts nothing." in _notes(other)


def test_what_is_lost_at_backfill_is_to_be_done_first() -> None:
    """Of the tests left the one that cannot be made later comes first, whatever the other tells an hour."""
    record = question_record({"t1": {"hours": 40.0}})
    found = weighed_question(record, record, "1", hours=100)
    assert [ranked.observation.id for ranked in found.argument.tests] == ["t1", "t2"]
    assert beside_of(found).tests == (("Lift one sett", True, 40.0), ("Read the rental", False, 4.0))


def _notes(record: SiteRecord) -> str:
    return "\n".join(weighed_question(record, record, "1").notes)


def test_what_cannot_be_used_is_said() -> None:
    """A word that is none, two records for one cell, a test without outcomes or hours: each is said and the rest is weighed."""
    more = (("expectation", {"id": "x9", "evidence": "e1", "reading": "rp", "word": "often"}),)
    record = question_record({"x2": {"word": "mostly"}, "t1": {"outcomes": None}, "t2": {"hours": None}}, more)
    said = _notes(record)
    assert "1.1 under 1B counts as “cannot say”. “mostly” is given for how expected a sighting is." in said
    assert "Two people filled in the cell 1.1 under 1A: the later one counts. Make the other void." in said
    assert "Test 1-T1 names fewer than two outcomes with their chances, so nobody can say what it would tell." in said
    assert "Nobody says how long test 1-T2 takes: 1 hour is taken." in said
    cells = asked_question(record, "1").cells
    assert cells["e1", "rp"].id == "x9"


def test_a_test_with_impossible_chances_is_not_ranked() -> None:
    """Chances that do not add up to 1 are said, and the test is left out."""
    wrong = {"worn": {"1A": 0.8, "1B": 0.5}, "rough": {"1A": 0.9, "1B": 0.5}}
    record = question_record({"t1": {"outcomes": wrong}})
    assert "Test 1-T1 is not ranked. The test “Lift one sett” has for the reading “rp” the chances 0.8, 0.9." in _notes(record)


def test_measured_evidence_weighs_by_where_its_value_lies() -> None:
    """A measured value near one reading's centre speaks for it; a cell that says no spread is said and any value counts alike."""
    changed = {"e1": {"measured": 12.0, "grain": 1.0}, "e2": None, "x1": {"word": "about 12, give or take 3"}}
    record = question_record({**changed, "x2": {"word": "about 30, give or take 6"}})
    assert odds(record) > 10
    assert "It is measured: write where the value lies, as in “about 12 to 15, give or take 4”." in _notes(question_record(changed))
    none = question_record({**changed, "x1": {"word": "usually"}})
    assert "1.1 is measured, and nobody says where the value lies under any reading: it counts nothing." in _notes(none)
    coarse = question_record({**changed, "e1": {"measured": 12.0}})
    assert "1.1 counts nothing. The value 12 with a grain of 0 is given as measured." in _notes(coarse)


def test_unknown_void_and_empty_questions_are_refused_in_words() -> None:
    """What cannot be weighed is answered by a sentence that says what to do."""
    record = question_record()
    with pytest.raises(UnknownRecord, match="There is no question “7”"):
        asked_question(record, "7")
    with pytest.raises(InputError, match=r"Question 1 is void, so it is not weighed\. Ask for one that counts\."):
        asked_question(question_record({"q": {"void": "asked twice"}}), "1")
    with pytest.raises(InputError, match="has no reading to weigh"):
        asked_question(question_record({"rp": None, "rw": None, "e2": None, "x1": None, "x2": None}), "1")
    with pytest.raises(
        InputError, match=r"The treatment of common causes is given as “twice”\. It is one of: least expected, shared"
    ):
        weighed_question(record, record, "1", treatment="twice")
    assert weighed_question(record, record, "1").asked.treatment is Treatment.LEAST


def test_evidence_that_is_withheld_does_not_count_and_is_counted() -> None:
    """The crew's answer leaves out evidence that rests on a withheld context, and says how many pieces that are."""
    more = (
        ("context", {"id": "c14", "number": "114", "kind": "cut"}),
        ("burial", {"id": "b", "number": "G1", "contexts": ("c14",)}),
        (
            "evidence",
            {"id": "e4", "question": "q", "saw": "Cut by 114", "records": ("c14",), "expected": {"rp": "usually", "rw": "seldom"}},
        ),
    )
    record = question_record(more=more)
    crew = record_for(record, View.CREW)
    found = weighed_question(record, crew, "1")
    assert found.withheld == 1
    assert (
        "1 piece of evidence or test is withheld here and not counted: with --restricted the answer may be another." in found.notes
    )
    assert [piece.id for piece in found.asked.question.evidence] == ["e1", "e2"]
    whole = weighed_question(record, record, "1")
    assert whole.withheld == 0 and len(whole.asked.question.evidence) == 3
    assert record.all(Burial)


def test_a_reading_for_remains_calls_for_care_and_withholds_its_question() -> None:
    """A small chance of a grave raises the caution, whatever else is likelier; crew and public do not see the question."""
    record = question_record({"rw": {"name": "Possible grave", "prior": 0.2}})
    found = weighed_question(record, record, "1")
    assert found.caution is not None and "stop work" in found.caution.says and "notify" in found.caution.says
    assert beside_of(found).caution == found.caution.says
    for view in (View.CREW, View.PUBLIC):
        seen = record_for(record, view)
        assert questions_of(seen) == () and questions_withheld(record, view) == 1
        with pytest.raises(UnknownRecord):
            weighed_question(record, seen, "1")
    flagged = question_record({"rw": {"remains": True}})
    assert questions_withheld(flagged, View.CREW) == 1


def test_a_low_chance_of_a_grave_is_never_a_clearance() -> None:
    """Below the threshold nothing says that there is none; a question without such a reading raises no caution."""
    unlikely: dict[str, Any] = {"expected": {"rp": "nearly always", "rw": "0.001"}}
    changed = {
        "rw": {"name": "Possible grave", "prior": 0.01},
        "e1": {"cause": None, **unlikely},
        "e2": {"cause": None, **unlikely},
    }
    low = question_record({**changed, "x1": None, "x2": None})
    found = weighed_question(low, low, "1")
    assert found.caution is None and "This is no clearance" in found.care_says
    record = question_record()
    plain = weighed_question(record, record, "1")
    assert plain.caution is None and plain.care_says == "" and math.isnan(plain.argument.care.share)


def test_a_piece_with_an_unsaid_cell_waits_until_every_reading_has_a_word() -> None:
    """One word alone shifts nothing and is told; with “cannot say” for the rest the piece counts, and speaks for what was said."""
    new = ("evidence", {"id": "e9", "question": "q", "number": "1.9", "saw": "A worn post hole"})
    said = ("expectation", {"id": "x9", "evidence": "e9", "reading": "rp", "word": "usually"})
    rest = ("expectation", {"id": "y9", "evidence": "e9", "reading": "rw", "word": "cannot say"})
    records = [question_record(more=more) for more in ((), (new, said), (new, said, rest))]
    before, half, full = (weighed_question(record, record, "1") for record in records)
    assert half.argument.weighed.posterior.tolist() == before.argument.weighed.posterior.tolist()
    assert [one.id for one in half.asked.waiting] == ["e9"] and dict(half.asked.unsaid) == {"e9": ("rw",)}
    assert (
        "1.9 does not count yet: nobody said how expected it is under 1B. Give each a word of the scale, or “cannot say”."
    ) in half.notes
    assert ("1.9 A worn post hole", "until each reading has a word or “cannot say”") in beside_of(half).set_aside
    assert full.argument.weighed.posterior[0] > before.argument.weighed.posterior[0] and full.asked.waiting == ()


def test_a_measured_piece_may_say_cannot_say() -> None:
    """The words count as any value alike, and nothing is noted against them."""
    new = ("evidence", {"id": "e9", "question": "q", "number": "1.9", "saw": "Width", "measured": 1.2, "grain": 0.1})
    said = ("expectation", {"id": "x9", "evidence": "e9", "reading": "rp", "word": "about 1.2, give or take 0.2"})
    rest = ("expectation", {"id": "y9", "evidence": "e9", "reading": "rw", "word": "cannot say"})
    record = question_record(more=(new, said, rest))
    found = weighed_question(record, record, "1")
    assert found.asked.waiting == () and not any("1.9" in note for note in found.notes)
    assert found.asked.expected["e9", "rp"].best > found.asked.expected["e9", "rw"].best
