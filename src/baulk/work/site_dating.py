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
from baulk.work.date_more import VariedTold, usual_variations, varied_told
from baulk.work.dates import SiteDates, site_dates
from baulk.work.kept_dates import KeptDates
from baulk.work.order import SiteOrder, site_order

__all__ = ["RunState", "SiteDating", "State", "VariedState", "dated_site"]

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


@dataclass(frozen=True, slots=True)
class VariedState:
    """How far the variations of what is supposed are: those worked out, and how many there will be."""

    state: State
    says: str
    code: str = ""
    varied: tuple[VariedTold, ...] = ()


def dated_site(site: SiteChronology, kept: KeptDates | None = None) -> DatedSite:
    """Work out the dates of a chronology, unless they are kept.

    Parameters
    ----------
    site : SiteChronology
        The chronology.
    kept : KeptDates, optional
        Where the dates are looked for first, and kept afterwards.

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

    found = None if kept is None else kept.get(site)
    if found is not None:
        return DatedSite(site, found.dates)
    settings = site.settings
    dates = date_events(site.chronology, seed=settings.seed, suppositions=settings.suppositions, sampling=settings.sampling)
    if kept is not None:
        kept.put(site, dates)
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
    kept : KeptDates, optional
        Dates of this and of earlier revisions.
    """

    def __init__(
        self, record: SiteRecord, order: SiteOrder, public: Callable[[], SiteRecord], seen_by: Callable[[View], SiteRecord],
        kept: KeptDates | None = None,
    ) -> None:  # fmt: skip
        self.record, self.order, self.kept = record, order, KeptDates() if kept is None else kept
        self._public, self._seen_by = public, seen_by
        self._lock, self._working = RLock(), RLock()
        self._bounds: dict[tuple[View, str], SiteDates] = {}
        self._dated: dict[Key, DatedSite] = {}
        self._refused: dict[Key, BaulkError] = {}
        self._begun: dict[Key, float] = {}
        self._said: dict[Key, str] = {}
        self._varied: dict[Key, list[VariedTold]] = {}
        self._varying: set[Key] = set()

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
                    self._dated[key] = dated_site(self.chronology(*key), self.kept)
                    self._said.pop(key, None)
                except BaulkError as refusal:
                    self._refused[key] = refusal
                    raise
            return self._dated[key]

    def state(self, view: View = View.CREW, settings: ChronologySettings | None = None, *, begin: bool = False) -> RunState:
        """Return how far the dates are, without waiting; begin to work them out when asked."""
        key = (view, settings or self.settings)
        with self._lock:
            if key not in self._dated and key not in self._begun:
                self._look(key)
            if key in self._dated:
                return RunState(State.DONE, self._said.get(key, "Worked out."), dated=self._dated[key])
            if key in self._refused:
                return RunState(State.REFUSED, str(self._refused[key]), self._refused[key].code)
            if key not in self._begun:
                if not begin:
                    return RunState(State.NOT_BEGUN, self._said.get(key, "Not worked out yet: bounds alone are shown."))
                self._begun[key] = monotonic()
                Thread(target=self._work, args=(key,), daemon=True).start()
            return RunState(State.RUNNING, f"Working it out: {monotonic() - self._begun[key]:.0f} seconds so far.")

    def _look(self, key: Key) -> None:
        """Take the dates of an earlier revision when nothing that dates has changed since, else say that they are stale; once."""
        last = self.kept.last
        if last is None or last == self.record.revision or key in self._said:
            return
        self._said[key] = (
            f"Not worked out for the record as it is (revision {self.record.revision}): what dates it, or what is supposed, is "
            f"another than when dates were last worked out (revision {last}). Bounds alone are shown."
        )
        try:
            site = self.chronology(*key)
        except BaulkError:
            return  # the answer to whoever begins it tells why
        found = self.kept.get(site)
        if found is not None:
            self._dated[key] = DatedSite(site, found.dates)
            same = found.revision == self.record.revision
            self._said[key] = "Worked out." if same else (
                f"Worked out of revision {found.revision}; what has changed since dates nothing, so it holds for revision "
                f"{self.record.revision}."
            )  # fmt: skip

    def varied(self, view: View = View.CREW, settings: ChronologySettings | None = None, *, begin: bool = False) -> VariedState:
        """Return the dates under other suppositions, one varied at a time, as far as they are there, without waiting.

        Parameters
        ----------
        view, settings
            As in `state`.
        begin : bool
            Begin to work them out, the dates themselves first if need be.
        """
        key = (view, settings or self.settings)
        with self._lock:
            told, all_of_them = tuple(self._varied.get(key, ())), len(usual_variations(key[1].suppositions))
            if len(told) == all_of_them:
                return VariedState(State.DONE, "Worked out.", varied=told)
            if key in self._refused:
                return VariedState(State.REFUSED, str(self._refused[key]), self._refused[key].code)
            if key not in self._varying:
                if not begin:
                    return VariedState(State.NOT_BEGUN, "Not worked out yet.")
                self._varying.add(key)
                Thread(target=self._vary, args=(key,), daemon=True).start()
            return VariedState(State.RUNNING, f"{len(told)} of {all_of_them} worked out.", varied=told)

    def _vary(self, key: Key) -> None:
        try:
            dated = self.dated(*key)
            for one in varied_told(dated):
                with self._lock:
                    self._varied.setdefault(key, []).append(one)
        except BaulkError as refusal:
            self._refused.setdefault(key, refusal)
        except Exception as fault:  # noqa: BLE001 - a page waits for this thread: it is told, and the log has the whole
            _LOG.exception("The suppositions could not be varied.")
            self._refused[key] = BaulkError(f"The dates could not be worked out: {fault!r}. This is a fault of Baulk's own.")
        finally:
            with self._lock:
                self._varying.discard(key)

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
