"""A photo put straight by marked points as the page asks for it: how the points fit, where the picture lies, pieces proposed on it.

The points come with the question, since a device may have marked them without having sent them yet; nothing is kept of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import isfinite
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, Field

from baulk.errors import InputError, shorten
from baulk.record import Context, Photo
from baulk.server.files import file_shown
from baulk.server.problems import NoSuchFile
from baulk.server.record_view import Shown
from baulk.work.photo_beneath import PhotoBeneath, lay_beneath, picture_beneath, pieces_beneath
from baulk.work.propose import piece_record
from baulk.work.rectify import MarkedPoints

__all__ = ["FitView", "FittedPoint", "PiecesView", "ProposedView", "RefusedView", "fit_view", "photo_picture", "pieces_view"]

Floats = NDArray[np.float64]


class FittedPoint(BaseModel):
    """One marked point and how it fits."""

    point: str
    across_mm: float = Field(description="Position read off the picture less the position given, east or along the wall.")
    up_mm: float = Field(description="The same north, or upwards on a wall.")
    left_out_mm: float | None = Field(description="By how much it is missed when it takes no part; null where there is no check.")


class FitView(BaseModel):
    """A photo fitted by its marked points."""

    points: list[FittedPoint]
    check: str = Field(description="The check in words; no check for four points.")
    notes: list[str]
    extent: list[float] = Field(description="West, south, east and north of the picture, in the site's own lengths.")
    size: list[int] = Field(description="Columns and rows of the picture.")
    cell: float = Field(description="Side of a cell in metres.")


class ProposedView(BaseModel):
    """An outline proposed: the values of the record that a person may make of it."""

    number: str
    values: dict[str, Any]
    absences: dict[str, str]
    confidence: float
    face_mm: list[float]


class RefusedView(BaseModel):
    """A pick without a proposal, and why."""

    number: str
    why: str


class PiecesView(BaseModel):
    """What was found under the picks."""

    proposed: list[ProposedView]
    refused: list[RefusedView]


def fit_view(shown: Shown, photo_id: str, points: Sequence[str]) -> FitView:
    """Return how marked points fit a photo, and where the picture put straight lies.

    Parameters
    ----------
    shown : Shown
        The record as it is shown.
    photo_id : str
        Id of the photo.
    points : sequence of str
        Each ``column,row,easting,northing,name``, or distance and level on a wall; in the site's own lengths.

    Raises
    ------
    InputError
        A point cannot be read.
    FileError, MeasureError, NoSuchFile, UnknownRecord
        The photo or its points cannot be used.
    """
    found = _beneath(shown, photo_id, points)
    fit, raster, metres = found.fit, found.raster, shown.record.metres
    left_out = [None] * len(fit.names) if fit.left_out is None else fit.left_out.tolist()
    told = zip(fit.names, fit.residuals.tolist(), left_out, strict=True)
    return FitView(
        points=[
            FittedPoint(point=name, across_mm=across, up_mm=up, left_out_mm=miss if miss is not None and isfinite(miss) else None)
            for name, (across, up), miss in told
        ],
        check=fit.check,
        notes=list(fit.notes),
        extent=[edge / metres for edge in (raster.west, raster.south, raster.east, raster.north)],
        size=[raster.columns, raster.rows],
        cell=raster.cell,
    )


def photo_picture(shown: Shown, photo_id: str, points: Sequence[str]) -> bytes:
    """Return the photo put straight as a PNG, without what its file says of place and person; see `fit_view`."""
    return picture_beneath(_beneath(shown, photo_id, points))


def pieces_view(
    shown: Shown, photo_id: str, points: Sequence[str], structure: str, picks: Sequence[str], *, stones: bool
) -> PiecesView:
    """Return the outlines of pieces proposed under picks, each ``easting,northing,number``; see `fit_view`."""
    found = _beneath(shown, photo_id, points)
    context = shown.entity(structure)
    if not isinstance(context, Context):
        raise InputError("Pieces belong to a structure: name the context they were laid in.")
    rows = [_numbers(pick, 2, "A pick", "easting, northing") for pick in picks]
    places = np.array([numbers for numbers, _ in rows], dtype=np.float64).reshape(-1, 2) * shown.record.metres
    names = [name or f"P{place}" for place, (_, name) in enumerate(rows, start=1)]
    pieces, refused = pieces_beneath(shown.record, context, found, names, places, stones=stones)
    return PiecesView(
        proposed=[_proposed(shown, context, one, photo_id) for one in pieces],
        refused=[RefusedView(number=one.name, why=one.why) for one in refused],
    )


def _proposed(shown: Shown, context: Context, piece: Any, photo_id: str) -> ProposedView:
    element = piece_record(shown.record, context, piece, f"photo {shown.record.label(photo_id)}")
    values = element.model_dump(mode="json", exclude_none=True, exclude={"id", "absences"})
    return ProposedView(
        number=piece.number,
        values=values,
        absences=dict(element.absences),
        confidence=round(piece.confidence, 3),
        face_mm=[round(side, 1) for side in piece.face],
    )


def _beneath(shown: Shown, photo_id: str, points: Sequence[str]) -> PhotoBeneath:
    photo = shown.entity(photo_id)
    if not isinstance(photo, Photo) or photo.file is None:
        raise NoSuchFile("No picture is kept for this photo. Keep the picture with the photo's record first.")
    return _fitted(file_shown(shown, photo.file), tuple(points), shown.record.metres)


@lru_cache(maxsize=32)
def _fitted(file: Path, points: tuple[str, ...], metres: float) -> PhotoBeneath:
    rows = [_numbers(point, 4, "A marked point", "column, row, easting, northing") for point in points]
    numbers = np.array([values for values, _ in rows], dtype=np.float64).reshape(-1, 4)
    names = tuple(name or str(place) for place, (_, name) in enumerate(rows, start=1))
    return lay_beneath(file, MarkedPoints(names, numbers[:, :2], numbers[:, 2:] * metres))


def _numbers(text: str, count: int, what: str, order: str) -> tuple[list[float], str]:
    """Return so many numbers with commas between, and the name behind them."""
    parts = text.split(",", count)
    try:
        numbers = [float(part) for part in parts[:count]]
    except ValueError:
        numbers = []
    if len(numbers) < count or not all(map(isfinite, numbers)):
        raise InputError(f"{what} is given as “{shorten(text, 60)}”. It is {order} and its name, with commas between.")
    return numbers, shorten(parts[count].strip(), 60) if len(parts) > count else ""
