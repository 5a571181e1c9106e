"""The reader of each field's cells, made from what the field says of itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from pydantic import TypeAdapter, ValidationError

from baulk.errors import did_you_mean
from baulk.exchange.cells import CellFault, count_in, data_in, day_in, number_in, positions_in, yes_no_in
from baulk.exchange.known import KnownNumbers
from baulk.exchange.lists import split
from baulk.exchange.measures import measure_reader
from baulk.exchange.protection import absence_in, unprotected
from baulk.quantities import LengthUnit
from baulk.record import Entity, FieldFacts, Quantity, SiteRecord, TermList, facts_of, terms_of

__all__ = ["LONGEST_NUMBER", "Habits", "Terms", "is_list", "reader_of", "terms_for"]

LONGEST_NUMBER = 64
"""Most characters that a number or name of a record may have."""

Reader = Callable[[str], Any]

_MEASURED = (Quantity.LENGTH, Quantity.LEVEL, Quantity.SIZE)
_NUMBERS = (Quantity.NUMBER, Quantity.AREA, Quantity.LITRES, Quantity.MASS, Quantity.BEARING, Quantity.PERCENT, Quantity.HOURS)
_RINGS = (Quantity.POLYGON, Quantity.PATH)
_RULES = {
    Quantity.COUNT: "A count is a whole number, 0 or more.",
    Quantity.PERCENT: "A share in percent runs from 0 to 100.",
    Quantity.BEARING: "A bearing runs from 0 to 360 degrees.",
}


@dataclass(frozen=True, slots=True)
class Habits:
    """How another office writes its cells.

    Parameters
    ----------
    decimal : str
        Decimal mark, point or comma.
    dates : str
        Order of a date's parts, one of `baulk.exchange.cells.DATE_ORDERS`.
    lists : str
        Marks that separate the items of a list.
    measures : dict of str to str
        Quantity of bare numbers by field, where it is not the site's own.
    """

    decimal: str = "."
    dates: str = "year month day"
    lists: str = ";"
    measures: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Terms:
    """The list of terms of one field: by lower-case spelling, whether it is closed, and its title."""

    by_spelling: dict[str, str]
    closed: bool
    title: str


def terms_for(record: SiteRecord, vocabulary: str) -> Terms:
    """Return the list of that name: the site's own where it has one, else the house list; closed lists are never replaced."""
    house = terms_of(vocabulary)
    terms = house.terms
    if not house.closed:
        own = [found.terms for found in record.all(TermList) if found.vocabulary == vocabulary and found.terms]
        terms = own[-1] if own else terms
    return Terms({term.casefold(): term for term in terms}, house.closed, house.title)


def is_list(kind: type[Entity], name: str) -> bool:
    """Tell whether a field holds a list of single values (a polygon is one value)."""
    return "tuple[" in str(kind.model_fields[name].annotation) and facts_of(kind, name).quantity not in _RINGS


def reader_of(
    kind: type[Entity],
    name: str,
    *,
    habits: Habits,
    own: LengthUnit,
    record: SiteRecord,
    known: KnownNumbers,
    unknown: dict[str, None],
) -> Reader:
    """Return the function that turns a cell of a field into its plain value.

    Parameters
    ----------
    kind, name
        The kind of record and its field.
    habits : Habits
        How the office writes.
    own : LengthUnit
        The site's own quantity.
    record : SiteRecord
        The record, for the site's own lists of terms.
    known : KnownNumbers
        What references may point to.
    unknown : dict
        Filled with the words that an open list does not have, in the order met.

    Returns
    -------
    callable
        From a cell that is not blank to a plain value, an `Entered` or ``{"absent": words}``; it raises `CellFault`.
    """
    said = facts_of(kind, name)
    terms = terms_for(record, said.vocabulary) if said.vocabulary else None
    single = _checked(kind, name, _single(name, said, terms, habits, own, known, unknown))
    whole = _whole_list(single, habits.lists) if is_list(kind, name) else single
    required = kind.model_fields[name].is_required()

    def read(cell: str) -> Any:
        words = None if terms is not None and cell.casefold() in terms.by_spelling else absence_in(cell)
        if words is None:
            return whole(unprotected(cell))
        if required:
            raise CellFault(f"A {kind.TITLE} cannot be kept without it, so it cannot be absent on purpose.")
        return {"absent": words}

    return read if said.quantity is Quantity.TEXT else _remembering(read)


def _single(
    name: str, said: FieldFacts, terms: Terms | None, habits: Habits, own: LengthUnit,
    known: KnownNumbers, unknown: dict[str, None],
) -> Reader:  # fmt: skip
    if said.refers:
        return lambda text: known.resolve(said.refers, text)
    if terms is not None:
        return _word_reader(terms, unknown)
    if said.quantity in _MEASURED:
        return measure_reader(said.quantity, own, habits.decimal, habits.measures.get(name, ""))
    if said.quantity in _NUMBERS:
        return lambda text: number_in(text, habits.decimal)
    if said.quantity in (Quantity.COUNT, Quantity.YEAR):
        return lambda text: count_in(text, habits.decimal)
    if said.quantity in _RINGS:
        return lambda text: positions_in(text, habits.decimal)
    if said.quantity is Quantity.DAY:
        return lambda text: day_in(text, habits.dates)
    plain = {Quantity.YES_NO: yes_no_in, Quantity.DATA: data_in}
    if said.quantity in plain:
        return plain[said.quantity]
    return _number_text if name == "number" else str


def _number_text(text: str) -> str:
    if len(text) > LONGEST_NUMBER:
        raise CellFault(
            f"A number or name has at most {LONGEST_NUMBER} characters; this has {len(text):,}. Put the rest into the notes."
        )
    return text


def _word_reader(terms: Terms, unknown: dict[str, None]) -> Reader:
    def read(text: str) -> str:
        found = terms.by_spelling.get(text.casefold())
        if found is not None:
            return found
        if terms.closed:
            known = list(terms.by_spelling.values())
            raise CellFault(
                f"It is not in the list “{terms.title}” ({', '.join(known)}).{did_you_mean(text.casefold(), known)} "
                "Translate other words in the mapping file."
            )
        unknown[text] = None
        return text

    return read


_CHECKED = (
    Quantity.DAY,
    Quantity.MUNSELL,
    Quantity.POLYGON,
    Quantity.PATH,
    Quantity.YEAR,
    Quantity.COUNT,
    Quantity.DATA,
    Quantity.FILE,
    *_NUMBERS,
)


def _checked(kind: type[Entity], name: str, read: Reader) -> Reader:
    """Return `read` followed by the check that the field's own declaration asks for."""
    said = facts_of(kind, name)
    if said.quantity not in _CHECKED or is_list(kind, name):
        return read
    annotation: Any = kind.model_fields[name].annotation
    adapter: TypeAdapter[Any] = TypeAdapter(annotation)

    def checked(text: str) -> Any:
        value = read(text)
        try:
            found = adapter.validate_python(value)
        except ValidationError as refusal:
            fault = refusal.errors(include_url=False)[0]
            own_words = str(fault["msg"]).removeprefix("Value error, ") if fault["type"] == "value_error" else ""
            raise CellFault(
                own_words or _RULES.get(said.quantity, "This is not what the field holds; see the field reference.")
            ) from None
        return found if isinstance(found, (str, int, float)) else value

    return checked


def _whole_list(single: Reader, marks: str) -> Reader:
    def read(text: str) -> list[Any]:
        return [single(item) for item in split(text, marks)]

    return read


def _remembering(read: Reader) -> Reader:
    """Return `read` with what it answered before, so that a word that stands in every row is worked out once."""
    answers: dict[str, Any] = {}

    def remembered(cell: str) -> Any:
        found = answers.get(cell)
        if found is None:
            try:
                found = read(cell)
            except CellFault as fault:
                found = fault
            answers[cell] = found
        if isinstance(found, CellFault):
            raise CellFault(
                str(found), orphan=found.orphan
            )  # a fresh one: raised again, the same would drag all its tracebacks along
        return found

    return remembered
