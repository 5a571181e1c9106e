"""The discard curve: how long after their making things were thrown away, and what it says when nothing later is found."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.errors import InputError

__all__ = ["Discard"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Discard:
    """How old things are when they come into a deposit that forms in year t.

    Parameters
    ----------
    lag : float, optional
        Mean years between making and discard of things in ordinary use. 15 is the least of what is written of ceramics ("15 years
        and more": Adams, Dating Historical Sites; read).
    residual_share : float, optional
        Share of the finds of an ordinary deposit that were residual: lay about, or came out of older soil. House setting, no
        source.
    residual_lag : float, optional
        Mean years between making and final burial of residual finds. House setting, no source.
    redeposited : float, optional
        Chance that a whole deposit is older soil moved: all its finds are residual and nothing says when it was moved. It is what
        keeps the absence of later finds from ever being proof. House setting, no source.
    together : float, optional
        Finds that were thrown away together, on average, 1 or more: they speak once, not each for itself. House setting, no source.

    Notes
    -----
    Share of finds younger than u years when buried: H(u) = (1 - r)(1 - exp(-u / lag)) + r (1 - exp(-u / residual lag)); 0 for
    u < 0.

    Raises
    ------
    InputError
        When a lag is not above 0, or a share does not lie between 0 and 1.

    Examples
    --------
    >>> discard = Discard()
    >>> round(float(discard.none_later(30.0, finds=20)), 3), float(discard.none_later(-5.0, finds=20))
    (0.104, 1.0)
    """

    lag: float = 15.0
    residual_share: float = 0.2
    residual_lag: float = 100.0
    redeposited: float = 0.1
    together: float = 5.0

    def __post_init__(self) -> None:
        """Check the five numbers."""
        lags, shares = (self.lag, self.residual_lag), (self.residual_share, self.redeposited)
        if min(lags) <= 0 or not all(0 <= share < 1 for share in shares) or self.together < 1:
            raise InputError(
                f"A discard curve with lags of {lags[0]:g} and {lags[1]:g} years, shares of {shares[0]:g} and {shares[1]:g}, and "
                f"{self.together:g} finds together is given. Lags are years above 0, shares lie between 0 and 1, and a find is at "
                "least one: see which was entered in per cent."
            )

    def younger_than(self, years: ArrayLike) -> Floats:
        """Return the share of finds that are younger than some years when they are buried; 0 for years below 0."""
        past = np.maximum(np.asarray(years, np.float64), 0.0)
        in_use, residual = -np.expm1(-past / self.lag), -np.expm1(-past / self.residual_lag)
        return np.asarray((1 - self.residual_share) * in_use + self.residual_share * residual)

    def none_later(self, years: ArrayLike, *, finds: int, recognised: float = 1.0) -> Floats:
        """Return the chance that none of some finds was made in the last `years` years before burial.

        Parameters
        ----------
        years : array-like of float
            Years from the end of the latest find's making to the forming of the deposit; below 0 nothing later could be there yet.
        finds : int
            Finds that would have shown it: datable ones, counted as things (vessels rather than sherds).
        recognised : float, optional
            Chance that a thing made later would be known as later.

        Returns
        -------
        float64 array, of the shape of `years`
            w + (1 - w)(1 - q H(u))^(n / g), between w and 1, with g the finds thrown away together.
        """
        alone = 1 - recognised * self.younger_than(years)
        return np.asarray(self.redeposited + (1 - self.redeposited) * alone ** (finds / self.together))

    def moved(self, years: ArrayLike, *, finds: int, recognised: float = 1.0) -> Floats:
        """Return the chance that a deposit is older soil moved, when it formed so many years on and none of its finds is later."""
        whole = self.none_later(years, finds=finds, recognised=recognised)
        return np.asarray(np.divide(self.redeposited, whole, out=np.zeros_like(whole), where=whole > 0))

    def residual(self, youngest: ArrayLike, oldest: ArrayLike) -> Floats:
        """Return the chance that a find is residual, given the least and the most years it can be old when buried.

        Notes
        -----
        r R / (r R + (1 - r) O) with O and R the shares of finds in use, and of residual finds, that are between so many years old.
        Where the find can only have been made after the burial (`oldest` <= 0) it is not residual: 0.
        """
        least, most = np.maximum(np.asarray(youngest, np.float64), 0.0), np.asarray(oldest, np.float64)
        most = np.maximum(most, least)
        fresh = np.exp(-least / self.lag) - np.exp(-most / self.lag)
        old = np.exp(-least / self.residual_lag) - np.exp(-most / self.residual_lag)
        weight = self.residual_share * old
        both = weight + (1 - self.residual_share) * fresh
        return np.asarray(np.divide(weight, both, out=np.zeros_like(both), where=both > 0))

    @property
    def words(self) -> str:
        """The setting in a sentence."""
        return (
            f"Discard curve: {self.lag:g} years on average from making to discard; {100 * self.residual_share:.3g} per cent of "
            f"finds residual, {self.residual_lag:g} years old on average; chance {self.redeposited:.3g} that a whole deposit is "
            f"older soil moved; {self.together:g} finds thrown away together speak once. The first from what is written of "
            "ceramics, the others house settings, no source."
        )
