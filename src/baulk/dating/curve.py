"""A radiocarbon calibration curve: IntCal20 of the project's own, or another one from arrays."""

from __future__ import annotations

from base64 import b85decode
from dataclasses import dataclass
from functools import cache
from zlib import decompress

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.dating.intcal20_table import INTCAL20_AGES, INTCAL20_ERRORS
from baulk.errors import InputError

__all__ = ["CITATION", "Curve", "curve_of", "intcal20", "intcal20_nodes"]

Floats = NDArray[np.float64]
CITATION = "Reimer et al. 2020, Radiocarbon 62(4): 725-757, doi 10.1017/RDC.2020.41 (CC BY 4.0)"
_STEPS = ((0, 5_000, 1), (5_000, 15_000, 5), (15_000, 25_000, 10), (25_000, 55_001, 20))


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A calibration curve.

    Parameters
    ----------
    name, version, source : str
        What it is; every date that rests on it says so.
    cal_bp : float64 array, shape (k,)
        Years before AD 1950, rising.
    age, error : float64 array, shape (k,)
        Radiocarbon age and its standard deviation.
    """

    name: str
    version: str
    source: str
    cal_bp: Floats
    age: Floats
    error: Floats

    @property
    def title(self) -> str:
        """Name, version and source in words."""
        return f"{self.name} ({self.version}; {self.source})"

    def yearly(self) -> tuple[NDArray[np.int64], Floats, Floats]:
        """Return years before AD 1950 one by one, with age and error between the points by straight lines."""
        years = np.arange(int(np.ceil(self.cal_bp[0])), int(np.floor(self.cal_bp[-1])) + 1)
        return years, np.interp(years, self.cal_bp, self.age), np.interp(years, self.cal_bp, self.error)


def curve_of(name: str, version: str, source: str, *, cal_bp: ArrayLike, age: ArrayLike, error: ArrayLike) -> Curve:
    """Return a curve from columns, in rising or falling order of years.

    Raises
    ------
    InputError
        When the columns differ in length, hold what is no number, name a year twice, or an error is not above 0.
    """
    years, ages, errors = (np.array(column, np.float64).reshape(-1) for column in (cal_bp, age, error))
    if not len(years) == len(ages) == len(errors) or len(years) < 2:
        raise InputError(
            f"The curve {name} has {len(years)} years, {len(ages)} ages and {len(errors)} errors. A curve has one age and one "
            "error for each "
            "of two years or more: see which column is cut short."
        )
    rising = np.argsort(years)
    years, ages, errors = years[rising], ages[rising], errors[rising]
    if not all(np.isfinite(column).all() for column in (years, ages, errors)) or (errors <= 0).any() or (np.diff(years) <= 0).any():
        raise InputError(
            f"The curve {name} has a blank, an error that is not above 0, or one year twice. See that the columns are years "
            "before 1950, "
            "age and error in this order, and that the file has no remarks between the rows."
        )
    return Curve(name, version, source, years, ages, errors)


def intcal20_nodes() -> NDArray[np.int64]:
    """Return the years before AD 1950 at which IntCal20 is published: each to 5,000, then every 5, 10 and 20."""
    return np.concatenate([np.arange(*step) for step in _STEPS])


@cache
def intcal20() -> Curve:
    """Return IntCal20, the curve for the northern hemisphere's atmosphere.

    Notes
    -----
    The figures are those of the article, in whole years at 9,501 points; they are kept as differences, compressed.

    References
    ----------
    P. J. Reimer et al. 2020, "The IntCal20 Northern Hemisphere radiocarbon age calibration curve (0-55 cal kBP)", Radiocarbon
    62(4): 725-757, doi 10.1017/RDC.2020.41, open under CC BY 4.0.

    Examples
    --------
    >>> curve = intcal20()
    >>> len(curve.age), int(curve.age[250]), int(curve.error[250])
    (9501, 110, 9)
    """
    ages, errors = _column(INTCAL20_AGES), _column(INTCAL20_ERRORS)
    return curve_of("IntCal20", "2020", CITATION, cal_bp=intcal20_nodes(), age=ages, error=errors)


def _column(packed: str) -> NDArray[np.int64]:
    return np.cumsum(np.frombuffer(decompress(b85decode(packed)), dtype="<i2").astype(np.int64))
