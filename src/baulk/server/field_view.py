"""What is said of every field: the page's labels and helps, and the field reference."""

from __future__ import annotations

from functools import cache

from pydantic import BaseModel, Field

from baulk.exchange.readers import is_list
from baulk.record import VOCABULARIES, View, fields_for, kinds_for

__all__ = ["FieldView", "KindView", "kind_views"]


class FieldView(BaseModel):
    """One field."""

    name: str
    label: str
    help: str
    need: str
    quantity: str
    refers: str
    applies: list[str]
    vocabulary: str = Field(description="Name of the list of terms; a site may bring its own of that name.")
    terms: list[str]
    closed: bool = Field(description="True when no other word than the terms is allowed.")
    many: bool = Field(description="True when it holds a list of values; a line or polygon is one value.")
    source: str


class KindView(BaseModel):
    """One kind of record."""

    kind: str
    title: str
    numbered: bool
    fields: list[FieldView]


@cache
def kind_views(viewer: View = View.CREW) -> tuple[KindView, ...]:
    """Return every kind that the workbench shows, with its fields in declared order."""
    return tuple(
        KindView(
            kind=name,
            title=kind.TITLE,
            numbered=kind.NUMBERED,
            fields=[
                FieldView(
                    name=field,
                    label=facts.label,
                    help=facts.help,
                    need=facts.need.value,
                    quantity=facts.quantity.value,
                    refers=facts.refers,
                    applies=list(facts.applies),
                    vocabulary=facts.vocabulary,
                    terms=list(VOCABULARIES[facts.vocabulary].terms) if facts.vocabulary in VOCABULARIES else [],
                    closed=facts.vocabulary in VOCABULARIES and VOCABULARIES[facts.vocabulary].closed,
                    many=is_list(kind, field),
                    source=facts.source,
                )
                for field, facts in fields_for(kind, viewer)
                if field not in {"id", "absences"}
            ],
        )
        for name, kind in kinds_for(viewer).items()
    )
