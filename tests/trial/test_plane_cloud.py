"""A real point cloud of a nearly flat floor: 28,185 points over 2.25 by 2 m with 4 cm of relief, levels kept to the centimetre."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.exchange.point_cloud import open_point_cloud
from baulk.record import Context, SiteRecord, Unit, build
from baulk.work.point_cloud import cloud_levels

DATA = Path(os.environ.get("BAULK_TRIAL_DATA", Path(__file__).parents[2].parent / "shared" / "data"))
CLOUD = DATA / "pointcloud" / "plane.laz"


@pytest.fixture
def plane() -> Path:
    """The file; without it the trial is left out."""
    if not CLOUD.exists():
        pytest.skip(f"the real point cloud is not here ({CLOUD.name}): set BAULK_TRIAL_DATA to the folder that holds pointcloud/")
    return CLOUD


def record() -> SiteRecord:
    """Return a made-up unit of 2 m on a site grid of its own."""
    corners = [[100, 200], [102, 200], [102, 202], [100, 202]]
    return SiteRecord.of(
        [
            build(Unit, {"id": "u", "number": "1", "corners": corners}),
            build(Context, {"id": "c", "number": "7", "kind": "surface", "units": ["u"]}),
        ]
    )


def test_the_real_cloud_is_read_whole(plane: Path) -> None:
    """All 28,185 points are there, within the bounds of the file's own head."""
    cloud = open_point_cloud(plane)
    points = np.concatenate(list(cloud.slabs()))
    assert len(points) == cloud.count == 28_185
    assert np.ptp(points, axis=0) == pytest.approx([2.24, 1.97, 0.04], abs=0.02)


def test_the_real_cloud_gives_levels_when_shifted(plane: Path) -> None:
    """On the site grid nearly every cell of 5 cm has a level, and the error told is within the centimetre of the file."""
    found = cloud_levels(record(), plane, "7", offset=(-1423114.6, -4188896.6, 0.0))
    assert len(found.kept) > 1_500
    assert found.thinned.error is not None
    assert found.thinned.error.root_mean_square < 0.01
    assert np.ptp(found.thinned.levels[found.kept]) <= 0.041


def test_the_real_cloud_as_it_is_lies_elsewhere(plane: Path) -> None:
    """Taken as site grid it is refused, with a projected grid as the likely cause."""
    with pytest.raises(MeasureError, match="a projected grid and not the site grid"):
        cloud_levels(record(), plane, "7")
