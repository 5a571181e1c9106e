"""Which relations to look at again: those that close a loop, and those that outlines, levels and walls speak of."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.sequence.suspicion import Suspicion
from baulk.server.record_view import RecordLink, Shown
from baulk.server.why_view import SaidRelation, said_relations
from baulk.work.order_doubts import LoopDoubt, Suspect

__all__ = ["ClashLine", "DoubtView", "LoopLine", "MissedLine", "MissedView", "SuspectLine", "doubt_view", "missed_view"]

_OF_A_KIND = 100


class SuspectLine(BaseModel):
    """A relation to look at again."""

    says: str
    weight: float = Field(description="What it costs to doubt it: certainty × places where it was seen; the least goes first.")
    cycle: str = Field(description="The shortest loop through it, in words.")
    relations: list[SaidRelation]


class LoopLine(BaseModel):
    """A loop, and the lightest set of relations whose doubt opens it."""

    shortest: str
    contexts: list[RecordLink]
    exact: bool = Field(description="False when the search was cut short, so that a lighter set may do.")
    weight: float
    at_least: float = Field(description="No set weighs less than this.")
    suspects: list[SuspectLine]


class ClashLine(BaseModel):
    """A relation between contexts that are recorded as one."""

    says: str
    relations: list[SaidRelation]


class DoubtView(BaseModel):
    """What stands against an order."""

    loops: list[LoopLine]
    clashes: list[ClashLine]


class MissedLine(BaseModel):
    """Something in the record that does not fit the relations."""

    what: str
    contexts: list[RecordLink] = Field(description="The context that seems later, then the other one if there is one.")
    evidence: str
    settle: str
    mend: str = Field(description="What would be written if the ground bears it out; empty when nothing can be named.")
    records: list[RecordLink] = Field(description="The records that show it.")


class MissedView(BaseModel):
    """Relations that seem to be missed or wrong."""

    total: int
    counts: dict[str, int] = Field(description="How many there are of each kind.")
    missed: list[MissedLine] = Field(description=f"The first {_OF_A_KIND} of each kind, kind by kind.")
    not_compared: bool = Field(description="True when some records are withheld here and so were not compared.")


def doubt_view(shown: Shown) -> DoubtView:
    """Return the loops with what to doubt in each, and the contradictions."""
    order = shown.study.order
    return DoubtView(
        loops=[_loop_line(shown, loop) for loop in order.doubts],
        clashes=[
            ClashLine(says=clash.says, relations=said_relations(shown, (clash.relation, *clash.same))) for clash in order.clashes
        ],
    )


def missed_view(shown: Shown) -> MissedView:
    """Return what seems to be missed or wrong, told from nothing but what is shown."""
    told = [one for one in shown.order.missed if not _is_bare(shown, one)]
    kinds: dict[str, list[Suspicion]] = {}
    for one in told:
        kinds.setdefault(one.what, []).append(one)
    whole = shown.study.record
    return MissedView(
        total=len(told),
        counts={kind: len(ones) for kind, ones in kinds.items()},
        missed=[_missed_line(shown, one) for ones in kinds.values() for one in ones[:_OF_A_KIND]],
        not_compared=shown.record is not whole and any(shown.leaves_out(one) or shown.is_bare(one) for one in whole.by_id),
    )


def _loop_line(shown: Shown, loop: LoopDoubt) -> LoopLine:
    return LoopLine(
        shortest=loop.shortest,
        contexts=shown.links(loop.contexts),
        exact=loop.exact,
        weight=loop.weight,
        at_least=loop.at_least,
        suspects=[_suspect_line(shown, one) for one in loop.suspects],
    )


def _suspect_line(shown: Shown, one: Suspect) -> SuspectLine:
    return SuspectLine(
        says=f"{one.later} later than {one.earlier}",
        weight=one.weight,
        cycle=one.cycle,
        relations=said_relations(shown, one.relations),
    )


def _missed_line(shown: Shown, one: Suspicion) -> MissedLine:
    contexts = (one.later,) if one.earlier is None else (one.later, one.earlier)
    others = [record for record in one.records if record not in contexts]
    return MissedLine(
        what=one.what,
        contexts=shown.links(contexts),
        evidence=one.evidence,
        settle=one.settle,
        mend=_mend(one),
        records=shown.links(others),
    )


def _mend(one: Suspicion) -> str:
    if one.mend is None:
        return ""
    return f"a relation: {one.mend.value}" if one.mend.record is None else f"{one.mend.field}: {one.mend.value}"


def _is_bare(shown: Shown, one: Suspicion) -> bool:
    """Tell whether a suspicion is about a context of which too little is shown to suspect anything."""
    return any(shown.is_bare(record) for record in (one.later, one.earlier or one.later, *one.records))
