"""Another office's register and links, in its own habits, become a record (data invented, see data/README.md)."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from baulk.exchange import read_mapping, take_in
from baulk.record import Context, Level, Relation, SiteRecord, Unit
from tests.exchange.made import ids, record_of

DATA = Path(__file__).parent / "data"


def taken_record() -> tuple[SiteRecord, tuple[str, ...]]:
    """Return the record that the mapping makes, and its notes."""
    found = take_in(DATA, read_mapping(DATA / "other_office.toml"), SiteRecord(), new_id=ids())
    return record_of(found.drafts), found.notes


def test_the_register_is_taken_whole() -> None:
    """Six contexts in one unit, with words, decimal commas, dates and a quoted line break turned into ours."""
    record, _ = taken_record()
    assert [context.number for context in record.all(Context)] == ["101", "102", "103", "104", "105", "106"]
    assert Counter(context.kind for context in record.all(Context)) == {"deposit": 3, "fill": 1, "cut": 1, "structure": 1}
    ash = record.numbered(Context, "102")
    assert (ash.length, ash.recorded_on, ash.description) == (1.9, "2026-05-04", "Asche und Schlacke;\r\nlocker, mit Glasabfall")
    assert [unit.number for unit in record.all(Unit)] == ["1"] and ash.units == (record.numbered(Unit, "1").id,)


def test_depths_are_levels_below_the_trench_zero() -> None:
    """The top of 104 at 55 cm below 12.50 m is 11.95 m, its base at 82 cm 11.68 m; a blank base makes no level."""
    record, _ = taken_record()
    levels = {(record.label(level.context), level.surface): level.level for level in record.all(Level)}
    assert (levels["104", "top"], levels["104", "base"], len(levels)) == (11.95, 11.68, 11)
    assert ("106", "base") not in levels


def test_both_sides_of_the_links_are_entered() -> None:
    """“Über” gives what lies over, “Unter” what lies under, cuts and fills come from the second table with their certainty."""
    record, _ = taken_record()
    links = Counter((record.label(link.later), record.label(link.earlier), link.how, link.sheet) for link in record.all(Relation))
    assert links["102", "103", "overlies", "earlier's sheet"] == links["102", "103", "overlies", "later's sheet"] == 1
    assert links["104", "106", "overlies", "later's sheet"] == 1 and ("104", "106", "overlies", "earlier's sheet") not in links
    assert {(later, earlier) for later, earlier, how, _ in links if how == "cuts"} == {("104", "105"), ("104", "106")}
    fills = [link for link in record.all(Relation) if link.how == "fills"]
    assert [(record.label(link.later), link.certainty) for link in fills] == [("103", "doubtful")]
    assert sum(links.values()) == 16


def test_what_was_left_out_is_said() -> None:
    """The title, the line of totals and the repeated trench are each named once."""
    assert taken_record()[1] == (
        "su_list.csv: Above the headers 2 lines were left out.",
        "su_list.csv, line 11: left out, as the mapping says under skip.",
        "su_list.csv, lines 5, 7, 8, 9, 10: 5 records left out, as the mapping says "
        "(only the first row of a number is taken: “1”).",
    )
