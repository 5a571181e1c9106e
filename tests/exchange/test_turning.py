"""Another office's columns become ours: composed, translated, turned, spread, and nothing is lost without a word."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from baulk.errors import InputError, TableError
from baulk.exchange import Drafted, take_in, takes_of_text
from baulk.record import Site, SiteRecord
from tests.exchange.made import ids, small_record, taken


def mapped(text: str, mapping: str, record: SiteRecord | None = None) -> Drafted:
    """Return the drafts of a table under one pass of a mapping."""
    (take,) = takes_of_text("[[take]]\n" + mapping)
    return taken(text, take.kind, record, take)


def values(found: Drafted) -> list[dict[str, Any]]:
    """Return the first values of each draft."""
    return [draft.values for draft in found.drafts]


def test_columns_constants_composition_and_words() -> None:
    """Each of our fields may come from a column, a fixed text or a template, and their words become ours whatever the capitals."""
    found = mapped(
        "Pit;Layer;Typ\nP1;4;LAYER\nP1;5;Cut\n",
        'kind = "context"\ncolumns = {kind = "typ"}\ncompose = {number = "{Pit}-{Layer:02}"}\nconstants = {confidence = "firm"}\n'
        '[take.words.kind]\n"Layer" = "deposit"',
    )
    assert values(found) == [
        {"number": "P1-04", "kind": "deposit", "confidence": "firm"},
        {"number": "P1-05", "kind": "cut", "confidence": "firm"},
    ]


def test_unmapped_columns_are_named_or_kept_in_the_notes() -> None:
    """A note counts the cells of each column left; with `keep_rest` they stand in the notes; `ignore` is silence on purpose."""
    text = "SU,Colour seen,Dug by,Empty\n1,brown,AB,\n2,,CD,\n"
    plain = mapped(text, 'kind = "context"\ncolumns = {number = "SU"}\nignore = ["Dug by"]')
    assert plain.notes == (
        "The column “Colour seen” (1 cell) was not taken: map it, say keep_rest = true, or list it under ignore.",
    )
    kept = mapped(text, 'kind = "context"\nkeep_rest = true\ncolumns = {number = "SU"}\nconstants = {notes = "list of 2026"}')
    assert [row["notes"] for row in values(kept)] == ["list of 2026\nColour seen: brown\nDug by: AB", "list of 2026\nDug by: CD"]


def test_a_column_that_is_not_there_is_named_with_the_nearest() -> None:
    """The message lists what the table has."""
    with pytest.raises(
        InputError, match=r"names the column “SU Nr”, which t\.csv does not have\. Did you mean su no\? It has: su no, kind"
    ):
        mapped("SU No,Kind\n1,cut\n", 'kind = "context"\ncolumns = {number = "SU Nr"}')


def test_levels_in_centimetres_and_feet_become_the_sites_own() -> None:
    """60 cm on a site in metres is 0.6; on a site in feet 30.48 cm is 1 ft; the words are kept as entered."""
    mapping = 'kind = "level"\ncolumns = {context = "SU", level = "cm"}\nmeasures = {level = "cm"}'
    in_metres = mapped("SU,cm\n1042,60\n", mapping, small_record())
    assert (values(in_metres), in_metres.drafts[0].entered) == ([{"context": "c1", "level": 0.6}], "level: 60 cm")
    in_feet = SiteRecord.of([Site(id="s", length_unit="ft"), *small_record().by_id.values()])
    assert values(mapped("SU,cm\n1042,30.48\n", mapping, in_feet)) == [{"context": "c1", "level": 1.0}]


def test_depths_become_levels_below_a_datum() -> None:
    """Level = datum - depth, the datum a number or a column; the words are kept; a datum that is no number is a fault."""
    fixed = 'kind = "level"\ncolumns = {context = "SU", level = "d"}\nmeasures = {level = "cm"}\ndepths = {level = 12.5}'
    found = mapped("SU,d\n1042,20\n", fixed, small_record())
    assert (values(found)[0]["level"], found.drafts[0].entered) == (12.3, "level: 20 cm below 12.5")
    column = 'kind = "level"\ncolumns = {context = "SU", level = "d"}\ndepths = {level = "zero"}'
    assert values(mapped("SU,d,zero\n1042,0.2,10\n", column, small_record()))[0]["level"] == 9.8
    with pytest.raises(
        TableError, match=r"line 2, column “zero” “top”: The depth beside it cannot become a level without the level"
    ):
        mapped("SU,d,zero\n1042,0.2,top\n", column, small_record())


def test_columns_side_by_side_become_rows() -> None:
    """Named columns give their word, a pattern gives its groups; blank cells give nothing."""
    named = mapped(
        "SU,top of it,base of it\n1042,1.5,1.2\n1043,,1.1\n",
        'kind = "level"\ncolumns = {context = "SU", surface = "edge", level = "height"}\n'
        'spread = {columns = {"Top of it" = "top", "Base of it" = "base"}, name = "edge", value = "height"}',
        small_record(),
    )
    assert [(row["context"], row["surface"], row["level"]) for row in values(named)] == [
        ("c1", "top", 1.5), ("c1", "base", 1.2), ("c2", "base", 1.1),
    ]  # fmt: skip
    pattern = mapped(
        "Unit,L1,L2,L10,Notes\nP1,a,b,,x\n",
        'kind = "context"\ncompose = {number = "{Unit}/{n}"}\nspread = {pattern = "L(?P<n>[0-9]+)"}\nignore = ["Notes"]',
    )
    assert [row["number"] for row in values(pattern)] == ["P1/1", "P1/2"]
    with pytest.raises(InputError, match=r"No column of t\.csv matches the pattern “X\.\*” of spread"):
        mapped("a,b\n1,2\n", 'kind = "unit"\ncolumns = {number = "a"}\nspread = {pattern = "X.*"}')
    with pytest.raises(InputError, match=r"The mapping makes a column “a”, but t\.csv has one of that name"):
        mapped("a,L1\n1,2\n", 'kind = "unit"\ncolumns = {number = "a"}\nspread = {pattern = "L1", value = "a"}')


def test_lists_in_cells_become_relations() -> None:
    """“12, 14; 15” gives three relations; an item that does not fit its pattern is a fault by line."""
    text = 'SU,above\n1042,"1043, 1044; 1045"\n'
    record = SiteRecord.of(
        [
            *small_record().by_id.values(),
            *(small_record().by_id["c1"].model_copy(update={"id": f"c{n}", "number": f"{n}"}) for n in (1044, 1045)),
        ]
    )
    mapping = 'kind = "relation"\ncolumns = {later = "item", earlier = "SU"}\neach = {column = "above"}'
    assert [row["later"] for row in values(mapped(text, mapping, record))] == ["c2", "c1044", "c1045"]
    with pytest.raises(TableError, match=r"line 2, column “above” “x”: This item does not match the pattern"):
        mapped("SU,above\n1042,x\n", mapping.replace('"above"}', '"above", pattern = "(?P<n>[0-9]+)"}'), record)


def test_each_row_may_lie_over_the_next_of_its_group() -> None:
    """Neighbours are looked up within the group only, so that the last layer of one pit does not lie over the first of the next."""
    record = SiteRecord.of(
        small_record().by_id["c1"].model_copy(update={"id": f"c{n}", "number": n}) for n in ("A1", "A2", "B1", "B2")
    )
    found = mapped(
        "Pit,n\nA,1\nA,2\nB,1\nB,2\n",
        'kind = "relation"\nwithin = "Pit"\ncompose = {later = "{Pit}{n}", earlier = "{Pit}{next.n}"}', record,
    )  # fmt: skip
    assert [(row["later"], row["earlier"]) for row in values(found)] == [("cA1", "cA2"), ("cB1", "cB2")]
    back = mapped("Pit,n\nA,1\nA,2\n", 'kind = "relation"\ncompose = {later = "{Pit}{previous.n}", earlier = "{Pit}{n}"}', record)
    assert [(row["later"], row["earlier"]) for row in values(back)] == [("cA1", "cA2")]


def test_totals_and_blank_words_are_left_out() -> None:
    """Rows named under `skip` are noted; a word under `blanks` is a blank cell."""
    found = mapped(
        "SU,texture\n1,-\n Total ,9\n",
        'kind = "context"\ncolumns = {number = "SU", texture = "texture"}\nskip = {SU = ["total"]}\nblanks = ["-"]',
    )
    assert (values(found), found.notes) == ([{"number": "1"}], ("t.csv, line 3: left out, as the mapping says under skip.",))


def test_decimal_commas_and_dates_as_the_mapping_says() -> None:
    """Another office's figures and days are read in its own habits."""
    found = mapped(
        "SU;l;d\n1;1,50;4.5.2026\n",
        'kind = "context"\ndecimal = ","\ndates = "day month year"\ncolumns = {number = "SU", length = "l", recorded_on = "d"}',
    )
    assert values(found) == [{"number": "1", "length": 1.5, "recorded_on": "2026-05-04"}]
    with pytest.raises(TableError, match=r"“1\.5”: The decimal mark is said to be a comma, so a point has no place"):
        mapped("SU;l\n1;1.5\n", 'kind = "context"\ndecimal = ","\ncolumns = {number = "SU", length = "l"}')
    with pytest.raises(TableError, match=r"“4\.5\.26”: Read as day month year, this has no year of four digits"):
        mapped("SU;d\n1;4.5.26\n", 'kind = "context"\ndates = "day month year"\ncolumns = {number = "SU", recorded_on = "d"}')


def passes(folder: Path, mapping: str, **tables: str) -> Drafted:
    """Return the drafts of several passes over tables written into a folder."""
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text)
    return take_in(folder, takes_of_text(mapping), SiteRecord(), new_id=ids())


A = '[[take]]\nkind = "context"\nfile = "a.csv"\ncolumns = {number = "SU", texture = "t"}\n'
B = '[[take]]\nkind = "context"\nfile = "b.csv"\ncolumns = {number = "SU", texture = "t", colour_moist = "c"}\nknown = "complete"\n'


def test_a_later_pass_completes_drafts_of_an_earlier_one(tmp_path: Path) -> None:
    """Fields are added, new numbers are new records, and with new = "leave" they are left out and named."""
    tables = {"a": "SU,t\n1,clay\n2,\n", "b": "SU,t,c\n1,clay,10YR 4/3\n3,sand,\n"}
    found = passes(tmp_path, A + B, **tables)
    assert [draft.values for draft in found.drafts] == [
        {"number": "1", "texture": "clay", "colour_moist": "10YR 4/3"}, {"number": "2"}, {"number": "3", "texture": "sand"},
    ]  # fmt: skip
    left = passes(tmp_path, A + B + 'new = "leave"\n', **tables)
    assert (len(left.drafts), left.notes) == (
        2, ("b.csv, line 3: 1 record left out, as the mapping says (not among the numbers taken before: “3”).",),
    )  # fmt: skip


def test_completing_with_another_value_is_a_fault(tmp_path: Path) -> None:
    """Two tables that disagree are settled by a person, not by the order of the passes."""
    with pytest.raises(
        TableError, match=r"b\.csv: 1 fault.*\n.*texture of 1 is “clay” from a\.csv, line 2\. Settle which is right"
    ):
        passes(tmp_path, A + B, a="SU,t\n1,clay\n", b="SU,t,c\n1,sand,\n")


def test_a_key_tells_records_without_numbers_apart(tmp_path: Path) -> None:
    """The same relation again is a fault, or skipped with a note when the mapping says so."""
    contexts = '[[take]]\nkind = "context"\nfile = "a.csv"\ncolumns = {number = "SU"}\n'
    relations = '[[take]]\nkind = "relation"\nfile = "b.csv"\nkey = ["later", "earlier"]\ncolumns = {later = "l", earlier = "e"}\n'
    tables = {"a": "SU\n1\n2\n", "b": "l,e\n1,2\n1,2\n"}
    with pytest.raises(TableError, match=r"line 3, column “later”: The same later and earlier stand in line 2 already"):
        passes(tmp_path, contexts + relations, **tables)
    found = passes(tmp_path, contexts + relations + 'known = "skip"\n', **tables)
    assert [draft.kind for draft in found.drafts] == ["context", "context", "relation"]
    assert found.notes == ("b.csv, line 3: 1 record left out, as the mapping says (the same stands there already).",)


def test_orphans_may_be_left_out_by_name(tmp_path: Path) -> None:
    """A row that names what is not there is a fault, or left out and named when the mapping says so."""
    contexts = '[[take]]\nkind = "context"\nfile = "a.csv"\ncolumns = {number = "SU"}\n'
    finds = '[[take]]\nkind = "find"\nfile = "b.csv"\ncolumns = {number = "n", context = "c"}\n'
    tables = {"a": "SU\n1\n", "b": "n,c\n1,1\n2,9\n"}
    with pytest.raises(TableError, match=r"line 3, column “c” “9”: There is no context “9” in the record or among the rows taken"):
        passes(tmp_path, contexts + finds, **tables)
    found = passes(tmp_path, contexts + finds + 'orphans = "leave"\n', **tables)
    assert found.notes == ("b.csv, line 3: 1 record left out, as the mapping says (c names what is not there: “9”).",)


def test_a_pass_over_a_folder_names_its_file(tmp_path: Path) -> None:
    """Without a file the message says what to add; a link out of the folder is refused."""
    with pytest.raises(InputError, match=r"is a folder, and a pass for context names no file in it"):
        take_in(tmp_path, takes_of_text('[take]\nkind = "context"\ncolumns = {number = "a"}'), SiteRecord(), new_id=ids())
    with pytest.raises(
        InputError, match=r"The mapping reads several files \(a\.csv, b\.csv\), and one is handed in\. Give the folder"
    ):
        take_in(tmp_path / "a.csv", takes_of_text(A + B), SiteRecord(), new_id=ids())
    outside = tmp_path / "outside.csv"
    outside.write_text("a\n1\n")
    inside = tmp_path / "in"
    inside.mkdir()
    (inside / "a.csv").symlink_to(outside)
    with pytest.raises(InputError, match=r"names the file “a\.csv”, which lies outside the folder of the tables"):
        take_in(
            inside, takes_of_text('[take]\nkind = "context"\nfile = "a.csv"\ncolumns = {number = "a"}'), SiteRecord(), new_id=ids()
        )
