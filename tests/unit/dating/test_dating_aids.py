"""The aids to dating: what they refuse, what they leave out, and what they say of themselves."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.dating.glass import window_glass_dates
from baulk.dating.mean_ceramic import Weighting, latest_dates, mean_ceramic_date, resampled_interval
from baulk.dating.nails_bottles import MAKINGS, making_date
from baulk.dating.pipes import mean_bore, pipe_dates
from baulk.dating.sapwood import SAPWOOD, felling
from baulk.dating.types import DatedType, TypeTable, read_types
from baulk.dating.years import counted, year_in_words, years_in_words
from baulk.errors import InputError, MeasureError, TableError, UnknownRecord

HEAD = "# table: own series\n# version: 3\n"
ROWS = "Type, begin ,end,source,confidence,mark,note\ncreamware,1762,1820,our series,middling,read,\n"


def _table(*rows: tuple[str, int, int]) -> TypeTable:
    return TypeTable("t", "1", tuple(DatedType(name, begin, end, "s", "high", "read") for name, begin, end in rows))


def test_a_table_says_its_name_and_version_with_every_date() -> None:
    """Headers come in any order and case, remarks are passed over, names are found in any case."""
    table = read_types(HEAD + "# more words\n" + ROWS + "\nundated ware,,,our series,low,read,\n")
    assert table.title == "own series, version 3"
    assert table.dated("  CREAMWARE ") is not None
    assert table.why_not("creamware") is None
    assert table.why_not("undated ware") == "“undated ware” has no years in the table own series, version 3"
    found = mean_ceramic_date({"creamware": 2.0, "undated ware": 5.0}, table)
    assert found.left_out == ("5 of “undated ware” has no years in the table own series, version 3",)
    assert "own series, version 3" in found.aid().words


def test_all_bad_rows_of_a_table_are_listed() -> None:
    """Each fault is told with its line as a person counts it."""
    bad = (
        "a,1800,1700,s,high,read,\n,1800,1810,s,high,read,\nb,0,1800,s,high,read,\nc,1700,,s,high,read,\nd,1700,1800,,high,read,\n"
        "e,1700,1800,s,sure,read,\nCreamware,1700,1800,s,high,read,\n"
    )  # fmt: skip
    with pytest.raises(TableError) as caught:
        read_types(HEAD + ROWS + bad, source="types.csv")
    said = str(caught.value)
    for part in (
        "line 5, column “begin” “1800”: Making cannot begin after it ends (1700).",
        "line 6, column “type”: A row names its type: fill it in or take the row out.",
        "line 7, column “begin” “0”: A year is a whole number, negative for BC; there is no year 0.",
        "line 8, column “end”: A type has both years or neither: a half-open date has no middle.",
        "line 9, column “source”: A date has a source and a mark of how it was known: fill both in.",
        "line 10, column “confidence” “sure”: Confidence is one of high, middling, low.",
        "line 11, column “type” “Creamware”: A type stands in a table once; it is on line 4 too.",
    ):
        assert part in said


@pytest.mark.parametrize(
    ("text", "said"),
    [(ROWS, "does not say which table it is"), (HEAD + "type,begin\na,1\n", "has no column end, source, confidence, mark")],
)
def test_a_table_without_name_or_columns_is_refused(text: str, said: str) -> None:
    """A date has to name its table and version, and a row its source."""
    with pytest.raises(InputError, match=said):
        read_types(text)


def test_a_cell_may_run_over_two_lines_and_an_endless_one_is_refused() -> None:
    """Rows keep the line on which they begin; a quotation mark that is never closed in a huge file ends in a sentence."""
    text = HEAD + ROWS + 'delft,1640,1800,"a source\nof two lines",low,read,\nlate,1900,1800,s,low,read,\n'
    with pytest.raises(TableError, match="line 7, column “begin” “1900”"):
        read_types(text)
    with pytest.raises(InputError, match="is no CSV from line 5 on"):
        read_types(HEAD + ROWS + '"' + "a" * 200_000)


def test_weights() -> None:
    """By hand: middles 1700 (50 years) and 1800 (10 years), 9 and 1 pieces."""
    table = _table(("long", 1675, 1725), ("short", 1795, 1805))
    counts = {"long": 9.0, "short": 1.0, "none": 0.0}
    years = {one: mean_ceramic_date(counts, table, weighting=one).year for one in Weighting}
    assert years[Weighting.COUNT] == 1710
    assert years[Weighting.PRESENCE] == 1750
    assert years[Weighting.INVERSE_SPAN] == pytest.approx((1700 * 9 / 2500 + 1800 / 100) / (9 / 2500 + 1 / 100))
    assert mean_ceramic_date(counts, table).deviation == pytest.approx(30)


def test_latest_dates_pass_over_a_late_stray() -> None:
    """Of 96 early, 3 later and 1 latest piece the latest sets the TPQ, and 95 per cent do not pass the early year."""
    found = latest_dates(
        mean_ceramic_date({"a": 96.0, "b": 3.0, "c": 1.0}, _table(("a", 1700, 1720), ("b", 1800, 1820), ("c", 1900, 1920)))
    )
    assert (found.all, found.most, found.nine_in_ten) == (1900, 1700, 1700)


def test_a_late_assemblage_is_marked_as_out_of_validity() -> None:
    """The mean date says itself that it is not to be used for the twentieth century, and that one type gives no width."""
    found = mean_ceramic_date({"a": 3.0}, _table(("a", 1900, 1950)))
    aid = found.aid(resampled_interval(found, np.random.default_rng(1)))
    assert not aid.in_validity
    assert "Outside of what it holds for: not to be used." in aid.words
    assert "no width, which is no sign of certainty" in aid.words


def test_counts_that_cannot_be_used_are_refused() -> None:
    """A count below 0, no dated type at all, and halves for resampling are told in words."""
    table = _table(("a", 1700, 1720))
    with pytest.raises(InputError, match="Pieces are counted from 0 up"):
        mean_ceramic_date({"a": -1.0}, table)
    with pytest.raises(InputError, match="A type without a date never enters the sum"):
        mean_ceramic_date({"b": 1.0}, table)
    with pytest.raises(InputError, match="Resampling draws whole pieces at least twice"):
        resampled_interval(mean_ceramic_date({"a": 1.5}, table), np.random.default_rng(1))


def test_stems_that_cannot_be_used_are_refused() -> None:
    """No stem, unequal columns, and a bore in millimetres are told in words."""
    with pytest.raises(MeasureError, match="A mean takes one stem at least"):
        mean_bore([])
    with pytest.raises(MeasureError, match="A mean takes one stem at least"):
        mean_bore([5, 6], [1])
    with pytest.raises(MeasureError, match="Bores are sixty-fourths of an inch"):
        mean_bore([2.4])


def test_a_small_sample_of_stems_and_a_year_out_of_the_formula_are_said() -> None:
    """Three stems of 4/64 give Binford 1779: beyond 1760, where the formula fails."""
    binford = pipe_dates([4, 4, 4])[0]
    assert not binford.in_validity
    assert "Only 3 stems: a small sample." in binford.words
    assert pipe_dates([5, 6], [20, 20])[0].in_validity


def test_coffin_glass_is_refused() -> None:
    """The formula did not work on coffin windows, so nothing is worked out from them; beside possible graves a warning stands."""
    with pytest.raises(InputError, match="Glass of coffin viewing windows cannot be dated by thickness"):
        window_glass_dates([3.0], coffin_glass=True)
    assert all("sort out coffin glass before" in aid.words for aid in window_glass_dates([1.5] * 40, beside_graves=True))


def test_thickness_that_cannot_be_used_is_refused_and_thick_panes_are_left_out() -> None:
    """No measure, or one of 15 mm, is told; panes of double strength are left out of the mean and said."""
    with pytest.raises(MeasureError, match=r"A pane is 0\.3 to 8 mm thick"):
        window_glass_dates([np.nan])
    with pytest.raises(MeasureError, match="The window glass has 15 mm"):
        window_glass_dates([1.2, 15])
    moir, ontario = window_glass_dates([1.5] * 30 + [3.2] * 30)
    assert moir.middle == pytest.approx(84.22 * 1.5 + 1712.7)
    assert moir.left_out == ("30 sherds of 2.6 mm or more, as double strength",)
    assert (ontario.begin, ontario.end) == (None, None)
    only_thick = window_glass_dates([3.2] * 5)[0]
    assert (only_thick.middle, only_thick.in_validity) == (None, False)


def test_felling_by_bark_and_by_heartwood() -> None:
    """Bark gives the year or the next winter; heartwood alone a year not before which and no end; BC years have no gap."""
    bark = felling(1740, bark=True)
    assert (bark.begin, bark.end) == (1740, 1741)
    alone = felling(1700, estimate=SAPWOOD[2])
    assert (alone.begin, alone.end) == (1709, None)
    assert felling(-5, estimate=SAPWOOD[2]).begin == 5


def test_felling_without_an_estimate_or_with_impossible_rings_is_refused() -> None:
    """Neither bark nor estimate, and a count below 0, are told."""
    with pytest.raises(InputError, match="Without bark, felling is reckoned by the sapwood of the area"):
        felling(1700)
    with pytest.raises(InputError, match="Rings are counted from 0 up"):
        felling(1700, estimate=SAPWOOD[0], sapwood=-1)


def test_no_way_of_making_gives_a_year_not_after_which() -> None:
    """Old things were used on: none has an end, and one without a sure first year says so."""
    assert all(making_date(one.name).end is None for one in MAKINGS)
    assert "No first year is sure enough to bind." in making_date("wrought nail").words
    assert "but old ones were used on" in making_date("bottle, seam ending in the neck").words
    with pytest.raises(UnknownRecord, match=r"There is no way of making “wire nails”\. Did you mean wire nail"):
        making_date("wire nails")


def test_years_in_words() -> None:
    """Ranges read as people write them, and the year 0 is refused."""
    assert [year_in_words(year) for year in (1799.9, -44)] == ["1799", "44 BC"]
    assert [years_in_words(*pair) for pair in ((None, None), (1905, None), (None, 1792), (1780, 1830), (1799, 1799))] == [
        "no bound", "1905 or later", "1792 or earlier", "1780 to 1830", "1799",
    ]  # fmt: skip
    with pytest.raises(InputError, match="There is none: 1 BC"):
        counted(0)
