"""Drawings by name, as the page asks for them."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.record import Unit, Wall
from baulk.server.problems import NoSuchDrawing
from baulk.server.record_view import Shown

__all__ = ["drawing_svg"]


def drawing_svg(shown: Shown, name: str) -> str:
    """Return a drawing of the site as SVG text.

    Raises
    ------
    NoSuchDrawing
        When there is no drawing of that name.
    """
    known = list(_names(shown))
    if name not in known:
        raise NoSuchDrawing("drawing", name, known)
    return shown.study.svg(name)


def _names(shown: Shown) -> Iterator[str]:
    yield from ("site", "order")
    for unit in shown.record.all(Unit):
        if unit.number:
            yield f"plan-{unit.number}"
    for wall in shown.record.all(Wall):
        if wall.number:
            yield f"wall-{wall.number}"
