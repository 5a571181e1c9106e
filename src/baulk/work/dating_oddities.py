"""What is odd about a site's radiocarbon ages before anything is modelled: against the order, against each other, unreadable."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from baulk.dating.radiocarbon_age import Inversion, RadiocarbonAge, inversions, pooled_age, read_age
from baulk.errors import InputError
from baulk.record import Context, DatingResult, SiteRecord
from baulk.record.naming import called
from baulk.sequence.paths import reaches
from baulk.work.dating_results import result_name
from baulk.work.order import SiteOrder

__all__ = ["Oddity", "against_in_words", "oddities_of", "pooled_of"]

_AGAINST_ORDER = (
    "Of each pair that stands against the order one does not date its layer (it was moved, or was old when it came in; shell and "
    "bone can hold old carbon), or the order is wrong."
)
"""What an age against the order may mean."""
_MOST = 2_000
"""Ages of which every pair is looked at: a house setting, so that a record of many thousands does not wait for it."""


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something odd among the results.

    Parameters
    ----------
    says : str
        What, and what it may mean.
    records : tuple of str
        Ids of the results.
    contexts : tuple of str
        Ids of their contexts.
    """

    says: str
    records: tuple[str, ...]
    contexts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Aged:
    """A radiocarbon result with its age read and its context in the order."""

    result: DatingResult
    context: str
    age: RadiocarbonAge


def oddities_of(record: SiteRecord, order: SiteOrder) -> tuple[Oddity, ...]:
    """Return what is odd about the radiocarbon ages of a record.

    Parameters
    ----------
    record : SiteRecord
        As the viewer may have it.
    order : SiteOrder
        Its order.

    Returns
    -------
    tuple of Oddity
        Ages against the order, the one against most others first; ages of one sample that do not agree; what cannot be used.
    """
    aged, unread = _read(record, order)
    return (*_against_order(record, order, aged[:_MOST]), *_apart(aged), *unread)


def pooled_of(results: Sequence[DatingResult]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the pooled mean of ages that were measured on one sample, with the check, in words; and the ids of the results."""
    several = sorted((one for one in results if one.sample and one.age is not None and one.error), key=lambda one: one.sample or "")
    for _, group in groupby(several, key=lambda one: one.sample):
        held = list(group)
        if len(held) > 1:
            found = pooled_age(np.array([one.age for one in held], float), np.array([one.error for one in held], float))
            names = " and ".join(one.number or one.id[-6:] for one in held)
            yield f"results {names} are of one sample, pooled {found.words}", tuple(one.id for one in held)


def against_in_words(said: Sequence[str]) -> tuple[str, ...]:
    """Return what ages against the order may mean, when some of what is odd tells of one."""
    return (_AGAINST_ORDER,) if any(" stands against " in one for one in said) else ()


def _read(record: SiteRecord, order: SiteOrder) -> tuple[list[_Aged], list[Oddity]]:
    """Return the ages that can be read, and the results that cannot be used."""
    aged: list[_Aged] = []
    odd: list[Oddity] = []
    for result in record.all(DatingResult):
        if result.method != "radiocarbon":
            continue
        if result.context is None or result.context not in order.known.index:
            odd.append(Oddity(f"{result_name(result)}: its context is void or not on record", (result.id,), ()))
            continue
        try:
            aged.append(_Aged(result, result.context, _age_of(result)))
        except InputError as error:
            odd.append(Oddity(f"{result_name(result)}: {error}", (result.id,), (result.context,)))
    return aged, odd


def _age_of(result: DatingResult) -> RadiocarbonAge:
    if result.age is not None and result.error is not None:
        return RadiocarbonAge(result.age, result.error, given=f"{result.age:,.0f} ± {result.error:.0f}")
    if result.age_limit:
        return read_age(result.age_limit)
    raise InputError("no age with an error is recorded, nor a limit")


def _against_order(record: SiteRecord, order: SiteOrder, aged: Sequence[_Aged]) -> Iterator[Oddity]:
    """Yield the pairs in which what lies below is the younger."""
    if len(aged) < 2:
        return
    group = order.order.merging.group[[order.known.index[one.context] for one in aged]]
    later, earlier = (places.ravel() for places in np.indices((len(aged), len(aged))))
    apart = group[later] != group[earlier]
    later, earlier = later[apart], earlier[apart]
    under = reaches(order.order.relations, group[later], group[earlier])
    later, earlier = later[under], earlier[under]
    ages, errors, limits = (
        [np.nan if value is None else value for value in column]
        for column in ([one.age.age for one in aged], [one.age.error for one in aged], [one.age.younger_than for one in aged])
    )
    found = inversions(ages, errors, later, earlier, younger_than=limits)
    for place, pairs in _by_sample(found):
        others = [one.later if one.earlier == place else one.earlier for one in pairs]
        told = "; ".join(_pair(record, aged, place, one) for one in pairs)
        rest = "another" if len(pairs) == 1 else f"{len(pairs)} others"
        yield Oddity(
            f"{_named(record, aged[place])} stands against {rest}: {told}.",
            tuple(aged[one].result.id for one in (place, *others)),
            tuple(dict.fromkeys(aged[one].context for one in (place, *others))),
        )


def _by_sample(found: Sequence[Inversion]) -> Iterator[tuple[int, list[Inversion]]]:
    """Yield each pair once, with the one of its two samples that stands against most others."""
    left = list(found)
    while left:
        score: Counter[int] = Counter()
        for one in left:
            score.update((one.later, one.earlier))
        place = max(score, key=lambda one: (score[one], sum(pair.deviations for pair in left if one in (pair.later, pair.earlier))))
        yield place, [one for one in left if place in (one.later, one.earlier)]
        left = [one for one in left if place not in (one.later, one.earlier)]


def _pair(record: SiteRecord, aged: Sequence[_Aged], place: int, one: Inversion) -> str:
    below = one.later == place
    other = _named(record, aged[one.earlier if below else one.later])
    way = f"older than {other} below it" if below else f"younger than {other} above it"
    return f"{way}, by {one.difference:,.0f} years, {one.deviations:.0f} times the error of their difference"


def _named(record: SiteRecord, one: _Aged) -> str:
    context = record.get(Context, one.context)
    material = f", {one.result.dated_material}" if one.result.dated_material else ""
    where = called(record, context) if context is not None else one.context
    return f"{result_name(one.result)} ({one.age.given}{material}) of {where}"


def _apart(aged: Sequence[_Aged]) -> Iterator[Oddity]:
    """Yield ages of one sample that do not agree."""
    by_id = {one.result.id: one for one in aged}
    for says, ids in pooled_of([one.result for one in aged]):
        if "do not agree" in says:
            yield Oddity(says, ids, tuple(dict.fromkeys(by_id[one].context for one in ids)))
