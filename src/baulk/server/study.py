"""What the server asks of a study: the record at one revision with what follows from it.

Pitfalls: a study never changes, so everything taken from one study belongs to one revision; ask the source again for the next
request. Any thread may ask.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Protocol

from baulk.closing import Caution, ClosingResult
from baulk.record import Change, SiteRecord, View
from baulk.report import Report
from baulk.sequence.from_record import ContextRelations
from baulk.sequence.likely_pair import LikelyPair
from baulk.sequence.phase_table import PhaseLine
from baulk.sequence.suspicion import Suspicion
from baulk.work.order_doubts import Clash, LoopDoubt
from baulk.work.order_why import WhyStep
from baulk.work.site_dating import SiteDating
from baulk.work.solids import UnitSolids
from baulk.work.words import WrittenWords

__all__ = ["FileFinder", "OrderFacts", "OrderNotice", "Study", "StudySource"]


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

    @property
    def known(self) -> ContextRelations:
        """The contexts by the places that the phase table names them by."""
        ...

    @property
    def doubts(self) -> Sequence[LoopDoubt]:
        """For each loop the lightest set of relations to look at again."""
        ...

    @property
    def clashes(self) -> Sequence[Clash]:
        """Relations between contexts that are recorded as one."""
        ...

    @property
    def missed(self) -> Sequence[Suspicion]:
        """Relations that seem to be missed or wrong."""
        ...

    @property
    def phase_table(self) -> Sequence[PhaseLine]:
        """Each context with its phase and those that the order leaves open to it."""
        ...

    def why(self, later: str, earlier: str) -> str:
        """Return why one context is later than another, in words."""
        ...

    def why_steps(self, later: str, earlier: str) -> Sequence[WhyStep] | None:
        """Return the same step by step; None when there is no chain."""
        ...

    def same(self, one: str, other: str) -> bool:
        """Return whether two contexts are one in the order."""
        ...

    def likely(self, one: str, other: str, *, seed: int = ...) -> LikelyPair:
        """Return how often one context is earlier than another."""
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
    def words(self) -> WrittenWords:
        """Finds records by what is written in them."""
        ...

    @property
    def drawings(self) -> Sequence[str]:
        """Names of all drawings: ``site``, ``order``, ``plan-`` with a unit's number or id, ``wall-`` with a wall's."""
        ...

    def draws(self, name: str, view: View) -> bool:
        """Tell whether a viewer knows of a drawing."""
        ...

    def drawings_for(self, view: View) -> Sequence[str]:
        """Return the names of all drawings that a viewer knows of."""
        ...

    def histories(self, records: Sequence[str]) -> Mapping[str, Sequence[Change]]:
        """Return all changes of some records, by record."""
        ...

    @property
    def files(self) -> FileFinder | None:
        """The shelf of photos and other files; None when the site has none."""
        ...

    @property
    def dating(self) -> SiteDating:
        """The dates of this revision."""
        ...

    def seen_by(self, view: View) -> SiteRecord:
        """Return the record as a viewer may have it."""
        ...

    def latest_first_in(self, unit_id: str) -> Sequence[str]:
        """Return the contexts of a unit as the order of the site has them, latest first."""
        ...

    def sheets_of(self, unit_id: str) -> Sequence[str]:
        """Return the names of the drawings that are plans of a unit in the drawing register."""
        ...

    def order_of(self, record: SiteRecord) -> OrderFacts:
        """Return the order of this record as some viewer has it."""
        ...

    def closing(self, unit_id: str) -> ClosingResult:
        """Return the closing check of a unit."""
        ...

    def svg(self, name: str, view: View = View.CREW, *, opened: tuple[str, ...] = (), unfold: tuple[str, ...] = ()) -> str:
        """Return a drawing by its name, as a viewer may see it, with folded parts of the order opened."""
        ...

    def solids(self, unit_id: str, view: View = View.CREW) -> UnitSolids:
        """Return the contexts of a unit as solids, as far as a viewer may see them."""
        ...

    def report(self, unit_id: str, *, public: bool = False) -> Report:
        """Return the report of a unit."""
        ...

    def cautions(self, unit_id: str) -> Sequence[Caution]:
        """Return the safety cautions of a unit."""
        ...


StudySource = Callable[[], Study]
"""Gives the study of the site as it stands now."""
