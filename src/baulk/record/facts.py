"""What is said of a field: its label, help, need, quantity, list of terms and sensitivity.

From this one declaration come the tables of the site file, the JSON schema, CSV headers, forms, the field reference and the
closing rules' "is it blank".
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["FieldFacts", "Need", "Quantity", "Sensitivity", "facts"]


class Need(StrEnum):
    """How much the trade needs a field."""

    MANDATORY = "mandatory"
    EXPECTED = "expected"
    """May be absent on purpose: *not applicable*, *not visible* or *not done: reason*; a blank is shown as a blank."""
    OPTIONAL = "optional"


class Quantity(StrEnum):
    """What a field measures or holds."""

    TEXT = "text"
    WORD = "word"
    NUMBER = "number"
    LENGTH = "length"
    LEVEL = "level"
    SIZE = "size in millimetres"
    AREA = "area"
    LITRES = "litres"
    MASS = "mass in grams"
    BEARING = "bearing in degrees"
    PERCENT = "percent"
    COUNT = "count"
    HOURS = "hours"
    YEAR = "year"
    DAY = "date"
    YES_NO = "yes or no"
    MUNSELL = "Munsell colour"
    POSITION = "position"
    POLYGON = "polygon"
    PATH = "path"
    REFERENCE = "reference"
    FILE = "file by hash"
    DATA = "structured data"


class Sensitivity(StrEnum):
    """Who may see a field."""

    PUBLIC = "public"
    AGENCY = "agency"
    """Kept out of public versions: exact places, approach, names of people."""
    RESTRICTED = "restricted"
    """Burials and what would give one away: kept out of every public output and default screen."""


@dataclass(frozen=True, slots=True)
class FieldFacts:
    """What is said of one field; it stands in the field's annotation.

    Parameters
    ----------
    label, help
        The trade's name for the field and one sentence on what belongs in it.
    need
        Mandatory, expected or optional.
    quantity
        What is measured; `LENGTH` and `LEVEL` are in the site's own quantity.
    vocabulary
        Name of the list of terms, see `baulk.record.terms`; empty when free.
    refers
        Kind of record whose id the field holds; empty when none.
    sensitivity
        Who may see it.
    applies
        Context kinds that the field belongs to; empty for all.
    source
        Where the need comes from: a published standard, "common practice, no source", or "from memory".
    """

    label: str
    help: str
    need: Need = Need.OPTIONAL
    quantity: Quantity = Quantity.TEXT
    vocabulary: str = ""
    refers: str = ""
    sensitivity: Sensitivity = Sensitivity.PUBLIC
    applies: tuple[str, ...] = ()
    source: str = ""


facts = FieldFacts
