"""Every error that Baulk raises on purpose.

The tree::

    BaulkError
    ├── InputError            something given cannot be used as it stands
    │   ├── FieldError        a value breaks the rule of its field
    │   ├── TableError        a table of rows cannot be taken in (all bad rows are listed)
    │   ├── FileError         a file is missing, of another kind, damaged, too large or not readable
    │   ├── MeasureError      a length, level, angle or position cannot be read or used
    │   └── NothingToDraw     nothing is on record yet that the drawing asked for could show
    ├── OrderError            the relations cannot be put into one order
    │   └── LoopError         a layer is recorded as earlier than itself
    ├── StoreError            the site file cannot be opened, read or written
    │   ├── NotASiteFile      the file is something else
    │   ├── NewerSiteFile     the file was written by a later Baulk
    │   ├── DamagedSiteFile   the file is cut short or fails its own checks
    │   ├── BusySiteFile      another program holds the file
    │   └── Overtaken         somebody else wrote in between
    ├── UnknownRecord         a number or name that the site does not have
    ├── NotSettled            the chains of a chronology do not agree, so no date is told
    ├── TypesettingError      the report cannot be set as PDF
    └── MissingPart           an optional part of Baulk is not installed

A message has four parts: what was given, where, the rule, and what to do next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

__all__ = [
    "BaulkError",
    "BusySiteFile",
    "DamagedSiteFile",
    "FieldError",
    "FileError",
    "InputError",
    "LoopError",
    "MeasureError",
    "MissingPart",
    "NewerSiteFile",
    "NotASiteFile",
    "NotSettled",
    "NothingToDraw",
    "OrderError",
    "Overtaken",
    "RowFault",
    "StoreError",
    "TableError",
    "TypesettingError",
    "UnknownRecord",
    "did_you_mean",
    "shorten",
]


def shorten(text: object, limit: int = 60) -> str:
    """Return `text` on one line, without control characters, cut to `limit` characters for use in a message."""
    one_line = "".join(mark if mark.isprintable() else " " for mark in str(text))
    one_line = " ".join(one_line.split())
    return one_line if len(one_line) <= limit else one_line[: limit - 1] + "…"


def did_you_mean(given: str, known: Sequence[str]) -> str:
    """Return a sentence that offers the nearest of the `known` words, or the empty string when none is near."""
    near = get_close_matches(given, known, n=3, cutoff=0.6)
    return f" Did you mean {' or '.join(near)}?" if near else ""


class BaulkError(Exception):
    """Base of every error that Baulk raises on purpose; `code` is its stable name in JSON and in the docs."""

    code = "baulk"


class InputError(BaulkError):
    """Something given cannot be used as it stands."""

    code = "input"


class FieldError(InputError):
    """A value breaks the rule of its field."""

    code = "field"

    def __init__(self, kind: str, field: str, given: object, rule: str, *, number: str = "", next_step: str = "") -> None:
        self.kind, self.field, self.given, self.rule, self.number = kind, field, given, rule, number
        where = f"{kind} {number}".strip()
        tail = f" {next_step}" if next_step else ""
        super().__init__(f"{where}: {field} is given as “{shorten(given)}”. {rule}{tail}")


@dataclass(frozen=True, slots=True)
class RowFault:
    """One fault of one row: the row's line in the file as a person counts it, the column's header and the reason."""

    line: int
    column: str
    given: str
    reason: str

    def __str__(self) -> str:
        """Return the fault as one line of a message."""
        place = f"line {self.line}" + (f", column “{shorten(self.column, 40)}”" if self.column else "")
        given = f" “{shorten(self.given, 40)}”:" if self.given else ":"
        return f"{place}{given} {self.reason}"


class TableError(InputError):
    """A table of rows cannot be taken in; nothing of it was taken."""

    code = "table"

    def __init__(self, source: str, faults: Sequence[RowFault], *, shown: int = 20) -> None:
        self.source, self.faults = source, tuple(faults)
        lines = [f"  {fault}" for fault in self.faults[:shown]]
        if len(self.faults) > shown:
            lines.append(f"  … and {len(self.faults) - shown} more")
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        super().__init__(
            f"{shorten(source, 80)}: {count}, so none of its rows was taken.\n"
            + "\n".join(lines)
            + "\nMend these rows and take the file again."
        )


class FileError(InputError):
    """A file is missing, of another kind, damaged, too large or not readable."""

    code = "file"


class MeasureError(InputError):
    """A length, level, angle or position cannot be read or used."""

    code = "measure"


class NothingToDraw(InputError):
    """Nothing is on record yet that the drawing asked for could show."""

    code = "nothing_to_draw"


class OrderError(BaulkError):
    """The relations cannot be put into one order."""

    code = "order"


class LoopError(OrderError):
    """A layer is recorded as earlier than itself; `cycle` holds its numbers, latest first, the first repeated last."""

    code = "loop"

    def __init__(self, cycle: Sequence[str]) -> None:
        self.cycle = tuple(cycle)
        path = " > ".join(self.cycle)
        super().__init__(
            f"Layer {self.cycle[0]} is recorded as both earlier and later than {self.cycle[-2]} ({path}; “>” means later than). "
            f"A layer cannot be earlier than itself: see which of these {len(self.cycle) - 1} relations was entered "
            "the wrong way round, or belongs to another layer."
        )


class StoreError(BaulkError):
    """The site file cannot be opened, read or written."""

    code = "store"


class NotASiteFile(StoreError):
    """The file is something else than a Baulk site file."""

    code = "not_a_site_file"


class NewerSiteFile(StoreError):
    """The file was written by a later Baulk than this one."""

    code = "newer_site_file"


class DamagedSiteFile(StoreError):
    """The file is cut short or fails its own checks."""

    code = "damaged_site_file"


class BusySiteFile(StoreError):
    """Another program holds the file for writing."""

    code = "busy_site_file"


class Overtaken(StoreError):
    """Somebody else wrote to the site between reading and writing."""

    code = "overtaken"


_LISTS = ("kind of record", "way of making", "jurisdiction profile")
"""What Baulk itself has a list of; a site has none of them."""


class UnknownRecord(BaulkError):
    """A number or name that the site does not have."""

    code = "unknown_record"

    def __init__(self, kind: str, given: str, known: Sequence[str]) -> None:
        self.kind, self.given = kind, given
        if kind in _LISTS:
            held = f" There are: {', '.join(known)}."
        else:
            held = f" The site has {len(known)} of this kind." if known else " The site has none of this kind yet."
        super().__init__(f"There is no {kind} “{shorten(given)}”.{did_you_mean(given, known)}{held}")


class NotSettled(BaulkError):
    """The chains of a chronology do not agree, or too few draws count: no date is told; `figures` says how they stand."""

    code = "not_settled"

    def __init__(self, figures: str) -> None:
        self.figures = figures
        super().__init__(
            f"The dates are not told: the chains have not settled. {figures} Allow more sweeps; if that does not help, look at "
            "the evidence of the events named: two pieces that all but exclude each other leave two histories between which the "
            "chains seldom cross. Set one of them aside and see."
        )


class TypesettingError(BaulkError):
    """The report cannot be set as PDF."""

    code = "typesetting"


class MissingPart(BaulkError):
    """An optional part of Baulk is not installed; `part` is the extra that brings it."""

    code = "missing_part"

    def __init__(self, part: str, needed_for: str) -> None:
        self.part = part
        super().__init__(f"{needed_for} needs a part that is not installed. Install it with: pip install 'baulk[{part}]'")
