"""Outlines drawn over a picture, so that a person sees what was proposed and where."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

__all__ = ["Drawn", "overlay_png"]

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

_LARGEST = 3000
"""Pixels of the overlay's longer side at most."""
_INK, _PAPER = "#10231c", "#ffffff"


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One thing to be drawn: its name and its corners, shape (n, 2), as column and row; a single corner is drawn as a cross."""

    name: str
    ring: Floats


def overlay_png(picture: Pixels, things: Sequence[Drawn]) -> bytes:
    """Return a PNG of a picture with outlines and their names, reduced when it is large and enlarged when it is small.

    Parameters
    ----------
    picture : numpy.ndarray of shape (rows, columns, 3)
        Colours.
    things : sequence of Drawn
        Outlines are broken lines, since nobody has confirmed them; crosses stand where there is none.
    """
    sheet = Image.fromarray(np.ascontiguousarray(picture))
    factor = min(_LARGEST / max(sheet.size), max(1.0, 1200 / max(sheet.size)))
    sheet = sheet.resize((max(1, round(sheet.size[0] * factor)), max(1, round(sheet.size[1] * factor))), Image.Resampling.LANCZOS)
    pen, letters = ImageDraw.Draw(sheet), ImageFont.load_default(18)
    for thing in things:
        ring = (thing.ring + 0.5) * factor
        if len(ring) == 1:
            _cross(pen, ring[0])
        else:
            _broken(pen, ring)
        across, down = ring.mean(axis=0).tolist()
        below = down + 20 if len(ring) == 1 else down
        pen.text((across, below), thing.name, _INK, letters, anchor="mm", stroke_width=3, stroke_fill=_PAPER)
    out = io.BytesIO()
    sheet.save(out, "PNG")
    return out.getvalue()


def _broken(pen: ImageDraw.ImageDraw, ring: Floats) -> None:
    """Draw the sides as dashes on a firm light line, to be seen on dark and on light ground."""
    following = np.roll(ring, -1, axis=0)
    for one, other in zip(ring, following, strict=True):
        pen.line([*one.tolist(), *other.tolist()], _PAPER, 4)
    for one, other in zip(ring, following, strict=True):
        dashes = max(2, round(float(np.hypot(*(other - one))) / 9))
        ends = one + np.linspace(0, 1, 2 * dashes + 1)[:, None] * (other - one)
        for start, end in zip(ends[:-1:2], ends[1::2], strict=True):
            pen.line([*start.tolist(), *end.tolist()], _INK, 2)


def _cross(pen: ImageDraw.ImageDraw, spot: Floats) -> None:
    across, down = spot.tolist()
    for ink, wide in ((_PAPER, 5), (_INK, 2)):
        for up in (8, -8):
            pen.line([across - 8, down - up, across + 8, down + up], ink, wide)
