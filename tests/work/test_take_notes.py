"""What is said of rows that are taken: blanks, far levels and positions, loops; and of tables that hold nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from baulk.errors import FileError
from baulk.exchange import Draft
from baulk.record import Context, Level, Position, Relation, SiteRecord, Unit
from baulk.store import MemoryStore
from baulk.work import take_notes
from baulk.work.pen import Pen
from baulk.work.take import take
from baulk.work.take_notes import notes_on

UNIT = Unit(id="u", number="1", corners=tuple(Position(*spot) for spot in ((0, 0), (2, 0), (2, 2), (0, 2))))
LEVELS = [Level(id=f"l{n}", context="c", easting=1, northing=1, level=29.0 + n / 10) for n in range(8)]


def _draft(kind: str, line: int, /, **values: object) -> Draft:
    return Draft(kind, f"{kind}{line}", None, dict(values), None, f"{kind}.csv", line)


def test_mandatory_blanks_are_counted_by_field() -> None:
    """Each mandatory field left blank is counted once a row; an absence with its reason counts as an answer."""
    made = [
        _draft("level", 2, context="c", level=29.1),
        _draft("level", 3, context="c", easting=1, level={"absent": "not visible"}),
    ]
    assert notes_on(SiteRecord.of([]), made) == ("level, 2 in all: 2 have no “northing”; 1 has no “easting”.",)


@pytest.mark.parametrize(("level", "named"), [(29.62, False), (30.9, False), (19.62, True), (296.2, True)])
def test_a_level_far_from_the_others_is_named_by_its_line(level: float, named: bool) -> None:
    """A slip of a figure is named with line and value; a level within the spread of the site is not."""
    found = notes_on(SiteRecord.of([UNIT, *LEVELS]), [_draft("level", 7, context="c", easting=1, northing=1, level=level)])
    assert [f"level.csv, line 7: the level {level:g} m lies" in note for note in found] == ([True] if named else [])


@pytest.mark.parametrize(("spot", "named"), [((1.0, 1.0), False), ((6.0, 1.0), False), ((204.0, 112.0), True)])
def test_a_position_far_outside_every_unit_is_named(spot: tuple[float, float], named: bool) -> None:
    """A position that cannot belong to any unit is named with line and value; one just outside is not."""
    found = notes_on(SiteRecord.of([UNIT]), [_draft("level", 4, context="c", easting=spot[0], northing=spot[1], level=29.0)])
    assert [f"level.csv, line 4: the position {spot[0]:g} {spot[1]:g} lies" in note for note in found] == ([True] if named else [])


def test_a_loop_that_a_row_closes_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """A loop of held and new relations is given in words; without the closing row nothing is said; too many are not looked at."""
    held = [Context(id=name, number=f"10{name}") for name in "123"]
    record = SiteRecord.of([*held, Relation(id="a", later="1", earlier="2"), Relation(id="b", later="2", earlier="3")])
    closing = _draft("relation", 2, later="3", earlier="1")
    loop = "101 > 102 > 103 > 101"
    said = notes_on(record, [closing])
    assert len(said) == 1 and said[0].startswith("The relations close a loop: ")
    assert loop in said[0] or "103 > 101 > 102 > 103" in said[0] or "102 > 103 > 101 > 102" in said[0]
    assert notes_on(record, [_draft("relation", 2, later="1", earlier="3")]) == ()
    monkeypatch.setattr(take_notes, "MOST_RELATIONS", 2)
    assert notes_on(record, [closing]) == ("Loops were not looked for among 3 relations; baulk order looks for them.",)


def _refused(place: Path) -> str:
    with pytest.raises(FileError) as told:
        take(MemoryStore(), Pen("AK", "tablet"), place, kind="context")
    return str(told.value)


def test_a_table_without_rows_and_a_missing_file_are_refused_in_words(tmp_path: Path) -> None:
    """Junk of one line holds no rows; a missing file is said to be missing, whatever its name."""
    junk = tmp_path / "x.xls"
    junk.write_text("this is no workbook\n")
    assert _refused(junk).startswith("x.xls holds no rows: below its first line (“this is no workbook”) nothing stands.")
    with pytest.raises(FileError, match=r"There is no file missing\.csv\. See that the name is spelt"):
        take(MemoryStore(), Pen("AK", "tablet"), tmp_path / "missing.csv")


def test_tables_of_a_folder_that_are_not_taken_are_named(tmp_path: Path) -> None:
    """A table whose name is no kind's is named with a near kind; a table of headers only is said to hold no rows."""
    (tmp_path / "context.csv").write_text("number\n101\n")
    (tmp_path / "relation.csv").write_text("later,earlier\n")
    (tmp_path / "levls.csv").write_text("context,level\n101,2\n")
    notes = take(MemoryStore(), Pen("AK", "tablet"), tmp_path).notes
    assert notes[0] == "levls.csv is not named after a kind of record, so nothing of it was taken. Did you mean level?"
    assert "relation.csv holds no rows." in notes
