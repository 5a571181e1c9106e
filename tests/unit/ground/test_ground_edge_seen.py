"""How much of an outline follows an edge."""

from __future__ import annotations

import numpy as np
import pytest

from baulk.errors import MeasureError
from baulk.ground.edge_seen import edge_seen

RING = np.array([(30, 40), (110, 40), (110, 80), (30, 80)], float)


def test_an_outline_on_its_edge_is_seen_and_one_beside_it_is_not() -> None:
    """Whole on the edge, either way round; half where one end has no edge; none on plain ground or with grain only."""
    rng = np.random.default_rng(0)
    picture = np.full((120, 150), 70.0)
    picture[40:80, 30:110] = 150
    assert edge_seen(picture, RING) == edge_seen(picture, RING[::-1]) > 0.95
    assert edge_seen(picture + rng.normal(0, 8, picture.shape), RING) > 0.95
    picture[:, 70:] = 150  # the next piece, without a joint
    assert edge_seen(picture, RING) == pytest.approx(0.5, abs=0.05)
    assert edge_seen(np.full((120, 150), 70.0), RING) == 0
    assert edge_seen(70 + rng.normal(0, 20, (120, 150, 3)), RING) < 0.1
    assert edge_seen(picture, RING + 1000) == 0


def test_an_outline_without_area_is_refused() -> None:
    """A line encloses nothing and has no edge to look for."""
    with pytest.raises(MeasureError, match="An outline that encloses nothing is given: it has no edge to look for"):
        edge_seen(np.zeros((9, 9)), [(0, 0), (4, 4), (8, 8)])
