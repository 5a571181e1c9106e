"""What the routes have in common: the site as it is shown to the asker, how they refuse, how they are asked for a context."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query, Request

from baulk.server.problems import Problem
from baulk.server.record_view import Shown

__all__ = ["PROBLEMS", "SVG", "ContextNamed", "shown_to"]

PROBLEMS: dict[int | str, dict[str, Any]] = {"4XX": {"model": Problem}, "5XX": {"model": Problem}}
"""How every route refuses."""

SVG: dict[int | str, dict[str, Any]] = {200: {"content": {"image/svg+xml": {}}}}
"""What a route answers that gives a drawing."""

ContextNamed = Annotated[str, Query(min_length=1, max_length=200, description="A context, by number or id.")]
"""How a context is asked for."""


def shown_to(request: Request) -> Shown:
    """Return the site as it is shown to who asks."""
    found = request.app.state.shown()
    assert isinstance(found, Shown)  # the app is made with it
    return found
