"""Why one context is later than another, and where no chain says so, how likely it is."""

from __future__ import annotations

from math import isfinite
from typing import Literal

from pydantic import BaseModel, Field

from baulk.errors import InputError, UnknownRecord
from baulk.record import Context, Relation
from baulk.sequence.likely_pair import Over
from baulk.server.record_view import RecordLink, Shown

__all__ = ["LikelyView", "SaidRelation", "StepLine", "WhyView", "likely_view", "said_relations", "why_view"]

Answer = Literal["later", "earlier", "same", "open"]
Means = Literal["path", "counted", "drawn"]


class SaidRelation(BaseModel):
    """One relation as it was entered."""

    id: str
    later: RecordLink
    earlier: RecordLink
    how: str
    where_seen: str = Field(description="Where it was seen; empty when blank.")
    certainty: str = Field(description="Empty when blank.")
    sheet: str = Field(description="On which sheets it was entered; empty when blank.")


class StepLine(BaseModel):
    """One step of a chain, with the relations that say it; contexts recorded as one stand together."""

    later: list[RecordLink]
    earlier: list[RecordLink]
    relations: list[SaidRelation]


class WhyView(BaseModel):
    """Why the first context is later than the second."""

    later: RecordLink
    earlier: RecordLink
    answer: Answer = Field(description="How the first stands to the second by the relations; open when no chain says.")
    says: str = Field(description="The chain, or that there is none, in words.")
    steps: list[StepLine] = Field(description="From the later context down; empty when there is no chain.")


class LikelyView(BaseModel):
    """How often the first context is earlier than the second, over the orders that the relations allow."""

    one: RecordLink
    other: RecordLink
    one_earlier: float = Field(description="Share of the orders, 0 to 1.")
    standard_error: float = Field(description="Of the share; 0 when decided or counted.")
    effective_size: float | None = Field(description="How many independent orders would be as good; null when decided or counted.")
    by: Means = Field(description="Whether a path decides it, every order was counted, or orders were drawn.")
    settled: bool = Field(description="False when the chains of draws disagree: the share may then not be used.")
    over: str = Field(description="Over the orders of which contexts.")
    whole_site: bool = Field(description="False when what was left out can shift the answer.")
    contexts: int
    orders: float | None = Field(description="How many orders were counted; null when decided, drawn or not told.")
    seed: int


def why_view(shown: Shown, later: str, earlier: str) -> WhyView:
    """Return why one context is later than another, each by number or id.

    Raises
    ------
    UnknownRecord
        When one is not on record.
    InputError
        When the two are one, or one is void.
    """
    first, second = _context(shown, later), _context(shown, earlier)
    if first.id == second.id:
        raise InputError(f"Context {first.label} is asked for beside itself. Ask for two contexts.")
    order = shown.study.order
    steps = order.why_steps(first.id, second.id)
    answer, says = _answer(shown, first, second, found=steps is not None)
    return WhyView(
        later=first,
        earlier=second,
        answer=answer,
        says=says,
        steps=[
            StepLine(
                later=shown.links(step.later),
                earlier=shown.links(step.earlier),
                relations=said_relations(shown, step.relations),
            )
            for step in steps or ()
        ],
    )


def likely_view(shown: Shown, one: str, other: str, seed: int) -> LikelyView:
    """Return how often one context is earlier than another, each by number or id.

    Raises
    ------
    UnknownRecord
        When one is not on record.
    InputError
        When the two are one, or one is void.
    OrderError
        While a loop stands.
    """
    first, second = _context(shown, one), _context(shown, other)
    found = shown.study.order.likely(first.id, second.id, seed=seed)
    return LikelyView(
        one=first,
        other=second,
        one_earlier=found.earlier,
        standard_error=found.standard_error,
        effective_size=found.effective_size if isfinite(found.effective_size) else None,
        by="path" if found.over is Over.PATH else "counted" if found.exact else "drawn",
        settled=found.settled,
        over=str(found.over),
        whole_site=found.over.whole,
        contexts=found.contexts,
        orders=found.orders if isfinite(found.orders) else None,
        seed=seed,
    )


def said_relations(shown: Shown, identities: tuple[str, ...]) -> list[SaidRelation]:
    """Return those of the relations that are shown, as they were entered."""
    found = (shown.record.by_id.get(identity) for identity in identities)
    lines = []
    for relation in found:
        if not isinstance(relation, Relation):
            continue
        later, earlier = shown.link(relation.later), shown.link(relation.earlier)
        if later is None or earlier is None:
            continue
        lines.append(
            SaidRelation(
                id=relation.id,
                later=later,
                earlier=earlier,
                how=relation.how or "",
                where_seen=relation.where_seen or "",
                certainty=relation.certainty or "",
                sheet=relation.sheet or "",
            )
        )
    return lines


def _answer(shown: Shown, first: RecordLink, second: RecordLink, *, found: bool) -> tuple[Answer, str]:
    order = shown.study.order
    if order.same(first.id, second.id):
        return "same", f"{first.label} and {second.label} are recorded as one, so neither is later."
    if found:
        return "later", order.why(first.id, second.id).partition("\n")[0]
    if order.why_steps(second.id, first.id) is not None:
        return "earlier", f"No chain makes {first.label} later than {second.label}, but one makes it earlier."
    return "open", order.why(first.id, second.id)


def _context(shown: Shown, named: str) -> RecordLink:
    context = shown.record.get(Context, named) or shown.record.numbered(Context, named)
    link = shown.link(context.id)
    if link is None:
        raise UnknownRecord("context", named, ())
    return link
