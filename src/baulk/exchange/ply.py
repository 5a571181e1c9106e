"""PLY point clouds, slab by slab: as text, and as bytes of either order.

References
----------
G. Turk, The PLY polygon file format (1994): elements, properties, three formats. Read from its published description; from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from baulk.errors import FileError, shorten

__all__ = ["PlyFile", "open_ply"]

Floats = NDArray[np.float64]

_TYPES = {
    "char": "i1", "uchar": "u1", "short": "i2", "ushort": "u2", "int": "i4", "uint": "u4", "float": "f4", "double": "f8",
    "int8": "i1", "uint8": "u1", "int16": "i2", "uint16": "u2", "int32": "i4", "uint32": "u4", "float32": "f4", "float64": "f8",
}  # fmt: skip
_ORDERS = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
_LONGEST_HEAD = 64 * 1024
_SLAB_BYTES = 32 * 1024**2
_LINES = 200_000
_LONGEST_LINE = 64 * 1024


@dataclass(frozen=True, slots=True)
class PlyFile:
    """The head of a PLY file and the way to its points: order of bytes ("" for text), where they start, and their properties."""

    path: Path
    name: str
    count: int
    order: str
    start: int
    properties: tuple[tuple[str, str], ...]

    def slabs(self) -> Iterator[Floats]:
        """Yield the points of shape (n, 3) from the start."""
        with self.path.open("rb") as file:
            file.seek(self.start)
            yield from self._from_bytes(file) if self.order else self._from_text(file)

    def _from_bytes(self, file: BinaryIO) -> Iterator[Floats]:
        kind = np.dtype([(name, self.order + _TYPES[sort]) for name, sort in self.properties])
        left, several = self.count, max(1, _SLAB_BYTES // kind.itemsize)
        while left:
            found = file.read(min(left, several) * kind.itemsize)
            whole = np.frombuffer(found[: len(found) // kind.itemsize * kind.itemsize], kind)
            if not len(whole):
                return
            yield np.column_stack([whole[name].astype(np.float64) for name in "xyz"])
            left -= len(whole)

    def _from_text(self, file: BinaryIO) -> Iterator[Floats]:
        names = [name for name, _ in self.properties]
        columns = [names.index(name) for name in "xyz"]
        left, line = self.count, 1
        while left:
            rows = [one.split() for one in islice(_lines(file, self.name), min(left, _LINES))]
            if not rows:
                return
            odd = next((at for at, row in enumerate(rows) if len(row) != len(names)), None)
            if odd is not None:
                raise FileError(
                    f"{self.name}: point {line + odd:,} has {len(rows[odd])} figures; its head says {len(names)} "
                    f"({', '.join(names[:6])}). Export the cloud again."
                )
            try:
                yield np.array([[row[column] for column in columns] for row in rows], dtype=np.float64)
            except ValueError as fault:
                raise FileError(
                    f"{self.name}: a co-ordinate of points {line:,} to {line + len(rows) - 1:,} cannot be read "
                    f"({shorten(fault, 60)}). Export the cloud again."
                ) from None
            left, line = left - len(rows), line + len(rows)


def _lines(file: BinaryIO, name: str) -> Iterator[bytes]:
    while one := file.readline(_LONGEST_LINE):
        if len(one) == _LONGEST_LINE:
            raise FileError(f"{name} has a line of more than {_LONGEST_LINE:,} signs, so it is no list of points. Export it again.")
        if one.strip():
            yield one


def open_ply(path: Path, name: str) -> PlyFile:
    """Read the head of a PLY file.

    Raises
    ------
    FileError
        The head is damaged, tells no points, or tells them in a way that is not read; or the file is shorter than it says.
    """
    with path.open("rb") as file:
        lines = _head(file, name)
        start = file.tell()
    order, elements = _told(lines, name)
    if not elements or elements[0][0] != "vertex":
        what = f"begins with “{shorten(elements[0][0], 20)}”" if elements else "names no element"
        raise FileError(f"{name} {what}; the points (“vertex”) have to come first. Export it as a point cloud.")
    _, count, properties = elements[0]
    missing = [axis for axis in "xyz" if axis not in [held for held, _ in properties]]
    if missing:
        raise FileError(f"{name} has no {' and no '.join(missing)} among the properties of its points. Export it as a point cloud.")
    found = PlyFile(path, name, count, order, start, tuple(properties))
    size = path.stat().st_size - start
    needed = (
        count * np.dtype([(held, "|" + _TYPES[sort]) for held, sort in properties]).itemsize
        if order
        else 2 * count * len(properties) - 1
    )
    if size < needed:
        raise FileError(
            f"{name} is cut short: its head says {count:,} points, which take at least {needed:,} bytes, and "
            f"{max(size, 0):,} are there. Copy it from its source again."
        )
    return found


def _head(file: BinaryIO, name: str) -> list[list[str]]:
    lines: list[list[str]] = []
    while file.tell() < _LONGEST_HEAD:
        line = file.readline(1024)
        if not line:
            break
        parts = line.decode("latin-1").split()
        if parts == ["end_header"]:
            return lines
        if parts and parts[0] not in ("comment", "obj_info"):
            lines.append(parts)
    raise FileError(f"{name} has no end to its head (“end_header”): it is damaged or cut short. Copy it from its source again.")


_Element = tuple[str, int, list[tuple[str, str]]]


def _told(lines: list[list[str]], name: str) -> tuple[str, list[_Element]]:
    """Return the order of bytes and the elements that the lines of a head tell of."""
    order: str | None = None
    elements: list[_Element] = []
    for parts in lines[1:]:
        if parts[0] == "format" and len(parts) == 3 and parts[1] in _ORDERS and parts[2] == "1.0":
            order = _ORDERS[parts[1]]
        elif parts[0] == "element" and len(parts) == 3 and parts[2].isascii() and parts[2].isdecimal() and len(parts[2]) < 16:
            elements.append((parts[1], int(parts[2]), []))
        elif parts[0] == "property" and elements:
            _property(parts, elements, name)
        else:
            raise FileError(f"{name}: the line “{shorten(' '.join(parts))}” of its head is not understood. Export it as PLY 1.0.")
    if order is None:
        raise FileError(f"{name} does not say whether it is text or bytes (a “format” line of version 1.0). Export it as PLY 1.0.")
    return order, elements


def _property(parts: list[str], elements: list[_Element], name: str) -> None:
    if elements[-1][0] != "vertex":
        return  # what is no point is not read
    held = elements[-1][2]
    if parts[1:2] == ["list"]:
        raise FileError(
            f"{name} has a list among the properties of its points, which is not read. Export it as a plain point cloud."
        )
    if len(parts) != 3 or parts[1] not in _TYPES or parts[2] in [known for known, _ in held]:
        raise FileError(
            f"{name}: the property “{shorten(' '.join(parts[1:]))}” of its points is not understood. Export it as PLY 1.0."
        )
    held.append((parts[2], parts[1]))
