"""What brick sizes say of the years: weak evidence only, in the form of the other aids."""

from __future__ import annotations

import re

from baulk.dating.aid import DateAid
from baulk.ground.brick_size import SizeStatistics, statutes_near

__all__ = ["brick_dates"]

_LIMITS = (
    "Weak evidence: size does not date a brick, bricks are used again, and older ones may be the more regular.",
    "A law fixes what might be made after it; smaller and larger ones were made all the same.",
    "No published regression of date on size was found.",
)


def brick_dates(sizes: SizeStatistics) -> tuple[DateAid, ...]:
    """Return the sizes of law or trade that bricks of these sizes come near, as weak evidence.

    Parameters
    ----------
    sizes : SizeStatistics
        Of one patch of bricks.

    Returns
    -------
    tuple of DateAid
        None of them has a bound: `middle` is the year that the source names, for a drawing, and `in_validity` is False throughout,
        since no date may be taken from it.
    """
    found = []
    for statute, words in statutes_near(sizes):
        year = re.search(r"\d{4}", statute.when)
        middle = None if year is None else float(year.group())
        found.append(
            DateAid(f"brick size, {statute.when}", None, None, middle, "documents beside it", (words, *_LIMITS), statute.source,
                    statute.mark, False)
        )  # fmt: skip
    return tuple(found)
