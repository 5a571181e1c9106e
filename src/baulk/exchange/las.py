"""LAS and LAZ point clouds, slab by slab, through the optional part ``pointcloud``.

References
----------
ASPRS, LAS specification 1.4 R15: head, scale and offset of co-ordinates.
"""

from __future__ import annotations

import struct
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from baulk.errors import FileError, MissingPart, shorten

__all__ = ["LasFile", "open_las"]

Floats = NDArray[np.float64]

_SLAB_BYTES = 48 * 1024**2
_MOST_IN_SLAB = 1_000_000
_ROW_BYTES = 12


@dataclass(frozen=True, slots=True, eq=False)
class LasFile:
    """The head of a LAS or LAZ file, and the way to its points; fields as of `baulk.exchange.point_cloud.PointCloud`."""

    path: Path
    name: str
    count: int
    bounds: Floats
    grid: str
    step: float
    packed: bool
    record_bytes: int
    scale: Floats
    offset: Floats

    def slabs(self) -> Iterator[Floats]:
        """Yield the points of shape (n, 3) from the start."""
        several = int(np.clip(_SLAB_BYTES // max(self.record_bytes, 1), 1, _MOST_IN_SLAB))
        for whole in self._unpacked(several) if self.packed else self._plain(several):
            slab = whole * self.scale
            slab += self.offset
            yield slab

    def _plain(self, several: int) -> Iterator[NDArray[np.int32]]:
        laspy = _part(self.name)
        with _in_words(self.name, laspy), laspy.open(self.path) as file:
            for points in file.chunk_iterator(several):
                yield np.column_stack([points.array[axis] for axis in "XYZ"])

    def _unpacked(self, several: int) -> Iterator[NDArray[np.int32]]:
        """Yield whole numbers from a process of its own, which a damaged file may bring down."""
        command = [sys.executable, "-P", str(Path(__file__).with_name("las_unpacking.py")), str(self.path), str(several)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as child:  # noqa: S603  our own file
            assert child.stdout is not None  # a pipe was asked for
            while found := child.stdout.read(several * _ROW_BYTES):
                yield np.frombuffer(found[: len(found) // _ROW_BYTES * _ROW_BYTES], "<i4").reshape(-1, 3)
        if child.returncode:
            raise FileError(f"{self.name} is damaged or cut short: its points cannot be unpacked. Copy it from its source again.")


def open_las(path: Path, name: str) -> LasFile:
    """Read the head of a LAS or LAZ file.

    Raises
    ------
    FileError
        The head is damaged, or the file is shorter than its head says.
    MissingPart
        The part that reads it is not installed.
    """
    laspy = _part(name)
    _refuse_endless_notes(path, name)
    with _in_words(name, laspy), laspy.open(path) as file:
        head = file.header
    bounds, scale, offset = (np.asarray(held, float) for held in ([head.mins, head.maxs], head.scales, head.offsets))
    packed, count, record_bytes = bool(head.are_points_compressed), int(head.point_count), int(head.point_format.size)
    found = LasFile(path, name, count, bounds, _grid(head), float(scale[2]), packed, record_bytes, scale, offset)
    needed = int(head.offset_to_point_data) + (0 if packed else count * record_bytes)
    size = path.stat().st_size
    if size < needed:
        share = max(0.0, size / needed)
        raise FileError(
            f"{name} is cut short: its head says {found.count:,} points, which take {needed:,} bytes, and {size:,} are there "
            f"({share:.0%}). Copy it from its source again."
        )
    return found


def _refuse_endless_notes(path: Path, name: str) -> None:
    """Refuse a head that says more notes than the file could hold: they would be read one by one for hours."""
    with path.open("rb") as file:
        start = file.read(247)
    if len(start) < 104:
        raise FileError(f"{name} is cut short: its head is not whole. Copy it from its source again.")
    points_at, notes = struct.unpack_from("<II", start, 96)
    more = struct.unpack_from("<I", start, 243)[0] if len(start) >= 247 and start[24:26] >= b"\x01\x04" else 0
    if notes * 54 > points_at or more * 60 > path.stat().st_size:
        raise FileError(f"{name} is damaged: its head says {max(notes, more):,} notes, more than it can hold. Copy it again.")


def _part(name: str) -> Any:
    try:
        import_module("lazrs")
        return import_module("laspy")
    except ImportError:
        raise MissingPart("pointcloud", f"{name} is a LAS or LAZ point cloud; reading it") from None


@contextmanager
def _in_words(name: str, laspy: Any) -> Iterator[None]:
    """Turn what the reading library says of a damaged file into our words."""
    lazrs = import_module("lazrs")
    faults = (
        laspy.errors.LaspyException,
        lazrs.LazrsError,
        ValueError,
        EOFError,
        struct.error,
        OSError,
        RuntimeError,
        OverflowError,
    )
    try:
        yield
    except FileError:
        raise
    except (*faults, AssertionError, IndexError, KeyError, TypeError, MemoryError) as fault:
        raise FileError(
            f"{name} is damaged or cut short ({shorten(fault, 80) or type(fault).__name__}). Copy it from its source again."
        ) from None
    except BaseException as fault:
        if type(fault).__name__ != "PanicException":  # the unpacking library's own, which stands outside Exception
            raise
        raise FileError(f"{name} is damaged: its packed points cannot be unpacked. Copy it from its source again.") from None


def _grid(head: Any) -> str:
    """Return the name of the projected grid in the file's own notes; empty when it has none or it cannot be read."""
    try:
        found = head.parse_crs()
    except Exception:  # noqa: BLE001  a note that nobody needs may be broken in any way
        return ""
    return "" if found is None else shorten(found.name, 80)
