"""Surfaces and volumes for 5,000 contexts, beside scipy's general interpolator and a grid of cells."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from apart import best_of, forget_peak, run_apart, serve
from sheet import Measure, Row, Sheet

CONTEXTS = 5_000
THICK = 0.2
"""True thickness of every context, metres."""
TEXT = (
    "Contexts with 3 to 50 levels on the top and as many on the base (most have few), made from a fixed seed, square or round. "
    "Ours: model chosen, variogram fitted, volume with its standard error. Theirs: scipy's RBFInterpolator (thin-plate spline, "
    "no smoothing) for top and base on a grid of 50 × 50 summed inside the outline with shapely: a volume without an error, "
    "counted also where no level is near (ours leaves that out). After a few contexts that load the compiled loops."
)


def make(count: int) -> list[tuple[Any, ...]]:
    """Return outlines and levels."""
    import shapely

    rng = np.random.default_rng(20260)
    made = []
    for _ in range(count):
        levels = int(min(50, 3 + rng.gamma(1.5, 5.0)))
        size = rng.uniform(0.4, 2.0)
        places = rng.uniform(0, size, (levels, 2))
        slope = rng.normal(0, 0.03, 2)
        heights = 10 + places @ slope + 0.02 * np.sin(3 * places[:, 0])
        outline = shapely.box(0, 0, size, size) if rng.random() < 0.5 else shapely.Point(size / 2, size / 2).buffer(size / 2)
        made.append((outline, places, heights + rng.normal(0, 0.005, levels), heights - THICK + rng.normal(0, 0.005, levels)))
    return made


def ours(count: int) -> dict[str, Any]:
    """Fit and integrate with our own."""
    from baulk.ground.surface import fit_surface
    from baulk.ground.volume import Outlined, volume_between

    made = make(count)

    def work(rows: list[tuple[Any, ...]]) -> tuple[float, float, float]:
        total = error = known = 0.0
        for outline, places, top, base in rows:
            found = volume_between(fit_surface(places, top, outline), fit_surface(places, base, outline), Outlined(outline))
            total += found.cubic_metres
            error += found.standard_error**2
            known += THICK * found.area * found.covered
        return total, error**0.5, known

    work(made[:20])
    forget_peak()
    seconds, (total, error, known) = best_of(1, lambda: work(made))
    return {"seconds": seconds, "off": total / known - 1, "error": error / known}


def with_scipy(count: int) -> dict[str, Any]:
    """Fit and integrate the plain way."""
    import shapely
    from scipy.interpolate import RBFInterpolator

    made = make(count)

    def work(rows: list[tuple[Any, ...]]) -> float:
        total = 0.0
        for outline, places, top, base in rows:
            west, south, east, north = outline.bounds
            column, row = np.linspace(west, east, 51), np.linspace(south, north, 51)
            grid = np.column_stack([axis.ravel() for axis in np.meshgrid((column[1:] + column[:-1]) / 2, (row[1:] + row[:-1]) / 2)])
            inside = grid[shapely.contains_xy(outline, grid[:, 0], grid[:, 1])]
            upper, lower = (RBFInterpolator(places, heights, kernel="thin_plate_spline")(inside) for heights in (top, base))
            total += float(np.maximum(upper - lower, 0).sum()) * outline.area / len(inside)
        return total

    work(made[:20])
    forget_peak()
    seconds, total = best_of(1, lambda: work(made))
    return {"seconds": seconds, "off": total / sum(THICK * row[0].area for row in made) - 1}


JOBS = {f.__name__: f for f in (ours, with_scipy)}


def run(sheet: Sheet) -> None:
    """Add the section on shape."""
    section = sheet.section("Shape", TEXT, libraries=("shapely",))
    mine = run_apart(__file__, "ours", count=CONTEXTS)
    other = run_apart(__file__, "with_scipy", count=CONTEXTS)
    note = f"sum of all off the truth: ours {mine['off']:+.2%} (standard error {mine['error']:.2%}), theirs {other['off']:+.2%}"
    section.add(
        Row(
            f"surfaces and volumes of {CONTEXTS:,} contexts",
            Measure(mine["seconds"], mine["megabytes"]),
            Measure(other["seconds"], other["megabytes"]),
            "scipy",
            note,
        )
    )


if __name__ == "__main__":
    serve(JOBS)
