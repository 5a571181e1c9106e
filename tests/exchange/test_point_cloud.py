"""Point clouds: LAS, LAZ and PLY in all forms give the same points; what is no cloud, or half of one, is refused in words."""

from __future__ import annotations

import struct
from pathlib import Path
from typing import Any

import laspy
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from baulk.errors import FileError, MissingPart
from baulk.exchange.point_cloud import open_point_cloud

POINTS = np.array([[112.25, 204.5, 29.5], [112.5, 204.75, 29.375], [113.0, 205.0, 28.875], [113.125, 205.25, 29.0]])
FORMS = ("ascii", "binary_little_endian", "binary_big_endian")


def write_las(path: Path, points: Any = POINTS, *, scale: float = 0.001) -> Path:
    """Write points as LAS, or as LAZ when the name ends so."""
    head = laspy.LasHeader(point_format=3, version="1.2")
    head.scales, head.offsets = np.full(3, scale), np.floor(points.min(axis=0))
    cloud = laspy.LasData(head)
    cloud.x, cloud.y, cloud.z = points.T
    cloud.write(path)
    return path


def ply_bytes(form: str, points: Any = POINTS, *, count: int | None = None, kind: str = "double") -> bytes:
    """Return a PLY file with a colour between northing and level, and faces after the points."""
    head = (
        f"ply\nformat {form} 1.0\ncomment made for a test\nelement vertex {len(points) if count is None else count}\n"
        f"property {kind} x\nproperty {kind} y\nproperty uchar red\nproperty {kind} z\n"
        "element face 1\nproperty list uchar int vertex_indices\nend_header\n"
    ).encode()
    if form == "ascii":
        rows = "".join(f"{e} {n} 120 {z}\n" for e, n, z in points)
        return head + rows.encode() + b"3 0 1 2\n"
    order, sign = ("<" if form == "binary_little_endian" else ">"), {"double": "d", "float": "f"}[kind]
    body = b"".join(struct.pack(f"{order}{sign}{sign}B{sign}", e, n, 120, z) for e, n, z in points)
    return head + body + struct.pack(f"{order}Biii", 3, 0, 1, 2)


def read(path: Path) -> Any:
    """Return every point of a file."""
    return np.concatenate(list(open_point_cloud(path).slabs()))


@pytest.mark.parametrize("name", ["cloud.las", "cloud.laz", "named.txt"])
def test_las_and_laz_give_every_point(tmp_path: Path, name: str) -> None:
    """LAS and LAZ give the points written, to the step of the file; the kind is told by the bytes, not by the name."""
    path = write_las(tmp_path / ("cloud.las" if name == "named.txt" else name))
    path = path.rename(tmp_path / name)
    cloud = open_point_cloud(path)
    assert (cloud.form, cloud.count, cloud.step) == ("LAZ" if name.endswith("laz") else "LAS", 4, 0.001)
    assert np.abs(read(path) - POINTS).max() < 0.0005
    assert cloud.bounds is not None
    assert np.allclose(cloud.bounds, [POINTS.min(axis=0), POINTS.max(axis=0)], atol=0.001)


@pytest.mark.parametrize("kind", ["float", "double"])
@pytest.mark.parametrize("form", FORMS)
def test_ply_gives_every_point(tmp_path: Path, form: str, kind: str) -> None:
    """Each of the three forms of PLY gives the same points, other properties between and faces after them left out."""
    path = tmp_path / "cloud.ply"
    path.write_bytes(ply_bytes(form, kind=kind))
    assert open_point_cloud(path).count == 4
    assert np.array_equal(read(path), POINTS)


def test_byte_orders_are_told_apart(tmp_path: Path) -> None:
    """The negative control: the bytes of one order read as the other give other points."""
    path = tmp_path / "cloud.ply"
    path.write_bytes(ply_bytes("binary_big_endian").replace(b"binary_big_endian", b"binary_little_endian"))
    assert not np.allclose(read(path), POINTS)


def test_a_cloud_comes_in_slabs_of_bounded_size(tmp_path: Path) -> None:
    """No slab has more than a million points, and together they are all points in their order."""
    points = np.column_stack([np.arange(1_200_000) * 0.001, np.zeros(1_200_000), np.full(1_200_000, 29.0)])
    path = write_las(tmp_path / "cloud.las", points)
    slabs = list(open_point_cloud(path).slabs())
    assert max(len(slab) for slab in slabs) <= 1_000_000
    assert np.abs(np.concatenate(slabs) - points).max() < 0.001


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty: it holds no byte"),
        (b"easting,northing,level\n", "is no LAS, LAZ or PLY file: it begins with “easting,”"),
        (b"ply\nformat ascii 1.0\nelement vertex 3\n", "has no end to its head"),
        (b"ply\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n", "whether it is text"),
        (b"ply\nformat ascii 2.0\nend_header\n", "“format ascii 2.0” of its head is not understood"),
        (b"ply\nformat ascii 1.0\nelement vertex -1\nend_header\n", "“element vertex -1” of its head is not understood"),
        (b"ply\nformat ascii 1.0\nend_header\n", "names no element"),
        (b"ply\nformat ascii 1.0\nelement face 1\nproperty list uchar int v\nelement vertex 1\nend_header\n", "begins with “face”"),
        (b"ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float z\nend_header\n1 2\n", "has no y among"),
        (b"ply\nformat ascii 1.0\nelement vertex 1\nproperty list uchar int x\nend_header\n1 2\n", "has a list among"),
        (b"ply\nformat ascii 1.0\nelement vertex 1\nproperty long x\nend_header\n1 2\n", "“long x” of its points"),
        (ply_bytes("ascii", np.zeros((0, 3))), "holds no point: its head says 0"),
        (ply_bytes("ascii").replace(b"112.5 204.75 120", b"112.5 204.75"), "point 2 has 3 figures; its head says 4 (x, y, red, z)"),
        (ply_bytes("ascii").replace(b"204.75", b"2o4.75"), "a co-ordinate of points 1 to 4 cannot be read"),
        (ply_bytes("ascii").replace(b"204.75", b"nan"), "point 2 has a co-ordinate that is not a number"),
        (ply_bytes("binary_big_endian", np.where(POINTS == 29.5, np.inf, POINTS)), "point 1 has a co-ordinate"),
        (ply_bytes("binary_little_endian", count=5_000), "is cut short: its head says 5,000 points"),
        (ply_bytes("ascii", count=7), "is cut short: its head says 7 points"),
        (ply_bytes("ascii", count=10**14), "is cut short"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_in_words(tmp_path: Path, content: bytes, says: str) -> None:
    """A wrong, damaged, empty or cut-short file is refused with the fault and what to do, and never half read."""
    path = tmp_path / "cloud.ply"
    path.write_bytes(content)
    with pytest.raises(FileError) as refusal:
        read(path)
    assert says in str(refusal.value)
    assert str(refusal.value).startswith("cloud.ply")


@pytest.mark.parametrize("name", ["cloud.las", "cloud.laz"])
@pytest.mark.parametrize("share", [0.01, 0.3, 0.7, 0.95, 0.9999])
def test_a_las_file_cut_short_is_refused(tmp_path: Path, name: str, share: float) -> None:
    """Wherever a LAS or LAZ file is cut off, it is refused as cut short or damaged."""
    rng = np.random.default_rng(1)
    path = write_las(tmp_path / name, POINTS[0] + rng.random((3_000, 3)))
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])
    with pytest.raises(FileError, match=r"cut short|damaged"):
        read(path)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(where=st.floats(0, 0.999), byte=st.integers(0, 255), packed=st.booleans())
def test_a_changed_byte_never_escapes_as_another_error(tmp_path: Path, where: float, byte: int, packed: bool) -> None:
    """One byte changed anywhere gives points or a refusal in words, never another error."""
    path = write_las(tmp_path / ("cloud.laz" if packed else "cloud.las"))
    content = bytearray(path.read_bytes())
    content[int(where * len(content))] = byte
    path.write_bytes(bytes(content))
    said = ""
    try:
        read(path)
    except FileError as refusal:
        said = str(refusal)
    assert not said or said.startswith(path.name)


def test_no_points_in_las_are_refused(tmp_path: Path) -> None:
    """A LAS file that holds no point says so."""
    head = laspy.LasHeader(point_format=3, version="1.2")
    laspy.LasData(head).write(tmp_path / "cloud.las")
    with pytest.raises(FileError, match="holds no point: its head says 0"):
        open_point_cloud(tmp_path / "cloud.las")


def test_missing_files_and_folders_are_refused(tmp_path: Path) -> None:
    """A name without a file, and a folder, are refused each in its own words."""
    with pytest.raises(FileError, match="There is no file gone"):
        open_point_cloud(tmp_path / "gone.las")
    with pytest.raises(FileError, match="is a folder"):
        open_point_cloud(tmp_path)


def test_without_the_optional_part_the_sentence_installs_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """LAS without the part that reads it answers with the command that installs it; PLY needs no part."""
    path = write_las(tmp_path / "cloud.las")
    (tmp_path / "cloud.ply").write_bytes(ply_bytes("ascii"))

    def missing(name: str, *_: Any) -> Any:
        raise ImportError(name)

    monkeypatch.setattr("baulk.exchange.las.import_module", missing)
    with pytest.raises(MissingPart) as refusal:
        open_point_cloud(path)
    assert "cloud.las is a LAS or LAZ point cloud; reading it needs a part" in str(refusal.value)
    assert str(refusal.value).endswith("Install it with: pip install 'baulk[pointcloud]'")
    assert len(read(tmp_path / "cloud.ply")) == 4
