"""How a piece was laid, told from its visible face beside the size of the brick, or that it cannot be told.

L is the length of a brick, B its middle and T its short side.

References
----------
The six terms in a wall face, with the axis upright and the axis along the face: oldstructures.com, 2 June 2017 (read). For ground
seen from above: flat L × B, on edge L × T, on end B × T up (geometry).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from baulk.errors import MeasureError

__all__ = ["BOND_TERMS", "CANNOT_TELL", "Laid", "attitude_of_face", "bond_term_of_face"]

CANNOT_TELL = "cannot tell"

_FACES = {"flat": (0, 1), "on edge": (0, 2), "on end": (1, 2)}

BOND_TERMS = {
    "stretcher": ("T", "L"), "header": ("T", "B"), "soldier": ("L", "T"),
    "rowlock": ("B", "T"), "shiner": ("B", "L"), "sailor": ("L", "B"),
}  # fmt: skip
"""Each term's upright axis and its axis along the wall face."""


@dataclass(frozen=True, slots=True)
class Laid:
    """How a piece was laid.

    Parameters
    ----------
    attitude : str
        The attitude or bond term, or ``cannot tell``.
    candidates : tuple of str
        All that the face allows, nearest first.
    why : str
        A sentence.
    """

    attitude: str
    candidates: tuple[str, ...]
    why: str


def attitude_of_face(
    longer: float, shorter: float, brick: Sequence[float], *, tolerance: float = 0.08, whole: bool = True
) -> Laid:  # fmt: skip
    """Return how a piece lies in ground seen from above.

    Parameters
    ----------
    longer, shorter : float
        Sides of the visible face.
    brick : sequence of three float
        Length, breadth and thickness of the whole brick in the same quantity.
    tolerance : float
        Share of a side by which it may differ (house value; hand-made bricks of one batch differ by several parts in a hundred).
    whole : bool
        False for a cut or broken piece: its sides may be shorter than the brick's, so each side is only bounded from above.

    Raises
    ------
    MeasureError
        A side is not above zero.

    Examples
    --------
    >>> attitude_of_face(212, 88, (210, 150, 90)).attitude
    'on edge'
    >>> attitude_of_face(208, 103, (210, 105, 102)).attitude
    'cannot tell'
    """
    sides = _sides(brick)
    _refuse((longer, shorter))
    face = max(longer, shorter), min(longer, shorter)
    fits = [
        (misfit, name)
        for name, (one, two) in _FACES.items()
        if (misfit := _misfit(face, sides[one], sides[two], whole)) < tolerance
    ]
    return _answer(fits, face, sides)


def bond_term_of_face(along: float, up: float, brick: Sequence[float], *, tolerance: float = 0.08) -> Laid:
    """Return the bond term of a whole brick in a wall face from its length along the face and its height.

    Parameters and errors are those of `attitude_of_face`.

    Examples
    --------
    >>> bond_term_of_face(215, 65, (215, 102.5, 65)).attitude, bond_term_of_face(65, 102.5, (215, 102.5, 65)).attitude
    ('stretcher', 'rowlock')
    """
    sides = dict(zip("LBT", _sides(brick), strict=True))
    _refuse((along, up))
    fits = []
    for name, (upright, lengthwise) in BOND_TERMS.items():
        misfit = max(abs(up / sides[upright] - 1), abs(along / sides[lengthwise] - 1))
        if misfit < tolerance:
            fits.append((misfit, name))
    return _answer(fits, (along, up), tuple(sides.values()))


def _answer(fits: list[tuple[float, str]], face: tuple[float, float], sides: tuple[float, ...]) -> Laid:
    names = tuple(name for _, name in sorted(fits))
    shown = f"A face of {face[0]:.4g} × {face[1]:.4g} beside a brick of {' × '.join(f'{side:.4g}' for side in sides)}"
    if len(names) == 1:
        return Laid(names[0], names, f"{shown} is {names[0]}.")
    if names:
        return Laid(CANNOT_TELL, names, f"{shown} can be {' or '.join(names)}: its sides are too alike to tell.")
    return Laid(CANNOT_TELL, (), f"{shown} is none of its faces: another size, a cut piece, or a face seen in part.")


def _misfit(face: tuple[float, float], one: float, two: float, whole: bool) -> float:
    long_side, short_side = max(one, two), min(one, two)
    if whole:
        return max(abs(face[0] / long_side - 1), abs(face[1] / short_side - 1))
    # A cut shortens one side and leaves the other: the kept side must fit, the other must not be larger than the brick's.
    misfits = []
    for kept, cut in ((short_side, long_side), (long_side, short_side)):
        for here, there in ((0, 1), (1, 0)):
            misfits.append(max(abs(face[here] / kept - 1), face[there] / cut - 1))
    return min(misfits)


def _sides(brick: Sequence[float]) -> tuple[float, float, float]:
    _refuse(brick)
    if len(brick) != 3:
        raise MeasureError(f"{len(brick)} sides are given for a brick. It has three: length, breadth and thickness.")
    long, middle, short = sorted(map(float, brick), reverse=True)
    return long, middle, short


def _refuse(sides: Sequence[float]) -> None:
    for side in sides:
        if not (np.isfinite(side) and side > 0):
            raise MeasureError(f"A side is given as {side:g}. Every side of a piece is a length above zero: measure it again.")
