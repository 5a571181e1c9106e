"""Photos fitted to the ground: accuracy, honesty of the check, refusals, relief."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.ground.camera import camera_place, relief_warning
from baulk.ground.lens import Lens
from baulk.ground.raster import raster_for
from baulk.ground.rectify import NO_CHECK, rectify
from baulk.ground.warp import PlainPixels, warp_bands, warp_whole

from .camera_picture import CORNERS, Camera

GRID = np.array([(east, north) for east in np.linspace(111, 113, 6) for north in np.linspace(205, 207, 6)])


def test_synthetic_picture_lies_within_three_millimetres() -> None:
    """Six points marked to half a pixel place the whole of a 2 m unit within 3 mm, in 95 of 100 trials at least."""
    camera = Camera(size=(4000, 3000), focal=2750)
    six = CORNERS[[0, 1, 2, 3, 6, 7]]
    rng = np.random.default_rng(5)
    worst = []
    for _ in range(100):
        found = rectify(camera.sees(six) + rng.normal(0, 0.5, six.shape), six, camera.size, lens=None)
        worst.append(1000 * np.hypot(*(found.positions(camera.sees(GRID)) - GRID).T).max())
    assert np.quantile(worst, 0.95) < 3
    slipped = camera.sees(six)
    slipped[4] += 12  # a negative control: one nail marked a dozen pixels off
    off = rectify(slipped, six, camera.size, lens=None)
    assert 1000 * np.hypot(*(off.positions(camera.sees(GRID)) - GRID).T).max() > 3


def test_left_out_error_is_honest() -> None:
    """Over many trials the left-out error is at least the true error over the unit, where the fitted residual is well below it."""
    camera, rng = Camera(), np.random.default_rng(7)
    left_out, fitted, true = [], [], []
    for _ in range(60):
        found = rectify(camera.sees(CORNERS) + rng.normal(0, 1, CORNERS.shape), CORNERS, camera.size, lens=None)
        left_out.append(found.left_out_error)
        fitted.append(found.root_mean_square)
        true.append(np.sqrt((1e6 * ((found.positions(camera.sees(GRID)) - GRID) ** 2).sum(axis=1)).mean()))
    assert np.mean(left_out) > np.mean(true)
    assert np.mean(fitted) < np.mean(left_out) / 1.5


def test_four_points_have_no_check() -> None:
    """Four points fit exactly even when one is wrong: the residual is nought, and the words say “no check” and ask for a fifth."""
    camera = Camera()
    seen = camera.sees(CORNERS[:4])
    seen[2] += 30
    found = rectify(seen, CORNERS[:4], camera.size)
    assert found.root_mean_square < 1e-6
    assert found.left_out is None
    assert found.check == NO_CHECK
    assert any("fifth point" in note for note in found.notes)
    five = rectify(np.vstack([seen, camera.sees(CORNERS[4:5])]), CORNERS[:5], camera.size)
    assert five.left_out_error is not None
    assert five.left_out_error > 10


def test_lens_is_found_when_there_are_points_for_it() -> None:
    """A lens that moves the corners by tens of pixels is found from twelve points, and left out when there is none."""
    places = np.vstack([CORNERS, [(111.5, 206.6), (112.5, 205.5), (112.6, 206.7), (111.4, 205.5)]])
    rng = np.random.default_rng(1)
    bent = Camera(k1=-0.06, k2=0.01)
    found = rectify(bent.sees(places) + rng.normal(0, 0.3, places.shape), places, bent.size)
    plain = rectify(bent.sees(places) + rng.normal(0, 0.3, places.shape), places, bent.size, lens=None)
    assert found.lens is not None
    assert found.lens.k1 == pytest.approx(-0.06, abs=0.02)
    error, without = (1000 * np.hypot(*(fit.positions(bent.sees(GRID)) - GRID).T).max() for fit in (found, plain))
    assert error < 4 < without
    straight = Camera()
    none = rectify(straight.sees(places) + rng.normal(0, 0.3, places.shape), places, straight.size)
    assert none.lens is None
    assert any("left out" in note for note in none.notes)
    few = rectify(bent.sees(CORNERS[:6]), CORNERS[:6], bent.size)
    assert few.lens is None
    assert any("6 points are too few to find how the lens bends lines" in note for note in few.notes)


def test_lens_goes_there_and_back() -> None:
    """Pixels bent and straightened again come back, and a lens that folds within the picture is refused."""
    lens = Lens(-0.1, 0.02, 800, 600, 1000)
    pixels = np.random.default_rng(0).uniform(0, 1500, (200, 2))
    assert lens.ideal(lens.seen(pixels)) == pytest.approx(pixels, abs=1e-8)
    with pytest.raises(MeasureError, match="folds back on itself, so a pixel has no single place"):
        Lens(-0.9, 0.0, 800, 600, 1000).ideal([[1700.0, 1300.0]])


def test_a_slipped_mark_is_named() -> None:
    """The one point that does not fit the others is named with both figures."""
    camera, seen = Camera(), Camera().sees(CORNERS)
    seen = seen + np.random.default_rng(0).normal(0, 0.3, seen.shape)
    seen[4] += (40, -25)
    found = rectify(seen, CORNERS, camera.size, names=[f"N{place}" for place in range(8)], lens=None)
    assert any(note.startswith("Point N4 is missed by") for note in found.notes)


def test_a_point_that_alone_holds_its_side_is_named_as_that() -> None:
    """Seven nails at one end and one at the far end: the far one is not called wrong, but a second near it is asked for."""
    camera = Camera()
    places = np.array([(111, 205), (111.2, 205.9), (111.05, 206.5), (111.3, 205.3), (111.15, 206.9), (111.3, 206.4), (113, 206)])
    seen = camera.sees(places) + np.random.default_rng(2).normal(0, 0.4, places.shape)
    found = rectify(seen, places, camera.size, lens=None)
    assert any("Point 7" in note and "it alone holds its side" in note for note in found.notes)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda s, g: (s[:3], g[:3]), "3 points are marked. A flat floor seen from above needs four"),
        (lambda s, g: (s, g[:, ::-1]), "run the other way round in the picture than on the ground"),
        (lambda s, g: (s[[0, 1, 2, 3, 0]], g[:5]), "Points 1 and 5 have one position in the picture. Two nails cannot"),
        (lambda s, g: (s + 5000, g), "outside the picture of 1600 × 1200 pixels"),
        (lambda s, g: (s, np.where(g == 113, np.nan, g)), "Point 2 lacks a number"),
    ],
)
def test_refusals_say_what_is_wrong(spoil, words) -> None:
    """Too few points, exchanged axes, doubled points, points outside and blanks are refused in trade words."""
    camera = Camera()
    seen, ground = spoil(camera.sees(CORNERS), CORNERS)
    with pytest.raises(MeasureError, match=words.replace(".", r"\.")):
        rectify(seen, ground, camera.size)


def test_three_in_line_of_four_are_refused_and_allowed_among_six() -> None:
    """Four points with three in one line are refused by name; six with three in line are not."""
    line = np.array([(111, 205), (112, 205), (113, 205), (112, 207)], float)
    camera = Camera()
    with pytest.raises(MeasureError, match="Points A, B, C lie in one line in the picture, and only 1 of the points lies off it"):
        rectify(camera.sees(line), line, camera.size, names="ABCD")
    six = np.vstack([line, [(111, 207), (113, 206.5)]])
    assert rectify(camera.sees(six), six, camera.size).left_out_error == pytest.approx(0, abs=1e-6)


def test_relief_is_told_with_its_size() -> None:
    """The warning's displacement is that of the made camera, which is found from the tilt of the view."""
    camera = Camera(tilt=40, place=(111.6, 203.8, 2.6))
    found = rectify(camera.sees(CORNERS), CORNERS, camera.size, lens=None)
    place = camera_place(found)
    assert place is not None
    assert (place.easting, place.northing, place.height) == pytest.approx(camera.place, abs=1e-4)
    assert place.focal == pytest.approx(camera.focal, rel=1e-4)
    drawn = found.positions(camera.sees(CORNERS, 0.05)) - CORNERS
    assert place.moved(CORNERS, 0.05) == pytest.approx(np.hypot(*drawn.T), rel=1e-3)
    words = relief_warning(found, 0.05, place)
    assert f"up to {1000 * np.hypot(*drawn.T).max():.0f} mm from its place" in words
    down = Camera(tilt=0.5, place=(112, 206, 2.6), bearing=0)
    square = rectify(down.sees(CORNERS), CORNERS, down.size, lens=None)
    assert camera_place(square) is None
    assert "Give the camera's height" in relief_warning(square, 0.05, None)
    assert "(taken, not known)" in relief_warning(square, 0.05, None, height=2.6)


def test_chequered_floor_comes_out_square() -> None:
    """The floor's squares lie on round co-ordinates in the rectified picture, within a pixel of their edges."""
    camera = Camera()
    found = rectify(camera.sees(CORNERS), CORNERS, camera.size, lens=None)
    raster = raster_for(found, cell=0.005, edges=(111, 205, 113, 207))
    assert (raster.columns, raster.rows) == (400, 400)
    out = warp_whole(PlainPixels(camera.floor()), found, raster)
    east = 111 + 0.005 * (np.arange(400) + 0.5)
    north = 207 - 0.005 * (np.arange(400) + 0.5)
    wanted = (np.floor(east / 0.1 + 1e-9)[None, :] + np.floor(north / 0.1 + 1e-9)[:, None]) % 2 > 0.5
    shown = out[..., 3] > 0
    assert shown.mean() > 0.95
    clear = (np.minimum(east % 0.1, 0.1 - east % 0.1) > 0.006)[None, :] & (np.minimum(north % 0.1, 0.1 - north % 0.1) > 0.006)[
        :, None
    ]
    assert ((out[..., 0] > 130) == wanted)[shown & clear].mean() == 1
    assert ((np.roll(out, 4, axis=0)[..., 0] > 130) == wanted)[shown & clear].mean() < 0.9  # 20 mm aside is seen


def test_bands_are_the_whole_and_cover_no_more_than_the_photo() -> None:
    """Bands of any height make the same picture; ground outside the photo is transparent."""
    camera = Camera()
    found = rectify(camera.sees(CORNERS), CORNERS, camera.size, lens=None)
    raster = raster_for(found, cell=0.01, edges=(107, 202, 116, 209))
    photo = PlainPixels(camera.floor())
    whole = warp_whole(photo, found, raster)
    assert np.array_equal(np.concatenate(list(warp_bands(photo, found, raster, rows=37, workers=1))), whole)
    assert 0 < (whole[..., 3] > 0).mean() < 0.9
    assert whole[whole[..., 3] == 0].max() == 0


def test_rasters_are_refused_in_words() -> None:
    """A cell of nought, crossed edges and an endless picture are refused."""
    camera = Camera()
    found = rectify(camera.sees(CORNERS), CORNERS, camera.size, lens=None)
    with pytest.raises(MeasureError, match="A cell of 0 m is asked for"):
        raster_for(found, cell=0)
    with pytest.raises(MeasureError, match="they cross"):
        raster_for(found, edges=(113, 205, 111, 207))
    with pytest.raises(MeasureError, match="at most 1,000,000,000 are made"):
        raster_for(found, cell=1e-6)
