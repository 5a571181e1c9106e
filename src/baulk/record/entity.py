"""What every record has, and how a record is built from plain values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic_core import ErrorDetails

from baulk.errors import FieldError, did_you_mean
from baulk.record.facts import FieldFacts, Need, Quantity, Sensitivity, facts
from baulk.record.values import Day, Position

__all__ = ["Entity", "build", "facts_of", "faults_in", "fields_of", "label_of"]

E = TypeVar("E", bound="Entity")


class Entity(BaseModel):
    """One record: frozen, every field blank until someone fills it.

    `KIND` is the kind's one-word name in tables, files and messages; `TITLE` what a person reads; `SHAPE` tells whether the kind
    has a place on the site grid (``point``, ``line``, ``polygon`` or empty), given by `positions`.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    KIND: ClassVar[str] = ""
    TITLE: ClassVar[str] = ""
    SHAPE: ClassVar[str] = ""
    NUMBERED: ClassVar[bool] = False
    RESTRICTED: ClassVar[bool] = False

    id: Annotated[str, facts("Record id", "The record's own mark, given once and never changed.", quantity=Quantity.TEXT)]
    void: Annotated[
        str | None,
        facts("Void because", "Why this record no longer counts; its number is kept and not used again.",
              source="published recording manuals"),
    ] = None  # fmt: skip
    term_list: Annotated[
        str | None,
        facts(
            "List of terms",
            "Name and version of the list that the descriptive terms were taken from.",
            source="common practice, no source",
        ),
    ] = None
    recorded_by: Annotated[
        str | None,
        facts("Recorded by", "Initials of who wrote the record.", need=Need.MANDATORY, sensitivity=Sensitivity.AGENCY,
              source="published recording manuals"),
    ] = None  # fmt: skip
    recorded_on: Annotated[
        Day | None,
        facts(
            "Recorded on",
            "Day on which it was written.",
            need=Need.MANDATORY,
            quantity=Quantity.DAY,
            source="published recording manuals",
        ),
    ] = None
    checked_by: Annotated[
        str | None,
        facts("Checked by", "Initials of the second person who read it against the ground.", need=Need.EXPECTED,
              sensitivity=Sensitivity.AGENCY, source="published recording manuals"),
    ] = None  # fmt: skip
    checked_on: Annotated[
        Day | None,
        facts(
            "Checked on",
            "Day of that check.",
            need=Need.EXPECTED,
            quantity=Quantity.DAY,
            source="published recording manuals",
        ),
    ] = None
    conditions: Annotated[
        str | None,
        facts(
            "Conditions",
            "Light, wet or dry, weather: they change what colour and which edges can be seen.",
            source="published guide; detail from memory",
        ),
    ] = None
    notes: Annotated[str | None, facts("Notes", "Free words beside the measurable fields.")] = None
    absences: Annotated[
        Mapping[str, str],
        facts("Absent on purpose", "Fields left without a value on purpose, each with its reason.", quantity=Quantity.DATA),
    ] = Field(default_factory=dict)

    def positions(self) -> tuple[Position, ...]:
        """Return the record's place on the site grid; empty when it has none or it is blank."""
        return ()

    def is_blank(self, field: str) -> bool:
        """Tell whether `field` holds neither a value nor a reason for being absent."""
        value = getattr(self, field)
        return field not in self.absences and (value is None or value in ("", ()))


def fields_of(kind: type[Entity]) -> Iterator[tuple[str, FieldFacts]]:
    """Yield each field's name with its facts, in declared order, the kind's own fields before the shared ones."""
    shared = set(Entity.model_fields)
    own = [name for name in kind.model_fields if name not in shared]
    for name in ["id", *own, *(name for name in Entity.model_fields if name != "id")]:
        yield name, facts_of(kind, name)


def facts_of(kind: type[Entity], field: str) -> FieldFacts:
    """Return what is said of one field.

    Raises
    ------
    KeyError
        When the kind has no such field or says nothing of it (a fault of the code, caught by a test).
    """
    for extra in kind.model_fields[field].metadata:
        if isinstance(extra, FieldFacts):
            return extra
    raise KeyError(f"{kind.KIND}.{field} says nothing of itself")


def label_of(kind: type[Entity], field: str) -> str:
    """Return the trade's name of a field, or the field itself when it is not one of the kind's."""
    return facts_of(kind, field).label if field in kind.model_fields else field


def build(kind: type[E], values: Mapping[str, Any]) -> E:
    """Return a record of `kind` from plain values.

    Raises
    ------
    FieldError
        When a field is unknown or a value breaks its rule; the first fault is named in the field's own words.
    """
    try:
        return kind.model_validate(dict(values))
    except ValidationError as refusal:
        raise _in_trade_words(kind, values, refusal.errors(include_url=False)[0]) from None


def faults_in(kind: type[Entity], values: Mapping[str, Any]) -> dict[str, FieldError]:
    """Return what is wrong with plain values, field by field, the first fault of each; empty when a record can be built."""
    try:
        kind.model_validate(dict(values))
    except ValidationError as refusal:
        faults: dict[str, FieldError] = {}
        for fault in refusal.errors(include_url=False):
            faults.setdefault(_field_at_fault(fault), _in_trade_words(kind, values, fault))
        return faults
    return {}


def _field_at_fault(fault: ErrorDetails) -> str:
    return str(fault["loc"][0]) if fault["loc"] else ""


def _in_trade_words(kind: type[Entity], values: Mapping[str, Any], fault: ErrorDetails) -> FieldError:
    field = _field_at_fault(fault)
    number = str(values.get("number") or "")
    given = values.get(field)
    if fault["type"] == "extra_forbidden":
        rule = f"A {kind.TITLE} has no such field.{did_you_mean(field, list(kind.model_fields))}"
    elif fault["type"] == "missing":
        rule = f"A {kind.TITLE} cannot be kept without it."
    elif fault["type"] == "value_error":
        rule = str(fault["msg"]).removeprefix("Value error, ")
    else:
        rule = f"{str(fault['msg']).removeprefix('Input ').capitalize()}."
    return FieldError(kind.TITLE, label_of(kind, field), given, rule, number=number)
