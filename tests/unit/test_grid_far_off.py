"""Why positions lie far from where they belong."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.grid.far_off import likely_cause, likely_level_cause

UNIT = np.array([[112.0, 204.0], [114.0, 206.0]])


@pytest.mark.parametrize(
    ("given", "cause"),
    [
        (UNIT / 0.3048, "they look like feet read as metres"),
        (UNIT * 100, "they look like centimetres read as metres"),
        (UNIT[:, ::-1], "easting and northing look exchanged"),
        (UNIT * 0, "they look like a scanner's own count, from where it stood"),
        (UNIT + 420_000, "they look like a projected grid and not the site grid"),
        (UNIT + 300, ""),
    ],
)
def test_each_slip_is_named(given: np.ndarray, cause: str) -> None:
    """What brings the positions back is named; a shift that nothing explains has no cause."""
    assert likely_cause(given, UNIT) == cause


def test_levels_near_those_known_have_no_cause() -> None:
    """A level within 3 m of those known is near; farther off it has a cause, or the empty string."""
    assert likely_level_cause(31.0, 28.6, 29.7) is None
    assert likely_level_cause(96.0, 28.6, 29.7) == "they look like feet read as metres"
    assert likely_level_cause(60.0, 28.6, 29.7) == ""
