"""Who looks at this moment: set for each request before it is answered, so that every view shows no more than its asker may see."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from baulk.record import View

__all__ = ["looking_as", "stricter", "viewer_now"]

_VIEWER: ContextVar[View | None] = ContextVar("viewer", default=None)


@contextmanager
def looking_as(view: View) -> Iterator[None]:
    """Let what is asked inside be answered for this viewer."""
    before = _VIEWER.set(view)
    try:
        yield
    finally:
        _VIEWER.reset(before)


def viewer_now(otherwise: View) -> View:
    """Return who looks, or the viewer that the server was opened for when nobody is told apart."""
    return _VIEWER.get() or otherwise


def stricter(one: View, other: View) -> View:
    """Return the view that shows less: what leaves the server is never more than both allow."""
    return View.RESTRICTED if one is other is View.RESTRICTED else View.CREW
