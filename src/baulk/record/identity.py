"""Ids of records and changes, and hybrid time.

Both are pure: the clock's reading and random bits are handed in.

References
----------
RFC 9562 (May 2024), section 5.7, UUID version 7. Hybrid logical clocks: Kulkarni, Demirbas, Madappa, Avva & Leone 2014, *Logical
physical clocks*, OPODIS 2014, LNCS 8878, 17–32 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from baulk.errors import InputError

__all__ = ["HybridTime", "id_at", "id_time"]

_RANDOM_BITS = 74


def id_at(milliseconds: int, random_bits: int) -> str:
    """Return the UUID version 7 of a moment.

    Parameters
    ----------
    milliseconds : int
        Unix time, 0 ≤ milliseconds < 2^48.
    random_bits : int
        74 random bits.

    Raises
    ------
    InputError
        When either lies outside its range.

    Examples
    --------
    >>> id_at(0x017F22E279B0, (0xCC3 << 62) | 0x18C4DC0C0C07398F)  # the example of RFC 9562, appendix A.6
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'
    """
    if not 0 <= milliseconds < 1 << 48 or not 0 <= random_bits < 1 << _RANDOM_BITS:
        raise InputError(f"An id cannot be made of time {milliseconds} ms: the clock must read between 1970 and the year 10889.")
    high, low = random_bits >> 62, random_bits & ((1 << 62) - 1)
    number = (milliseconds << 80) | (0x7 << 76) | (high << 64) | (0b10 << 62) | low
    digits = f"{number:032x}"
    return f"{digits[:8]}-{digits[8:12]}-{digits[12:16]}-{digits[16:20]}-{digits[20:]}"


def id_time(identity: str) -> int:
    """Return the Unix time in milliseconds at which an id was made."""
    return int(identity.replace("-", "")[:12], 16)


@dataclass(frozen=True, slots=True, order=True)
class HybridTime:
    """A time that never runs backwards across devices: the largest clock reading seen, then a count.

    Its text sorts as the times do.
    """

    milliseconds: int
    count: int = 0

    def __str__(self) -> str:
        """Return the text form, 13 digits, a point, 6 digits."""
        return f"{self.milliseconds:013d}.{self.count:06d}"

    @classmethod
    def parse(cls, text: str) -> HybridTime:
        """Return the time that `text` stands for.

        Raises
        ------
        InputError
            When the text is not 13 digits, a point and 6 digits.
        """
        clock, point, count = text.partition(".")
        if not (point and len(clock) == 13 and len(count) == 6 and text.isascii() and clock.isdigit() and count.isdigit()):
            raise InputError(f"The time “{text[:40]}” of a change cannot be read: it has 13 digits, a point and 6 digits.")
        return cls(int(clock), int(count))

    def next(self, clock: int) -> HybridTime:
        """Return the time of a new change, given this device's clock reading in milliseconds."""
        if clock > self.milliseconds:
            return HybridTime(clock)
        return HybridTime(self.milliseconds, self.count + 1)

    def seen(self, other: HybridTime) -> HybridTime:
        """Return the latest time known after a change from elsewhere has arrived."""
        return max(self, other)

    def drift(self, clock: int) -> int:
        """Return by how many milliseconds this time runs ahead of the clock reading; 0 when it does not."""
        return max(0, self.milliseconds - clock)
