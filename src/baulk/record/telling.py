"""Words and days that would tell of a withheld context: by these, sentences that are harmless alone are withheld together.

References
----------
Which words and which days tell: common practice, no source; in doubt the whole field is withheld.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain, pairwise

from baulk.record.context import CONTEXT_KINDS, Context
from baulk.record.diary import DayEntry, Visit
from baulk.record.entity import Entity, fields_of
from baulk.record.facts import Quantity
from baulk.record.site_record import SiteRecord
from baulk.record.withholding import withheld_contexts

__all__ = ["days_of_remains", "telling_words", "told_on_a_day_of_remains"]

_WORD = re.compile(r"[^\W\d_]+")
_DIRECTIONS = ("north", "south", "east", "west", "upper", "lower", "middle", "centre", "center", "corner")
_COMMON = frozenset((*CONTEXT_KINDS, *_DIRECTIONS, "layer", "possible", "with", "from", "under", "over"))
_SHORTEST = 5


def telling_words(record: SiteRecord) -> re.Pattern[str] | None:
    """Return the pattern of the words by which withheld contexts are known; None when there are none.

    Parameters
    ----------
    record : SiteRecord
        The whole record.

    Notes
    -----
    From the short names of the withheld contexts: every two words that stand side by side (*rectangular cut*, *mixed fill*), and
    every word of five letters and more that stands in no short name of another context and is no direction and no kind of context
    (*rectangular*). Each may stand in the plural.
    """
    hidden = withheld_contexts(record)
    contexts = record.all(Context, void=True)
    told = [context.title for context in contexts if context.id in hidden and context.title]
    others = [context.title for context in contexts if context.id not in hidden and context.title]
    plain = frozenset(chain.from_iterable(map(_words, others))) | _COMMON
    alone = {word for title in told for word in _words(title) if len(word) >= _SHORTEST and word not in plain}
    known = frozenset(pair for title in others for pair in pairwise(_words(title)))
    pairs = {pair for title in told for part in re.split(r"[,;:()]", title) for pair in pairwise(_words(part)) if pair not in known}
    spelled = [*map(re.escape, alone), *(rf"{re.escape(one)}s?\W+{re.escape(other)}" for one, other in pairs)]
    return re.compile(rf"(?<!\w)(?:{'|'.join(sorted(spelled))})(?:s|es)?(?!\w)", re.IGNORECASE) if spelled else None


def _words(title: str) -> list[str]:
    return _WORD.findall(title.casefold())


def days_of_remains(record: SiteRecord) -> frozenset[str]:
    """Return the days on which possible human remains were recognised, notified or recorded, ISO 8601; void records count."""
    hidden = withheld_contexts(record)
    entities = chain.from_iterable(record.entities.values())
    return frozenset(chain.from_iterable(_days(entity) for entity in entities if entity.RESTRICTED or entity.id in hidden))


def _days(entity: Entity) -> Iterator[str]:
    for name, said in fields_of(type(entity)):
        if said.quantity is Quantity.DAY and (day := getattr(entity, name)):
            yield day


def told_on_a_day_of_remains(entity: Entity, days: frozenset[str]) -> bool:
    """Tell whether a diary entry or a visit is of one of these days; one without a day may be."""
    return isinstance(entity, DayEntry | Visit) and bool(days) and (entity.day is None or entity.day in days)
