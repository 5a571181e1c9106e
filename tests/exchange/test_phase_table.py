"""The phase table as CSV."""

from __future__ import annotations

import csv
import io

from baulk.exchange import give_phase_table
from baulk.record import Context, Relation, SiteRecord
from baulk.sequence.from_record import relations_from
from baulk.sequence.order import order_of
from baulk.sequence.phase_table import phase_table


def rows_of(*entities) -> list[dict[str, str]]:
    """Return the table of a record as rows."""
    record = SiteRecord.of(entities)
    known = relations_from(record)
    lines = phase_table(order_of(known.relations), [context.phase for context in record.all(Context)])
    return list(csv.DictReader(io.StringIO(give_phase_table(known, lines), newline="")))


def test_each_context_has_a_row_with_its_bounds() -> None:
    """Bounds name the contexts that set them; a blank is a blank."""
    rows = rows_of(
        Context(id="a", number="1", phase=2),
        Context(id="b", number="2"),
        Context(id="c", number="3"),
        Context(id="v", number="4", void="twice"),
        Relation(id="r", later="a", earlier="b"),
    )
    assert [list(row.values()) for row in rows] == [
        ["a", "1", "2", "2", "2", "1", "1", ""],
        ["b", "2", "", "1", "2", "", "1", ""],
        ["c", "3", "", "1", "2", "", "", ""],
    ]


def test_a_conflict_is_told_with_its_path_and_cells_are_harmless() -> None:
    """The sentence stands in the row of the later context; a number that a spreadsheet would run as a formula is protected."""
    rows = rows_of(
        Context(id="a", number="=1+1", phase=1), Context(id="b", number="2", phase=2), Relation(id="r", later="a", earlier="b")
    )
    by_id = {row["id"]: row for row in rows}
    assert by_id["a"]["conflict"].startswith("Layer =1+1 is put in phase 1, but it is later than 2 of phase 2 (=1+1 > 2).")
    assert not by_id["a"]["context"].startswith("=")
    assert by_id["b"]["conflict"] == ""
