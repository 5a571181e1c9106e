"""The read-only routes under /api/photos: a photo put straight by marked points, and pieces proposed on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from baulk.server.photo_view import FitView, PiecesView, fit_view, photo_picture, pieces_view
from baulk.server.problems import Problem
from baulk.server.record_view import Shown

__all__ = ["photo_fit", "photo_pieces", "photo_routes", "photo_straight"]

_PROBLEMS: dict[int | str, dict[str, Any]] = {"4XX": {"model": Problem}, "5XX": {"model": Problem}}
_Points = Annotated[Sequence[str], Query(max_length=100, description="column,row,easting,northing,name of each marked point.")]
_Picks = Annotated[Sequence[str], Query(max_length=200, description="easting,northing,number of each piece picked.")]

photo_routes = APIRouter(prefix="/api/photos", responses=_PROBLEMS)


def _shown(request: Request) -> Shown:
    found = request.app.state.shown()
    assert isinstance(found, Shown)
    return found


@photo_routes.get("/{photo}/fit", summary="How marked points fit a photo, and where it then lies")
def photo_fit(request: Request, photo: str, point: _Points = ()) -> FitView:
    """Return the residuals, the check and the extent; nothing is written."""
    return fit_view(_shown(request), photo, point)


@photo_routes.get("/{photo}/straight.png", summary="A photo put straight by marked points", response_class=Response)
def photo_straight(request: Request, photo: str, point: _Points = ()) -> Response:
    """Return the photo drawn anew as a PNG."""
    return Response(photo_picture(_shown(request), photo, point), media_type="image/png", headers={"cache-control": "no-store"})


@photo_routes.get("/{photo}/pieces", summary="Outlines of laid pieces proposed on a photo")
def photo_pieces(
    request: Request, photo: str, structure: str, point: _Points = (), pick: _Picks = (), stones: bool = False
) -> PiecesView:
    """Return the outlines proposed under picks and the picks refused; nothing is written."""
    return pieces_view(_shown(request), photo, point, structure, pick, stones=stones)
