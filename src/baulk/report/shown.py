"""How values of the record are put into words: quantities with their unit, blanks as blanks, references as numbers."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from baulk.quantities import LengthUnit, half_up
from baulk.record import Entity, FieldFacts, Quantity, SiteRecord, facts_of

__all__ = ["NOT_RECORDED", "WITHHELD", "Shown", "counted", "dates_read_out", "long_date", "measure", "sentence"]

NOT_RECORDED = "not recorded"
WITHHELD = "withheld in the public version"

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_ISO_DAY = re.compile(r"(?<![\w/.-])\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])(?![\w/-]|\.\w)")
_UNIT_SIGNS = {LengthUnit.METRE: "m", LengthUnit.FOOT: "ft", LengthUnit.SURVEY_FOOT: "ft (US survey)"}
_PLACES = (Quantity.POSITION, Quantity.POLYGON, Quantity.PATH)
_CO_ORDINATES = ("easting", "northing", "projected_easting", "projected_northing")
_SIGNS = {
    Quantity.SIZE: " mm", Quantity.PERCENT: " %", Quantity.LITRES: " l", Quantity.MASS: " g", Quantity.BEARING: "°",
    Quantity.HOURS: " h",
}  # fmt: skip


def measure(value: float, places: int = 2) -> str:
    """Return a length or level with at least two decimals, three when it was kept that finely; "cannot tell" for NaN.

    Examples
    --------
    >>> measure(1.2), measure(10.345), measure(float("nan"))
    ('1.20', '10.345', 'cannot tell')
    """
    if math.isnan(value):
        return "cannot tell"
    text = half_up(value, places + 1)
    text = text[:-1] if text.endswith("0") else text
    return text.replace("-", "−")


def _level(value: float) -> str:
    """Return a level with three decimals, as a staff is read; so all levels of a report stand alike."""
    return half_up(value, 3).replace("-", "−")


def long_date(day: str | None) -> str:
    """Return an ISO date as it is read aloud, or that it is not recorded.

    Examples
    --------
    >>> long_date("2026-05-04")
    '4 May 2026'
    """
    if not day:
        return NOT_RECORDED
    year, month, date = day.split("-")
    return f"{int(date)} {_MONTHS[int(month) - 1]} {year}"


def dates_read_out(text: str) -> str:
    """Return a text with the dates in it as they are read aloud.

    Examples
    --------
    >>> dates_read_out("no levels run on 2026-05-16; file 2026-05-16-3 stays")
    'no levels run on 16 May 2026; file 2026-05-16-3 stays'
    """
    return _ISO_DAY.sub(lambda found: long_date(found[0]), text)


def _declination(degrees: float) -> str:
    """Return the bearing of magnetic north from true north: east when positive."""
    side = " east" if degrees > 0 else " west" if degrees < 0 else ""
    return f"{abs(degrees):g}°{side}"


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its word.

    Examples
    --------
    >>> counted(1, "context"), counted(3, "fill"), counted(2, "possible burial")
    ('1 context', '3 fills', '2 possible burials')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """Return text that begins with a capital and ends with a full stop."""
    tidy = dates_read_out(text.strip())
    if not tidy:
        return ""
    tidy = tidy[0].upper() + tidy[1:]
    return tidy if tidy[-1] in ".!?…]" else f"{tidy}."


@dataclass(frozen=True)
class Shown:
    """A record, and the words for its values.

    Parameters
    ----------
    record : SiteRecord
        For a public version, the public record.
    public : bool
        True when positions are withheld.
    masked : callable
        What a text from outside the record goes through before it is shown; leaves it as it is in the full version.
    """

    record: SiteRecord
    public: bool = False
    masked: Callable[[str], str] = field(default=lambda text: text)

    @property
    def unit_sign(self) -> str:
        """The sign of the site's own length: m or ft."""
        return _UNIT_SIGNS[self.record.length_unit]

    def length(self, value: float | None) -> str:
        """Return a length or level with its unit."""
        return NOT_RECORDED if value is None else f"{measure(value)} {self.unit_sign}"

    def label(self, identity: str | None) -> str:
        """Return what a person calls the record of that id."""
        return self.record.label(identity)

    def labels(self, identities: Iterable[str] | None) -> str:
        """Return the numbers of several records."""
        return ", ".join(self.label(identity) for identity in identities or ()) or NOT_RECORDED

    def field(self, entity: Entity, name: str) -> str:
        """Return one field in words: its value, why it is absent, or that it is not recorded."""
        said = facts_of(type(entity), name)
        if self.public and (said.quantity in _PLACES or name in _CO_ORDINATES):
            return WITHHELD
        if name in entity.absences:
            return entity.absences[name]
        if entity.is_blank(name):
            return NOT_RECORDED
        value = getattr(entity, name)
        return _declination(value) if name == "declination" else self._value(value, said)

    def has(self, entity: Entity, name: str) -> bool:
        """Tell whether a field has a value, or words for why it has none."""
        return not entity.is_blank(name)

    def rows(self, entity: Entity, names: Sequence[str]) -> tuple[tuple[str, str], ...]:
        """Return label and words of several fields."""
        return tuple((facts_of(type(entity), name).label, self.field(entity, name)) for name in names)

    def _value(self, value: Any, said: FieldFacts) -> str:
        if isinstance(value, tuple):
            return self._several(value, said)
        if said.refers:
            return self.label(str(value))
        if said.quantity is Quantity.YES_NO:
            return "yes" if value else "no"
        if said.quantity is Quantity.DAY:
            return long_date(value)
        if said.quantity is Quantity.LEVEL:
            return f"{_level(value)} {self.unit_sign}"
        if said.quantity is Quantity.LENGTH:
            return self.length(value)
        if said.quantity is Quantity.YEAR:
            return f"{-value} BC" if value < 0 else str(value)
        if said.quantity in _SIGNS:
            return f"{value:g}{_SIGNS[said.quantity]}"
        return f"{value:g}" if isinstance(value, float) else dates_read_out(str(value))

    def _several(self, values: tuple[Any, ...], said: FieldFacts) -> str:
        if said.quantity in _PLACES:
            return "; ".join(f"{measure(place.easting)} E {measure(place.northing)} N" for place in values)
        if said.quantity in (Quantity.LENGTH, Quantity.LEVEL):
            fine = said.quantity is Quantity.LEVEL or any(len(measure(value).partition(".")[2]) > 2 for value in values)
            return f"{', '.join(half_up(value, 3 if fine else 2) for value in values).replace('-', '−')} {self.unit_sign}"
        return ", ".join(self._value(value, said) for value in values)
