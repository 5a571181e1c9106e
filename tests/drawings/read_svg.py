"""Numbers and geometry read back from an SVG, without help from the code that wrote it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from math import hypot
from xml.etree import ElementTree

__all__ = ["SVG", "area_of", "classes", "entries", "groups", "length_of", "lines", "numbers_of", "paths", "read", "words"]

SVG = "{http://www.w3.org/2000/svg}"
Run = list[tuple[float, float]]


def read(text: str) -> ElementTree.Element:
    """Return the root of an SVG that parses as XML."""
    return ElementTree.fromstring(text)


def groups(root: ElementTree.Element, role: str) -> list[ElementTree.Element]:
    """Return the groups of a role, in order."""
    return [group for group in root.iter(f"{SVG}g") if group.get("class") == f"baulk-{role}"]


def classes(element: ElementTree.Element) -> set[str]:
    """Return every class used inside an element."""
    return {name for part in element.iter() for name in (part.get("class") or "").split()}


def words(element: ElementTree.Element) -> list[str]:
    """Return the text of every text element inside."""
    return [part.text or "" for part in element.iter(f"{SVG}text")]


def entries(root: ElementTree.Element) -> set[str]:
    """Return the names of the key's entries."""
    return {group.get("data-name") or "" for group in groups(root, "key-entry")}


def runs(path: str) -> Iterator[Run]:
    """Yield each run of a path made of M, L and Z."""
    for part in path.split("M")[1:]:
        pairs = [re.split(r"[ ,]+", spot.strip()) for spot in part.rstrip("Z").split("L")]
        yield [(float(across), float(down)) for across, down in pairs]


def paths(element: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    """Return the paths inside that carry a class."""
    return [path for path in element.iter(f"{SVG}path") if kind in (path.get("class") or "").split()]


def lines(element: ElementTree.Element, kind: str) -> list[Run]:
    """Return the runs of every path inside that carries a class."""
    return [run for path in paths(element, kind) for run in runs(path.get("d") or "")]


def area_of(run: Run) -> float:
    """Return the area of a closed run."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(run, [*run[1:], run[0]], strict=True))) / 2


def length_of(run: Run) -> float:
    """Return the length of an open run."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(run))


def numbers_of(text: str) -> set[float]:
    """Return every number that stands in a text."""
    return {float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", text)}
