"""Blank sheets for the trench when no device will do: the same fields and numbers as the record, to be typed in later.

What stands on a sheet comes from what each field says of itself, so a field that the record gains is on the next print.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from math import ceil
from pathlib import Path

import typst

from baulk.errors import TypesettingError, shorten
from baulk.quantities import LengthUnit
from baulk.record import VOCABULARIES, Context, Entity, FieldFacts, Need, Quantity, View, facts_of, fields_for, label_of
from baulk.report.paper_layout import PAPER
from baulk.report.setting import set_as_pdf
from baulk.report.svg_text import FONT

__all__ = ["Box", "PaperForms", "Register", "Sheet", "context_sheet", "forms_pdf", "register_form"]

_MOST_TICKS, _SIXTHS = 12, 6
_LINE, _HALF_LINE = 84, 36
"""Letters that a line of terms holds, over the page and over half of it."""
_SIGNED = ("recorded_by", "recorded_on", "checked_by", "checked_on")
_AT_HOME = ("number", "kind", "units", "file", "phase_note", "spot_begin", "spot_end", "spot_by", *_SIGNED)
"""Fields that are printed already, or are not written at the trench."""
_LONG = ("description", "interpretation", "reasons", "inclusions", "alternatives")
_UNITS = {
    Quantity.SIZE: "mm",
    Quantity.PERCENT: "%",
    Quantity.LITRES: "litres",
    Quantity.MASS: "g",
    Quantity.BEARING: "°",
    Quantity.HOURS: "h",
}


@dataclass(frozen=True, slots=True)
class Box:
    """One blank field: its label, terms to tick, what it is measured in, and its width in sixths of the page and height in mm."""

    label: str
    ticks: tuple[str, ...]
    unit: str
    span: int
    height: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet for one record: its title, number, boxes row by row, and the height in mm of the field for a sketch."""

    title: str
    number: str
    rows: tuple[tuple[Box, ...], ...]
    sketch: int


@dataclass(frozen=True, slots=True)
class Register:
    """A sheet of rows: its title, the heads of its columns with their weights, and the numbers printed in the first column."""

    title: str
    head: tuple[str, ...]
    weights: tuple[float, ...]
    numbers: tuple[str, ...]
    above: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PaperForms:
    """All sheets of one print: for which site and unit, whose numbers, and the sheets."""

    site: str
    unit: str
    person: str
    sheets: tuple[Sheet, ...]
    registers: tuple[Register, ...]


def context_sheet(kind: str, number: str, unit: LengthUnit) -> Sheet:
    """Return the blank sheet of one context of a kind, such as a deposit or a cut.

    Parameters
    ----------
    kind : str
        What the context is; the fields of that kind are on the sheet.
    number : str
        Printed large.
    unit : LengthUnit
        What lengths are written in.
    """
    boxes = [
        _box(name, said, unit)
        for name, said in fields_for(Context, View.CREW)
        if said.need is not Need.OPTIONAL and name not in _AT_HOME and kind in (said.applies or (kind,))
    ]
    later = [
        Box(words, (), "", 3, 13) for words in ("Lies under, is cut or filled by (later)", "Lies over, cuts or fills (earlier)")
    ]
    signed = [Box(label_of(Context, name), (), "", 2 if name.endswith("by") else 1, 11) for name in _SIGNED]
    short = [*(box for box in boxes if box.span == 3), *(box for box in boxes if box.span < 3)]
    long = [box for box in boxes if box.span == 6]
    return Sheet(f"Context: {kind}", number, (*_rows(later), *_rows(short), *_rows(long), *_rows(signed)), 62)


def _rows(boxes: Sequence[Box]) -> tuple[tuple[Box, ...], ...]:
    """Return boxes in rows as wide as the page, each row as high as its highest box; the last of a row takes what is left."""
    rows: list[list[Box]] = [[]]
    for box in boxes:
        if sum(held.span for held in rows[-1]) + box.span > _SIXTHS:
            rows.append([])
        rows[-1].append(box)
    return tuple(_filled(row) for row in rows if row)


def _filled(row: Sequence[Box]) -> tuple[Box, ...]:
    height, left = max(box.height for box in row), _SIXTHS - sum(box.span for box in row)
    last = len(row) - 1
    return tuple(replace(box, height=height, span=box.span + (left if place == last else 0)) for place, box in enumerate(row))


def _box(name: str, said: FieldFacts, unit: LengthUnit) -> Box:
    terms = _terms(said)
    if terms:
        letters = sum(len(term) + 5 for term in terms)
        if letters <= _HALF_LINE:
            return Box(said.label, terms, "", 3, 15)
        return Box(said.label, terms, "", 6, 3 + 7 * ceil((letters + len(said.label) + 4) / _LINE))
    measured = unit.value.replace("_", " ") if said.quantity in (Quantity.LENGTH, Quantity.LEVEL) else _UNITS.get(said.quantity, "")
    if name in _LONG:
        return Box(said.label, (), "", 6, 30 if name == "description" else 22)
    if said.quantity is Quantity.TEXT:
        return Box(said.label, (), "", 6, 14)
    return Box(said.label, (), measured, 2, 13)


def _terms(said: FieldFacts) -> tuple[str, ...]:
    if said.quantity is Quantity.YES_NO:
        return ("yes", "no")
    terms = VOCABULARIES[said.vocabulary].terms if said.vocabulary in VOCABULARIES else ()
    return tuple(terms) if len(terms) <= _MOST_TICKS else ()


def register_form(
    title: str,
    columns: Sequence[tuple[type[Entity], str]],
    numbers: Sequence[str],
    unit: LengthUnit,
    *,
    above: tuple[str, ...] = (),
) -> Register:
    """Return a blank register.

    Parameters
    ----------
    title : str
        What it is a register of.
    columns : sequence of (type of Entity, str)
        The field that each column is for.
    numbers : sequence of str
        Printed in the first column, one a row; blank where there is nothing to print.
    unit : LengthUnit
        What lengths are written in.
    above : tuple of str
        Labels of blank boxes above the rows.
    """
    said = [facts_of(kind, name) for kind, name in columns]
    head = tuple(each.label + (f", {unit.value}" if each.quantity in (Quantity.LENGTH, Quantity.LEVEL) else "") for each in said)
    weights = tuple(2.6 if each.quantity is Quantity.TEXT and place else 1.0 for place, each in enumerate(said))
    return Register(title, head, weights, tuple(numbers), above)


def forms_pdf(forms: PaperForms) -> bytes:
    """Return the sheets as PDF, black on white.

    Raises
    ------
    TypesettingError
        When the page setter refuses them.
    """
    with tempfile.TemporaryDirectory(prefix="baulk-forms-") as made:
        program = Path(made) / "forms.typ"
        program.write_text(PAPER, encoding="utf-8")
        (program.parent / "forms.json").write_text(json.dumps({"font": FONT, **asdict(forms)}), encoding="utf-8")
        try:
            return set_as_pdf(program, archival=False, system_fonts=True)
        except typst.TypstError as refusal:
            raise TypesettingError(
                f"The forms cannot be set as PDF: {shorten(refusal, 300)}. See that code and name of the site and number of the "
                "unit are "
                "plain words."
            ) from refusal
