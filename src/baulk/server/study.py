"""What the server asks of a study: the record at one revision with what follows from it.

Pitfalls: a study never changes, so everything taken from one study belongs to one revision; ask the source again for the next
request. Any thread may ask.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from baulk.record import SiteRecord

__all__ = ["ClosingFacts", "FileFinder", "FindingFacts", "OrderFacts", "OrderNotice", "RuleFacts", "Study", "StudySource"]


class RuleFacts(Protocol):
    """One rule of the closing check."""

    @property
    def id(self) -> str:
        """Stable number of the rule."""
        ...

    @property
    def what(self) -> str:
        """What it asks for."""
        ...

    @property
    def why(self) -> str:
        """Why it is asked."""
        ...

    @property
    def severity(self) -> str:
        """Lost for good, recoverable or good practice."""
        ...

    @property
    def source(self) -> str:
        """Where it comes from."""
        ...


class FindingFacts(Protocol):
    """What one rule answers for one unit."""

    @property
    def rule(self) -> RuleFacts:
        """The rule that answers."""
        ...

    @property
    def outcome(self) -> str:
        """Pass, fail, cannot tell, waived or not applicable."""
        ...

    @property
    def records(self) -> Sequence[str]:
        """Ids of the records to blame."""
        ...

    @property
    def says(self) -> str:
        """The answer in words."""
        ...

    @property
    def mend(self) -> str:
        """The step that mends it; empty when there is nothing to mend."""
        ...


class ClosingFacts(Protocol):
    """The closing check of one unit."""

    @property
    def findings(self) -> Sequence[FindingFacts]:
        """One answer a rule, in order of the rules."""
        ...

    @property
    def ready(self) -> bool:
        """Whether nothing that would be lost for good stands open."""
        ...


class OrderNotice(Protocol):
    """Something in the relations that a person has to look at."""

    @property
    def what(self) -> str:
        """Its kind in a word or two: loop, one-sided, floating."""
        ...

    @property
    def says(self) -> str:
        """The notice in words."""
        ...

    @property
    def records(self) -> Sequence[str]:
        """Ids of the contexts concerned; of a loop in order, latest first."""
        ...


class OrderFacts(Protocol):
    """The order of the contexts."""

    @property
    def latest_first(self) -> Sequence[str]:
        """Ids of the contexts, none before one that is later."""
        ...

    @property
    def notices(self) -> Sequence[OrderNotice]:
        """Loops first."""
        ...


class FileFinder(Protocol):
    """Where kept files lie."""

    def path(self, sha: str) -> Path:
        """Return the path of the file of that SHA-256."""
        ...


class Study(Protocol):
    """The record of a site at one revision, with its order, drawings and closing check."""

    @property
    def record(self) -> SiteRecord:
        """The whole record."""
        ...

    @property
    def order(self) -> OrderFacts:
        """The order of the contexts."""
        ...

    @property
    def files(self) -> FileFinder | None:
        """The shelf of photos and other files; None when the site has none."""
        ...

    def closing(self, unit_id: str) -> ClosingFacts:
        """Return the closing check of a unit."""
        ...

    def svg(self, name: str) -> str:
        """Return a drawing: ``site``, ``order``, ``plan-<unit number>`` or ``wall-<wall number>``."""
        ...


StudySource = Callable[[], Study]
"""Gives the study of the site as it stands now."""
