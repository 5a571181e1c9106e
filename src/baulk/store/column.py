"""One field as a column: its type in a table and its form as a plain value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from baulk.errors import InputError, did_you_mean
from baulk.record import Entity, Quantity, fields_of

__all__ = ["Column", "columns_named", "columns_of", "plain_value"]


@dataclass(frozen=True, slots=True)
class Column:
    """A field as a column; one with `json` holds a list or mapping as JSON text."""

    name: str
    type: str
    json: bool = False

    @property
    def yes_no(self) -> bool:
        """Tell whether the column holds yes or no."""
        return self.type == "BOOLEAN"


@cache
def columns_of(kind: type[Entity]) -> tuple[Column, ...]:
    """Return the columns of a kind, ``id`` first, then in the order of the field reference.

    Notes
    -----
    Only types of the table of GeoPackage data types are used (OGC 12-128r17, table 1): TEXT, INTEGER, REAL, BOOLEAN, DATE.
    """
    return tuple(_column(name, facts.quantity, kind.model_fields[name].annotation) for name, facts in fields_of(kind))


def columns_named(kind: type[Entity], fields: tuple[str, ...]) -> tuple[Column, ...]:
    """Return the columns of some fields of a kind.

    Raises
    ------
    InputError
        When the kind has no such field.
    """
    known = {column.name: column for column in columns_of(kind)}
    for name in fields:
        if name not in known:
            raise InputError(
                f"A {kind.TITLE} has no field “{name}”.{did_you_mean(name, list(known))} The field reference lists them."
            )
    return tuple(known[name] for name in fields)


def _column(name: str, quantity: Quantity, annotation: Any) -> Column:
    held = _bare(annotation)
    if get_origin(held) is not None:
        return Column(name, "TEXT", json=True)
    if held is str:
        return Column(name, "DATE" if quantity is Quantity.DAY else "TEXT")
    return Column(name, {bool: "BOOLEAN", int: "INTEGER", float: "REAL"}[held])


def _bare(annotation: Any) -> Any:
    """Return what an annotation holds, without None and without its rules."""
    if get_origin(annotation) is Annotated:
        return _bare(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return _bare(next(part for part in get_args(annotation) if part is not type(None)))
    return annotation


def plain_value(value: Any) -> Any:
    """Return an entity's value as plain JSON: lists for tuples."""
    if isinstance(value, tuple):
        return [plain_value(part) for part in value]
    if isinstance(value, Mapping):
        return {name: plain_value(part) for name, part in value.items()}
    return value
