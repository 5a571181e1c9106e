"""What the record measures: spread of axes, absorption, colour of a fill beside what it is cut through, span of dated finds."""

from __future__ import annotations

import numpy as np

from baulk.dating.termini import terminus_of_finds
from baulk.ground.axial import axial_statistics
from baulk.ground.soil import compare_colours
from baulk.reading.finding import Finding, cannot_tell
from baulk.reading.subject import Subject

__all__ = ["absorption", "axes_spread", "fill_colour_step", "finds_span"]


def axes_spread(subject: Subject) -> Finding:
    """Measure how far the axes of the pieces spread about their mean, in degrees."""
    rule, test = "axes_spread", "Draw the outline or the axis of at least five pieces."
    known = [piece for piece in subject.elements if piece.bearing is not None]
    if len(known) < 5:
        return cannot_tell(rule, f"The axes of {len(known)} pieces are on record; five are needed.", test)
    found = axial_statistics(np.array([piece.bearing for piece in known], dtype=np.float64))
    spread = found.angular_deviation
    says = f"The axes of {len(known)} pieces spread {spread:.0f}° about their mean."
    return Finding(rule, None, says, tuple(piece.id for piece in known), float(spread))


def absorption(subject: Subject) -> Finding:
    """Measure the mean absorption of the pieces, in per cent of their dry mass."""
    known = [(piece, piece.absorption) for piece in subject.elements if piece.absorption is not None]
    if len(known) < 3:
        test = "Weigh at least three whole pieces dry and after soaking for a day."
        return cannot_tell("absorption", f"The absorption of {len(known)} pieces is on record; three are needed.", test)
    mean = sum(value for _, value in known) / len(known)
    says = f"{len(known)} pieces take up {mean:.1f} % of their dry mass."
    return Finding("absorption", None, says, tuple(piece.id for piece, _ in known), mean)


def fill_colour_step(subject: Subject) -> Finding:
    """Measure the least colour difference (CIEDE2000) between the fill and what it is cut through."""
    rule = "fill_colour_step"
    known = [(fill, other) for fill, other in subject.fill_pairs if fill.colour_moist and other.colour_moist]
    if not known:
        test = "Read the moist Munsell colour of the fill and of each layer it is cut through."
        return cannot_tell(rule, "The colours of the fill and of what it is cut through are not both recorded.", test)
    steps = [(compare_colours(fill.colour_moist or "", other.colour_moist or "").difference, fill, other) for fill, other in known]
    step, fill, other = min(steps, key=lambda held: held[0])
    says = f"The colours of fill {fill.number} and of {other.number} lie {step:.1f} apart (CIEDE2000), the nearest of {len(steps)}."
    return Finding(rule, None, says, (fill.id, other.id), step)


def finds_span(subject: Subject) -> Finding:
    """Measure over how many years the earliest dates of its finds spread; the latest of them is told as not earlier than."""
    rule = "finds_span"
    known = [(find, find.begin) for find in subject.finds if find.begin is not None]
    if len(known) < 2:
        test = "Have the finds dated: at least two with a first year of making."
        return cannot_tell(rule, f"{len(known)} of its finds have a first year of making; two are needed.", test)
    years = [year for _, year in known]
    bound = terminus_of_finds(years)
    latest = bound.year if bound is not None else max(years)
    says = f"The first years of {len(known)} dated finds spread over {max(years) - min(years)} years; not earlier than {latest}."
    return Finding(rule, None, says, tuple(find.id for find, _ in known), float(max(years) - min(years)))
