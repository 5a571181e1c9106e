"""Places of pictures read back: tags of a GeoTIFF and world files."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from baulk.errors import FileError
from baulk.exchange.geotiff import GeoTiffWriter, world_file
from baulk.exchange.placed_picture import read_placed_picture

UPRIGHT = np.array([[0.002, 0, 110.8], [0, -0.002, 207.2], [0, 0, 1]])
TURNED = np.array([[0.0019, 0.0003, 440000.0], [0.0003, -0.0019, 110000.0], [0, 0, 1]])


@pytest.mark.parametrize(("corner", "epsg"), [(UPRIGHT, None), (TURNED, 27700)])
def test_place_of_a_geotiff_comes_back(tmp_path: Path, corner: np.ndarray, epsg: int | None) -> None:
    """Upright or turned, the first pixel's middle lies half a pixel from the corner written; the grid's code comes back."""
    with GeoTiffWriter(tmp_path / "plan.tif", (8, 6), corner, rows_per_band=6, epsg=epsg) as tiff:
        tiff.write(np.full((6, 8, 4), 255, np.uint8))
    found = read_placed_picture(tmp_path / "plan.tif")
    assert found.epsg == epsg
    assert found.to_ground @ [0, 0, 1] == pytest.approx(corner @ [0.5, 0.5, 1])
    assert found.to_ground @ [7, 5, 1] == pytest.approx(corner @ [7.5, 5.5, 1])


def test_place_in_a_world_file_comes_back(tmp_path: Path) -> None:
    """A PNG has its place in the six lines beside it, of its own ending or the common one."""
    for ending in ("pgw", "wld"):
        folder = tmp_path / ending
        folder.mkdir()
        Image.new("RGB", (8, 6)).save(folder / "plan.png")
        (folder / f"plan.{ending}").write_text(world_file(TURNED))
        found = read_placed_picture(folder / "plan.png")
        assert found.to_ground @ [7, 5, 1] == pytest.approx(TURNED @ [7.5, 5.5, 1])
        assert found.epsg is None


def test_a_picture_without_a_usable_place_is_refused(tmp_path: Path) -> None:
    """No place, a world file of words, pixels without size and a grid of degrees are each refused in words."""
    picture = tmp_path / "plan.png"
    Image.new("RGB", (8, 6)).save(picture)
    with pytest.raises(FileError, match=r"plan.png says nothing of its place, and there is no world file plan.pgw beside it"):
        read_placed_picture(picture)
    (tmp_path / "plan.pgw").write_text("north\n")
    with pytest.raises(FileError, match=r"plan.pgw is no world file: it holds six numbers, one a line"):
        read_placed_picture(picture)
    (tmp_path / "plan.pgw").write_text("0\n0\n0\n0\n1\n2\n")
    with pytest.raises(FileError, match=r"has a place in which its pixels have no size. Rectify the photo again"):
        read_placed_picture(picture)
    keys = (1, 1, 0, 1, 1024, 0, 1, 2)
    tags = [(33550, 12, 3, (1e-8, 1e-8, 0.0)), (33922, 12, 6, (0.0, 0, 0, -1.5, 51, 0)), (34735, 3, len(keys), keys)]
    tifffile.imwrite(
        tmp_path / "plan.tif", np.zeros((6, 8, 3), np.uint8), photometric="rgb", extratags=[(*one, True) for one in tags]
    )
    with pytest.raises(FileError, match=r"plan.tif does not lie on a grid in metres. Turn it onto the site grid"):
        read_placed_picture(tmp_path / "plan.tif")
