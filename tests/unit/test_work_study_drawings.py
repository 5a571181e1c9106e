"""The order of one unit among several."""

from __future__ import annotations

import pytest

from baulk.errors import UnknownRecord
from baulk.record import Context, Relation, SiteRecord, Unit
from baulk.work.study import Study

UNITS = [Unit(id="u", number="1"), Unit(id="v", number="2")]
CONTEXTS = [Context(id=f"c{n}", number=f"10{n}", units=("u",) if n < 4 else ("v",)) for n in range(1, 6)]
RELATIONS = [Relation(id=f"r{n}", later=f"c{n}", earlier=f"c{n + 1}") for n in range(1, 5)]


def test_each_of_several_units_has_an_order_of_its_own() -> None:
    """The drawing of a unit's order shows its contexts and no other's; a site with one unit has the one order only."""
    study = Study(SiteRecord.of([*UNITS, *CONTEXTS, *RELATIONS]))
    assert {"order", "order-1", "order-2"} <= set(study.drawings)
    assert "104" in study.svg("order") and "104" not in study.svg("order-1") and "103" not in study.svg("order-2")
    assert "order-1" not in Study(SiteRecord.of([UNITS[0], *CONTEXTS[:3]])).drawings
    with pytest.raises(UnknownRecord, match="There is no unit “9”"):
        study.scene("order-9")


def test_a_unit_without_contexts_has_an_empty_order() -> None:
    """Nothing is drawn that is not there, and nothing fails."""
    study = Study(SiteRecord.of([*UNITS, *CONTEXTS[:3]]))
    assert "101" not in study.svg("order-2")
