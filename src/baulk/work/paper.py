"""Printing blank sheets with numbers of their own, which nobody else is given."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from baulk.record import Context, Entity, Find, Level, Photo, Relation, Sample, Sight, SiteRecord, Unit
from baulk.report.paper_forms import PaperForms, Register, context_sheet, register_form
from baulk.store import Store
from baulk.work.hand_out import hand_out
from baulk.work.pen import Pen

__all__ = ["ON_PAPER", "paper_forms"]

ON_PAPER = "on paper"
"""What is added to a recorder's initials in a block that is printed, so that their tablet does not use it too."""

_RELATIONS, _LEVELS, _FINDS, _SAMPLES, _PHOTOS = 14, 11, 14, 12, 14
_READINGS = ("Date", "Instrument", "Observer", "Back sight on", "Height of back sight", "Height of instrument")


def paper_forms(store: Store, pen_of: Callable[[], Pen], unit: str, person: str, contexts: Mapping[str, int]) -> PaperForms:
    """Return blank sheets of a unit; the numbers printed on them are handed out and kept as blocks of the site.

    Parameters
    ----------
    store : Store
        The site.
    pen_of : callable
        Gives a pen that writes later than all that is held.
    unit : str
        Id or number of the unit.
    person : str
        Who will write on them.
    contexts : mapping of str to int
        How many sheets of each kind of context.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    InputError
        When more than 1,000 sheets are asked for.
    """
    record = store.record()
    found = record.get(Unit, unit) or record.numbered(Unit, unit)
    writer = f"{person} {ON_PAPER}"

    def numbers(kind: type[Entity], size: int) -> list[str]:
        if not size:
            return []
        block = hand_out(store, pen_of, kind, size, writer)
        return [str(number) for number in range(block.first or 0, (block.last or -1) + 1)]

    kinds = [kind for kind, count in contexts.items() for _ in range(count)]
    sheets = tuple(
        context_sheet(kind, number, record.length_unit) for kind, number in zip(kinds, numbers(Context, len(kinds)), strict=True)
    )
    registers = _registers(record, numbers(Find, _FINDS), numbers(Sample, _SAMPLES), numbers(Photo, _PHOTOS))
    site = " ".join(part for part in (record.site.code, record.site.name) if part) or "a site without a name"
    return PaperForms(site, found.number or found.id, writer, sheets, registers)


def _registers(record: SiteRecord, finds: list[str], samples: list[str], photos: list[str]) -> tuple[Register, ...]:
    unit = record.length_unit
    sights = _columns(Sight, "backsight", "intermediate", "foresight")
    level = [*_columns(Level, "context", "surface", "easting", "northing"), *sights, *_columns(Level, "level", "notes")]
    relation = _columns(Relation, "later", "how", "earlier", "where_seen", "certainty", "basis")
    find = _columns(Find, "number", "context", "material", "object", "count", "mass", "easting", "northing", "level", "notes")
    sample = _columns(Sample, "number", "context", "type", "purpose", "litres", "containers", "notes")
    photo = _columns(Photo, "number", "day", "subject", "facing", "contexts", "stage", "photographer", "file_name")
    return (
        register_form("Relations", relation, [""] * _RELATIONS, unit),
        register_form("Levels", level, [""] * _LEVELS, unit, above=_READINGS),
        register_form("Finds", find, finds, unit),
        register_form("Samples", sample, samples, unit),
        register_form("Photos", photo, photos, unit),
    )


def _columns(kind: type[Entity], *names: str) -> list[tuple[type[Entity], str]]:
    return [(kind, name) for name in names]
