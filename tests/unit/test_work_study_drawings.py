"""The order of one unit among several."""

from __future__ import annotations

import pytest

from baulk.errors import UnknownRecord
from baulk.record import Context, Drawing, Outline, Relation, SiteRecord, Unit
from baulk.work.reported import drawings_wanted
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


def test_a_sheet_is_drawn_at_its_own_scale_and_names_itself_alone() -> None:
    """A plan of the register at 1:10 is drawn and captioned at 1:10; one without a scale at 1:20; no other sheet is named."""
    unit = Unit(id="u", number="1", corners=((0, 0), (2, 0), (2, 2), (0, 2)))
    context = Context(id="c", number="101", kind="deposit", units=("u",))
    ring = ((0.2, 0.2), (1.8, 0.2), (1.8, 1.8))
    sheets = [
        Drawing(id=f"d{n}", number=f"D{n}", kind="plan", unit="u", contexts=("c",), scale=scale)
        for n, scale in ((3, None), (4, 10))
    ]
    outlines = [Outline(id=f"o{n}", context="c", ring=ring, drawing=f"d{n}") for n in (3, 4)]
    study = Study(SiteRecord.of([unit, context, *sheets, *outlines]))
    tenth, plain = study.scene("plan-1-D4"), study.scene("plan-1-D3")
    assert (tenth.scale, plain.scale) == (10, 20)
    drawn = study.svg("plan-1-D4")
    assert "Unit 1: plan D4" in drawn
    assert "D3" not in drawn
    assert "D3, D4" in study.svg("plan-1")
    scales = {name: scale for _, name, _, scale in drawings_wanted(study, unit)}
    assert scales["plan-1-D4"] == 10
    assert scales["plan-1-D3"] == 20
