"""Thresholds of excavation safety, as figures that a test can check. They warn; they never clear.

A competent person on the spot and the local code decide. Nothing here is legal advice, and whether the cited part of the US code
binds a given dig was not checked.

References
----------
29 CFR 1926 Subpart P, read in reprints, not on the official site: 652(a)(1) protection, 651(c)(2) egress, 651(j)(2) spoil,
651(k)(1) inspection (read in secondary pages), Appendices A, B and F (read in secondary pages). From memory, thought sure: ground
that was disturbed before is never Type A.
"""

from __future__ import annotations

from baulk.quantities import INTERNATIONAL_FOOT

__all__ = [
    "EGRESS_DEPTH",
    "ENGINEER_DEPTH",
    "PROTECTION_DEPTH",
    "REACH_OF_EGRESS",
    "RULE_OF_THUMB_DEPTH",
    "SPOIL_DISTANCE",
    "egress_needed",
    "engineer_needed",
    "protection_needed",
    "soil_type",
    "spoil_clear",
]

PROTECTION_DEPTH = 5 * INTERNATIONAL_FOOT
"""Metres; 652(a)(1): 5 ft (1.52 m)."""

EGRESS_DEPTH = 4 * INTERNATIONAL_FOOT
"""Metres; 651(c)(2): 4 ft (1.22 m), in trenches; asked for in every unit here."""

REACH_OF_EGRESS = 25 * INTERNATIONAL_FOOT
"""Metres; 651(c)(2): no more than 25 ft (7.62 m) along the trench to a way out."""

ENGINEER_DEPTH = 20 * INTERNATIONAL_FOOT
"""Metres; Appendices B and F: deeper than 20 ft a registered professional engineer designs the protection."""

SPOIL_DISTANCE = 2 * INTERNATIONAL_FOOT
"""Metres; 651(j)(2): 2 ft (0.61 m) from the edge, or retaining devices."""

RULE_OF_THUMB_DEPTH = 1.2
"""Metres; a British rule of thumb and no legal line (read in a secondary page): no ground can be relied on to stand unsupported."""

_TYPE_A_STRENGTH = 144.0  # kPa: unconfined strength of 1.5 tons per square foot, Appendix A, secondary page
_TYPE_B_STRENGTH = 48.0  # kPa: 0.5 tons per square foot
_ROUNDING = 1e-9


def protection_needed(depth: float) -> bool:
    """Tell whether the depth in metres asks for a protective system in any ground; below it a competent person judges."""
    return depth >= PROTECTION_DEPTH - _ROUNDING


def egress_needed(depth: float) -> bool:
    """Tell whether the depth in metres asks for a ladder, stair or ramp."""
    return depth >= EGRESS_DEPTH - _ROUNDING


def engineer_needed(depth: float) -> bool:
    """Tell whether the depth in metres asks for an engineer's design."""
    return depth > ENGINEER_DEPTH + _ROUNDING


def spoil_clear(distance: float) -> bool:
    """Tell whether spoil lies far enough from the edge; `distance` in metres."""
    return distance >= SPOIL_DISTANCE - _ROUNDING


def soil_type(strength: float, *, cohesive: bool, disturbed: bool = True, wet_or_fissured: bool = False) -> str:
    """Return the letter of the soil: A, B or C, the weakest C.

    Parameters
    ----------
    strength : float
        Unconfined compressive strength in kPa.
    cohesive : bool
        Whether the soil holds together as clay does; other soil is at best B here.
    disturbed : bool
        Whether it was dug, filled or driven over before. True unless told otherwise: what an archaeologist digs was.
    wet_or_fissured : bool
        Whether it is under water, seeping or cracked; it then counts as C.

    Returns
    -------
    str
        Never A for disturbed ground, however strong. A caution, not a classification: that is the competent person's.

    Examples
    --------
    >>> soil_type(200.0, cohesive=True), soil_type(200.0, cohesive=True, disturbed=False), soil_type(30.0, cohesive=True)
    ('B', 'A', 'C')
    """
    if wet_or_fissured or not strength > _TYPE_B_STRENGTH:
        return "C"
    return "A" if cohesive and not disturbed and strength >= _TYPE_A_STRENGTH else "B"
