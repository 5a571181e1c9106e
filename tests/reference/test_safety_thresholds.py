"""Thresholds of excavation safety as published; the figures beside their section of 29 CFR 1926 Subpart P.

The text was read in reprints and secondary pages, not on the official site.
"""

from __future__ import annotations

import math

import pytest

from baulk.closing.thresholds import (
    EGRESS_DEPTH,
    ENGINEER_DEPTH,
    PROTECTION_DEPTH,
    SPOIL_DISTANCE,
    egress_needed,
    engineer_needed,
    protection_needed,
    soil_type,
    spoil_clear,
)

FOOT = 0.3048
TSF = 95.76  # kPa in one ton per square foot (2000 lbf / ft2), computed from the definitions


@pytest.mark.parametrize(("feet", "needed"), [(3.9, False), (4.0, True)])
def test_egress(feet: float, needed: bool) -> None:
    """1926.651(c)(2), read in a reprint: ladder or ramp in trenches 4 ft (1.22 m) or more deep."""
    assert egress_needed(feet * FOOT) is needed


@pytest.mark.parametrize(("feet", "needed"), [(4.99, False), (5.0, True)])
def test_protection(feet: float, needed: bool) -> None:
    """1926.652(a)(1), read in a reprint: below 5 ft (1.52 m) a competent person judges, from 5 ft protection is required."""
    assert protection_needed(feet * FOOT) is needed


@pytest.mark.parametrize(("feet", "needed"), [(20.0, False), (20.1, True)])
def test_engineer(feet: float, needed: bool) -> None:
    """Appendices B and F, read in a secondary page: a registered engineer for depths greater than 20 ft."""
    assert engineer_needed(feet * FOOT) is needed


@pytest.mark.parametrize(("feet", "clear"), [(1.9, False), (2.0, True)])
def test_spoil(feet: float, clear: bool) -> None:
    """1926.651(j)(2), read in a reprint: materials at least 2 ft (.61 m) from the edge."""
    assert spoil_clear(feet * FOOT) is clear


def test_printed_metres() -> None:
    """The metres printed in the code are the feet, rounded: 1.22, 1.52, .61."""
    assert round(EGRESS_DEPTH, 2) == 1.22
    assert round(PROTECTION_DEPTH, 2) == 1.52
    assert round(SPOIL_DISTANCE, 2) == 0.61
    assert math.isclose(ENGINEER_DEPTH, 6.096)


@pytest.mark.parametrize(
    ("tons", "expected"),
    [(1.6, "A"), (1.5, "B"), (1.0, "B"), (0.5, "C"), (0.2, "C")],
)
def test_soil_types_of_undisturbed_clay(tons: float, expected: str) -> None:
    """Appendix A, read in a secondary page, which prints 144 kPa for 1.5 and 48 kPa for 0.5 tons per square foot.

    1.5 tons per square foot are 143.6 kPa, just short of the 144 printed: the rounding errs to the weaker type.
    """
    assert soil_type(tons * TSF, cohesive=True, disturbed=False) == expected


def test_disturbed_ground_is_never_type_a() -> None:
    """Appendix A, from memory: previously disturbed soil is B unless C, however strong; what archaeologists dig is disturbed."""
    assert soil_type(300.0, cohesive=True, disturbed=True) == "B"
    assert soil_type(300.0, cohesive=True) == "B"
    assert soil_type(300.0, cohesive=True, disturbed=False, wet_or_fissured=True) == "C"
    assert soil_type(math.nan, cohesive=True, disturbed=False) == "C"
