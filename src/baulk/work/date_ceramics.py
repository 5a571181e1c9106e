"""The ceramics of a context: their mean date and the latest of their first years."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from baulk.dating.aid import DateAid
from baulk.dating.mean_ceramic import MeanCeramicDate, latest_dates, mean_ceramic_date, resampled_interval
from baulk.dating.types import DatedType, TypeTable
from baulk.dating.years import year_in_words, years_in_words
from baulk.record import Find
from baulk.work.date_evidence import years_of_making

__all__ = ["DATE_SEED", "ceramic_aids", "ceramic_mean"]

DATE_SEED = 1
"""The seed of resampled intervals, so that the same question has the same answer."""
_OWN = "the record's own years"


def ceramic_mean(finds: Sequence[Find], types: TypeTable, revision: int) -> MeanCeramicDate | None:
    """Return the mean ceramic date of some finds; None when none of the sherds has both years.

    Parameters
    ----------
    finds : sequence of Find
        Those of one context; other materials are passed over.
    types : TypeTable
        Stands in where a find has a type but no years of its own.
    revision : int
        Of the record, for the name of the table.
    """
    counts: Counter[str] = Counter()
    known: dict[str, DatedType] = {}
    for find in finds:
        if find.material == "ceramic" and find.type and find.count:
            one = _type_of(find, find.type, known, types)
            known.setdefault(one.name, one)
            counts[one.name] += find.count
    own = TypeTable(_OWN, f"revision {revision}", tuple(known.values()), from_memory=True)
    if not any(own.dated(name) for name in counts):
        return None
    return mean_ceramic_date({name: float(count) for name, count in counts.items()}, own)


def ceramic_aids(found: MeanCeramicDate) -> Iterator[DateAid]:
    """Yield the mean with its resampled interval, and the latest first years."""
    yield found.aid(resampled_interval(found, np.random.default_rng(DATE_SEED)))
    last = latest_dates(found)
    most, nine = year_in_words(last.most), year_in_words(last.nine_in_ten)
    said = f"First years of making: the latest {year_in_words(last.all)}, of 95 per cent of sherds {most}, of 90 per cent {nine}."
    yield DateAid(
        "latest ceramic", last.all, None, None, "any deposit",
        (said, "The shares pass over a few late strays; the bound is the latest of all."),
        "latest-date bracket, copy of a handbook", "read, middling",
    )  # fmt: skip


def _type_of(find: Find, name: str, known: Mapping[str, DatedType], types: TypeTable) -> DatedType:
    """Return a type with the years of this find; a type recorded with other years elsewhere is kept apart by them."""
    begin, end = years_of_making(find, types)
    whole = begin is not None and end is not None
    years = (begin, end) if whole else (None, None)
    earlier = known.get(name)
    other = earlier is not None and (earlier.begin, earlier.end) != years
    called = f"{name}, {years_in_words(begin, end)}" if other else name
    return DatedType(called, *years, find.date_source or types.title, "middling", "as recorded")
