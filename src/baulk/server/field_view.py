"""What is said of every field: the page's labels and helps, and the field reference."""

from __future__ import annotations

from functools import cache

from pydantic import BaseModel

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
    terms: list[str]
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
                    terms=list(VOCABULARIES[facts.vocabulary].terms) if facts.vocabulary in VOCABULARIES else [],
                    source=facts.source,
                )
                for field, facts in fields_for(kind, viewer)
                if field not in {"id", "absences"}
            ],
        )
        for name, kind in kinds_for(viewer).items()
    )
