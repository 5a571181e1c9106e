"""A picture with its place: GeoTIFF, PNG and world file, written a band of rows at a time.

Nothing of the photo's own data is carried over: no camera, no time, no position.

References
----------
TIFF 6.0 (Adobe 1992) and OGC GeoTIFF 1.1 (OGC 19-008r4): tags 33550, 33922, 34264, 34735, 34737; keys 1024, 1025, 1026, 3072,
3076 (from memory; a test reads the files with an independent library). PNG (ISO/IEC 15948).
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Sequence
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Self

import numpy as np
from numpy.typing import NDArray

from baulk.errors import FileError

__all__ = ["GeoTiffWriter", "PngWriter", "world_file"]

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

_SHORT, _LONG, _DOUBLE, _ASCII, _LONG8 = 3, 4, 12, 2, 16
_FORMS = {_SHORT: "H", _LONG: "I", _DOUBLE: "d", _LONG8: "Q"}
_LARGE = 3_500_000_000
"""Bytes of pixels from which a file is written as BigTIFF."""


class _NewFile:
    """A file written under a passing name and given its own at the end, or not at all."""

    def __init__(self, path: Path) -> None:
        self._path, self._passing = path, path.with_name(f".{path.name}.part")
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._file: BinaryIO = self._passing.open("wb")
        except OSError as refusal:
            raise FileError(f"{path.name} cannot be written: {refusal.strerror}. Give another place.") from None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        if kind is None:
            try:
                self._finish()
                self._file.close()
                self._passing.replace(self._path)
                return
            except OSError as refusal:
                self._discard()
                raise FileError(f"{self._path.name} cannot be written: {refusal.strerror}. Give another place.") from None
        self._discard()

    def _discard(self) -> None:
        self._file.close()
        self._passing.unlink(missing_ok=True)

    def _put(self, content: bytes) -> None:
        try:
            self._file.write(content)
        except OSError as refusal:
            raise FileError(f"{self._path.name} cannot be written: {refusal.strerror}. Give another place.") from None

    def _finish(self) -> None:
        """Write what comes last."""


class GeoTiffWriter(_NewFile):
    """A GeoTIFF of red, green, blue and transparency, packed, one strip to a band.

    Parameters
    ----------
    path : Path
        The file.
    size : tuple of two int
        Columns and rows.
    to_ground : numpy.ndarray of shape (3, 3)
        From column and row (0, 0 is the outer corner of the first pixel) to easting and northing.
    rows_per_band : int
        Rows of every band but the last.
    epsg : int or None
        Code of the projected grid; None for a site grid that is tied to none.
    citation : str
        What the grid is, in words.
    """

    def __init__(
        self,
        path: Path,
        size: tuple[int, int],
        to_ground: Floats,
        *,
        rows_per_band: int,
        epsg: int | None = None,
        citation: str = "",
    ) -> None:
        super().__init__(path)
        self._size, self._to_ground, self._rows_per_band = size, to_ground, rows_per_band
        self._epsg, self._citation = epsg, citation.encode("ascii", "replace").decode().replace("|", "/")
        self._big = 4 * size[0] * size[1] > _LARGE
        self._places: list[tuple[int, int]] = []
        self._put(struct.pack("<2sHHHQ", b"II", 43, 8, 0, 0) if self._big else struct.pack("<2sHI", b"II", 42, 0))

    def write(self, band: Pixels) -> None:
        """Write the next band, shape (rows, columns, 4)."""
        steps = band.copy()  # each byte less the byte one pixel to its left: it packs smaller and faster (TIFF 6.0, part 2)
        steps[:, 1:] -= band[:, :-1]
        packed = zlib.compress(steps.tobytes(), 1)
        self._places.append((self._file.tell(), len(packed)))
        self._put(packed)

    def _finish(self) -> None:
        entries = sorted(self._entries())
        start = self._file.tell() + self._file.tell() % 2
        self._put(b"\0" * (start - self._file.tell()))
        count_form, offset_form, room = ("<Q", "<Q", 8) if self._big else ("<H", "<I", 4)
        after = start + struct.calcsize(count_form) + len(entries) * (12 + (8 if self._big else 0)) + struct.calcsize(offset_form)
        listed, beyond = struct.pack(count_form, len(entries)), b""
        for tag, form, values in entries:
            raw = str(values).encode("ascii") + b"\0" if form == _ASCII else struct.pack(f"<{len(values)}{_FORMS[form]}", *values)
            number = len(raw) if form == _ASCII else len(values)
            listed += struct.pack("<HHQ" if self._big else "<HHI", tag, form, number)
            if len(raw) <= room:
                listed += raw.ljust(room, b"\0")
            else:
                listed += struct.pack(offset_form, after + len(beyond))
                beyond += raw + b"\0" * (len(raw) % 2)
        self._put(listed + struct.pack(offset_form, 0) + beyond)
        self._file.seek(8 if self._big else 4)
        self._put(struct.pack(offset_form, start))

    def _entries(self) -> list[tuple[int, int, Sequence[float] | str]]:
        offset_form = _LONG8 if self._big else _LONG
        model = 1 if self._epsg else 32767
        keys = [1, 1, 0, 0, 1024, 0, 1, model, 1025, 0, 1, 1]
        text = self._citation + "|"
        keys += [1026, 34737, len(text), 0]
        if self._epsg:
            keys += [3072, 0, 1, self._epsg]
        keys += [3076, 0, 1, 9001]
        keys[3] = len(keys) // 4 - 1
        entries: list[tuple[int, int, Sequence[float] | str]] = [
            (256, _LONG, [self._size[0]]), (257, _LONG, [self._size[1]]), (258, _SHORT, [8, 8, 8, 8]), (259, _SHORT, [8]),
            (262, _SHORT, [2]), (273, offset_form, [place for place, _ in self._places]), (277, _SHORT, [4]),
            (278, _LONG, [self._rows_per_band]), (279, offset_form, [length for _, length in self._places]),
            (284, _SHORT, [1]), (317, _SHORT, [2]), (338, _SHORT, [2]), (34735, _SHORT, keys), (34737, _ASCII, text),
        ]  # fmt: skip
        return entries + self._placing()

    def _placing(self) -> list[tuple[int, int, Sequence[float] | str]]:
        (across, skew, west), (turn, down, north), _ = self._to_ground.tolist()
        if skew == 0 and turn == 0:
            return [(33550, _DOUBLE, [across, -down, 0.0]), (33922, _DOUBLE, [0.0, 0.0, 0.0, west, north, 0.0])]
        return [(34264, _DOUBLE, [across, skew, 0, west, turn, down, 0, north, 0, 0, 0, 0, 0, 0, 0, 1])]


class PngWriter(_NewFile):
    """A PNG of red, green, blue and transparency."""

    def __init__(self, path: Path, size: tuple[int, int]) -> None:
        super().__init__(path)
        self._packer = zlib.compressobj(1)
        self._put(b"\x89PNG\r\n\x1a\n")
        self._chunk(b"IHDR", struct.pack(">IIBBBBB", *size, 8, 6, 0, 0, 0))

    def write(self, band: Pixels) -> None:
        """Write the next band, shape (rows, columns, 4)."""
        rows = np.ascontiguousarray(band).reshape(len(band), -1)
        # filter 1 of the standard: each byte less the byte one pixel to its left
        lines = np.empty((len(rows), rows.shape[1] + 1), np.uint8)
        lines[:, 0], lines[:, 1:5] = 1, rows[:, :4]
        lines[:, 5:] = rows[:, 4:] - rows[:, :-4]
        packed = self._packer.compress(lines.tobytes())
        if packed:
            self._chunk(b"IDAT", packed)

    def _finish(self) -> None:
        self._chunk(b"IDAT", self._packer.flush())
        self._chunk(b"IEND", b"")

    def _chunk(self, name: bytes, content: bytes) -> None:
        self._put(struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content)))


def world_file(to_ground: Floats) -> str:
    """Return the six lines of a world file.

    Parameters
    ----------
    to_ground : numpy.ndarray of shape (3, 3)
        As `GeoTiffWriter` takes it: from outer corners. A world file names the centre of the first pixel, so half a pixel is added.

    Examples
    --------
    >>> print(world_file(np.array([[0.001, 0, 110.8], [0, -0.001, 207.2], [0, 0, 1]])).split()[-2:])
    ['110.8005000000', '207.1995000000']
    """
    centre = to_ground @ np.array([0.5, 0.5, 1.0])
    numbers: Iterable[float] = (*to_ground[:2, 0], *to_ground[:2, 1], centre[0], centre[1])
    return "".join(f"{float(number):.10f}\n" for number in numbers)
