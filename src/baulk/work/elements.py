"""Laid pieces of a structure: what the record says of how they lie."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from baulk.errors import InputError, MeasureError
from baulk.ground.attitude import CANNOT_TELL, Laid, attitude_of_face
from baulk.ground.brick_size import SizeStatistics, size_statistics, statutes_near
from baulk.ground.elements import Laying, Pieces, laying_of, pieces_of
from baulk.ground.making import absorption_in_words, firing_in_words, hardness_in_words, reuse_in_words
from baulk.ground.truncation import CutEdge, cut_end, fit_cut_edge, pieces_at_edge
from baulk.record import Context, Element, Outline, Relation, SiteRecord

__all__ = ["CutThrough", "LaidElements", "attitudes_in_words", "laid_elements"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class CutThrough:
    """One cut at which pieces of the structure end.

    Parameters
    ----------
    cut : str
        Its number.
    pieces : tuple of str
        Numbers of the pieces that end there, or are crossed and recorded as not whole.
    crossed : tuple of str
        Numbers of those drawn across the edge though recorded whole: to be looked at.
    edge : CutEdge or None
        The edge fitted to the ends.
    """

    cut: str
    pieces: tuple[str, ...]
    crossed: tuple[str, ...]
    edge: CutEdge | None


@dataclass(frozen=True, slots=True, eq=False)
class LaidElements:
    """How the pieces of one structure lie.

    Parameters
    ----------
    context : Context
        The structure.
    elements : tuple of Element
        Its pieces.
    pieces : Pieces
        Their rectangles, in metres.
    laying : Laying
        Axis, turning and rows.
    attitudes : tuple of Laid or None
        What each visible face says of how the piece lies, against `brick`; None where it has no outline.
    brick : tuple of three float or None
        Size in millimetres that the faces were compared with.
    sizes : SizeStatistics
        Of the sizes on record.
    cut_through : tuple of CutThrough
        Cuts that end pieces.
    notes : tuple of str
        Reuse, firing, hardness, absorption, weak evidence of size, and recorded attitudes that the face speaks against.
    """

    context: Context
    elements: tuple[Element, ...]
    pieces: Pieces
    laying: Laying
    attitudes: tuple[Laid | None, ...]
    brick: tuple[float, float, float] | None
    sizes: SizeStatistics
    cut_through: tuple[CutThrough, ...]
    notes: tuple[str, ...]


def laid_elements(
    record: SiteRecord, number: str, *, brick: tuple[float, float, float] | None = None, tolerance: float = 0.08
) -> LaidElements:
    """Return how the laid pieces of a structure lie.

    Parameters
    ----------
    record : SiteRecord
        The site.
    number : str
        Number of the structure's context.
    brick : tuple of three float or None
        Length, breadth and thickness of the whole piece in millimetres; the means on record when None.
    tolerance : float
        Share of a side by which a face may differ from the brick's.

    Raises
    ------
    UnknownRecord
        There is no such context.
    InputError
        No piece is recorded for it, or none has an outline or an axis.
    """
    context = record.numbered(Context, number)
    elements = tuple(record.pointing_at(Element, "context", context.id))
    if not elements:
        raise InputError(
            f"No laid piece is recorded for context {number}. Draw the outlines of its bricks or stones and take them in."
        )
    pieces = _pieces(record, elements)
    if np.isnan(pieces.bearings).all():
        raise InputError(
            f"None of the {len(elements)} pieces of context {number} has an outline or an axis, so nothing can be said."
        )
    sizes = size_statistics(
        [[_size(one.length), _size(one.width), _size(one.height)] for one in elements]
    )  # fmt: skip
    whole = brick or _brick(sizes)
    attitudes = tuple(_attitude(pieces, place, one, whole, tolerance) for place, one in enumerate(elements))
    notes = (
        reuse_in_words([one.mortar for one in elements], context.bonding_agent),
        firing_in_words([one.firing for one in elements]),
        hardness_in_words([one.hardness for one in elements]),
        absorption_in_words([one.absorption for one in elements]),
        *(words for _, words in statutes_near(sizes)),
        *_against(elements, attitudes),
    )
    cuts = tuple(_cuts(record, context, elements))
    return LaidElements(context, elements, pieces, laying_of(pieces), attitudes, whole, sizes, cuts, notes)


def _size(value: float | None) -> float:
    return float("nan") if value is None else float(value)


def _brick(sizes: SizeStatistics) -> tuple[float, float, float] | None:
    return None if not np.isfinite(sizes.mean).all() else (float(sizes.mean[0]), float(sizes.mean[1]), float(sizes.mean[2]))


def _pieces(record: SiteRecord, elements: tuple[Element, ...]) -> Pieces:
    """Return the rectangles; where no outline was drawn, the axis or the bearing on record stands in."""
    rings = [None if one.ring is None else record.metres * np.array(one.ring) for one in elements]
    found = pieces_of(rings)
    centres, bearings, longer = found.centres.copy(), found.bearings.copy(), found.longer.copy()
    for place, one in enumerate(elements):
        if rings[place] is not None:
            continue
        if one.axis is not None:
            ends = record.metres * np.array(one.axis)
            step = ends[-1] - ends[0]
            centres[place], longer[place] = ends.mean(axis=0), float(np.hypot(*step))
            bearings[place] = float(np.degrees(np.arctan2(step[0], step[1])) % 180)
        elif one.bearing is not None:
            bearings[place] = one.bearing % 180
    return Pieces(centres, bearings, longer, found.shorter)


def _attitude(
    pieces: Pieces, place: int, element: Element, brick: tuple[float, float, float] | None, tolerance: float
) -> Laid | None:  # fmt: skip
    if brick is None or element.ring is None:
        return None
    face = 1000 * float(pieces.longer[place]), 1000 * float(pieces.shorter[place])
    return attitude_of_face(*face, brick, tolerance=tolerance, whole=element.whole is not False)


def _against(elements: tuple[Element, ...], attitudes: tuple[Laid | None, ...]) -> list[str]:
    """Return the pieces whose recorded attitude is not among those that the face allows."""
    odd = [
        one.number or one.id
        for one, laid in zip(elements, attitudes, strict=True)
        if laid and laid.candidates and one.attitude in ("flat", "on edge", "on end") and one.attitude not in laid.candidates
    ]
    shown = ", ".join(odd[:10]) + (f" and {len(odd) - 10} more" if len(odd) > 10 else "")
    return [f"Recorded otherwise than the visible face says: {shown}. Measure the face and the height again."] if odd else []


def _cuts(record: SiteRecord, context: Context, elements: tuple[Element, ...]) -> list[CutThrough]:
    """Return the cuts on record that are later than the structure and end pieces of it."""
    held = [one for one in elements if one.ring is not None]
    rings = [record.metres * np.array(one.ring) for one in held]
    later = {one.later for one in record.pointing_at(Relation, "earlier", context.id) if one.how == "cuts"}
    found: list[CutThrough] = []
    for identity in sorted(later, key=record.label):
        for outline in record.pointing_at(Outline, "context", identity):
            if outline.ring is None or not rings:
                continue
            ring = record.metres * np.array(outline.ring)
            edge = np.vstack([ring, ring[:1]])
            near, crossed = pieces_at_edge(rings, edge)
            broken = np.array([one.whole is False for one in held])
            ended = np.flatnonzero(near | (crossed & broken))
            if not (near | crossed).any():
                continue
            ends = [cut_end(rings[int(place)], edge) for place in ended]
            found.append(CutThrough(record.label(identity), _names(held, ended), _names(held, crossed & ~broken), _edge(ends)))
    return found


def _names(elements: list[Element], which: NDArray[np.intp] | NDArray[np.bool_]) -> tuple[str, ...]:
    places = np.flatnonzero(which) if which.dtype == np.bool_ else which
    return tuple(elements[int(place)].number or elements[int(place)].id for place in places)


def _edge(ends: list[tuple[float, float]]) -> CutEdge | None:
    try:
        return fit_cut_edge(ends)
    except MeasureError:
        return None


def attitudes_in_words(found: LaidElements) -> str:
    """Return how many pieces lie each way by their faces."""
    counts = Counter("no outline" if laid is None else laid.attitude for laid in found.attitudes)
    if found.brick is None:
        return f"How they lie: {CANNOT_TELL}, for no whole size is on record. Give one with --brick."
    return "By the visible face: " + ", ".join(f"{number} {word}" for word, number in counts.most_common()) + "."
