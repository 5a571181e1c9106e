"""The table of measurements: rows of ours beside theirs, written as Markdown."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

__all__ = ["Measure", "Row", "Section", "Sheet"]

SHOWN_VERSIONS = ("numpy", "scipy", "numba")


@dataclass(frozen=True)
class Measure:
    """One measurement: seconds, and the peak memory of its own process in MB where it had one."""

    seconds: float
    megabytes: float | None = None


@dataclass(frozen=True)
class Row:
    """Ours beside theirs; `them` names the other library, `note` says what else was checked."""

    name: str
    ours: Measure
    theirs: Measure | None = None
    them: str = ""
    note: str = ""

    @property
    def ratio(self) -> float | None:
        """How many times longer theirs took."""
        return None if self.theirs is None else self.theirs.seconds / self.ours.seconds


@dataclass
class Section:
    """One subject of the bench."""

    title: str
    text: str = ""
    rows: list[Row] = field(default_factory=list)
    say: Callable[[str], None] = print

    def add(self, row: Row) -> None:
        """Add a row and say it at once."""
        self.rows.append(row)
        self.say("  " + " | ".join(cells(row)))


@dataclass
class Sheet:
    """All measurements of one run."""

    sections: list[Section] = field(default_factory=list)
    libraries: set[str] = field(default_factory=set)
    missed: list[str] = field(default_factory=list)

    def kept(self, name: str, value: float, budget: float) -> str:
        """Return in words whether a figure keeps its budget; one that does not is remembered, and ends the run with an error."""
        if value <= budget:
            return "within its budget"
        self.missed.append(f"{name}: {value:.3g}, and {budget:g} is the budget")
        return "OVER its budget"

    def section(self, title: str, text: str = "", *, libraries: tuple[str, ...] = ()) -> Section:
        """Begin a section; `libraries` are the other libraries whose versions the sheet will name."""
        self.libraries.update(libraries)
        self.sections.append(Section(title, text))
        print(title, flush=True)
        return self.sections[-1]

    def write(self, path: Path) -> None:
        """Write the sheet as Markdown."""
        parts = ["# Measurements", "", facts(sorted(self.libraries)), ""]
        for one in self.sections:
            parts += [f"## {one.title}", "", *([one.text, ""] if one.text else [])]
            parts += ["| what | ours | theirs | ratio | peak memory | note |", "|---|---|---|---|---|---|"]
            parts += ["| " + " | ".join(cells(row)) + " |" for row in one.rows]
            parts.append("")
        path.write_text("\n".join(parts), encoding="utf-8")


def facts(libraries: list[str]) -> str:
    """Return what the figures depend on, without naming the machine."""
    versions = [f"{name} {found}" for name in (*SHOWN_VERSIONS, *libraries) if (found := installed(name))]
    return (
        f"Written by `make bench` in one run: {os.cpu_count()} cores ({platform.machine()}), "
        f"Python {'.'.join(map(str, sys.version_info[:3]))}, {', '.join(versions)}. "
        "Compare figures within this page only. Times are wall-clock; “ratio” is theirs divided by ours; peak memory is that "
        "of a process of its own, with the interpreter and all libraries in it."
    )


def installed(name: str) -> str | None:
    """Return the version of a library, or None when it is not installed."""
    try:
        return version(name)
    except PackageNotFoundError:
        return None


def cells(row: Row) -> list[str]:
    """Return a row's cells as text."""
    theirs = f"{seconds(row.theirs.seconds)} ({row.them})" if row.theirs else row.them or "–"
    return [row.name, seconds(row.ours.seconds), theirs, ratio(row.ratio), memory(row), row.note or "–"]


def seconds(value: float) -> str:
    """Return a time with three figures, in ms below a second."""
    return f"{value:.3g} s" if value >= 1 else f"{value * 1000:.3g} ms"


def ratio(value: float | None) -> str:
    """Return a ratio, whole from 10 up."""
    if value is None:
        return "–"
    return f"{value:,.0f} ×" if value >= 10 else f"{value:.2g} ×"


def memory(row: Row) -> str:
    """Return peak memory of ours, and of theirs when both are known."""
    if row.ours.megabytes is None:
        return "–"
    theirs = f" / {row.theirs.megabytes:,.0f} MB" if row.theirs and row.theirs.megabytes else ""
    return f"{row.ours.megabytes:,.0f} MB{theirs}"
