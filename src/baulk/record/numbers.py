"""Numbers of records: handed out in blocks, never used again."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

from baulk.errors import InputError
from baulk.record.diary import NumberBlock
from baulk.record.entity import Entity
from baulk.record.site_record import SiteRecord

__all__ = ["MOST_IN_BLOCK", "NumberFaults", "next_block", "next_number", "number_faults"]


MOST_IN_BLOCK = 1000
"""Most numbers that one block holds: a house setting."""


def _used(record: SiteRecord, kind: type[Entity]) -> set[str]:
    return {str(number) for entity in record.all(kind, void=True) if (number := getattr(entity, "number", None)) is not None}


def _free_in_blocks(record: SiteRecord, kind: type[Entity], person: str) -> list[int]:
    used = _used(record, kind)
    blocks = [block for block in record.all(NumberBlock) if block.series == kind.KIND and block.person == person]
    return [
        number
        for block in sorted(blocks, key=lambda block: block.first or 0)
        if block.first is not None and block.last is not None
        for number in range(block.first, block.last + 1)
        if str(number) not in used
    ]


def next_number(record: SiteRecord, kind: type[Entity], person: str) -> str:
    """Return the next free number for a recorder.

    With blocks on record the number comes from the recorder's own; without any block in the series it is one more than the
    largest number used. A void record's number counts as used.

    Raises
    ------
    InputError
        When the series has blocks and the recorder has none free.

    Examples
    --------
    >>> from baulk.record.context import Context
    >>> next_number(SiteRecord(), Context, "AB")
    '1'
    """
    if not any(block.series == kind.KIND for block in record.all(NumberBlock)):
        used = [int(number) for number in _used(record, kind) if number.isascii() and number.isdecimal()]
        return str(max(used, default=0) + 1)
    free = _free_in_blocks(record, kind, person)
    if not free:
        raise InputError(
            f"{person} has no free {kind.TITLE} number left: numbers are handed out in blocks so that two recorders never use "
            "the same. Hand out another block before the next record."
        )
    return str(free[0])


def next_block(record: SiteRecord, kind: type[Entity], size: int) -> tuple[int, int]:
    """Return the first and last number of the next block of a series: after every number used and every block handed out.

    Raises
    ------
    InputError
        When the kind has no numbers, or the block would hold none or more than 1,000.

    Examples
    --------
    >>> from baulk.record.context import Context
    >>> next_block(SiteRecord(), Context, 50)
    (1, 50)
    """
    if not kind.NUMBERED:
        raise InputError(f"A {kind.TITLE} has no number, so no block of numbers is handed out for it. Ask for another series.")
    if not 1 <= size <= MOST_IN_BLOCK:
        raise InputError(f"A block of {size} numbers is asked for: one holds 1 to {MOST_IN_BLOCK}. Ask for another size.")
    blocks = [block for block in record.all(NumberBlock, void=True) if block.series == kind.KIND]
    used = [int(number) for number in _used(record, kind) if number.isascii() and number.isdecimal()]
    last = max((*used, *(block.last or 0 for block in blocks), *(block.first or 0 for block in blocks)), default=0)
    return last + 1, last + size


@dataclass(frozen=True, slots=True)
class NumberFaults:
    """What is wrong with a series: numbers used twice, whole numbers skipped, void numbers without a reason, blank ones."""

    twice: tuple[str, ...]
    skipped: tuple[int, ...]
    blank: int


def number_faults(record: SiteRecord, kind: type[Entity]) -> NumberFaults:
    """Return the faults of a kind's series; a void record's number is no gap.

    Whole numbers are taken as skipped only inside runs: a gap of more than 50 is taken as the start of another block.
    """
    held = [getattr(entity, "number", None) for entity in record.all(kind, void=True)]
    counted = Counter(str(number) for number in held if number is not None)
    whole = sorted({int(number) for number in counted if number.isascii() and number.isdecimal()})
    skipped = [missing for before, after in pairwise(whole) if 1 < after - before <= 50 for missing in range(before + 1, after)]
    return NumberFaults(
        tuple(number for number, times in counted.items() if times > 1),
        tuple(skipped),
        sum(number is None for number in held),
    )
