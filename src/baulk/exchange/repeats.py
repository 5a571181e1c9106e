"""Rows that say of a context what cannot be, or say again what is on record already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from baulk.errors import RowFault
from baulk.exchange.draft import Draft
from baulk.record import Entity

__all__ = ["WITHOUT_NUMBER", "relates_to_itself", "without_repeats"]

WITHOUT_NUMBER: Mapping[str, tuple[str, ...]] = {
    "relation": ("later", "earlier", "how", "sheet"),
    "level": ("context", "surface", "easting", "northing", "level"),
    "contact": ("wall", "later", "earlier", "how", "line"),
    "outline": ("context", "drawing", "ring"),
    "wall_outline": ("context", "wall", "ring"),
    "sight": ("run", "place"),
}
"""Kinds that no number tells apart, with the fields by which one record is the same as another."""


def relates_to_itself(kind: type[Entity], values: Mapping[str, Any]) -> str:
    """Return why a relation or a contact of a context to itself is refused; empty when it joins two."""
    if kind.KIND not in ("relation", "contact") or values.get("later") is None or values.get("later") != values.get("earlier"):
        return ""
    return (
        f"A {kind.TITLE} joins two contexts, and both sides name the same one. See which of the two numbers is meant to be another."
    )


def without_repeats(
    kind: type[Entity], made: Sequence[Draft], held: Iterable[Entity], *, skip: bool, lines: list[int], faults: list[RowFault]
) -> list[Draft]:
    """Return the drafts that the record does not hold already.

    Parameters
    ----------
    kind : type of Entity
        Their kind; of one that is not in `WITHOUT_NUMBER` every draft is returned.
    made : sequence of Draft
        Drafts of one table.
    held : iterable of Entity
        Records of the kind that the site holds; void ones do not count.
    skip : bool
        Leave repeats out and add their lines to `lines`, instead of adding to `faults`.

    Notes
    -----
    Rows of one take may repeat each other, as when both sheets of a relation are copied; what they repeat is not on record yet.
    """
    fields = WITHOUT_NUMBER.get(kind.KIND)
    if fields is None or not made:
        return list(made)
    blank = {name: None if said.is_required() else said.default for name, said in kind.model_fields.items() if name in fields}
    on_record = {tuple(_same(getattr(entity, name)) for name in fields) for entity in held if entity.void is None}
    if not on_record:
        return list(made)
    kept: list[Draft] = []
    for draft in made:
        if tuple(_same(draft.values.get(name, blank[name])) for name in fields) not in on_record:
            kept.append(draft)
        elif skip:
            lines.append(draft.line)
        else:
            faults.append(RowFault(draft.line, "", "", _already(kind)))
    return kept


def _already(kind: type[Entity]) -> str:
    by = " (the same run and line)" if kind.KIND == "sight" else ""
    return f"This {kind.TITLE} is already on record{by}. Take the row out, or leave repeats out with --skip-repeats."


def _same(value: Any) -> Any:
    """Return a value so that the same from a draft and from a record compare alike; an absence counts as a blank."""
    if isinstance(value, Mapping):
        return None
    if isinstance(value, (list, tuple)):
        return tuple(_same(one) for one in value) or None
    return value
