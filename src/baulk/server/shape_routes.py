"""The read-only JSON routes under /api/shape: units in three dimensions."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request

from baulk.server.problems import Problem
from baulk.server.record_view import Shown
from baulk.server.shape_view import ShapeView, shape_view

__all__ = ["shape_routes", "solids"]

_PROBLEMS: dict[int | str, dict[str, Any]] = {"4XX": {"model": Problem}, "5XX": {"model": Problem}}

shape_routes = APIRouter(prefix="/api/shape", responses=_PROBLEMS)


@shape_routes.get("/{unit}", summary="The contexts of a unit as solids, by its id or number")
def solids(request: Request, unit: str) -> ShapeView:
    """Return the solids of a unit."""
    shown = request.app.state.shown()
    assert isinstance(shown, Shown)
    return shape_view(shown, unit)
