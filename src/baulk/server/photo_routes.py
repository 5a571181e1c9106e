"""The read-only routes under /api/photos: a photo put straight by marked points, and pieces proposed on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from baulk.server.asking import PROBLEMS, shown_to
from baulk.server.photo_view import FitView, PiecesView, fit_view, photo_picture, pieces_view

__all__ = ["photo_fit", "photo_pieces", "photo_routes", "photo_straight"]

_Points = Annotated[Sequence[str], Query(max_length=100, description="column,row,easting,northing,name of each marked point.")]
_Picks = Annotated[Sequence[str], Query(max_length=200, description="easting,northing,number of each piece picked.")]

photo_routes = APIRouter(prefix="/api/photos", responses=PROBLEMS)


@photo_routes.get("/{photo}/fit", summary="How marked points fit a photo, and where it then lies")
def photo_fit(request: Request, photo: str, point: _Points = ()) -> FitView:
    """Return the residuals, the check and the extent; nothing is written."""
    return fit_view(shown_to(request), photo, point)


@photo_routes.get("/{photo}/straight.png", summary="A photo put straight by marked points", response_class=Response)
def photo_straight(request: Request, photo: str, point: _Points = ()) -> Response:
    """Return the photo drawn anew as a PNG."""
    return Response(photo_picture(shown_to(request), photo, point), media_type="image/png", headers={"cache-control": "no-store"})


@photo_routes.get("/{photo}/pieces", summary="Outlines of laid pieces proposed on a photo")
def photo_pieces(
    request: Request, photo: str, structure: str, point: _Points = (), pick: _Picks = (), stones: bool = False
) -> PiecesView:
    """Return the outlines proposed under picks and the picks refused; nothing is written."""
    return pieces_view(shown_to(request), photo, point, structure, pick, stones=stones)
