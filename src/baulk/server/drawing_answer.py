"""Drawings by name, as the page asks for them."""

from __future__ import annotations

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
    if name not in shown.study.drawings:
        raise NoSuchDrawing("drawing", name, list(shown.study.drawings))
    return shown.study.svg(name, shown.viewer)
