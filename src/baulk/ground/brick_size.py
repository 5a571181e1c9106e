"""Brick sizes: their statistics, and the sizes of law beside them as weak evidence only.

No published regression of date on brick size was found; older bricks may be the more regular ones, and bricks are used again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import MeasureError

__all__ = ["STATUTES", "SizeStatistics", "Statute", "absorption", "absorption_classes", "size_statistics", "statutes_near"]

Floats = NDArray[np.float64]
_INCH = 25.4
ENOUGH = 20
"""Bricks to a patch, over five courses, in the field-methods study of the University of Virginia (read)."""


@dataclass(frozen=True, slots=True)
class Statute:
    """A size in law or trade: when, inches (length, breadth, thickness), where it is from, and how sure that is."""

    when: str
    inches: tuple[float, float, float]
    source: str
    mark: str

    @property
    def millimetres(self) -> tuple[float, float, float]:
        """The size in millimetres."""
        return self.inches[0] * _INCH, self.inches[1] * _INCH, self.inches[2] * _INCH


STATUTES = (
    Statute("before 1571", (9.5, 4.5, 2.0), "foggathorpehistory.co.uk: usual Tudor size", "read, middling"),
    Statute("1571", (9.0, 4.5, 2.25), "charter of the Tylers' and Bricklayers' Company, within 15 miles of London", "read, high"),
    Statute("1723", (9.0, 4.5, 2.5), "J. Harris, Lexicon Technicum: statute or small common bricks", "read, high"),
    Statute("by 1725", (9.0, 4.25, 2.5), "Essex Naturalist 29: 248: legal standard", "read, high"),
    Statute("1729/30", (8.75, 4.125, 2.5), "statute for London", "from memory, low"),
    Statute("1769 or 1776-7", (8.5, 4.0, 2.5), "statute; size read at foggathorpehistory.co.uk, year is not", "read, middling"),
    Statute("late 18th century", (10.0, 5.0, 3.0), "Essex Naturalist: common under the brick tax of 1784-1850", "read, high"),
    Statute("Nova Scotia 1792", (8.0, 4.0, 2.0), "law, Ross 1983: 99 by way of sizes.com", "read, high"),
    Statute("United Kingdom, 20th century", (8.75, 4.1875, 2.625), "BS 657, in Essex Naturalist", "read, high"),
)  # fmt: skip
"""Sizes in law or trade, oldest first."""


@dataclass(frozen=True, slots=True, eq=False)
class SizeStatistics:
    """Sizes of one patch of bricks in millimetres: count, mean, standard deviation, least and most of each side measured.

    `count`, `mean`, `deviation`, `least`, `most` have shape (3,), for length, breadth and thickness; NaN where none was measured,
    and for the deviation of one.
    """

    count: NDArray[np.intp]
    mean: Floats
    deviation: Floats
    least: Floats
    most: Floats

    @property
    def words(self) -> str:
        """The sizes in a sentence."""
        names = ("length", "breadth", "thickness")
        parts = []
        for place, (name, number) in enumerate(zip(names, self.count.tolist(), strict=True)):
            spread = f" ± {self.deviation[place]:.1f}" if number > 1 else ""
            reach = f" ({self.least[place]:.0f}–{self.most[place]:.0f}, n {number})" if number > 1 else " (one)"
            parts += [f"{name} {self.mean[place]:.0f}{spread} mm{reach}"] if number else []
        most = int(self.count.max(initial=0))
        few = "" if most >= ENOUGH else f" Twenty to a patch over five courses are better than {most}."
        return "; ".join(parts) + "." + few if parts else "No size was measured."


def size_statistics(sizes: ArrayLike) -> SizeStatistics:
    """Return the statistics of sizes.

    Parameters
    ----------
    sizes : array_like of shape (n, 3)
        Length, breadth and thickness in millimetres; NaN means not measured.

    Raises
    ------
    MeasureError
        A size is not above zero.
    """
    held = np.asarray(sizes, dtype=np.float64).reshape(-1, 3)
    if (held <= 0).any() or np.isinf(held).any():
        raise MeasureError("A size is given that is not above zero. Leave out what was not measured; do not write 0 for it.")
    count = np.isfinite(held).sum(axis=0)
    out = np.full((4, 3), np.nan)
    for side in range(3):
        known = held[np.isfinite(held[:, side]), side]
        if len(known):
            out[0, side], out[2, side], out[3, side] = known.mean(), known.min(), known.max()
        if len(known) > 1:
            out[1, side] = known.std(ddof=1)
    return SizeStatistics(count.astype(np.intp), *out)


def statutes_near(found: SizeStatistics, *, tolerance: float = 6.0) -> tuple[tuple[Statute, str], ...]:
    """Return the sizes of law or trade that the bricks' own spread allows, each with a sentence that calls it weak.

    Parameters
    ----------
    found : SizeStatistics
        The bricks.
    tolerance : float
        Millimetres by which a mean may differ, a quarter of an inch: that to which the field-methods study read (house value).

    Notes
    -----
    Nothing is returned unless all three sides were measured.
    """
    if not np.isfinite(found.mean).all():
        return ()
    mean = np.sort(found.mean)[::-1]
    near = []
    for statute in STATUTES:
        off = np.abs(mean - np.array(statute.millimetres))
        if (off <= tolerance).all():
            inches = " × ".join(f"{side:g}" for side in statute.inches)
            words = (
                f"Within {off.max():.0f} mm of {statute.when}, {inches} in ({statute.source}; {statute.mark}). "
                "Weak evidence: size does not date a brick, and bricks are used again."
            )
            near.append((statute, words))
    return tuple(near)


def absorption(dry: float, wet: float) -> float:
    """Return the water taken up in per cent of the dry mass: 100·(wet − dry)/dry (ASTM C67, read in trade pages).

    Raises
    ------
    MeasureError
        The dry mass is not above zero, or the wet one is less.

    Examples
    --------
    >>> round(absorption(4.875, 5.625), 1)
    15.4
    """
    if not (np.isfinite(dry) and np.isfinite(wet) and 0 < dry <= wet):
        raise MeasureError(
            f"The dry mass is given as {dry:g} and the wet as {wet:g}. A wet brick weighs no less: weigh both again."
        )
    return 100 * (wet - dry) / dry


# Least and most in each class of C. T. Davis's 20 bricks, 19th century United States, 13 days under water (read; computed from the
# masses). "Very hard" had one brick.
_DAVIS = {"very hard": (5.55, 5.56), "hard": (2.5, 15.8), "dark": (4.4, 16.6), "light": (15.1, 19.0), "salmon": (17.9, 22.6)}


def absorption_classes(per_cent: float) -> tuple[str, ...]:
    """Return the burns of Davis's bricks whose range holds this absorption; they overlap: several or none."""
    return tuple(name for name, (low, high) in _DAVIS.items() if low <= per_cent <= high)
