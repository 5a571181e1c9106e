"""Cells become typed values by what each field says of itself; every bad row is named and nothing is taken by halves."""

from __future__ import annotations

from typing import Any

import pytest

from baulk.errors import InputError, TableError, UnknownRecord
from baulk.exchange import Take
from baulk.record import KINDS, Context, Site, SiteRecord, Stamp, TermList, Unit, creation, fold_record, label_of
from baulk.record.reference import csv_headers
from tests.exchange.made import entity_of, record_of, small_record, taken


def first(kind: str, headers: str, row: str, record: SiteRecord | None = None) -> dict[str, Any]:
    """Return the values of the one draft of a table of one row."""
    return taken(f"{headers}\n{row}\n", kind, record).drafts[0].values


GOOD = [
    ("context", "length", "1.50", 1.5),
    ("context", "length", "\u22120.35", -0.35),
    ("context", "length", "250 cm", 2.5),
    ("context", "piece_length", "8 1/2 in", 215.9),
    ("context", "phase", "3", 3),
    ("context", "phase", "3.0", 3),
    ("context", "spot_begin", "-44", -44),
    ("context", "natural", "Yes", True),
    ("context", "natural", "n", False),
    ("context", "recorded_on", "2026-05-14", "2026-05-14"),
    ("context", "recorded_on", "2026/5/4", "2026-05-04"),
    ("context", "colour_moist", "10yr4/3", "10YR 4/3"),
    ("context", "kind", "Deposit", "deposit"),
    ("context", "tools", "trowel; Mattock", ["trowel", "mattock"]),
    ("context", "description", "=SUM(A1:A9)", "=SUM(A1:A9)"),
    ("context", "description", "'=SUM(A1:A9)", "=SUM(A1:A9)"),
    ("context", "description", "'tis clay", "'tis clay"),
    ("context", "description", "+1 -2 @x", "+1 -2 @x"),
    ("context", "thickness_min", "Not  visible", {"absent": "not visible"}),
    ("context", "sieved", "not done: rain", {"absent": "not done: rain"}),
    ("context", "sieved", "absent: sheet lost", {"absent": "sheet lost"}),
    ("context", "attitude", "not visible", "not visible"),
    ("context", "orientation", "180", 180.0),
    ("unit", "corners", "100 200; 102 200; 102 202; 100 202", [[100.0, 200.0], [102.0, 200.0], [102.0, 202.0], [100.0, 202.0]]),
    ("unit", "sides", "2; 2.01; 2 m; 200 cm", [2.0, 2.01, 2.0, 2.0]),
    ("evidence", "expected", '{"r1": "likely"}', {"r1": "likely"}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "field", "cell", "value"), GOOD)
def test_cells_become_plain_values(kind: str, field: str, cell: str, value: object) -> None:
    """Each cell gives the value a change would hold."""
    quoted = '"' + cell.replace('"', '""') + '"'
    headers, row = ("question;" if kind == "evidence" else ""), ("id:q1;" if kind == "evidence" else "")
    record = SiteRecord.of([KINDS["question"](id="q1")])
    if kind != "evidence":
        headers, row = "number;", "7;"
    assert first(kind, f"{headers}{field}", f"{row}{quoted}", record)[field] == value


BAD = [
    ("length", "1,5", r"A comma may stand for decimals or for thousands\. Write decimals with a point, or say decimal = \",\""),
    ("length", "146+", r"This is no plain number\. Put 146 in the cell, if that is meant, and the rest into the notes"),
    ("length", "rock", r"This is no number\. Leave the cell blank when nothing was measured, or write “not done: reason”"),
    ("length", "10.4 ft 3 in", r"tenths of a foot and inches are not mixed in one length"),
    ("length", "1_000", r"This is no plain number"),
    ("length", "1e999", r"This number is too large to be a measure"),
    ("length", "nan", r"This is no number"),
    ("phase", "1.5", r"A whole number belongs here"),
    ("phase", "-1", r"A count is a whole number, 0 or more"),
    ("spot_begin", "0", r"There is no year 0: 1 BC is -1 and is followed by AD 1"),
    ("dug", "101", r"A share in percent runs from 0 to 100"),
    ("orientation", "361", r"A bearing runs from 0 to 360 degrees"),
    ("natural", "maybe", r"Yes or no belongs here\. Translate other words in the mapping file"),
    ("recorded_on", "14/05/2026", r"It cannot be told which figure is the day and which the month\. Write 2026-05-14"),
    ("recorded_on", "May 2026", r"A date is written year-month-day, as in 2026-05-14"),
    ("recorded_on", "2026-02-30", r"must exist in the calendar"),
    ("colour_moist", "brown", r"A Munsell colour is hue value/chroma, as in 10YR 4/3 or N 3/0"),
    ("kind", "layer", r"It is not in the list “Kind of context” \(deposit, fill, cut"),
    ("kind", "depositt", r"Did you mean deposit\? Translate other words in the mapping file"),
    ("units", "1; 9", r"There is no unit “9” in the record or among the rows taken"),
    ("fill_of", "1044", r"There is no context “1044” in the record or among the rows taken\. Did you mean 104[23]"),
]  # fmt: skip


@pytest.mark.parametrize(("field", "cell", "reason"), BAD)
def test_a_bad_cell_is_named_with_line_column_and_reason(field: str, cell: str, reason: str) -> None:
    """The fault carries the line, the header, what was given and the rule with the next step."""
    with pytest.raises(TableError, match=reason) as caught:
        taken(f"number|{field}\n7|{cell}\n", "context", small_record())
    fault = caught.value.faults[0]
    assert (fault.line, fault.column, fault.given, caught.value.source) == (2, field, cell, "t.csv")


def test_positions_and_data_that_cannot_be_read_are_named() -> None:
    """A pair that is no pair, a ring of two corners and a text that is no JSON are each refused."""
    for ring, reason in (
        ("100 200; 102", r"Position 2, “102”, is no pair: write easting, a blank and northing"),
        ("100 200; 102 200", r"A polygon needs at least three different corners"),
    ):
        with pytest.raises(TableError, match=reason):
            taken(f'number,corners\n1,"{ring}"\n', "unit")
    with pytest.raises(TableError, match=r"Structured data is written as a JSON object"):
        taken("question;expected\nid:q1;likely\n", "evidence", SiteRecord.of([KINDS["question"](id="q1")]))


def test_all_faults_are_collected_in_order_of_line() -> None:
    """Nothing is taken, and the message counts every fault and shows the first twenty."""
    rows = "\n".join(f"{n},x{n}" for n in range(1, 31))
    with pytest.raises(TableError, match=r"t\.csv: 30 faults, so none of its rows was taken") as caught:
        taken(f"number,length\n{rows}\n", "context")
    assert [fault.line for fault in caught.value.faults] == list(range(2, 32))
    assert "… and 10 more" in str(caught.value)


def test_headers_may_be_names_or_labels_in_any_case() -> None:
    """“Colour, moist”, “COLOUR_MOIST” and “colour moist” are one field."""
    for header in ("Colour, moist", "COLOUR_MOIST", "colour-moist"):
        assert first("context", f'number;"{header}"', "1;10YR 4/3")["colour_moist"] == "10YR 4/3"


def test_every_field_is_found_by_its_name() -> None:
    """No label hides another field's name."""
    for kind in KINDS.values():
        for name in csv_headers(kind):
            table = f"{name}\n"
            assert taken(table, kind.KIND).drafts == (), label_of(kind, name)


def test_unknown_and_doubled_columns_are_refused_in_the_documented_form() -> None:
    """Without a mapping a strange header is a fault at the header's line; a strange column without cells is none."""
    with pytest.raises(TableError, match=r"line 1, column “colr”: A context has no such field\..*Use a mapping file"):
        taken("number,colr\n1,red\n", "context")
    with pytest.raises(TableError, match=r"line 1, column “Context”: The column “number” is the same field; keep one"):
        taken("number,Context\n1,1\n", "context")
    assert taken("number,colr\n1,\n", "context").drafts[0].values == {"number": "1"}


def test_references_point_to_the_record_earlier_drafts_and_the_table_itself() -> None:
    """A fill may name a cut on a later row, a find a context drafted before, a relation a context of the record."""
    contexts = taken("number,kind,fill_of,units\n1,fill,2,1\n2,cut,,1\n", "context", small_record())
    assert contexts.drafts[0].values["fill_of"] == contexts.drafts[1].id
    assert contexts.drafts[0].values["units"] == ["u1"]
    found = taken("later,earlier\n1,1042\n", "relation", small_record(), earlier=contexts.drafts)
    assert found.drafts[0].values == {"later": contexts.drafts[0].id, "earlier": "c1"}


def test_a_staff_reading_is_named_by_run_and_line() -> None:
    """A level may point to a sight as RUN/LINE, of the record or drafted before."""
    runs = taken("number\nA\n", "level_run")
    sights = taken("run,place\nA,1\nA,2\n", "sight", earlier=runs.drafts)
    both = (*runs.drafts, *(sight for sight in sights.drafts))
    found = taken("context,sight\n1042,A/2\n", "level", small_record(), earlier=both)
    assert found.drafts[0].values["sight"] == sights.drafts[1].id
    record = record_of(both, *small_record().by_id.values())
    assert taken("context,sight\n1042,A/1\n", "level", record).drafts[0].values["sight"] == sights.drafts[0].id


def test_numbers_are_used_once() -> None:
    """A number twice in the table, in the record or in an earlier draft is a fault that says where it stands."""
    with pytest.raises(
        TableError, match=r"line 3, column “number” “5”: The number stands on line 2 already\. A context has one number"
    ):
        taken("number\n5\n5\n", "context")
    with pytest.raises(
        TableError, match=r"The record has this number already\. A number is never used again, even when its record is void"
    ):
        taken("number\n1042\n", "context", small_record())
    void = SiteRecord.of([Context(id="v", number="9", void="dug twice")])
    with pytest.raises(TableError, match="even when its record is void"):
        taken("number\n9\n", "context", void)
    earlier = taken("number\n5\n", "context").drafts
    with pytest.raises(TableError, match=r"The number was taken from t\.csv, line 2, already"):
        taken("number\n5\n", "context", earlier=earlier)


def test_pieces_of_two_structures_may_have_one_number() -> None:
    """The number of a laid piece runs within its structure."""
    assert len(taken("number,context\n1,1042\n1,1043\n", "element", small_record()).drafts) == 2


def test_what_a_record_cannot_be_without_is_asked_for() -> None:
    """A relation needs both ends, a context its number, and neither can be absent on purpose."""
    with pytest.raises(TableError, match=r"line 2, column “earlier”: A relation cannot be kept without it"):
        taken("later,earlier\n1042,\n", "relation", small_record())
    with pytest.raises(TableError, match=r"line 2, column “number”: A context cannot be kept without it"):
        taken("number,kind\n,cut\n", "context")
    with pytest.raises(TableError, match=r"cannot be kept without it, so it cannot be absent on purpose"):
        taken("later,earlier\n1042,not visible\n", "relation", small_record())


def test_words_of_an_open_list_are_kept_and_noted() -> None:
    """A house list does not refuse other words; a site's own list takes its place."""
    found = taken("number,texture\n1,Marl\n2,clay\n3,Marl\n", "context")
    assert [draft.values["texture"] for draft in found.drafts] == ["Marl", "clay", "Marl"]
    assert found.notes == ("Kept, though not in the list “Composition”: “Marl”.",)
    own = SiteRecord.of([TermList(id="t", vocabulary="texture", terms=("marl",), name="ours 1")])
    assert taken("number,texture\n1,Marl\n", "context", own).notes == ()


def test_lengths_in_words_keep_the_words() -> None:
    """7 ft 0 7/8 in on a site in feet is 7 + 7/96 ft; the change keeps what was written."""
    feet = SiteRecord.of([Site(id="s", length_unit="ft")])
    (draft,) = taken("number;length;width\n1;7 ft 0 7/8 in;2 ft\n", "context", feet).drafts
    assert draft.values["length"] == pytest.approx(7 + 7 / 96, abs=1e-9)
    assert (draft.values["width"], draft.entered) == (2.0, "length: 7 ft 0 7/8 in; width: 2 ft")


def test_given_ids_are_kept_and_checked() -> None:
    """An id is kept as given, a blank one is made, and strange, doubled or used ids are faults."""
    found = taken("id,number\nc-7,7\n,8\n", "context")
    assert [draft.id for draft in found.drafts] == ["c-7", "r1"]
    for cell, reason in (("../x", "at most 64 letters, digits and dashes"), ("c1", "A record has this id already")):
        with pytest.raises(TableError, match=reason):
            taken(f"id,number\n{cell},7\n", "context", small_record())
    with pytest.raises(TableError, match="The same id stands on line 2"):
        taken("id,number\na,7\na,8\n", "context")


def test_a_second_site_is_refused() -> None:
    """A site file has one site."""
    with pytest.raises(TableError, match=r"line 2: A site file has one site, and it is there already"):
        taken("code\nOW\n", "site", SiteRecord.of([Site(id="s")]))
    with pytest.raises(TableError, match=r"line 3: A site file has one site"):
        taken("code\nOW\nOX\n", "site")


def test_values_fit_a_creation_and_fold_to_the_record() -> None:
    """A draft's values go through a change and its fold unchanged, absences included."""
    (draft,) = taken("number,kind,sieved,units\n7,deposit,not done: rain,1\n", "context", small_record()).drafts
    folded = fold_record([creation(Stamp("x", "0", "d", "AB"), draft.kind, draft.id, draft.values)])
    assert folded.absences == {"sieved": "not done: rain"}
    assert entity_of(draft) == Context(id=draft.id, number="7", kind="deposit", units=("u1",), absences=folded.absences)


def test_a_kind_or_field_that_does_not_exist_is_refused() -> None:
    """Both come with the nearest known word."""
    with pytest.raises(UnknownRecord, match=r"There is no kind of record “contxt”\. Did you mean context"):
        taken("number\n1\n", "contxt")
    with pytest.raises(InputError, match=r"A unit has no field “nmber”\. Did you mean number"):
        taken("a\n1\n", "unit", None, Take("unit", columns={"nmber": "a"}))


def test_a_void_namesake_gives_way() -> None:
    """A number that a void record shares with a live one means the live one."""
    record = SiteRecord.of([Unit(id="old", number="1", void="moved"), Unit(id="new", number="1")])
    assert first("context", "number,units", "1,1", record)["units"] == ["new"]
