"""Which fields of a record still want an answer, and lists of them in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from baulk.closing.rule import Answer, fails, passes
from baulk.record import Entity, Relation, label_of

if TYPE_CHECKING:
    from baulk.closing.facts import UnitFacts

__all__ = ["counted", "listed", "named_relation", "states_all", "unanswered"]


def unanswered(entity: Entity, fields: Sequence[str]) -> list[str]:
    """Return in words the fields without a value: the label of a blank one, with the reason of one not done.

    *Not applicable* and *not visible* are answers. *Not done: reason* is none: the ground still shows what was not written down.
    """
    wanting: list[str] = []
    for field in fields:
        label = label_of(type(entity), field).lower()
        absence = entity.absences.get(field, "")
        if absence.startswith("not done"):
            wanting.append(f"{label} ({absence})")
        elif entity.is_blank(field):
            wanting.append(label)
    return wanting


def states_all(entity: Entity, fields: Sequence[str], also: Sequence[str] = ()) -> Answer:
    """Return a pass when every field is answered, else a failure that names those that are not and whatever stands in `also`."""
    wanting = [*unanswered(entity, fields), *also]
    return fails(f"no {listed(wanting)}") if wanting else passes()


def counted(count: int, thing: str) -> str:
    """Return a count with its thing in the plural where it is not one."""
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def listed(words: Sequence[str], shown: int = 8) -> str:
    """Return words as a list in a sentence, cut after `shown`."""
    held = list(words[:shown])
    if len(words) > shown:
        held.append(f"{len(words) - shown} more")
    return ", ".join(held)


def named_relation(facts: UnitFacts, relation: Relation) -> str:
    """Return a relation in words."""
    return f"{facts.label(relation.later)} {relation.how or 'lies in an unstated way to'} {facts.label(relation.earlier)}"
