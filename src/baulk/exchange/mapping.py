"""How another office's tables become ours: what a mapping file says."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from baulk.exchange.readers import Habits
from baulk.exchange.template import Template

__all__ = ["Each", "Spread", "Take"]


@dataclass(frozen=True, slots=True)
class Spread:
    """Columns that stand side by side and become one row each (wide to long).

    Parameters
    ----------
    pattern : re.Pattern or None
        Matches the whole header of each column; its named groups become columns.
    columns : mapping of str to str
        In place of a pattern: the header of each column with the word that it stands for.
    name : str
        Name of the column that holds that word.
    value : str
        Name of the column that holds the cell.
    """

    pattern: re.Pattern[str] | None
    columns: Mapping[str, str]
    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Each:
    """A column that holds a list and becomes one row for each of its items.

    Parameters
    ----------
    column : str
        The column.
    separators : str
        Marks that separate its items.
    value : str
        Name of the column that holds the item.
    pattern : re.Pattern or None
        Takes the item apart; its named groups become columns. An item that does not match is a fault.
    """

    column: str
    separators: str
    value: str
    pattern: re.Pattern[str] | None


@dataclass(frozen=True, slots=True)
class Take:
    """One pass over one table that makes records of one kind; see docs/taking-in.md for each key.

    Parameters
    ----------
    kind : str
        Kind of record made.
    file, sheet, encoding, separator, header_line
        Which table, and how it is read.
    columns, constants, compose
        Where each of our fields comes from: a column, a fixed text, or a template.
    words : mapping
        For each field its translations.
    depths : mapping
        For each level field the datum that depths are taken from: a number or a column.
    spread, each, within
        How one row becomes several, and which column groups rows that follow each other.
    skip, blanks, ignore
        Rows left out, words that mean blank, columns left out on purpose.
    habits : Habits
        Decimal mark, dates, list marks and quantities.
    keep_rest : bool
        Cells of columns that nothing else uses go into the notes.
    known, new, orphans : str
        What happens to a row whose number is known already (refuse, complete, skip), is not known (take, leave), or that names
        a record that is not there (refuse, leave).
    repeats : str
        What happens to a relation, level, contact, outline or staff reading that the record holds already (refuse, skip).
    key : tuple of str
        Fields that tell two records of a kind without numbers apart.
    """

    kind: str
    file: str = ""
    sheet: str = ""
    encoding: str = ""
    separator: str = ""
    header_line: int = 0
    columns: Mapping[str, str] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    compose: Mapping[str, Template] = field(default_factory=dict)
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    depths: Mapping[str, float | str] = field(default_factory=dict)
    spread: Spread | None = None
    each: Each | None = None
    within: str = ""
    skip: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    blanks: tuple[str, ...] = ()
    ignore: tuple[str, ...] = ()
    habits: Habits = field(default_factory=Habits)
    keep_rest: bool = False
    known: str = "refuse"
    new: str = "take"
    orphans: str = "refuse"
    repeats: str = "refuse"
    key: tuple[str, ...] = ()

    @property
    def fields(self) -> tuple[str, ...]:
        """Our fields that the pass fills."""
        return (*self.columns, *self.compose, *self.constants)

    @property
    def used(self) -> tuple[str, ...]:
        """Their columns that the pass names, in whatever part; columns made by `spread` and `each` among them."""
        named = [*self.columns.values(), *self.skip, *self.ignore]
        named += [column for template in self.compose.values() for column in template.columns]
        named += [datum for datum in self.depths.values() if isinstance(datum, str)]
        named += [self.within] if self.within else []
        named += [self.each.column] if self.each else []
        return tuple(named)
