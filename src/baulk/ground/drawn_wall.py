"""The drawn wall beside the modelled ground: differences in millimetres."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from baulk.ground.section import Section

__all__ = ["WallDifference", "compare_with_drawn", "drawn_heights"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class WallDifference:
    """One surface of one context, drawn less modelled.

    Parameters
    ----------
    context : str
        Id.
    surface : {"top", "base"}
        Which.
    millimetres : (m,) array
        Drawn less modelled along the section; NaN where either is not.
    mean, largest : float
        Of the differences, millimetres; `largest` keeps its sign.
    at : float
        Metres from the left end where it is largest.
    beyond_error : float
        Share of the compared length where the difference is over twice the model's standard deviation and 10 mm of drawing.
    """

    context: str
    surface: str
    millimetres: Floats
    mean: float
    largest: float
    at: float
    beyond_error: float


_DRAWING = 0.010
"""Standard deviation of a line on a wall drawing, metres: 1 mm of pencil at 1:10; common practice, no source."""


def drawn_heights(ring: ArrayLike, distance: Floats) -> tuple[Floats, Floats]:
    """Return the highest and the lowest height of a drawn shape at distances along the wall; NaN beside the shape.

    Parameters
    ----------
    ring : (k, 2) array
        Distance and level of its corners, metres.
    distance : (m,) array
        Where to read it, metres.
    """
    shape = np.asarray(ring, float)
    after = np.roll(shape, -1, axis=0)
    asked = np.asarray(distance, float)[:, None]
    start, end = np.minimum(shape[:, 0], after[:, 0]), np.maximum(shape[:, 0], after[:, 0])
    on = (asked >= start - 1e-9) & (asked <= end + 1e-9)
    run = after[:, 0] - shape[:, 0]
    upright = np.abs(run) < 1e-9
    share = np.clip((asked - shape[:, 0]) / np.where(upright, 1.0, run), 0.0, 1.0)
    at = shape[:, 1] + np.where(upright, 0.0, share) * (after[:, 1] - shape[:, 1])
    high = np.where(on, at, -np.inf).max(axis=1)
    low = np.where(on, at, np.inf).min(axis=1)
    return np.where(np.isfinite(high), high, np.nan), np.where(np.isfinite(low), low, np.nan)


def compare_with_drawn(section: Section, drawn: Mapping[str, Sequence[ArrayLike]]) -> tuple[WallDifference, ...]:
    """Return drawn less modelled for each context that is both on the section and on the drawing.

    Parameters
    ----------
    section : Section
        The modelled ground along the wall, from its left end.
    drawn : mapping of context id to rings
        Shapes on the drawing as (distance, level), metres.
    """
    found = []
    for row, context in enumerate(section.contexts):
        rings = drawn.get(context)
        if not rings:
            continue
        with_each = [drawn_heights(ring, section.distance) for ring in rings]
        top = np.fmax.reduce([high for high, _ in with_each])
        base = np.fmin.reduce([low for _, low in with_each])
        for surface, line, model, deviation in (
            ("top", top, section.top[row], section.top_deviation[row]),
            ("base", base, section.base[row], section.base_deviation[row]),
        ):
            one = _difference(context, surface, section.distance, line - model, deviation)
            if one is not None:
                found.append(one)
    return tuple(found)


def _difference(context: str, surface: str, distance: Floats, off: Floats, deviation: Floats) -> WallDifference | None:
    there = np.isfinite(off)
    if not there.any():
        return None
    largest = int(np.nanargmax(np.abs(off)))
    beyond = np.abs(off[there]) > 2 * np.hypot(deviation[there], _DRAWING)
    return WallDifference(
        context, surface, off * 1000, float(off[there].mean() * 1000), float(off[largest] * 1000), float(distance[largest]),
        float(beyond.mean()),
    )  # fmt: skip
