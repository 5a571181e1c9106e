"""The whole layout of an order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.layered.columns import columns_of
from baulk.drawing.layered.crossings import crossings_in, places_in_rows
from baulk.drawing.layered.items import Items, items_of
from baulk.drawing.layered.ranks import rows_of
from baulk.drawing.layered.routes import Tracks
from baulk.drawing.layered.unclashed import ports_and_tracks

__all__ = ["Layout", "Spacing", "lay_out_layers"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spacing:
    """Distances on paper, millimetres."""

    gap: float = 5.0
    track: float = 2.0
    above_tracks: float = 3.0
    below_tracks: float = 3.5
    port: float = 2.0
    line: float = 1.6


@dataclass(frozen=True, eq=False)
class Layout:
    """Where everything stands, millimetres from the top left.

    Parameters
    ----------
    left, top : float array, shape (n,)
        Corner of each context's box.
    row : int array, shape (n,)
        Its row, 0 on top.
    lines : tuple of arrays of shape (k, 2)
        One right-angled line a relation, from the later context's foot to the earlier one's head.
    width, height : float
        Of the whole drawing.
    crossings : int
        Pairs of lines that cross between neighbouring rows.
    row_top : float array
        Top of each row.
    """

    left: Floats
    top: Floats
    row: Ints
    lines: tuple[Floats, ...]
    width: float
    height: float
    crossings: int
    row_top: Floats


def lay_out_layers(
    widths: Floats, height: float, later: Ints, earlier: Ints, *,
    bands: Ints | None = None, start: Ints | None = None, spacing: Spacing | None = None,
) -> Layout:  # fmt: skip
    """Return the layout of an order without loops.

    Parameters
    ----------
    widths : float array, shape (n,)
        Width of each context's box, millimetres.
    height : float
        Height of every box, millimetres.
    later, earlier : int array, shape (m,)
        Relations, best the reduced ones.
    bands : int array, shape (n,), optional
        Phase of each context, 0 for none.
    start : int array, shape (n,), optional
        Wished order from left to right, as in an earlier layout.
    spacing : Spacing, optional
        Distances on paper.

    Raises
    ------
    OrderError
        When the relations hold a loop.
    """
    spacing = spacing or Spacing()
    later, earlier = np.asarray(later, dtype=np.int64), np.asarray(earlier, dtype=np.int64)
    rows = rows_of(len(widths), later, earlier, bands)
    items = items_of(rows, later, earlier)
    places = places_in_rows(items, start=start)
    breadth = np.concatenate([widths, np.full(items.count - items.real, spacing.line)])
    centres = columns_of(items, places, breadth, spacing.gap)
    centres, ports, tracks = ports_and_tracks(items, centres, breadth, spacing.port)
    count = len(tracks)
    row_top = _row_tops(tracks, height, spacing)
    lines = _lines(items, centres, ports, tracks, row_top, height, spacing, len(later))
    foot = float(row_top[-1]) + height if count else 0.0
    right = float((centres + breadth / 2).max()) if items.count else 0.0
    left = centres[: items.real] - widths / 2
    return Layout(left, row_top[rows] if count else np.zeros(0), rows, lines, right, foot, crossings_in(items, places), row_top)


def _row_tops(tracks: list[Tracks], height: float, spacing: Spacing) -> Floats:
    tops, top = [], 0.0
    for under in tracks:
        tops.append(top)
        top += height + spacing.above_tracks + max(under.count - 1, 0) * spacing.track + spacing.below_tracks
    return np.array(tops)


def _lines(
    items: Items, centres: Floats, ports: Floats, tracks: list[Tracks], row_top: Floats, height: float, spacing: Spacing, count: int
) -> tuple[Floats, ...]:
    turn = np.full(items.count, -1.0)
    for row, under in enumerate(tracks):
        turn[under.uppers] = row_top[row] + height + spacing.above_tracks + under.tracks * spacing.track
    points: list[list[tuple[float, float]]] = [[] for _ in range(count)]
    for short in range(len(items.upper)):
        upper, lower, line = items.upper[short], items.lower[short], points[items.line[short]]
        foot = row_top[items.row[upper]] + (height if upper < items.real else 0.0)
        line.append((float(centres[upper]), float(foot)))
        if abs(ports[short] - centres[upper]) > 1e-6:
            line += [(float(centres[upper]), float(turn[upper])), (float(ports[short]), float(turn[upper]))]
        line.append((float(ports[short]), float(row_top[items.row[lower]])))
    return tuple(np.array(_straightened(line)).reshape(-1, 2) for line in points)


def _straightened(line: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the line without points that lie on its way."""
    kept: list[tuple[float, float]] = []
    for point in line:
        if kept and abs(point[0] - kept[-1][0]) < 1e-6 and abs(point[1] - kept[-1][1]) < 1e-6:
            continue
        if len(kept) > 1 and abs(kept[-2][0] - kept[-1][0]) < 1e-6 and abs(point[0] - kept[-1][0]) < 1e-6:
            kept[-1] = point
        else:
            kept.append(point)
    return kept
