"""What one aid to dating says, in one form for all, so that several can stand side by side."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.dating.years import years_in_words

__all__ = ["DateAid"]


@dataclass(frozen=True, slots=True)
class DateAid:
    """One aid's answer with what it may be used for.

    Parameters
    ----------
    name : str
        The aid, such as "mean ceramic date".
    begin, end : float or None
        Earliest and latest year that it leaves; None on a side where it leaves none.
    middle : float or None
        The one year of a formula; None where there is none. It is never a date by itself.
    valid : str
        Where and when it holds.
    limits : tuple of str
        What it cannot say, and what of this case weakens it.
    source : str
        Where the formula or figure comes from.
    mark : str
        How that source was known: read, from memory, common practice without a source.
    in_validity : bool
        False when the case falls outside of what the formula was made for: shown, not to be used.
    left_out : tuple of str
        What of the input was not used, and why.
    """

    name: str
    begin: float | None
    end: float | None
    middle: float | None
    valid: str
    limits: tuple[str, ...]
    source: str
    mark: str
    in_validity: bool = True
    left_out: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The answer, its validity and its limits in sentences."""
        span = None if self.begin is None and self.end is None else years_in_words(self.begin, self.end)
        middle = None if self.middle is None else f"{self.middle:.1f}"
        said = f"{middle} ({span})" if middle and span else middle or span or "says nothing here"
        off = "" if self.in_validity else " Outside of what it holds for: not to be used."
        left = "".join(f" Left out: {one}." for one in self.left_out)
        return f"{self.name}: {said}.{off} Holds for: {self.valid}. {' '.join(self.limits)}{left} ({self.source}; {self.mark}.)"
