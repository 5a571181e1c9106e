"""One laid piece on a rectified picture: its outline under a pick, how sure that is, and how the piece seems to lie."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import MeasureError
from baulk.exchange.photo import Photo
from baulk.ground.attitude import CANNOT_TELL, attitude_of_face
from baulk.ground.edge_finder import propose_outline
from baulk.ground.edge_seen import edge_seen
from baulk.ground.elements import pieces_of

__all__ = ["Brick", "PieceFinder", "ProposedPiece"]

Floats = NDArray[np.float64]
Brick = tuple[float, float, float]
"""Length, breadth and thickness of a whole piece in millimetres."""

LEAST_CONFIDENCE = 0.7
"""Share of the outline with an edge, and of the outline filled, from which a proposal is made (house value)."""
_LEAST_SIDE = 8
"""Pixels of the shorter side from which an outline is proposed (house value)."""


@dataclass(frozen=True, slots=True, eq=False)
class ProposedPiece:
    """One outline proposed: its number, corners in metres, confidence 0 to 1, what it rests on, and how the piece seems to lie.

    `face` holds the sides of the visible face in millimetres; `attitude` is one of the record's words or ``cannot tell``.
    """

    number: str
    ring: Floats
    edge: float
    fills: float
    face: tuple[float, float]
    bearing: float
    attitude: str
    why: str

    @property
    def confidence(self) -> float:
        """The lesser of the share of the outline with an edge and the share filled by one colour."""
        return min(self.edge, self.fills)


class PieceFinder:
    """A picture, and what is looked for in it.

    Parameters
    ----------
    photo : Photo
        The pixels.
    to_site : numpy.ndarray of shape (3, 3)
        From column and row (0, 0 is the centre of the first pixel) to metres on the site grid.
    largest : float
        Metres that a piece reaches from its pick at most.
    stones : bool
        True for the hull of what is found in place of a rectangle.
    brick : tuple of three float or None
        Size of a whole piece in millimetres.
    """

    def __init__(self, photo: Photo, to_site: Floats, largest: float, stones: bool, brick: Brick | None) -> None:
        self._photo, self._to_site, self._to_pixel = photo, to_site, np.linalg.inv(to_site)
        self.cell = float(np.sqrt(abs(np.linalg.det(to_site[:2, :2]))))
        self._reach, self._stones, self._brick = int(np.ceil(largest / self.cell)), stones, brick

    def piece(self, name: str, place: Floats) -> ProposedPiece:
        """Return the outline under a pick.

        Raises
        ------
        MeasureError
            There is none, or it is weak.
        """
        column, row = (self._to_pixel @ [*place, 1.0])[:2].tolist()
        columns, rows = self._photo.stored_size
        if not (0 <= round(column) < columns and 0 <= round(row) < rows):
            raise MeasureError("The pick lies outside the picture.")
        left, top = max(0, round(column) - self._reach), max(0, round(row) - self._reach)
        window = self._photo.window(
            left, top, min(columns, round(column) + self._reach + 1), min(rows, round(row) + self._reach + 1)
        )
        found = propose_outline(window, (column - left, row - top), largest=self._reach, hull=self._stones)
        if found.leaked:
            raise MeasureError("No edge holds the piece in: what looks alike runs on to the end of the ground looked at.")
        edge = edge_seen(window, found.ring)
        if min(edge, found.fills) < LEAST_CONFIDENCE:
            raise MeasureError(
                f"The outline is weak: an edge is seen along {100 * edge:.0f} % of it, and {100 * found.fills:.0f} % of it has the "
                "colour of the pick."
            )
        ring = (np.column_stack([found.ring + np.array([left, top]), np.ones(len(found.ring))]) @ self._to_site.T)[:, :2]
        return self._measured(name, ring, edge, found.fills)

    def _measured(self, name: str, ring: Floats, edge: float, fills: float) -> ProposedPiece:
        box = pieces_of([ring])
        face = 1000 * float(box.longer[0]), 1000 * float(box.shorter[0])
        if face[1] < 1000 * _LEAST_SIDE * self.cell:
            raise MeasureError(f"What stands out is {face[0]:.0f} × {face[1]:.0f} mm, too few pixels for an outline.")
        if self._brick is None:
            attitude, why = CANNOT_TELL, "no size of a whole piece is known"
        else:
            laid = attitude_of_face(*face, self._brick)
            attitude, why = laid.attitude, laid.why
        return ProposedPiece(name, ring, edge, fills, face, float(box.bearings[0]), attitude, why)
