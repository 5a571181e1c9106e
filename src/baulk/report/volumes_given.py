"""What the report is given of volumes: plain figures, worked out elsewhere."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BackfillFacts", "VolumeFacts", "VolumeLine"]

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class VolumeLine:
    """The volume of one context.

    Parameters
    ----------
    context : str
        Id.
    room : bool
        True for a cut: its volume is room, which its fills take up.
    cubic_metres, half_width : float or None
        The volume as it lies in the ground and half its 95 % interval; None when it cannot be told.
    thickness : float or None
        Mean thickness, metres.
    extrapolated : float or None
        Share of the outline outside the outermost levels.
    dug : float
        Percent of it that was dug.
    why_not : str
        What is missing; empty when nothing is.
    buckets : str
        Litres counted beside those expected, in words and figures without any number of a record; empty without a count.
    agrees : bool or None
        Whether the buckets agree with the model.
    finds : str
        Finds a cubic metre, in the same way; empty when it cannot be told.
    """

    context: str
    room: bool
    cubic_metres: float | None
    half_width: float | None
    thickness: float | None
    extrapolated: float | None
    dug: float
    why_not: str = ""
    buckets: str = ""
    agrees: bool | None = None
    finds: str = ""


@dataclass(frozen=True, slots=True)
class BackfillFacts:
    """What filling the hole in takes: the plan in words, and the factors behind it with their source."""

    says: str
    soil: str
    loose: Range
    compacted: Range
    source: str


@dataclass(frozen=True, slots=True)
class VolumeFacts:
    """The volumes of a unit.

    Parameters
    ----------
    lines : tuple of VolumeLine
        In natural order of number.
    hole, hole_error : float
        Sum of what was dug, cubic metres, and its standard error.
    backfill : BackfillFacts or None
        None when nothing has a volume.
    notes : tuple of str
        What to know about the sum.
    """

    lines: tuple[VolumeLine, ...]
    hole: float
    hole_error: float
    backfill: BackfillFacts | None
    notes: tuple[str, ...] = ()
