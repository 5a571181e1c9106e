"""Figures are rounded as by hand: a half goes away from zero."""

from __future__ import annotations

import pytest

from baulk.drawing.paper import level_text
from baulk.quantities import half_up


@pytest.mark.parametrize(
    ("value", "places", "says"),
    [
        (29.525, 2, "29.53"), (29.535, 2, "29.54"), (2.675, 2, "2.68"), (-1.005, 2, "-1.01"), (29.54, 3, "29.540"),
        (10.0 + 0.1 + 0.2 + 0.015, 2, "10.32"), (-0.0001, 2, "0.00"), (0.0005, 3, "0.001"),
    ],
)  # fmt: skip
def test_a_half_is_rounded_away_from_zero(value: float, places: int, says: str) -> None:
    """Neither the even neighbour nor what binary sums leave over decides."""
    assert half_up(value, places) == says


def test_levels_on_drawings_have_two_decimals_rounded_alike() -> None:
    """A drawing and a table round the same level the same way."""
    assert [level_text(level) for level in (29.525, 29.535, 29.5)] == ["29.53", "29.54", "29.50"]
