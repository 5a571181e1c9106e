"""Volumes: against closed bodies of general libraries, and their stated error against 200 trenches whose ground is known."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import trimesh

from baulk.errors import MeasureError
from baulk.ground.buckets import compare_buckets, find_density
from baulk.ground.bulking import BULKING
from baulk.ground.quadrature import places_inside
from baulk.ground.surface import Surface, fit_surface
from baulk.ground.thickness import cells_over, thickness_map
from baulk.ground.tin import Tin
from baulk.ground.volume import Outlined, Volume, volume_between
from baulk.ground.volume_formulas import triangle_prisms

SQUARE = shapely.box(0, 0, 2, 2)
CORNERS = np.array([(0, 0), (2, 0), (2, 2), (0, 2), (1, 1)], float)


def flat(level: float, places: np.ndarray = CORNERS) -> Surface:
    """Return a level surface."""
    return fit_surface(places, np.full(len(places), level))


def closed_body(places: np.ndarray, triangles: np.ndarray, top: np.ndarray, base: np.ndarray) -> trimesh.Trimesh:
    """Return the closed body between two heights over triangles: top, base and sides."""
    edges = np.vstack([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    seen = {tuple(sorted(edge)): 0 for edge in edges.tolist()}
    for edge in edges.tolist():
        seen[tuple(sorted(edge))] += 1
    rim = [edge for edge in edges.tolist() if seen[tuple(sorted(edge))] == 1]
    count = len(places)
    sides = [face for a, b in rim for face in ((a, a + count, b), (b, a + count, b + count))]
    corners = np.vstack([np.column_stack([places, top]), np.column_stack([places, base])])
    return trimesh.Trimesh(corners, np.vstack([triangles, triangles[:, ::-1] + count, sides]), process=False)


def test_volume_between_triangles_is_that_of_the_closed_body() -> None:
    """Between two triangulated surfaces over their hull the volume is trimesh's own, and that of the prisms of triangles."""
    rng = np.random.default_rng(3)
    places = rng.uniform(0, 2, (40, 2))
    top, base = 10 + 0.03 * rng.normal(size=40), 9.7 + 0.03 * rng.normal(size=40)
    upper, lower = fit_surface(places, top, kind="triangles"), fit_surface(places, base, kind="triangles")
    assert isinstance(upper.model, Tin)
    body = closed_body(upper.spread.places, upper.model.triangles, upper.levels, lower.levels)
    assert body.is_watertight
    hull = shapely.MultiPoint(places).convex_hull
    found = volume_between(upper, lower, Outlined(hull)).cubic_metres
    assert found == pytest.approx(abs(body.volume), rel=2e-3)
    assert triangle_prisms(upper.spread.places, upper.levels - lower.levels, upper.model.triangles) == pytest.approx(
        abs(body.volume), rel=1e-9
    )


@pytest.mark.parametrize(
    "outline",
    [
        SQUARE,
        shapely.Point(1, 1).buffer(0.8),
        shapely.Polygon([(0, 0), (2, 0), (2, 0.4), (0.4, 0.4), (0.4, 2), (0, 2)]),
        shapely.box(0, 0, 2, 2).difference(shapely.Point(1, 1).buffer(0.5)),
        shapely.union_all([shapely.box(0, 0, 0.5, 0.5), shapely.box(1.5, 1.5, 2, 2)]),
        shapely.Polygon([(0, 0), (2, 0.01), (2, 0.02), (0, 0.01)]),
    ],
    ids=["square", "round", "bent", "with a hole", "two parts", "sliver"],
)
def test_volume_under_a_slope_is_area_times_height_at_the_centroid(outline: shapely.Polygon) -> None:
    """A tilted plane over any outline holds shapely's area times the height at shapely's centroid."""
    top = fit_surface(CORNERS, 10 + CORNERS @ [0.2, -0.1])
    found = volume_between(top, flat(9.0), Outlined(outline))
    centre = outline.centroid
    exact = outline.area * (1.0 + 0.2 * centre.x - 0.1 * centre.y)
    assert found.cubic_metres == pytest.approx(exact, rel=1e-3 if outline.area < 0.1 else 1e-9)


def test_places_stand_for_the_whole_area() -> None:
    """The places lie inside the outline and their areas sum to it."""
    ring = shapely.Point(3, 4).buffer(1.0).difference(shapely.Point(3, 4).buffer(0.4))
    places, areas = places_inside(ring)
    assert shapely.contains_xy(ring, places[:, 0], places[:, 1]).mean() > 0.99
    assert areas.sum() == pytest.approx(ring.area, rel=1e-12)
    with pytest.raises(MeasureError, match="at least three corners not in one line"):
        places_inside(shapely.Polygon())


def trench(rng: np.random.Generator, count: int) -> tuple[float, Volume]:
    """Return the true volume of a made layer, and the one worked from a few levels and an outline drawn a little off."""

    def relief(deviation: float):
        """Return a sum of four waves 1.8 m and more long."""
        waves, start = rng.uniform(1.0, 3.5, (4, 2)), rng.uniform(0, 2 * np.pi, 4)
        height = rng.normal(0, deviation / 2**0.5, 4)
        return lambda places: (height * np.sin(places @ waves.T + start)).sum(axis=1)

    slope, top_relief, base_relief = rng.normal(0, 0.03, 2), relief(0.015), relief(0.02)

    def top(places):
        return 29.6 + places @ slope + top_relief(places)

    def base(places):
        return 29.4 + places @ (slope / 2) + base_relief(places)

    outline = SQUARE if rng.random() < 0.5 else shapely.Point(1, 1).buffer(rng.uniform(0.4, 0.9))
    west, south, east, north = outline.bounds
    size = np.array([east - west, north - south])

    def levelled(surface):
        spots = np.vstack([[[0.05, 0.05], [0.95, 0.05], [0.95, 0.95], [0.05, 0.95], [0.5, 0.5]], rng.uniform(0, 1, (count - 5, 2))])
        places = spots * size + [west, south]
        return fit_surface(places, surface(places) + rng.normal(0, 0.005, count))

    upper, lower = levelled(top), levelled(base)
    places, areas = places_inside(outline, 80)
    drawn = outline.buffer(rng.normal(0, 0.015))
    ring = np.asarray(drawn.exterior.coords)
    edges = tuple(((*start, *end), "seen") for start, end in zip(ring[:-1].tolist(), ring[1:].tolist(), strict=True))
    return float(areas @ (top(places) - base(places))), volume_between(upper, lower, Outlined(drawn, edges))


def share_within(trials: list[tuple[float, Volume]], of_the_error: float = 1.0) -> float:
    """Return the share of trials whose true volume lies within the 95 % interval, its width times a factor."""
    return float(np.mean([abs(found.cubic_metres - true) <= of_the_error * found.half_width for true, found in trials]))


def test_stated_error_holds_and_an_understated_one_is_caught() -> None:
    """In 200 seeded trenches of 5 to 24 levels the 95 % interval holds the true volume at least 90 % of the time, and is not idle.

    The negative control: the same trials with 0.4 of the error fall far below, so the check can fail.
    """
    rng = np.random.default_rng(20261)
    trials = [trench(rng, int(rng.integers(5, 25))) for _ in range(200)]
    assert share_within(trials) >= 0.90
    assert share_within(trials, 0.4) < 0.75
    scaled = np.array([(found.cubic_metres - true) / found.standard_error for true, found in trials])
    assert 0.8 < scaled.std() < 1.3
    assert abs(scaled.mean()) < 0.2
    assert np.median([found.standard_error / found.cubic_metres for _, found in trials]) < 0.08


def test_error_is_told_by_its_causes() -> None:
    """The parts add up to the variance; an uncertain edge makes it larger, and only the outline's part."""
    top, base = flat(10.0), flat(9.5)
    ring = [(0, 0), (2, 0), (2, 2), (0, 2)]
    ends = [((*one, *ring[(place + 1) % 4]), "limit of excavation") for place, one in enumerate(ring)]
    sharp = volume_between(top, base, Outlined(SQUARE, ends))
    vague = volume_between(top, base, Outlined(SQUARE, [(row, "uncertain") for row, _ in ends]))
    assert sharp.cubic_metres == pytest.approx(2.0, rel=1e-6)
    assert sum(sharp.parts.values()) == pytest.approx(sharp.standard_error**2)
    assert sharp.parts["outline"] ** 0.5 == pytest.approx(8 * 0.5 * 0.005)
    assert vague.parts["outline"] ** 0.5 == pytest.approx(8 * 0.5 * 0.05)
    assert vague.parts["top"] == sharp.parts["top"]


def test_what_is_too_far_from_levels_is_not_counted_and_crossing_is_said() -> None:
    """An outline far beyond the levels is counted only as far as the surface is carried; where the base is above, nothing is."""
    near = CORNERS / 4
    far = volume_between(flat(10.0, near), flat(9.0, near), Outlined(SQUARE))
    assert far.covered < 0.5
    assert far.cubic_metres == pytest.approx(far.covered * 4.0, rel=0.01)
    assert "lies too far from any level and is not counted" in far.notes[0]
    nothing = volume_between(flat(10.0, near), flat(9.0, near), Outlined(shapely.box(50, 50, 52, 52)))
    assert np.isnan(nothing.cubic_metres)
    assert nothing.notes == ("no part of the outline lies near enough to levels of top and base: no volume",)
    tilted = fit_surface(CORNERS, 9.9 + 0.1 * CORNERS[:, 0])
    crossed = volume_between(flat(10.0), tilted, Outlined(SQUARE))
    assert crossed.cubic_metres == pytest.approx(0.1 * 1 * 2 / 2, rel=0.02)
    assert "base and top cross over 5" in crossed.notes[0]


def test_thickness_in_cells_sums_to_the_volume() -> None:
    """Thickness × cell area sums to the volume; outside the outline there is none; grids of neighbours fit."""
    top = fit_surface(CORNERS, 10 + CORNERS @ [0.05, 0.02])
    found = thickness_map(top, flat(9.7), shapely.Point(1, 1).buffer(0.7), 0.02)
    volume = volume_between(top, flat(9.7), Outlined(shapely.Point(1, 1).buffer(0.7))).cubic_metres
    assert np.nansum(found.thickness) * 0.02**2 == pytest.approx(volume, rel=0.01)
    assert np.isnan(found.thickness[0, 0])
    assert not found.extrapolated[np.isfinite(found.thickness)].any()
    left, right = cells_over(shapely.box(0, 0, 1, 1), 0.1), cells_over(shapely.box(1, 0, 2, 1), 0.1)
    assert right.eastings[0] - left.eastings[-1] == pytest.approx(0.1)
    with pytest.raises(MeasureError, match="at most 250,000 can be drawn"):
        cells_over(SQUARE, 0.001)


def test_buckets_are_held_beside_the_volume() -> None:
    """Buckets inside what bulking and error allow agree; too few and too many say what to look at."""
    body = Volume(0.5, 0.02, {}, 1e6, 4.0, 1.0, 0.0, 0.0)
    earth = BULKING["earth"]
    assert compare_buckets(body, 560, earth).agrees
    few, many = compare_buckets(body, 200, earth), compare_buckets(body, 1500, earth)
    assert few.agrees is False and "fewer: buckets not counted, or a base drawn too deep" in few.says
    assert many.agrees is False and "more: an outline too small, or an overcut base" in many.says
    assert compare_buckets(body, 280, earth, dug=50).agrees
    with pytest.raises(MeasureError, match="Litres are not less than 0"):
        compare_buckets(body, -1, earth)


def test_find_density_carries_both_errors() -> None:
    """A density's error is that of the count and of the volume; none found gives an upper bound; no volume is refused."""
    body = Volume(0.5, 0.05, {}, 1e6, 4.0, 1.0, 0.0, 0.0)
    found = find_density(25, body)
    assert found.per_cubic_metre == 50
    assert found.standard_error == pytest.approx(50 * (1 / 25 + 0.01) ** 0.5)
    assert find_density(0, body).says.startswith("none found: fewer than 7 a cubic metre")
    with pytest.raises(MeasureError, match="a volume above 0"):
        find_density(3, body, dug=0)
