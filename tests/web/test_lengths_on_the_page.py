"""The page reads lengths as the record does: the same cases, the same metres, the same refusals."""

from __future__ import annotations

import itertools

import pytest

from baulk.errors import MeasureError
from baulk.grid.lengths import parse_length
from baulk.quantities import LengthUnit, metres_per
from tests.web.answers import answers_of

READ = [
    "2.5 m", "250 cm", "2500 mm", "2.5m", "  2.5  metres ", "2500 millimeters", "-0.35 m", "−0.35 m", "+0.35 m", ".5 m", "2.5", "0",
    "10.4 ft", "10.4'", "10 feet", "10.4", "7 ft 0 7/8 in", "10' 4 3/4\"", "10' 4 3/4''", "10′ 4¾″", "10'-4\"", "10 ft, 4 in",
    "10 ft 4.8 in", "10 ft. 4 in.", "10 ft 3/4 in", "84 13/16 in", "1/16 inch", "-1 ft 6 in", "10 ft_us", "10 US ft",
    "10 survey feet", "10 ft 6 in", "2000000", "0.1 ft", "1.855", "5 inches", "10,2 ft, 4 in",
]  # fmt: skip
REFUSED = [
    "10.4'6", "10' 4", "10 ft 4", "10.4 ft 6 in", "10 ft 14 in", "10 ft 12 in", "4 1/3 in", "4 5/4 in", "4 1/0 in", "4 1/32 in",
    "4.5 1/2 in", "2,5 m", "3 1/2", "about 2 m", "1e3 m", "nan", "inf m", "٣ m", "2 m; DROP", "   ", "", "9" * 10_000, "--2 m",
    "1/2",
]  # fmt: skip


def test_the_page_reads_every_length_as_the_record_does() -> None:
    """Metres, form and unit of every case are those of the record's reader on a site in metres, feet and survey feet."""
    asked = [(text, own) for text, own in itertools.product(READ, LengthUnit) if readable(text, own)]
    assert len(asked) > 100
    found = answers_of("length", [{"text": text, "own": own.value} for text, own in asked])
    for (text, own), answer in zip(asked, found, strict=True):
        length = parse_length(text, own=own)
        assert answer.get("metres") == pytest.approx(length.metres, rel=1e-15, abs=1e-18), text
        assert (answer["form"], answer["unit"], answer["written"]) == (length.form.value, length.unit.value, text)
        assert answer["own"] == pytest.approx(length.metres / metres_per(own), rel=1e-14)


def test_a_length_in_the_sites_own_quantity_keeps_its_digits() -> None:
    """10.4 ft on a site in feet is kept as 10.4, and 0.1 as 0.1, not as metres turned back."""
    asked = [{"text": "10.4 ft", "own": "ft"}, {"text": "0.1", "own": "ft_us"}, {"text": "250 cm", "own": "m"}]
    assert [one["own"] for one in answers_of("length", asked)] == [10.4, 0.1, 2.5]


def test_the_page_refuses_what_the_record_refuses_in_the_same_words() -> None:
    """Every text that could mean two lengths or none is refused with the record's own sentence."""
    found = answers_of("length", [{"text": text, "own": "ft"} for text in REFUSED])
    for text, answer in zip(REFUSED, found, strict=True):
        with pytest.raises(MeasureError) as caught:
            parse_length(text, own=LengthUnit.FOOT)
        said = str(caught.value)
        if len(text) < 60:
            assert answer["refusal"] == said
        else:
            assert "This is too long for a length." in answer["refusal"]


def readable(text: str, own: LengthUnit) -> bool:
    """Tell whether the record reads a text."""
    try:
        parse_length(text, own=own)
    except MeasureError:
        return False
    return True
