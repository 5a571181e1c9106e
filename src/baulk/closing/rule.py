"""One rule of the closing check, and what it answers about each record it asks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from baulk.record import Entity

if TYPE_CHECKING:
    from baulk.closing.facts import UnitFacts

__all__ = [
    "Answer",
    "Answered",
    "Detail",
    "Outcome",
    "Rule",
    "Severity",
    "Verdict",
    "ask_each",
    "fails",
    "passes",
    "skips",
    "unknown",
    "verdict",
]

E = TypeVar("E", bound=Entity)


class Severity(StrEnum):
    """What happens to the answer when the unit is filled in; the words of the list of terms *severity*."""

    LOST = "lost for good"
    RECOVERABLE = "recoverable"
    PRACTICE = "good practice"


class Outcome(StrEnum):
    """What a rule answers; missing data is never a pass."""

    PASS = "pass"  # noqa: S105 (the outcome, not a password)
    FAIL = "fail"
    CANNOT_TELL = "cannot tell"
    WAIVED = "waived"
    NOT_APPLICABLE = "not applicable"


@dataclass(frozen=True, slots=True)
class Answer:
    """What a rule answers about one record: the outcome and, unless it passes, why in trade words."""

    outcome: Outcome
    says: str = ""


Answered: TypeAlias = tuple[tuple[str, ...], Answer]
"""The ids of the records asked, and the answer."""


@dataclass(frozen=True, slots=True)
class Detail:
    """One record that fails or of which nobody can tell.

    Parameters
    ----------
    records : tuple of str
        Ids of the record to blame, and of any other that it disagrees with.
    outcome : Outcome
        Fail, cannot tell or, once a waiver covers it, waived.
    says : str
        Why, in trade words with numbers.
    """

    records: tuple[str, ...]
    outcome: Outcome
    says: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a rule answers about all records it asks.

    Parameters
    ----------
    details : tuple of Detail
        Those that fail or of which nobody can tell.
    passing : int
        How many pass.
    """

    details: tuple[Detail, ...] = ()
    passing: int = 0

    @property
    def outcome(self) -> Outcome:
        """Fail before cannot tell before waived before pass; not applicable when no record was asked."""
        held = {detail.outcome for detail in self.details}
        for outcome in (Outcome.FAIL, Outcome.CANNOT_TELL, Outcome.WAIVED):
            if outcome in held:
                return outcome
        return Outcome.PASS if self.passing else Outcome.NOT_APPLICABLE


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of the closing check, as data.

    Parameters
    ----------
    id : str
        Its number, such as B01; P01 and on are rules that only some jurisdiction profiles use.
    what : str
        What must hold.
    why : str
        Why it matters.
    severity : Severity
        What happens to the answer at backfill.
    asks : str
        What it asks, in the plural: contexts, cuts, relations.
    mend : str
        The step that mends a failure.
    source : str
        Where the rule comes from, or the words "common practice, no source", "from memory" or "our judgement".
    test : callable
        From the facts of a unit to a verdict.
    blocks : bool
        Whether it is on the stop-list: the unit is not ready to be filled in while it fails or nobody can tell.
    whole_site : bool
        Whether the verdict is the same for every unit of the site.
    restricted : bool
        Whether the finding may name human remains and is left out of public outputs.
    """

    id: str
    what: str
    why: str
    severity: Severity
    asks: str
    mend: str
    source: str
    test: Callable[[UnitFacts], Verdict]
    blocks: bool = False
    whole_site: bool = False
    restricted: bool = False


def passes() -> Answer:
    """Return the answer of a record that passes."""
    return Answer(Outcome.PASS)


def fails(says: str) -> Answer:
    """Return the answer of a record that fails."""
    return Answer(Outcome.FAIL, says)


def unknown(says: str) -> Answer:
    """Return the answer of a record of which nobody can tell."""
    return Answer(Outcome.CANNOT_TELL, says)


def skips() -> Answer:
    """Return the answer of a record that the rule does not ask."""
    return Answer(Outcome.NOT_APPLICABLE)


def verdict(answers: Iterable[Answered]) -> Verdict:
    """Gather answers, each with the ids of its records, into one verdict."""
    details: list[Detail] = []
    passing = 0
    for records, answer in answers:
        if answer.outcome is Outcome.PASS:
            passing += 1
        elif answer.outcome is not Outcome.NOT_APPLICABLE:
            details.append(Detail(records, answer.outcome, answer.says))
    return Verdict(tuple(details), passing)


def ask_each(records: Iterable[E], judge: Callable[[E], Answer]) -> Verdict:
    """Ask each record and gather the verdict."""
    return verdict(((record.id,), judge(record)) for record in records)
