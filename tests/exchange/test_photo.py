"""Photos read and pictures with a place written."""

from __future__ import annotations

import struct
import warnings
import zlib
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image, ImageOps

from baulk.errors import FileError, MissingPart
from baulk.exchange.geotiff import GeoTiffWriter, PngWriter, world_file
from baulk.exchange.photo import read_photo

RNG = np.random.default_rng(3)
PIXELS = np.kron(RNG.integers(0, 255, (12, 16, 3), dtype=np.uint8), np.ones((8, 8, 1), np.uint8))


def _saved(path: Path, orientation: int = 1, **options) -> Path:
    exif = Image.Exif()
    exif[0x0112] = orientation
    Image.fromarray(PIXELS).save(path, exif=exif, **options)
    return path


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("ending", ["png", "jpg", "tif"])
def test_orientation_is_applied_once(tmp_path: Path, orientation: int, ending: str) -> None:
    """Each of the eight orientations gives the upright picture that the imaging library gives, read by way of `to_stored`."""
    path = _saved(tmp_path / f"frame.{ending}", orientation)
    photo = read_photo(path)
    with Image.open(path) as picture:
        upright = np.asarray(ImageOps.exif_transpose(picture).convert("RGB"))
    assert photo.size == (upright.shape[1], upright.shape[0])
    stored = photo.window(0, 0, *photo.stored_size)
    spots = RNG.integers(0, (upright.shape[1], upright.shape[0]), (40, 2))
    places = np.rint(np.column_stack([spots, np.ones(len(spots))]) @ photo.to_stored.T).astype(int)
    assert np.array_equal(stored[places[:, 1], places[:, 0]], upright[spots[:, 1], spots[:, 0]])


@pytest.mark.parametrize("ending", ["png", "jpg", "tif"])
def test_reduction_keeps_places(tmp_path: Path, ending: str) -> None:
    """A photo read at half size has a quarter of the pixels, and an upright place still falls on its own colour."""
    photo = read_photo(_saved(tmp_path / f"frame.{ending}", 6), coarser=2.3)
    assert (photo.reduction, sorted(photo.stored_size), photo.size) == (2, [48, 64], (96, 128))
    column, row = 36.5, 20.5  # the middle of an 8-pixel square, upright
    across, down, _ = photo.to_stored @ (column, row, 1)
    full = read_photo(tmp_path / f"frame.{ending}")
    there = full.to_stored @ (column, row, 1)
    wanted = full.window(*(int(v) for v in (there[0], there[1], there[0] + 1, there[1] + 1)))[0, 0].astype(int)
    found = photo.window(0, 0, *photo.stored_size)[round(down), round(across)].astype(int)
    assert np.abs(found - wanted).max() <= (30 if ending == "jpg" else 2)


def test_focal_length_of_the_file(tmp_path: Path) -> None:
    """A focal length of 24 mm on 35 mm film is 24/43.27 of the diagonal in pixels."""
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = 24
    Image.fromarray(PIXELS).save(tmp_path / "frame.jpg", exif=exif)
    assert read_photo(tmp_path / "frame.jpg").focal == pytest.approx(24 / 43.2666 * np.hypot(128, 96), rel=1e-4)
    Image.fromarray(PIXELS).save(tmp_path / "bare.jpg")
    assert read_photo(tmp_path / "bare.jpg").focal is None


def test_heic_is_turned_once_and_asked_for_when_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A HEIC photo, which its reader has turned, is not turned again; without the part the sentence names it."""
    heif = pytest.importorskip("pillow_heif")
    heif.register_heif_opener()
    path = _saved(tmp_path / "frame.heic", 6, quality=90)
    photo = read_photo(path)
    with Image.open(path) as picture:
        turned = np.asarray(picture.convert("RGB"))
    assert photo.size == (turned.shape[1], turned.shape[0])
    assert np.array_equal(photo.to_stored, np.eye(3))
    assert np.array_equal(photo.window(0, 0, *photo.size), turned)
    monkeypatch.setitem(__import__("sys").modules, "pillow_heif", None)
    with pytest.raises(MissingPart, match=r"frame.heic is a HEIC photo; reading it needs .* pip install 'baulk\[heic\]'"):
        read_photo(path)


def test_what_is_no_photo_is_refused(tmp_path: Path) -> None:
    """A missing file, a folder, an empty file, a table and a photo cut short are each refused by name."""
    with pytest.raises(FileError, match=r"There is no file gone.jpg"):
        read_photo(tmp_path / "gone.jpg")
    with pytest.raises(FileError, match="is a folder"):
        read_photo(tmp_path)
    (tmp_path / "empty.jpg").touch()
    with pytest.raises(FileError, match=r"empty.jpg is empty: it holds no byte"):
        read_photo(tmp_path / "empty.jpg")
    (tmp_path / "table.jpg").write_text("column,row\n1,2\n")
    with pytest.raises(FileError, match=r"table.jpg cannot be read as a picture"):
        read_photo(tmp_path / "table.jpg")
    for ending in ("jpg", "png", "tif"):
        whole = _saved(tmp_path / f"whole.{ending}", 1, **({"compression": "tiff_lzw"} if ending == "tif" else {})).read_bytes()
        (tmp_path / f"short.{ending}").write_bytes(whole[: len(whole) * 2 // 3])
        with pytest.raises(FileError, match=rf"short.{ending} (is cut short or damaged|cannot be read as a picture)"):
            read_photo(tmp_path / f"short.{ending}")
    Image.fromarray(np.zeros((8, 8), np.uint16)).save(tmp_path / "deep.png")
    with pytest.raises(FileError, match=r"deep.png holds more than 8 bits a channel"):
        read_photo(tmp_path / "deep.png")


def test_a_file_that_unpacks_to_too_much_is_refused_before_it_is(tmp_path: Path) -> None:
    """A PNG of a few bytes that says it has ten thousand million pixels is refused without being decoded."""

    def chunk(name: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    header = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    (tmp_path / "bomb.png").write_bytes(bomb)
    with pytest.raises(FileError, match=r"bomb.png unpacks to .* at most 400,000,000 are read"):
        read_photo(tmp_path / "bomb.png")
    with pytest.raises(FileError, match=r"unpacks to 128 × 96 pixels; at most 1,000 are read"):
        read_photo(_saved(tmp_path / "frame.png"), most_pixels=1000)


def _bands(rows: int) -> list[np.ndarray]:
    picture = np.dstack([PIXELS, np.full(PIXELS.shape[:2], 255, np.uint8)])
    return [picture[top : top + rows] for top in range(0, len(picture), rows)]


@pytest.mark.parametrize("big", [False, True])
def test_geotiff_is_read_by_an_independent_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, big: bool) -> None:
    """Pixels, size of cell, corner and grid come back through tifffile, in the small form and in BigTIFF."""
    if big:
        monkeypatch.setattr("baulk.exchange.geotiff._LARGE", 100)
    corner = np.array([[0.002, 0, 110.8], [0, -0.002, 207.2], [0, 0, 1]])
    with GeoTiffWriter(tmp_path / "plan.tif", (128, 96), corner, rows_per_band=40, citation="site grid of OTW26, metres") as tiff:
        for band in _bands(40):
            tiff.write(band)
    with tifffile.TiffFile(tmp_path / "plan.tif") as read:
        assert read.is_bigtiff == big
        assert np.array_equal(read.asarray()[..., :3], PIXELS)
        facts = read.geotiff_metadata
    assert facts["ModelPixelScale"] == [0.002, 0.002, 0.0]
    assert facts["ModelTiepoint"] == [0, 0, 0, 110.8, 207.2, 0]
    assert int(facts["GTModelTypeGeoKey"]) == 32767
    assert facts["GTCitationGeoKey"] == "site grid of OTW26, metres"
    with Image.open(tmp_path / "plan.tif") as picture:
        assert np.array_equal(np.asarray(picture.convert("RGB")), PIXELS)


def test_geotiff_on_a_turned_projected_grid(tmp_path: Path) -> None:
    """A site grid tied to EPSG:27700 is written as a transformation with its turn and the grid's code."""
    turned = np.array([[0.0019, 0.0003, 440000.0], [0.0003, -0.0019, 110000.0], [0, 0, 1]])
    with GeoTiffWriter(tmp_path / "plan.tif", (128, 96), turned, rows_per_band=96, epsg=27700) as tiff:
        tiff.write(_bands(96)[0])
    with tifffile.TiffFile(tmp_path / "plan.tif") as read:
        facts = read.geotiff_metadata
    assert np.array(facts["ModelTransformation"]).ravel()[:8] == pytest.approx(
        [0.0019, 0.0003, 0, 440000, 0.0003, -0.0019, 0, 110000]
    )
    assert int(facts["ProjectedCSTypeGeoKey"]) == 27700


def test_png_and_world_file(tmp_path: Path) -> None:
    """The PNG written in bands is the picture, and the world file names the centre of its first pixel."""
    with PngWriter(tmp_path / "plan.png", (128, 96)) as png:
        for band in _bands(31):
            png.write(band)
    with Image.open(tmp_path / "plan.png") as picture:
        assert picture.mode == "RGBA"
        assert np.array_equal(np.asarray(picture)[..., :3], PIXELS)
    lines = [float(line) for line in world_file(np.array([[0.002, 0, 110.8], [0, -0.002, 207.2], [0, 0, 1]])).split()]
    assert lines == pytest.approx([0.002, 0, 0, -0.002, 110.801, 207.199])


def test_a_write_that_fails_leaves_no_file(tmp_path: Path) -> None:
    """When drawing stops half-way there is neither a picture nor a passing file; an unwritable place is refused in words."""

    def stopped() -> None:
        with PngWriter(tmp_path / "plan.png", (128, 96)) as png:
            png.write(_bands(10)[0])
            raise RuntimeError

    with pytest.raises(RuntimeError):
        stopped()
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "file").touch()
    with pytest.raises(FileError, match=r"plan.png cannot be written"):
        PngWriter(tmp_path / "file" / "plan.png", (1, 1))


def test_no_warning_of_the_imaging_library_comes_out(tmp_path: Path) -> None:
    """A large but allowed photo is read without a warning of a decompression bomb."""
    path = tmp_path / "large.png"
    Image.new("L", (10_000, 9_500)).save(path)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert read_photo(path, coarser=8).stored_size == (1250, 1188)
