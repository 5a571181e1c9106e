"""Homographies and lenses against published point sets, OpenCV and scikit-image.

Marks: [OUTSIDE] read at its source, or the answer of an independent library; [C] computed from the stated formula; [M] from memory.
"""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform, warp

from baulk.ground.camera import displacement, sample_distance
from baulk.ground.homography import Homography, direct_homography, fit_homography
from baulk.ground.lens import bent
from baulk.ground.raster import raster_for
from baulk.ground.rectify import rectify
from baulk.ground.warp import PlainPixels, warp_whole
from tests.unit.ground.camera_picture import CORNERS, Camera

# [OUTSIDE] point set of scikit-image's tests, tests/skimage/transform/test_geometric.py (read).
SRC = np.array([
    (-12.3705, -10.5075), (-10.7865, 15.4305), (8.6985, 10.8675), (11.4975, -9.5715),
    (7.8435, 7.4835), (-5.3325, 6.5025), (6.7905, -6.3765), (-6.1695, -0.8235),
])  # fmt: skip
DST = np.array([(0, 0), (0, 5800), (4900, 5800), (4900, 0), (4479, 4580), (1176, 3660), (3754, 790), (1024, 1931)], float)


def test_four_points_give_the_known_matrix_and_misses() -> None:
    """Four pairs give the matrix that three ways agree on, and miss the four unused points by the known amounts. [OUTSIDE][C]."""
    found = direct_homography(SRC[:4], DST[:4])
    wanted = [
        [194.6690129078, -11.8881839944, 2283.2379308548],
        [-8.6910077539, 221.6206977256, 2221.1673699314],
        [-0.0126959667, -0.0096053624, 1],
    ]
    assert found.matrix == pytest.approx(np.array(wanted), rel=1e-8)
    opencv = cv2.getPerspectiveTransform(SRC[:4].astype(np.float32), DST[:4].astype(np.float32))
    assert found.matrix == pytest.approx(opencv, rel=1e-4)
    missed = found(SRC[4:]) - DST[4:]
    assert missed == pytest.approx(np.array([(12.238, 20.272), (-14.228, 29.260), (21.184, -21.837), (-18.679, -4.827)]), abs=1e-3)
    assert np.sqrt((missed**2).sum(axis=1).mean()) == pytest.approx(27.0055, abs=1e-4)


def test_eight_points_by_the_direct_way_agree_with_scikit_image() -> None:
    """All eight pairs give scikit-image 0.26's matrix and its root mean square of 16.3907. [OUTSIDE]."""
    found = direct_homography(SRC, DST)
    wanted = [194.2689534, -11.9844327, 2285.5551111, -8.2673024, 220.6843433, 2217.7509896, -0.0125896763, -0.0097009294, 1]
    assert found.matrix.ravel() == pytest.approx(wanted, rel=1e-6)
    theirs = ProjectiveTransform.from_estimate(SRC, DST)
    assert found.matrix == pytest.approx(theirs.params, rel=1e-6)
    assert np.sqrt(((found(SRC) - DST) ** 2).sum(axis=1).mean()) == pytest.approx(16.3907, abs=1e-4)


def test_refined_fit_agrees_with_opencv_and_leaves_less() -> None:
    """The refined fit is OpenCV's least-squares one, and its misfit is below that of the direct way. [OUTSIDE]."""
    found = fit_homography(SRC, DST)
    theirs = Homography.of(cv2.findHomography(SRC, DST)[0])
    ours, opencv, direct = (
        float(((fit(SRC) - DST) ** 2).sum(axis=1).mean()) ** 0.5 for fit in (found, theirs, direct_homography(SRC, DST))
    )
    assert found.matrix == pytest.approx(theirs.matrix, rel=1e-5)
    assert ours <= opencv + 1e-8
    assert ours < direct - 0.05


def test_exact_small_case() -> None:
    """The unit square onto (0,0) (4,0) (3,2) (1,2) is H = [[4,2,0],[0,4,0],[0,1,1]]; its centre falls on (2, 4/3). [C]."""
    found = direct_homography([(0, 0), (1, 0), (1, 1), (0, 1)], [(0, 0), (4, 0), (3, 2), (1, 2)])
    assert found.matrix == pytest.approx(np.array([[4, 2, 0], [0, 4, 0], [0, 1, 1]]), abs=1e-12)
    assert found([(0.5, 0.5)])[0] == pytest.approx([2, 4 / 3])


def test_lens_model_is_opencvs() -> None:
    """OpenCV 5.0.0 projects the same: at .3, -.2 with k -.2, .05 and p .001, -.0005 it is .2921785, -.194699. [M][OUTSIDE]."""
    found = bent([0.3], [-0.2], (-0.2, 0.05), (0.001, -0.0005))[0]
    assert found == pytest.approx([0.2921785, -0.194699], abs=1e-7)
    matrix = np.array([[1000, 0, 640], [0, 1000, 480], [0, 0, 1.0]])
    seen, _ = cv2.projectPoints(
        np.array([[0.3, -0.2, 1.0]]), np.zeros(3), np.zeros(3), matrix, np.array([-0.2, 0.05, 0.001, -0.0005, 0.0])
    )
    assert 1000 * found + (640, 480) == pytest.approx(seen.ravel(), abs=1e-6)
    assert seen.ravel() == pytest.approx([932.1785, 285.301], abs=1e-4)


def test_ground_sample_distance_and_relief() -> None:
    """3.91 µm at 3 m through 24 mm covers 0.489 mm; 5 cm of relief at 20° moves a point 18 mm. [C]."""
    assert sample_distance(0.00391, 3000, 24) == pytest.approx(0.489, abs=5e-4)
    assert displacement(50, 20) == pytest.approx(18.2, abs=0.05)


def test_warp_agrees_with_opencv_and_scikit_image() -> None:
    """The rectified picture differs from OpenCV's by one grey level at most, from scikit-image's by its rounding."""
    camera = Camera()
    found = rectify(camera.sees(CORNERS), CORNERS, camera.size, lens=None)
    noise = np.random.default_rng(0).integers(0, 255, (camera.size[1], camera.size[0], 3), dtype=np.uint8)
    picture = cv2.GaussianBlur(noise, (0, 0), 2)
    raster = raster_for(found, cell=0.004)
    ours = warp_whole(PlainPixels(picture), found, raster)
    matrix = found.plane.matrix @ raster.to_ground()
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    opencv = cv2.warpPerspective(picture, matrix, (raster.columns, raster.rows), flags=flags)
    skimage = warp(picture, matrix, output_shape=(raster.rows, raster.columns), order=1, preserve_range=True)
    shown = ours[..., 3] > 0
    assert shown.mean() > 0.9
    assert np.abs(ours[..., :3].astype(int) - opencv)[shown].max() <= 1
    assert np.abs(ours[..., :3] - skimage)[shown].max() < 0.75
    shifted = np.abs(np.roll(ours, 1, axis=1)[..., :3].astype(int) - opencv)[shown]
    assert shifted.max() > 5  # one cell aside is seen
