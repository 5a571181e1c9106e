"""Dating results of a record as aids: each method says what it can, and one that cannot be used says why."""

from __future__ import annotations

from typing import Any

import pytest

from baulk.record import Context, DatingResult, Element, SiteRecord
from baulk.work.dates import SiteDates, site_dates
from baulk.work.dating_results import carbon_drawn, result_name, stems_of, what_results_say
from baulk.work.order import site_order

LAYER = Context(id="a", number="1", kind="deposit")


def _result(number: str, method: str | None, **values: Any) -> DatingResult:
    return DatingResult(id=f"r{number}", number=number, context="a", method=method, **values)


def _site(*results: DatingResult) -> SiteRecord:
    return SiteRecord.of([LAYER, *results])


def _dates(record: SiteRecord) -> SiteDates:
    return site_dates(record, site_order(record))


def test_each_method_gives_its_aid() -> None:
    """An age is calibrated with its code and material told, stems of two results are counted together, panes and rings answer."""
    record = _site(
        _result("1", "radiocarbon", laboratory_code="INV-7", age=205, error=25, dated_material="twig", own_age="young"),
        _result("2", "pipe stems", stem_bores="5:9"),
        _result("3", "pipe stems", stem_bores="4:3"),
        _result("4", "window glass", pane_thickness=(1.5,) * 40),
        _result("5", "tree rings", last_ring=1742, sapwood_rings=20, sapwood_area="southern England"),
        _result("6", "radiocarbon", age_limit="<200"),
    )
    aids, refused = what_results_say(record, LAYER)
    by_name = {aid.name: aid for aid in aids}
    assert not refused
    carbon = by_name["radiocarbon (result 1, radiocarbon INV-7)"]
    assert carbon.limits[0] == "Twig; young when it came in."
    assert (carbon.begin, carbon.end) == (1649, 1950)
    # Binford 1962: 1931.85 - 38.26 X with X = (9*5 + 3*4)/12 = 4.75
    assert by_name["pipe stems, Binford"].middle == pytest.approx(1931.85 - 38.26 * 4.75)
    # Moir 1987 (from memory): 84.22 T + 1712.7 with T = 1.5
    assert by_name["window glass, Moir (result 4, window glass)"].middle == pytest.approx(84.22 * 1.5 + 1712.7)
    # Miles 1997 (from memory): 9 to 41 rings of sapwood in southern England, 20 of them measured
    felled = by_name["felling, sapwood present (result 5, tree rings)"]
    assert (felled.begin, felled.end) == (1742, 1763)
    assert "weak terminus" in by_name["radiocarbon (result 6, radiocarbon)"].words
    assert stems_of((record.all(DatingResult)[1], record.all(DatingResult)[2])) == {5.0: 9, 4.0: 3}
    assert [one.name for one in carbon_drawn(record, LAYER)] == ["result 1, radiocarbon INV-7"]


@pytest.mark.parametrize(
    ("result", "why"),
    [
        (_result("1", "radiocarbon"), "no age with an error is recorded, nor a limit"),
        (_result("1", "radiocarbon", age=200, error=0), "A radiocarbon age has an error above 0"),
        (_result("1", "window glass"), "no thickness is recorded"),
        (_result("1", "window glass", pane_thickness=(2.9,), coffin_glass=True), "cannot be dated by thickness"),
        (_result("1", "tree rings"), "no last ring is recorded"),
        (_result("1", "tree rings", last_ring=1742), "No sapwood estimate is given and there is no bark"),
        (_result("1", "pipe stems"), "nothing that was measured is recorded"),
        (_result("1", None), "nothing that was measured is recorded"),
    ],
)
def test_a_result_that_cannot_be_used_says_why(result: DatingResult, why: str) -> None:
    """It is no aid, and the answer to “why” names it."""
    aids, refused = what_results_say(_site(result), LAYER)
    assert aids == ()
    (said,) = refused
    assert said.startswith(result_name(result))
    assert why in said
    assert any(line.startswith("  not used: result 1") and why in line for line in _dates(_site(result)).why("1"))


def test_bricks_are_weak_evidence_from_five_on() -> None:
    """Five measured bricks of a brick structure come near a size of law, which is no bound; four, or stones, say nothing."""
    wall = Context(id="a", number="1", kind="structure", material="brick")
    bricks = [
        Element(id=f"e{place}", context="a", length=229, width=114, height=63) for place in range(5)
    ]  # 9 x 4 1/2 x 2 1/2 in, J. Harris, Lexicon Technicum 1723 (read)
    aids, _ = what_results_say(SiteRecord.of([wall, *bricks]), wall)
    assert aids
    assert all((aid.begin, aid.end, aid.in_validity) == (None, None, False) for aid in aids)
    assert what_results_say(SiteRecord.of([wall, *bricks[:4]]), wall)[0] == ()
    setts = wall.model_copy(update={"material": "setts"})
    assert what_results_say(SiteRecord.of([setts, *bricks]), setts)[0] == ()
