"""Before and after: the prior of each reading, and its answer with the range, each on a scale from 0 to 100 per cent."""

from __future__ import annotations

from baulk.drawing.readings_frame import RULE, TableFrame
from baulk.drawing.scene import Group, Line, Shape, Spot, Text
from baulk.drawing.sheet import MARGIN
from baulk.reading.weigh import Weighed

__all__ = ["answer_strip", "percent", "prior_strip"]


def percent(share: float) -> str:
    """Return a share in per cent, with the ends told apart from 0 and 100.

    Examples
    --------
    >>> percent(0.768), percent(0.0004), percent(0.9997), percent(0.032)
    ('77 %', '<0.1 %', '>99.9 %', '3.2 %')
    """
    if share < 0.001:
        return "<0.1 %"
    if share > 0.999:
        return ">99.9 %"
    return f"{100 * share:.1f} %" if share < 0.1 or share > 0.9 else f"{100 * share:.0f} %"


def prior_strip(frame: TableFrame, weighed: Weighed, down: float) -> tuple[Group, float]:
    """Return the strip of priors and where it ends."""
    size = frame.letters.small
    shapes: list[Shape] = [Text("Before the evidence", Spot(MARGIN, down + 1.5 * size), size, bold=True)]
    middle = down + 2.3 * size
    for place, reading in enumerate(weighed.question.readings):
        share = float(weighed.prior.shares[place])
        shapes.append(
            Group(
                (
                    _track(frame, place, middle),
                    Line(((frame.spot(place, share, middle - 1.2), frame.spot(place, share, middle + 1.2)),), RULE["tick"]),
                    Text(percent(share), Spot(frame.axis(place), down + 1.2 * size), size, "middle"),
                ),
                f"{reading.name}: {percent(share)} before the evidence", role="prior", name=reading.id,
            )
        )  # fmt: skip
    return Group(tuple(shapes), role="priors"), down + 3.4 * size


def answer_strip(frame: TableFrame, weighed: Weighed, down: float) -> tuple[Group, float]:
    """Return the strip of answers, each with its range, and where it ends."""
    size = frame.letters.small
    shapes: list[Shape] = [
        Line(((Spot(MARGIN, down + 0.4), Spot(frame.width - MARGIN, down + 0.4)),), RULE["axis"]),
        Text("After it, with the range", Spot(MARGIN, down + 1.9 * size), frame.letters.plain, bold=True),
        Text("over the ranges of all words", Spot(MARGIN, down + 3.3 * size), size),
    ]
    middle = down + 2.9 * size
    for place, reading in enumerate(weighed.question.readings):
        share, low, high = (float(ends[place]) for ends in (weighed.posterior, weighed.low, weighed.high))
        told = f"{reading.name}: {percent(share)}, between {percent(low)} and {percent(high)}"
        parts = (
            _track(frame, place, middle),
            Line(((frame.spot(place, low, middle), frame.spot(place, high, middle)),), RULE["range"]),
            Line(
                tuple((frame.spot(place, end, middle - 0.9), frame.spot(place, end, middle + 0.9)) for end in (low, high)),
                RULE["range"],
            ),
            Line(((frame.spot(place, share, middle - 1.7), frame.spot(place, share, middle + 1.7)),), RULE["tick"]),
            Text(percent(share), Spot(frame.axis(place), down + 1.7 * size), frame.letters.plain, "middle", bold=True),
            Text(f"{percent(low)} to {percent(high)}", Spot(frame.axis(place), down + 4.7 * size), size * 0.92, "middle"),
        )
        shapes.append(Group(parts, told, role="answer", name=reading.id))
    return Group(tuple(shapes), role="answers"), down + 5.4 * size


def _track(frame: TableFrame, place: int, middle: float) -> Line:
    """Return the faint line from 0 to 100 per cent, with its ends and its middle."""
    ends = (frame.spot(place, 0.0, middle), frame.spot(place, 1.0, middle))
    marks = tuple((frame.spot(place, share, middle - 0.6), frame.spot(place, share, middle + 0.6)) for share in (0.0, 0.5, 1.0))
    return Line((ends, *marks), RULE["faint"])
