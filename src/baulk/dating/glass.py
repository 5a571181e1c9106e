"""Dates from the thickness of window glass, with the warnings that go with them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from baulk.dating.aid import DateAid
from baulk.errors import InputError, MeasureError

__all__ = ["SIXTEENTH_INCH", "window_glass_dates"]

SIXTEENTH_INCH = 25.4 / 16
FEW = 30
"""Sherds below which the sample is called small: a house setting; common practice, no source."""

_LIMITS = (
    "Window panes only: mirrors, furniture and cases are thicker.",
    "Crown glass, the main kind in the US to about 1820 to 1840, varies in thickness.",
    "Unsuitable for surface finds and small samples.",
)
_COFFIN = (
    "Glass of coffin viewing windows cannot be dated by thickness: it is almost always of double thickness, and at Freedman's "
    "Cemetery "
    "(1,157 people, 369 windows) the formula did not work. Leave these sherds out and date the layer otherwise."
)


def window_glass_dates(millimetres: ArrayLike, *, coffin_glass: bool = False, beside_graves: bool = False) -> tuple[DateAid, ...]:
    """Return what the thickness of window glass says of the years in which the panes were made.

    Parameters
    ----------
    millimetres : array-like of float, shape (n,)
        Thickness of each flat sherd; NaN means not measured.
    coffin_glass : bool
        Whether the sherds come from a coffin's viewing window; then nothing is worked out.
    beside_graves : bool
        Whether graves are possible where the sherds were found; then the answer says to look for coffin glass among them.

    Returns
    -------
    tuple of DateAid
        The line of Moir on the thinner panes, and the Ontario rule of thumb on all.

    Raises
    ------
    InputError
        When the glass is coffin glass.
    MeasureError
        When no sherd was measured, or one is not between 0.3 and 8 mm.

    Notes
    -----
    Year = 84.22·T + 1712.7, with T the mean in millimetres of the thinner (single strength) panes, not of every sherd; here those
    below 2.6 mm (house setting). Stated for about 1810 to 1915, within about 7 years.

    References
    ----------
    Moir 1987 (from memory). Ontario guide to 19th century sites, quoted in a public mailing list on 26 February 1998 (read), which
    equates 1/16 in with 1.55 mm; it is 1.5875. Coffin glass: the same list, 9 June 2005 (read).
    """
    if coffin_glass:
        raise InputError(_COFFIN)
    sherds = np.asarray(millimetres, np.float64).reshape(-1)
    known = sherds[np.isfinite(sherds)]
    if not len(known) or ((known < 0.3) | (known > 8)).any():
        said = "no thickness" if not len(known) else f"{known[(known < 0.3) | (known > 8)][0]:g} mm"
        raise MeasureError(
            f"The window glass has {said}. A pane is 0.3 to 8 mm thick: measure flat sherds with a calliper, in millimetres."
        )
    graves = (
        ("Graves are possible here: sort out coffin glass before, it is thick and would falsify this.",) if beside_graves else ()
    )
    few = (f"Only {len(known)} sherds: a small sample.",) if len(known) < FEW else ()
    return (_moir(known, (*few, *graves)), _ontario(known, (*few, *graves)))


def _moir(known: np.ndarray, cautions: tuple[str, ...]) -> DateAid:
    thin = known[known < 2.6]
    left = (f"{len(known) - len(thin)} sherds of 2.6 mm or more, as double strength",) if len(thin) < len(known) else ()
    mark = "from memory; it agrees with the Ontario rule at 1.3 and 1.9 mm"
    valid = "panes of about 1810 to 1915 in North America"
    if not len(thin):
        return DateAid("window glass, Moir", None, None, None, valid, (*cautions, *_LIMITS), "Moir 1987", mark, False, left)
    year = 84.22 * float(thin.mean()) + 1712.7
    inside = 1810 <= year <= 1915
    limits = (f"Mean of {len(thin)} thinner sherds {thin.mean():.2f} mm.", *cautions, *_LIMITS)
    return DateAid("window glass, Moir", year - 7, year + 7, year, valid, limits, "Moir 1987", mark, inside, left)


def _ontario(known: np.ndarray, cautions: tuple[str, ...]) -> DateAid:
    thinner = float((known < SIXTEENTH_INCH).mean())
    begin, end = (None, 1850) if thinner >= 0.8 else (1850, None) if thinner <= 0.2 else (None, None)
    told = f"{100 * thinner:.0f} per cent of {len(known)} sherds are thinner than 1/16 in, the mean is {known.mean():.2f} mm."
    rule = "Four in five thinner speaks for before about 1850, four in five thicker for after; between these it says nothing."
    valid, source = "Ontario, 19th century; 1850 is a round figure", "guide to 19th century sites, Ontario"
    limits = (told, rule, *cautions, *_LIMITS)
    return DateAid("window glass, Ontario rule", begin, end, None, valid, limits, source, "read in a quotation, high")
