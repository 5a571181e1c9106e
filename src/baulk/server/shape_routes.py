"""The read-only JSON routes under /api/shape: units in three dimensions."""

from __future__ import annotations

from fastapi import APIRouter, Request

from baulk.server.asking import PROBLEMS, shown_to
from baulk.server.shape_view import ShapeView, shape_view

__all__ = ["shape_routes", "solids"]


shape_routes = APIRouter(prefix="/api/shape", responses=PROBLEMS)


@shape_routes.get("/{unit}", summary="The contexts of a unit as solids, by its id or number")
def solids(request: Request, unit: str) -> ShapeView:
    """Return the solids of a unit."""
    shown = shown_to(request)
    return shape_view(shown, unit)
