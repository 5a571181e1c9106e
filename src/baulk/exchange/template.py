"""Composed cells: a text with column names in braces, as in ``{Pit}-{Layer:02}``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from string import Formatter

from baulk.errors import InputError, shorten

__all__ = ["Part", "Template", "template_of"]

_NEIGHBOURS = ("next.", "previous.")
_WIDTH = re.compile(r"0?\d{1,2}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a template: literal text, then a column of this row (`step` 0) or of a neighbour, with zeros up to `width`."""

    literal: str
    column: str
    step: int
    width: int


@dataclass(frozen=True, slots=True)
class Template:
    """A parsed template."""

    text: str
    parts: tuple[Part, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """The columns named."""
        return tuple(part.column for part in self.parts if part.column)

    def fill(self, cells: Sequence[str]) -> str:
        """Return the text with one cell for each column named, in order; blank when any of them is blank."""
        if not all(cells):
            return ""
        filled = iter(cells)
        return "".join(part.literal + (_padded(next(filled), part.width) if part.column else "") for part in self.parts)


def _padded(cell: str, width: int) -> str:
    return cell.zfill(width) if width and cell.isdecimal() else cell


def template_of(text: str) -> Template:
    """Return the template that a text stands for.

    Raises
    ------
    InputError
        Braces do not pair, a column is blank, or what follows the colon is no width such as 02.

    Examples
    --------
    >>> template_of("{Pit}-{Layer:02}").fill(["P040", "4"])
    'P040-04'
    """
    try:
        pieces = list(Formatter().parse(text))
    except ValueError:
        raise InputError(f"“{shorten(text)}”: its braces do not pair. Write {{Column}}, or {{{{ for a brace.") from None
    return Template(text, tuple(_part(text, *piece) for piece in pieces))


def _part(text: str, literal: str, column: str | None, width: str | None, conversion: str | None) -> Part:
    if column is None:
        return Part(literal, "", 0, 0)
    if conversion or not column.strip() or (width and not _WIDTH.fullmatch(width)):
        raise InputError(f"“{shorten(text)}”: between braces stands a column, and after a colon a width such as 02.")
    for mark, step in zip(_NEIGHBOURS, (1, -1), strict=True):
        if column.startswith(mark):
            return Part(literal, column.removeprefix(mark), step, int(width or 0))
    return Part(literal, column, 0, int(width or 0))
