"""The dates of one revision of a site: bounds at once, the chronology when somebody asks for it, each kept once it is there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from logging import getLogger
from threading import RLock, Thread
from time import monotonic

from baulk.dating.types import TypeTable
from baulk.errors import BaulkError
from baulk.record import SiteRecord, View
from baulk.work.chronology import SiteChronology, site_chronology
from baulk.work.chronology_answers import DatedSite
from baulk.work.chronology_settings import ChronologySettings, settings_of
from baulk.work.date_evidence import NO_TABLE
from baulk.work.dates import SiteDates, site_dates
from baulk.work.order import SiteOrder, site_order

__all__ = ["RunState", "SiteDating", "State", "dated_site"]

_KEPT = 12
"""Chronologies kept once they are worked out; the one worked out longest ago is given up first."""

_LOG = getLogger(__name__)
Key = tuple[View, ChronologySettings]


class State(StrEnum):
    """How far a chronology is."""

    NOT_BEGUN = "not begun"
    RUNNING = "running"
    DONE = "done"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class RunState:
    """How far a chronology is, in words.

    Parameters
    ----------
    state : State
        How far.
    says : str
        The same in a sentence; for a refusal why, and what to do.
    code : str
        Of the refusal; empty when there is none.
    dated : DatedSite or None
        The dates, once they are there.
    """

    state: State
    says: str
    code: str = ""
    dated: DatedSite | None = None


def dated_site(site: SiteChronology) -> DatedSite:
    """Work out the dates of a chronology.

    Raises
    ------
    InputError
        When evidence contradicts the order or lies outside of the window.
    OrderError
        When phases contradict the order.
    NotSettled
        When the chains do not agree: then nothing is told.
    """
    from baulk.dating.chronology import date_events  # noqa: PLC0415 - a second to load that few questions need

    settings = site.settings
    dates = date_events(site.chronology, seed=settings.seed, suppositions=settings.suppositions, sampling=settings.sampling)
    return DatedSite(site, dates)


class SiteDating:
    """The dates of a site at one revision; any thread may ask it.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    order : SiteOrder
        Its order.
    public : callable
        Gives the record as everyone may read it.
    seen_by : callable
        Gives the record as the crew or who may know of burials has it.
    """

    def __init__(
        self, record: SiteRecord, order: SiteOrder, public: Callable[[], SiteRecord], seen_by: Callable[[View], SiteRecord]
    ) -> None:  # fmt: skip
        self.record, self.order = record, order
        self._public, self._seen_by = public, seen_by
        self._lock, self._working = RLock(), RLock()
        self._bounds: dict[tuple[View, str], SiteDates] = {}
        self._dated: dict[Key, DatedSite] = {}
        self._refused: dict[Key, BaulkError] = {}
        self._begun: dict[Key, float] = {}

    @property
    def settings(self) -> ChronologySettings:
        """The settings that the record keeps, or the house's."""
        return settings_of(self.record)

    def seen(self, view: View) -> tuple[SiteRecord, SiteOrder]:
        """Return the record as a viewer may have it, and the order that goes with it."""
        if view is View.PUBLIC:
            record = self._public()
            return record, site_order(record)
        return self._seen_by(view), self.order

    def bounds(self, view: View = View.CREW, types: TypeTable = NO_TABLE) -> SiteDates:
        """Return the bounds of every context."""
        with self._lock:
            key = (view, types.title)
            if key not in self._bounds:
                if view is View.PUBLIC:
                    record, order = self.seen(view)
                    self._bounds[key] = site_dates(record, order, view=View.RESTRICTED, types=types)
                else:
                    self._bounds[key] = site_dates(self.record, self.order, view=view, types=types)
            return self._bounds[key]

    def chronology(
        self, view: View = View.CREW, settings: ChronologySettings | None = None, types: TypeTable = NO_TABLE
    ) -> SiteChronology:  # fmt: skip
        """Return the chronology before it is worked out: what is put in, and what is left out.

        Raises
        ------
        InputError
            When nothing in the record dates a context.
        """
        record, order = self.seen(view)
        return site_chronology(record, order, settings or self.settings, types=types)

    def dated(self, view: View = View.CREW, settings: ChronologySettings | None = None) -> DatedSite:
        """Return the dates, and wait for them when they are not worked out yet.

        Raises
        ------
        InputError
            When nothing dates a context, or evidence contradicts the order.
        NotSettled
            When the chains do not agree: then nothing is told.
        """
        key = (view, settings or self.settings)
        with self._working:
            if key in self._refused:
                raise self._refused[key]
            if key not in self._dated:
                try:
                    self._dated[key] = dated_site(self.chronology(*key))
                except BaulkError as refusal:
                    self._refused[key] = refusal
                    raise
                while len(self._dated) > _KEPT:
                    self._dated.pop(next(iter(self._dated)))
            return self._dated[key]

    def state(self, view: View = View.CREW, settings: ChronologySettings | None = None, *, begin: bool = False) -> RunState:
        """Return how far the dates are, without waiting; begin to work them out when asked."""
        key = (view, settings or self.settings)
        with self._lock:
            if key in self._dated:
                return RunState(State.DONE, "Worked out.", dated=self._dated[key])
            if key in self._refused:
                return RunState(State.REFUSED, str(self._refused[key]), self._refused[key].code)
            if key not in self._begun:
                if not begin:
                    return RunState(State.NOT_BEGUN, "Not worked out yet: bounds alone are shown.")
                self._begun[key] = monotonic()
                Thread(target=self._work, args=(key,), daemon=True).start()
            return RunState(State.RUNNING, f"Working it out: {monotonic() - self._begun[key]:.0f} seconds so far.")

    def _work(self, key: Key) -> None:
        try:
            self.dated(*key)
        except BaulkError:
            return  # `state` tells it
        except Exception as fault:  # noqa: BLE001 - a page waits for this thread: it is told, and the log has the whole
            _LOG.exception("The dates could not be worked out.")
            self._refused[key] = BaulkError(f"The dates could not be worked out: {fault!r}. This is a fault of Baulk's own.")
        finally:
            with self._lock:
                self._begun.pop(key, None)
