"""Drawings by name, as the page asks for them."""

from __future__ import annotations

from baulk.server.problems import NoSuchDrawing
from baulk.server.record_view import Shown

__all__ = ["drawing_svg"]


def drawing_svg(shown: Shown, name: str, opened: tuple[str, ...] = (), unfold: tuple[str, ...] = ()) -> str:
    """Return a drawing of the site as SVG text.

    Parameters
    ----------
    shown : Shown
        The site.
    name : str
        The drawing's name.
    opened, unfold : tuple of str
        Of the order: ids of contexts whose folded boxes are opened whole, and of such as stand in boxes of their own.

    Raises
    ------
    NoSuchDrawing
        When there is no drawing of that name.
    InputError
        When too much is to be opened, or the drawing has no folds.
    """
    if not shown.study.draws(name, shown.viewer):
        raise NoSuchDrawing("drawing", name, list(shown.study.drawings_for(shown.viewer)))
    return shown.study.svg(name, shown.viewer, opened=opened, unfold=unfold)
