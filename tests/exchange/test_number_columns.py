"""Columns of plain numbers: found by their headers, refused when they hold words or no number."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from baulk.errors import FileError, InputError, TableError
from baulk.exchange import table_of_text
from baulk.exchange.first_bytes import beginning_of
from baulk.exchange.number_columns import number_columns, row_names

TABLE = table_of_text("Nail,Cloud-Easting,northing\nA,112.5,205\n,113,206.25\n", "nails.csv")


def test_columns_are_found_in_any_spelling_and_order() -> None:
    """Capitals, dashes and underscores do not matter, columns come in the order asked for, and an unnamed row has its place."""
    found = number_columns(TABLE, ["northing", "cloud_easting"], "")
    assert np.array_equal(found, [[205, 112.5], [206.25, 113]])
    assert row_names(TABLE, ["point", "nail"]) == ("A", "2")
    assert row_names(TABLE, ["point"]) == ("1", "2")


def test_a_missing_column_is_refused_with_the_rule() -> None:
    """The message names the column, the nearest header and what the table should hold."""
    with pytest.raises(InputError, match=r"nails.csv has no column “northings”. Did you mean northing.* Nails have both."):
        number_columns(TABLE, ["northings"], "Nails have both.")


def test_every_cell_that_is_no_number_is_listed() -> None:
    """A word, a blank, and what only a machine calls a number are refused together, each with its line."""
    table = table_of_text("easting,northing\n1,left\nnan,2\ninf,\n")
    with pytest.raises(TableError) as refused:
        number_columns(table, ["easting", "northing"], "")
    assert [(fault.line, fault.given) for fault in refused.value.faults] == [(2, "left"), (3, "nan"), (4, "inf"), (4, "")]
    assert "This is not a number, as in 1204.5" in str(refused.value)


def test_a_file_that_has_no_beginning_is_refused(tmp_path: Path) -> None:
    """A missing file, a folder, a device and an empty file are each told apart, and the reader's own advice follows."""
    (tmp_path / "empty").touch()
    with pytest.raises(FileError, match=r"empty is empty: it holds no byte. Copy it again."):
        beginning_of(tmp_path / "empty", inside="Name one.", again="Copy it again.")
    with pytest.raises(FileError, match=r"is a folder. Name one."):
        beginning_of(tmp_path, inside="Name one.", again="Copy it again.")
    with pytest.raises(FileError, match=r"There is no file gone. See that the name is spelt"):
        beginning_of(tmp_path / "gone", inside="", again="")
    with pytest.raises(FileError, match=r"null is a device or a pipe, not a file. Save it as a file"):
        beginning_of(Path("/dev/null"), inside="", again="")
