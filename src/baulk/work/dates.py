"""When: the bounds of every context with what set them, and for one context all aids side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from baulk.dating.aid import DateAid
from baulk.dating.bounds import Bounds, bounds_of, without
from baulk.dating.contradictions import Contradiction, WayOut, contradiction_in_words, contradictions_of, ways_out
from baulk.dating.mean_ceramic import MeanCeramicDate
from baulk.dating.termini import Side, Termini, terminus_of_finds
from baulk.dating.types import TypeTable
from baulk.dating.years import year_in_words, years_in_words
from baulk.errors import InputError
from baulk.record import Context, Find, SiteRecord, View
from baulk.record.as_seen import record_for
from baulk.record.withholding import withheld_from
from baulk.work.date_ceramics import ceramic_aids, ceramic_mean
from baulk.work.date_evidence import (
    NO_TABLE,
    cautions_of,
    find_name,
    left_out_of,
    makings_of,
    rows_of,
    years_of_making,
)  # fmt: skip
from baulk.work.dating_oddities import Oddity, against_in_words, oddities_of, pooled_of
from baulk.work.dating_results import records_of_aid, results_of, what_results_say
from baulk.work.order import SiteOrder

__all__ = ["ContextBounds", "SiteDates", "site_dates"]


@dataclass(frozen=True, slots=True)
class ContextBounds:
    """The bounds of one context.

    Parameters
    ----------
    number : str
        The context.
    tpq, taq : int or None
        Not earlier than, not later than.
    tpq_by, taq_by : str
        The find or document that set each; empty where there is none.
    tpq_path, taq_path : tuple of str
        Contexts from this one to where that find or document is.
    """

    number: str
    tpq: int | None
    taq: int | None
    tpq_by: str
    taq_by: str
    tpq_path: tuple[str, ...]
    taq_path: tuple[str, ...]

    @property
    def contradicted(self) -> bool:
        """Whether it would have to be later than it can be."""
        return self.tpq is not None and self.taq is not None and self.tpq > self.taq

    @property
    def words(self) -> str:
        """Both bounds in a sentence each, with find and path."""
        said = []
        if self.tpq is not None:
            said.append(f"{year_in_words(self.tpq)} or later: {self.tpq_by}{_way(self.tpq_path)}")
        if self.taq is not None:
            said.append(f"{year_in_words(self.taq)} or earlier: {self.taq_by}{_way(self.taq_path)}")
        return f"{self.number}: {'; '.join(said) or 'no bound'}{' — contradicted' if self.contradicted else ''}"


def _way(path: tuple[str, ...]) -> str:
    return f" in {path[-1]} ({' > '.join(path)})" if len(path) > 1 else ""


@dataclass(frozen=True, eq=False)
class SiteDates:
    """The dates of a site as one viewer may have them.

    Parameters
    ----------
    order : SiteOrder
        Its order.
    record : SiteRecord
        The record as that viewer has it.
    types : TypeTable
        The table of types that stands in where a find has no years of its own.
    bounds : Bounds
        The bounds of all contexts.
    left_out : tuple of str
        Finds that set no bound, and why.
    notes : tuple of str
        What is to be known of these dates.
    set_by : tuple of str
        Id of the find or document of each terminus.
    """

    order: SiteOrder
    record: SiteRecord
    types: TypeTable
    bounds: Bounds
    left_out: tuple[str, ...]
    notes: tuple[str, ...]
    set_by: tuple[str, ...] = ()

    @cached_property
    def contradictions(self) -> tuple[Contradiction, ...]:
        """Pairs of find and firm date that cannot both be right."""
        return contradictions_of(self.bounds)

    @cached_property
    def oddities(self) -> tuple[Oddity, ...]:
        """What is odd about the radiocarbon ages: against the order, against each other, or not to be used."""
        return oddities_of(self.record, self.order)

    def says(self, one: Contradiction) -> str:
        """Return a contradiction in a sentence."""
        return contradiction_in_words(self.bounds, one)

    def ways_out(self, one: Contradiction) -> tuple[WayOut, ...]:
        """Return the ways out of a contradiction."""
        return ways_out(self.bounds, one)

    def of(self, identity: str) -> ContextBounds:
        """Return the bounds of a context by its id."""
        group = self.bounds.place(self.order.known.index[identity])
        names = self.bounds.order.relations
        by = {
            side: (self.bounds.termini.names[row] if (row := int(rows[group])) >= 0 else "")
            for side, rows in ((Side.POST, self.bounds.tpq_row), (Side.ANTE, self.bounds.taq_row))
        }
        paths = {side: tuple(names.name(one) for one in self.bounds.chain(group, side)) if by[side] else () for side in Side}
        years = {
            side: None if np.isnan(year) else int(year)
            for side, year in ((Side.POST, self.bounds.tpq[group]), (Side.ANTE, self.bounds.taq[group]))
        }
        return ContextBounds(
            self.order.label(identity),
            years[Side.POST],
            years[Side.ANTE],
            by[Side.POST],
            by[Side.ANTE],
            paths[Side.POST],
            paths[Side.ANTE],
        )

    def setter(self, identity: str, side: Side) -> str:
        """Return the id of the find or document that set a bound of a context; empty when there is none."""
        rows = self.bounds.tpq_row if side is Side.POST else self.bounds.taq_row
        row = int(rows[self.bounds.place(self.order.known.index[identity])])
        return self.set_by[row] if row >= 0 else ""

    @cached_property
    def all(self) -> tuple[ContextBounds, ...]:
        """The bounds of every context, latest first."""
        return tuple(self.of(identity) for identity in self.order.latest_first)

    def context(self, number: str) -> Context:
        """Return the context of that number, or of that id.

        Raises
        ------
        UnknownRecord
            When there is none.
        InputError
            When it is void.
        """
        found = self.record.get(Context, number) or self.record.numbered(Context, number)
        if found.id not in self.order.known.index:
            raise InputError(f"Context {found.number} is void, so it has no date. Ask for one that counts.")
        return found

    def why(self, number: str) -> tuple[str, ...]:
        """Return why a context has its bounds, line by line: the bounds, its own finds, and what weakens them."""
        context = self.context(number)
        finds = self.record.pointing_at(Find, "context", context.id)
        lines = [self.of(context.id).words]
        lines += [f"  {one}" for one in self._steps(context.id)]
        lines += [
            f"  own find: {find_name(find)}, {years_in_words(*self.years_of(find))}" for find in finds if self.years_of(find)[0]
        ]
        lines += [f"  {line}" for line in self._loose(finds)]
        lines += [f"  beware: {line}" for line in (*cautions_of(context, finds), *self._one_piece(context.id))]
        odd = [one.says for one in self.oddities if context.id in one.contexts]
        lines += [f"  beware: {line}" for line in (*odd, *against_in_words(odd))]
        lines += [f"  pooled: {says}" for says, _ in pooled_of(results_of(self.record, context))]
        lines += [f"  not used: {line}" for line in what_results_say(self.record, context)[1]]
        return tuple(lines)

    def _steps(self, identity: str) -> Iterator[str]:
        group = self.bounds.place(self.order.known.index[identity])
        for side in Side:
            for relation in self.bounds.path(group, side):
                for row in self.bounds.order.rows(relation)[:1]:
                    held = self.order.record.by_id[self.order.known.rows[int(row)]]
                    names = self.record.label(getattr(held, "later", None)), self.record.label(getattr(held, "earlier", None))
                    certainty = getattr(held, "certainty", None) or "certainty not recorded"
                    yield f"{names[0]} {getattr(held, 'how', '')} {names[1]} ({certainty})"

    def _loose(self, finds: Sequence[Find]) -> Iterator[str]:
        years = [self.years_of(find) for find in finds]
        own = terminus_of_finds([begin for begin, _ in years], [end for _, end in years])
        if own is not None and own.loose is not None:
            yield (
                f"some take the last year of making instead ({year_in_words(own.loose)}); a thing that was still made then may "
                "have been "
                "lost before, so it binds nothing here"
            )

    def _one_piece(self, identity: str) -> Iterator[str]:
        """Say what would be left if the find that set the bound had come in later."""
        group = self.bounds.place(self.order.known.index[identity])
        row = int(self.bounds.tpq_row[group])
        if row >= 0:
            rest = without(self.bounds, termini=(row,)).tpq[group]
            left = "no bound would be left" if np.isnan(rest) else f"{year_in_words(rest)} or later would be left"
            if np.isnan(rest) or rest < self.bounds.tpq[group]:
                yield f"the bound hangs on {self.bounds.termini.names[row]} alone: were it intrusive, {left}"

    def years_of(self, find: Find) -> tuple[int | None, int | None]:
        """Return the years of making of a find: the record's own, else those of its type in the table."""
        return years_of_making(find, self.types)

    def aids(self, number: str, *, more: Sequence[DateAid] = ()) -> tuple[DateAid, ...]:
        """Return what each aid says of the finds of a context, side by side.

        Parameters
        ----------
        number : str
            The context.
        more : sequence of DateAid
            What was worked out elsewhere, to stand beside them.
        """
        context = self.context(number)
        found = self.ceramics(number)
        finds = self.record.pointing_at(Find, "context", context.id)
        results, _ = what_results_say(self.record, context)
        return (*(ceramic_aids(found) if found else ()), *makings_of(finds), *results, *more)

    def aided_by(self, identity: str, aid: DateAid) -> tuple[str, ...]:
        """Return the ids of the finds, results or pieces of a context that an aid is worked out of."""
        context = self.context(identity)
        return records_of_aid(self.record, context, aid)

    def ceramics(self, number: str) -> MeanCeramicDate | None:
        """Return the mean ceramic date of a context; None when none of its sherds has both years."""
        finds = self.record.pointing_at(Find, "context", self.context(number).id)
        return ceramic_mean(finds, self.types, self.record.revision)


def site_dates(record: SiteRecord, order: SiteOrder, *, view: View = View.CREW, types: TypeTable = NO_TABLE) -> SiteDates:
    """Work out the bounds of every context.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    order : SiteOrder
        Its order.
    view : View
        Who looks: finds that are withheld set no bound, and the answer says so.
    types : TypeTable
        Stands in where a find has a type but no years of its own.

    Returns
    -------
    SiteDates
        Bounds, contradictions and aids.

    Notes
    -----
    A find sets a TPQ by the first year in which it can have been made; the last year of making sets nothing. A document sets a
    TAQ, by its last year, for the contexts that it shows to have been there by then, and a TPQ, by its first year, for those
    that it shows not to have been there yet; a document of which neither is recorded sets nothing. Provisional dates on a
    context's sheet set nothing.
    """
    seen = record_for(record, view)
    index = order.known.index
    rows = list(rows_of(seen, index, types))
    termini = Termini.of([row[0] for row in rows], [row[1] for row in rows], [row[2] for row in rows], [row[3] for row in rows])
    bounds = bounds_of(order.order, termini)
    notes = tuple(_notes(record, seen, bounds, view))
    return SiteDates(order, seen, types, bounds, tuple(left_out_of(seen, index, types)), notes, tuple(row[4] for row in rows))


def _notes(record: SiteRecord, seen: SiteRecord, bounds: Bounds, view: View) -> Iterator[str]:
    gone = len(record.all(Find)) - len(seen.all(Find))
    if gone and view is not View.RESTRICTED and withheld_from(record, view).why:
        are = "find is withheld and sets" if gone == 1 else "finds are withheld and set"
        yield f"{gone} {are} no bound here: with --restricted bounds may be narrower."
    if len(bounds.dropped):
        yield (
            f"{len(bounds.dropped)} relations stand in a loop and carry no bound, since one of each loop is wrong: open the "
            "loops first "
            "(baulk order --doubt)."
        )
    yield "The last year in which a thing was made is never a bound; a TPQ above gives no TAQ below."
