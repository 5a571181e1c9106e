"""The modelled volume held beside the buckets, and finds a cubic metre."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.errors import MeasureError
from baulk.ground.bulking import Bulking
from baulk.ground.volume import Volume

__all__ = ["BucketCheck", "FindDensity", "compare_buckets", "find_density"]


_PACKED = 1.0
"""Least factor in a bucket: soil packed down as it lay; our judgement."""
_COUNTING = 0.10
"""How far a count of buckets may be off as a share, heaped or not quite full; our judgement."""


@dataclass(frozen=True, slots=True)
class BucketCheck:
    """Buckets beside the modelled volume.

    Parameters
    ----------
    litres : float
        As counted, loose.
    expected : (low, high)
        Litres in buckets that the model expects of the part dug: from soil packed as it lay to loose, over the 95 % interval of the
        volume and 10 % in the counting of buckets (our judgement).
    agrees : bool or None
        None when there is no volume to hold it against.
    says : str
        The same in words.
    """

    litres: float
    expected: tuple[float, float]
    agrees: bool | None
    says: str


@dataclass(frozen=True, slots=True)
class FindDensity:
    """Finds a cubic metre: `low` and `high` bound the 95 % interval, in words `says`."""

    per_cubic_metre: float
    standard_error: float
    low: float
    high: float
    says: str


def compare_buckets(volume: Volume, litres: float, bulking: Bulking, *, dug: float = 100.0) -> BucketCheck:
    """Return whether buckets agree with the modelled volume.

    Parameters
    ----------
    volume : Volume
        Modelled volume of the whole context.
    litres : float
        Buckets, in litres of loose soil.
    bulking : Bulking
        Factors of its soil.
    dug : float
        Percent of the context that was dug.

    Raises
    ------
    MeasureError
        When the litres are less than nothing or the share dug is not between 0 and 100.
    """
    if litres < 0 or not 0 <= dug <= 100:
        raise MeasureError(
            f"{litres:g} litres of {dug:g} % dug were given. Litres are not less than 0 and the share lies in 0 to 100."
        )
    share = dug / 100
    low, high = (1000 * share * end for end in volume.interval)
    expected = (low * _PACKED * (1 - _COUNTING), high * bulking.loose[1] * (1 + _COUNTING))
    if not expected[1] >= 0:
        return BucketCheck(
            litres, (float("nan"), float("nan")), None, f"{litres:.0f} litres were counted; there is no modelled volume"
        )
    agrees = expected[0] <= litres <= expected[1]
    told = f"{litres:.0f} litres were counted; the model expects {expected[0]:.0f} to {expected[1]:.0f}"
    if agrees:
        return BucketCheck(litres, expected, True, f"{told}: they agree")
    way = (
        "fewer: buckets not counted, or a base drawn too deep"
        if litres < expected[0]
        else "more: an outline too small, or an overcut base"
    )
    return BucketCheck(litres, expected, False, f"{told}: {way}")


def find_density(count: int, volume: Volume, *, dug: float = 100.0) -> FindDensity:
    """Return finds a cubic metre in the ground.

    Parameters
    ----------
    count : int
        Pieces from the part dug.
    volume : Volume
        Modelled volume of the whole context.
    dug : float
        Percent of the context that was dug.

    Raises
    ------
    MeasureError
        When the count is less than nothing, or no volume was dug.

    Notes
    -----
    (σ_d/d)² = 1/n + (σ_V/V)²: pieces as a Poisson count, independent of the volume. With no piece the upper bound is 3.0/V (the
    rule of three; from memory).

    Examples
    --------
    >>> body = Volume(0.5, 0.0, {}, 1e6, 1.0, 1.0, 0.0, 0.0)
    >>> find_density(100, body).per_cubic_metre, round(find_density(100, body).standard_error, 1)
    (200.0, 20.0)
    """
    held = volume.cubic_metres * dug / 100
    if count < 0 or not held > 0:
        raise MeasureError(f"{count} finds from {held:g} m³ were given. A density needs a count from 0 up and a volume above 0.")
    share = volume.standard_error / volume.cubic_metres
    if count == 0:
        limit = 3.0 / (held * max(1 - 1.96 * share, 0.1))
        return FindDensity(0.0, float("nan"), 0.0, limit, f"none found: fewer than {limit:.0f} a cubic metre (95 %)")
    density = count / held
    error = density * (1 / count + share**2) ** 0.5
    low, high = max(density - 1.96 * error, 0.0), density + 1.96 * error
    return FindDensity(density, error, low, high, f"{density:.0f} a cubic metre ({low:.0f} to {high:.0f})")
