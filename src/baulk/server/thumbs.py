"""Small pictures of photos, for devices to hold when the server is out of reach: under the same rules as the files themselves.

They are drawn anew from the pixels alone, upright, so that nothing of place, person or camera can go along.
"""

from __future__ import annotations

import io
from functools import lru_cache
from pathlib import Path

import numpy as np
from fastapi import APIRouter, Request, Response
from PIL import Image

from baulk.errors import FileError, MissingPart
from baulk.exchange.photo import Photo, Pixels, photo_size, read_photo
from baulk.server.asking import PROBLEMS, shown_to
from baulk.server.files import file_shown
from baulk.server.problems import NoSuchFile
from baulk.server.record_view import Shown

__all__ = ["LONGEST_SIDE", "small_picture", "thumb", "thumb_routes"]

LONGEST_SIDE = 320
"""Pixels of the longer side of a small picture."""
_QUALITY = 75
_KEPT = 1_000
_HEADERS = {"content-security-policy": "default-src 'none'; sandbox", "cache-control": "private, max-age=3600"}

thumb_routes = APIRouter(prefix="/api", responses=PROBLEMS)


@thumb_routes.get("/thumbs/{sha}", summary="A photo as a small JPEG, by the SHA-256 of its file", response_class=Response)
def thumb(request: Request, sha: str) -> Response:
    """Return a photo that a shown record names, at most 320 pixels long."""
    shown = shown_to(request)
    return small_picture(shown, sha)


def small_picture(shown: Shown, sha: str) -> Response:
    """Return the answer that sends a photo as a small JPEG.

    Raises
    ------
    NoSuchFile
        When no shown record names the file, a withheld one names it too, it is not on the shelf, or it is no picture that is read.
    """
    path = file_shown(shown, sha)  # asked each time: what is kept below knows nothing of who may see it
    try:
        content = _drawn(path)
    except (FileError, MissingPart) as refusal:
        raise NoSuchFile(str(refusal)) from None
    return Response(content, media_type="image/jpeg", headers=_HEADERS)


@lru_cache(maxsize=_KEPT)
def _drawn(path: Path) -> bytes:
    """Return the small JPEG of a file on the shelf; a file there never changes, since its name is its hash."""
    size, _ = photo_size(path)
    photo = read_photo(path, coarser=max(size) / (2 * LONGEST_SIDE))
    small = Image.fromarray(_upright(photo))
    small.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return out.getvalue()


def _upright(photo: Photo) -> Pixels:
    """Return the pixels held, turned as the file's own note of orientation says."""
    pixels, way = photo.window(0, 0, *photo.stored_size), photo.to_stored
    swapped = abs(way[0, 1]) > abs(way[0, 0])
    across, down = (way[1, 0], way[0, 1]) if swapped else (way[0, 0], way[1, 1])
    turned = pixels.transpose(1, 0, 2) if swapped else pixels
    return np.ascontiguousarray(turned[:: -1 if down < 0 else 1, :: -1 if across < 0 else 1])
