"""The linear triangulated surface, clipped to an outline or carried on along its plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import Delaunay

from baulk.errors import MeasureError
from baulk.ground.plane import Plane, plane_through
from baulk.ground.spread import Spread

__all__ = ["Tin", "triangulate"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Tin:
    """Levels joined by triangles; beyond them the nearest edge carried on along the plane through all levels.

    Parameters
    ----------
    spread : Spread
        Where the levels lie.
    mesh : scipy.spatial.Delaunay
        The triangles.
    plane : Plane
        The least-squares plane, whose slope is used beyond the outermost levels.
    """

    spread: Spread
    mesh: Delaunay
    plane: Plane

    @property
    def triangles(self) -> NDArray[np.int32]:
        """Three levels a triangle, anticlockwise."""
        return np.asarray(self.mesh.simplices)

    def weights(self, places: Floats) -> Floats:
        """Return the weight of each level (n) in the height at each place (m × 2) as m × n; each row sums to 1."""
        local = np.asarray(places, float) - self.spread.centre
        inside = self.mesh.find_simplex(local)
        found = np.zeros((len(local), self.spread.count))
        held, beyond = np.flatnonzero(inside >= 0), np.flatnonzero(inside < 0)
        turn = self.mesh.transform[inside[held]]
        shares = np.einsum("ijk,ik->ij", turn[:, :2], local[held] - turn[:, 2])
        corners = self.mesh.simplices[inside[held]]
        found[held[:, None], corners] = np.column_stack([shares, 1 - shares.sum(axis=1)])
        if beyond.size:
            self._carry_on(local, beyond, found)
        return found

    def _carry_on(self, local: Floats, beyond: NDArray[np.intp], found: Floats) -> None:
        """Give each place beyond the hull the height of the nearest point of the hull, carried on along the plane."""
        start, end = (self.spread.centred[self.mesh.convex_hull[:, side]] for side in (0, 1))
        edge = end - start
        along = np.einsum("mek,ek->me", local[beyond][:, None, :] - start, edge) / (edge**2).sum(axis=1)
        along = np.clip(along, 0.0, 1.0)
        foot = start + along[:, :, None] * edge
        nearest = ((local[beyond][:, None, :] - foot) ** 2).sum(axis=2).argmin(axis=1)
        row = np.arange(len(beyond))
        share, at = along[row, nearest], foot[row, nearest]
        found[beyond] = (local[beyond] - at) @ self.plane.slopes
        ends = self.mesh.convex_hull[nearest]
        found[beyond, ends[:, 0]] += 1 - share
        found[beyond, ends[:, 1]] += share

    def left_out(self, levels: Floats) -> Floats | None:
        """Return how far the triangles without it miss each level, metres; None with three levels."""
        if self.spread.count < 4:
            return None
        missed = np.empty(self.spread.count)
        for one in range(self.spread.count):
            rest = np.delete(np.arange(self.spread.count), one)
            spread = Spread.of(self.spread.places[rest])
            smaller = triangulate(spread) if spread.directions == 2 else plane_through(spread)
            missed[one] = levels[one] - (smaller.weights(self.spread.places[one : one + 1]) @ levels[rest])[0]
        return missed


def triangulate(spread: Spread) -> Tin:
    """Return the triangles between levels (Delaunay).

    Raises
    ------
    MeasureError
        When the levels lie in one line or are fewer than three.
    """
    if spread.count < 3 or spread.directions < 2:
        raise MeasureError(
            f"Triangles were asked for between {spread.count} levels in {'one line' if spread.directions else 'one place'}. "
            "They need three that do not: use a plane, or take a level to one side."
        )
    return Tin(spread, Delaunay(spread.centred), plane_through(spread))
