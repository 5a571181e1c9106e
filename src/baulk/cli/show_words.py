"""What `baulk show` says in words: one line a record, values with their unit, and changes as a person reads them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from baulk.record import (
    Change,
    Entity,
    HybridTime,
    Level,
    Quantity,
    Relation,
    SiteRecord,
    facts_of,
    label_of,
)
from baulk.record.naming import called

__all__ = ["change_line", "line_of", "value_words"]

_SIGNS = {
    Quantity.SIZE: "mm",
    Quantity.LITRES: "l",
    Quantity.MASS: "g",
    Quantity.BEARING: "degrees",
    Quantity.PERCENT: "%",
    Quantity.HOURS: "h",
}
_TELLING = ("title", "subject", "object", "asks", "name", "point")


def line_of(record: SiteRecord, entity: Entity) -> str:
    """Return one line for a record in a list: its number with what it is, or what it joins or belongs to."""
    void = f"  VOID: {entity.void}" if entity.void else ""
    if isinstance(entity, Relation):
        seen, sure = entity.where_seen or "where not recorded", entity.certainty or "certainty not recorded"
        return f"{called(record, entity)} ({seen}; {sure}){void}"
    if isinstance(entity, Level):
        return f"{called(record, entity)}: {_level(record, entity)}{void}"
    words = next((str(value) for name in _TELLING if (value := getattr(entity, name, None))), "")
    kind = getattr(entity, "kind", None) or ""
    return f"{called(record, entity):>10}  {kind:<11} {words}{void}".rstrip()


def _level(record: SiteRecord, level: Level) -> str:
    height = value_words(record, level, "level") or "no level"
    if level.easting is None or level.northing is None:
        return f"{height}, place not recorded"
    return f"{height} at {_figure(level.easting)} {_figure(level.northing)}"


def value_words(record: SiteRecord, entity: Entity, name: str) -> str:
    """Return the value of a field in words, with its unit; the reason when it is absent on purpose; empty when blank."""
    if name in entity.absences:
        return entity.absences[name]
    return _words(record, type(entity), name, getattr(entity, name))


def _words(record: SiteRecord, kind: type[Entity], name: str, value: Any) -> str:
    if value is None or value in ("", (), []):
        return ""
    if isinstance(value, Mapping):
        return str(value.get("absent", dict(value)))
    said = facts_of(kind, name) if name in kind.model_fields else None
    if isinstance(value, bool):
        return "yes" if value else "no"
    several = value if isinstance(value, (list, tuple)) else (value,)
    if said is not None and said.refers:
        return ", ".join(record.label(one) for one in several)
    words = "; ".join(" ".join(map(_figure, one)) if isinstance(one, (list, tuple)) else _figure(one) for one in several)
    return f"{words} {sign}" if said is not None and (sign := _sign(record, said.quantity)) else words


def _sign(record: SiteRecord, quantity: Quantity) -> str:
    if quantity in (Quantity.LENGTH, Quantity.LEVEL):
        return "m" if str(record.length_unit) == "m" else "ft"
    return _SIGNS.get(quantity, "")


def _figure(value: Any) -> str:
    """Return a number without the tail of its binary form; other values as they are."""
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def change_line(record: SiteRecord, kind: type[Entity], change: Change) -> str:
    """Return a change as one line: when, in the time of this machine, who, which field, and from what to what."""
    moment = datetime.fromtimestamp(HybridTime.parse(change.time).milliseconds / 1000, UTC).astimezone()
    why = f"  ({change.why})" if change.why else ""
    if change.creates:
        what = "created"
    else:
        before, after = (_words(record, kind, change.field, value) or "blank" for value in (change.replaced, change.value))
        what = f"{label_of(kind, change.field)}: {before} → {after}"
    return f"{moment:%Y-%m-%d %H:%M}  {change.person}  {what}{why}"
