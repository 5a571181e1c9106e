"""Values of fields: what is taken, how it is spelled, what is refused."""

from __future__ import annotations

import pytest

from baulk.errors import FieldError, InputError, UnknownRecord
from baulk.record import (
    KINDS,
    Context,
    Element,
    HybridTime,
    Outline,
    Photo,
    Site,
    build,
    facts_of,
    fields_of,
    id_at,
    id_time,
    kind_named,
    terms_of,
)


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("10YR 4/3", "10YR 4/3"),
        ("10yr4/3", "10YR 4/3"),
        (" 7.5 YR 2.5 / 1 ", "7.5YR 2.5/1"),
        ("N3", "N 3/0"),
        ("N 3/0", "N 3/0"),
        ("5Y 4/0", "N 4/0"),
    ],
)
def test_munsell_has_one_spelling(given: str, kept: str) -> None:
    """Every spelling of a Munsell colour is kept in one way; chroma 0 is a neutral."""
    assert build(Context, {"id": "a", "colour_moist": given}).colour_moist == kept


@pytest.mark.parametrize("given", ["brown", "10YR", "11YR 4/3", "10YR 11/3", "10XY 4/3", "10YR 4/3; DROP TABLE"])
def test_a_wrong_colour_is_refused_in_words(given: str) -> None:
    """A colour that is not in the notation is refused with the form it should have."""
    with pytest.raises(FieldError, match=r"context 7: Colour, moist is given as .* as in 10YR 4/3"):
        build(Context, {"id": "a", "number": "7", "colour_moist": given})


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"sieved": 120}, "Share sieved is given as “120”"),
        ({"recorded_on": "2026-02-30"}, "must exist in the calendar"),
        ({"spot_begin": 0}, "There is no year 0"),
        ({"spot_begin": 9999}, "A year lies between"),
        ({"length": float("nan")}, "Length is given as “nan”"),
        ({"colur_moist": "x"}, "Did you mean colour_moist"),
    ],
)
def test_a_wrong_value_names_its_field_and_rule(values: dict[str, object], words: str) -> None:
    """A refused value is named with the field's trade name and the rule that it breaks."""
    with pytest.raises(FieldError, match=words.replace("(", r"\(")):
        build(Context, {"id": "a", "number": "7", **values})


def test_a_ring_needs_three_corners_and_drops_the_repeated_one() -> None:
    """A polygon's closing corner is not kept twice, and two corners are no polygon."""
    ring = build(Outline, {"id": "a", "context": "c", "ring": [[0, 0], [1, 0], [1, 1], [0, 0]]}).ring
    assert ring == ((0, 0), (1, 0), (1, 1))
    with pytest.raises(FieldError, match="at least three different corners"):
        build(Outline, {"id": "a", "context": "c", "ring": [[0, 0], [1, 0], [0, 0]]})


def test_every_field_says_what_it_is() -> None:
    """Every field of every kind has a label, a help sentence, a known list of terms and a known kind it refers to."""
    for kind in KINDS.values():
        for name, facts in fields_of(kind):
            assert facts.label and facts.help.endswith("."), f"{kind.KIND}.{name}"
            if facts.vocabulary:
                assert terms_of(facts.vocabulary).terms
            assert not facts.refers or facts.refers in KINDS
    with pytest.raises(KeyError):
        facts_of(Context, "no_such_field")


def test_fields_apply_to_their_kinds_of_context() -> None:
    """A colour belongs to deposits and fills, a side slope to cuts; without a kind nothing is hidden."""
    deposit, cut, unknown = (build(Context, {"id": "a", **({"kind": kind} if kind else {})}) for kind in ("deposit", "cut", ""))
    assert deposit.applies("colour_moist") and not deposit.applies("side_slope")
    assert cut.applies("side_slope") and not cut.applies("colour_moist")
    assert unknown.applies("side_slope") and unknown.applies("colour_moist")


def test_blank_absent_and_zero_are_three_things() -> None:
    """A blank is a blank, zero is a value, and a field absent on purpose is neither."""
    context = build(Context, {"id": "a", "dug": 0, "absences": {"sieved": "not applicable"}})
    assert context.is_blank("litres") and not context.is_blank("dug") and not context.is_blank("sieved")


def test_ids_follow_the_standard_and_keep_time() -> None:
    """The id of RFC 9562's own example (appendix A.6) is made from its parts, and times out of range are refused."""
    example = id_at(0x017F22E279B0, (0xCC3 << 62) | 0x18C4DC0C0C07398F)
    assert example == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    assert id_time(example) == 0x017F22E279B0
    assert id_at(1, 0) < id_at(2, 0)
    with pytest.raises(InputError, match="between 1970 and the year 10889"):
        id_at(-1, 0)


def test_hybrid_time_never_runs_back() -> None:
    """A clock set back still gives later times, text sorts as time, and drift is told."""
    start = HybridTime(1000)
    assert start.next(900) == HybridTime(1000, 1) and start.next(1200) == HybridTime(1200)
    assert sorted([str(HybridTime(10)), str(HybridTime(9, 5)), str(HybridTime(9))]) == [
        str(HybridTime(9)),
        str(HybridTime(9, 5)),
        str(HybridTime(10)),
    ]
    assert HybridTime.parse(str(HybridTime(5, 7))) == HybridTime(5, 7)
    assert HybridTime(5000).drift(1000) == 4000 and HybridTime(5).drift(10) == 0
    with pytest.raises(InputError, match="13 digits, a point and 6 digits"):
        HybridTime.parse("yesterday")


def test_kinds_are_found_by_their_plain_names() -> None:
    """Plural, capitals and dashes are forgiven; a wrong name is answered with the nearest."""
    assert kind_named("Contexts") is Context and kind_named("site") is Site
    assert kind_named("day entries").KIND == "day_entry"
    with pytest.raises(UnknownRecord, match="Did you mean context"):
        kind_named("contxt")


def test_kinds_stand_in_the_order_of_their_references() -> None:
    """A kind refers only to itself and to kinds before it, so that tables can be taken in one after the other."""
    seen: set[str] = set()
    for name, kind in KINDS.items():
        seen.add(name)
        assert {facts.refers for _, facts in fields_of(kind) if facts.refers} <= seen, name


@pytest.mark.parametrize("given", ["../../etc/passwd", "P01.jpg", "A" * 63, "g" * 64, ""])
def test_a_file_is_named_by_its_sha_256_only(given: str) -> None:
    """A path or a name is refused where the mark of a kept file belongs, and the message says where a name goes."""
    with pytest.raises(FieldError, match=r"A file is named by its SHA-256, 64 digits .* belongs under “file name”"):
        build(Photo, {"id": "p", "file": given})
    assert build(Photo, {"id": "p", "file": "AB" * 32}).file == "ab" * 32


def test_hardness_takes_a_house_word_and_absorption_a_share_of_the_mass() -> None:
    """Hardness is an open list, so another word is kept; absorption runs from 0 to 100 per cent and what does not is refused."""
    kept = build(Element, {"id": "e", "context": "c", "hardness": "rings when struck", "absorption": 15.4})
    assert (kept.hardness, kept.absorption) == ("rings when struck", 15.4)
    assert terms_of("hardness").terms[:3] == ("soft", "medium", "hard") and not terms_of("hardness").closed
    assert "common practice, no source" in (facts_of(Element, "hardness").source, terms_of("hardness").mark)
    with pytest.raises(FieldError, match=r"Absorption.*140.*less than or equal to 100"):
        build(Element, {"id": "e", "context": "c", "absorption": 140})
