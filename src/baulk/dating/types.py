"""Tables of dated types: read from CSV text, each row with its source, its confidence and how its source was known."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from baulk.dating.years import counted
from baulk.errors import InputError, RowFault, TableError, did_you_mean, shorten

__all__ = ["DatedType", "TypeTable", "read_types"]

COLUMNS = ("type", "begin", "end", "source", "confidence", "mark")
CONFIDENCES = ("high", "middling", "low")
MEMORY = "from memory"

_LONGEST = 100_000
"""Most characters of one cell."""


@dataclass(frozen=True, slots=True)
class DatedType:
    """One type and the years in which it was made.

    Parameters
    ----------
    name : str
        As in the table.
    begin, end : int or None
        First and last year of making; both None when the table knows the type but no date.
    source : str
        Where the years come from.
    confidence : str
        high, middling or low.
    mark : str
        How the source was known: "read", "from memory" or the user's own words.
    line : int
        Line in the table.
    """

    name: str
    begin: int | None
    end: int | None
    source: str
    confidence: str
    mark: str
    line: int = 0

    @property
    def middle(self) -> float | None:
        """Middle of the years of making; halves are kept. None without both years."""
        if self.begin is None or self.end is None:
            return None
        return (counted(self.begin) + counted(self.end)) / 2

    @property
    def span(self) -> int | None:
        """Years from first to last; None without both."""
        return None if self.begin is None or self.end is None else counted(self.end) - counted(self.begin)


@dataclass(frozen=True)
class TypeTable:
    """A version of a table of types.

    Parameters
    ----------
    name, version : str
        As they stand in the table's first lines; a result names both.
    types : tuple of DatedType
        In the order of the table.
    from_memory : bool
        Whether types whose mark says "from memory" may be used; off unless somebody asks for them.
    """

    name: str
    version: str
    types: tuple[DatedType, ...]
    from_memory: bool = False

    @cached_property
    def _by_name(self) -> Mapping[str, DatedType]:
        return {_key(one.name): one for one in self.types}

    @property
    def title(self) -> str:
        """Name and version in words; a table without a version, such as that of nobody, by its name."""
        return f"{self.name}, version {self.version}" if self.version else self.name

    def with_memory(self) -> TypeTable:
        """Return the same table with the types whose dates are from memory switched on."""
        return TypeTable(self.name, self.version, self.types, from_memory=True)

    def dated(self, name: str) -> DatedType | None:
        """Return the type of that name when it may be used and has both years, else None; `why_not` says why."""
        found = self._by_name.get(_key(name))
        usable = found is not None and found.middle is not None and (self.from_memory or found.mark != MEMORY)
        return found if usable else None

    def why_not(self, name: str) -> str | None:
        """Return why a type has no date to use, or None when it has one."""
        found = self._by_name.get(_key(name))
        if found is None:
            near = did_you_mean(name, [one.name for one in self.types])
            return f"“{shorten(name)}” is not in the table {self.title}.{near}"
        if found.middle is None:
            return f"“{shorten(name)}” has no years in the table {self.title}"
        if not self.from_memory and found.mark == MEMORY:
            return f"“{shorten(name)}” stands in the table {self.title} from memory only, and such rows are off"
        return None


def read_types(text: str, *, source: str = "table of types") -> TypeTable:
    """Return the table of types that a CSV text holds.

    Parameters
    ----------
    text : str
        Lines that begin with ``#`` are remarks; ``# table: NAME`` and ``# version: VERSION`` name the table. Then one row of
        headers (type, begin, end, source, confidence, mark; in any order, others are passed over) and one row a type. Years are
        whole, negative for BC; both are blank for a type without a date.
    source : str
        What the text is, for messages.

    Returns
    -------
    TypeTable
        With values from memory off.

    Raises
    ------
    InputError
        When a header is missing, or the table does not say its name and version.
    TableError
        When rows are wrong; all of them are listed.

    Examples
    --------
    >>> table = read_types('''# table: own
    ... # version: 1
    ... type,begin,end,source,confidence,mark
    ... creamware,1762,1820,our type series,middling,read
    ... ''')
    >>> table.dated("Creamware").middle
    1791.0
    """
    remarks = dict(re.findall(r"^#\s*(table|version):\s*(.+?)\s*$", text, flags=re.MULTILINE))
    numbered = [(place, line) for place, line in enumerate(text.splitlines(), start=1) if line.strip() and line[0] != "#"]
    if "table" not in remarks or "version" not in remarks:
        raise InputError(
            f"{shorten(source, 80)} does not say which table it is. Its first lines read “# table: NAME” and “# version: "
            "VERSION”, so "
            "that every date can name the version it rests on: add them."
        )
    rows, lines = _rows_of(numbered, source)
    headers = [header.strip().lower() for header in rows[0]] if rows else []
    missing = [column for column in COLUMNS if column not in headers]
    if missing:
        raise InputError(
            f"{shorten(source, 80)} has no column {', '.join(missing)}. A table of types has {', '.join(COLUMNS)}: add what is "
            "missing."
        )
    places = {column: headers.index(column) for column in COLUMNS}
    types, faults = _types_of(rows[1:], lines[1:], places)
    if faults:
        raise TableError(source, faults)
    return TypeTable(remarks["table"], remarks["version"], tuple(types))


def _rows_of(numbered: list[tuple[int, str]], source: str) -> tuple[list[list[str]], list[int]]:
    """Return the rows, and for each the line on which it begins; a quoted cell may run over several."""
    reader = csv.reader(line + "\n" for _, line in numbered)
    rows: list[list[str]] = []
    lines: list[int] = []
    taken = 0
    try:
        for row in reader:
            if any(len(cell) > _LONGEST for cell in row):  # the csv module's own limit is shared with every other reader
                raise csv.Error(f"a cell of more than {_LONGEST:,} characters")
            rows.append(row)
            lines.append(numbered[taken][0])
            taken = reader.line_num
    except csv.Error as error:
        raise InputError(
            f"{shorten(source, 80)} is no CSV from line {numbered[taken][0]} on ({error}). A cell with a quotation mark or a "
            "comma stands in "
            "quotation marks: look there for one that is not closed."
        ) from error
    return rows, lines


def _types_of(rows: list[list[str]], lines: list[int], places: Mapping[str, int]) -> tuple[list[DatedType], list[RowFault]]:
    types: list[DatedType] = []
    faults: list[RowFault] = []
    seen: dict[str, int] = {}
    for line, row in zip(lines, rows, strict=True):
        cells = {column: row[place].strip() if place < len(row) else "" for column, place in places.items()}
        begin, end = _year(cells["begin"], "begin", line, faults), _year(cells["end"], "end", line, faults)
        found = _row_faults(cells, begin, end, line)
        key = _key(cells["type"])
        if key and key in seen:
            found.append(RowFault(line, "type", cells["type"], f"A type stands in a table once; it is on line {seen[key]} too."))
        seen.setdefault(key, line)
        faults += found
        types.append(DatedType(cells["type"], begin, end, cells["source"], cells["confidence"], cells["mark"], line))
    return types, faults


def _row_faults(cells: Mapping[str, str], begin: int | None, end: int | None, line: int) -> list[RowFault]:
    found = []
    if not cells["type"]:
        found.append(RowFault(line, "type", "", "A row names its type: fill it in or take the row out."))
    if not cells["source"] or not cells["mark"]:
        found.append(RowFault(line, "source", "", "A date has a source and a mark of how it was known: fill both in."))
    if cells["confidence"] not in CONFIDENCES:
        found.append(RowFault(line, "confidence", cells["confidence"], f"Confidence is one of {', '.join(CONFIDENCES)}."))
    if bool(cells["begin"]) != bool(cells["end"]):
        found.append(RowFault(line, "end", "", "A type has both years or neither: a half-open date has no middle."))
    if begin is not None and end is not None and begin > end:
        found.append(RowFault(line, "begin", cells["begin"], f"Making cannot begin after it ends ({cells['end']})."))
    return found


def _year(text: str, column: str, line: int, faults: list[RowFault]) -> int | None:
    if not text:
        return None
    if not re.fullmatch(r"[-−]?\d{1,5}", text) or int(text.replace("−", "-")) == 0:
        faults.append(RowFault(line, column, text, "A year is a whole number, negative for BC; there is no year 0."))
        return None
    return int(text.replace("−", "-"))


def _key(name: str) -> str:
    return " ".join(name.casefold().split())
