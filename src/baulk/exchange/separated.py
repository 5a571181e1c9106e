"""Separated text to rows: commas, semicolons, tabs or bars, with quoted line breaks."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from contextlib import suppress
from itertools import islice

from baulk.errors import FileError, InputError, shorten

__all__ = ["LONGEST_CELL", "separated_rows", "separator_of"]

LONGEST_CELL = 10_000_000
"""Most characters that one cell may have."""

_SEPARATORS = (",", ";", "\t", "|")
_NAMES = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_LOOKED_AT = 200
_BEGINNING = 200_000


def separator_of(text: str, source: str) -> str:
    """Return the separator of a text table, told from its first rows; a comma when it has one column.

    The separator wins that gives the same number of cells, more than one, in most rows; among equals the one with more cells.
    """
    best, best_score = ",", (0.0, 0)
    for separator in _SEPARATORS:
        score = _score(text[:_BEGINNING], source, separator)
        if score > best_score:
            best, best_score = separator, score
    return best


def _score(text: str, source: str, separator: str) -> tuple[float, int]:
    counts: list[int] = []
    with suppress(FileError):  # the beginning may end inside a quoted cell; the reading of the whole says what is wrong
        counts.extend(len(row) for _, row in islice(separated_rows(text, source, separator), _LOOKED_AT) if any(row))
    several = [count for count in counts if count > 1]
    if not several:
        return (0.0, 0)
    usual = max(set(several), key=lambda count: (several.count(count), count))
    return (several.count(usual) / len(counts), usual)


def separated_rows(text: str, source: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Yield every row with the line on which it begins, blank rows included.

    Raises
    ------
    InputError
        The separator is not one character.
    FileError
        A quotation mark is not closed or stands inside a quoted cell, or a cell is longer than `LONGEST_CELL`.
    """
    if len(separator) != 1 or separator in '"\r\n':
        raise InputError(
            f"The separator is given as “{shorten(separator)}”. It is one character: a comma, a semicolon, a tab or a bar."
        )
    csv.field_size_limit(LONGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 1
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as refusal:
            raise _refused(source, separator, line, str(refusal)) from None
        yield line, row
        line = reader.line_num + 1


def _refused(source: str, separator: str, line: int, what: str) -> FileError:
    name = shorten(source, 80)
    if "field larger" in what:
        return FileError(
            f"{name}, the row that begins on line {line}: a cell has more than {LONGEST_CELL:,} characters. "
            "A quotation mark may be missing: look there, or shorten the cell."
        )
    return FileError(
        f"{name}, the row that begins on line {line}: its quotation marks do not pair (cells separated by "
        f'{_NAMES.get(separator, shorten(separator))}). A mark inside a quoted cell is written twice (""): mend that row.'
    )
