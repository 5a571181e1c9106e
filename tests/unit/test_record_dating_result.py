"""Dating results in the record: what was measured, checked once, and read back from tables."""

from __future__ import annotations

import pytest

from baulk.errors import FieldError
from baulk.record import DatingResult, DatingSettings, build, stems_by_bore
from tests.exchange.made import record_of, taken

TABLE = """number,method,laboratory_code,age,error,delta_13c,own_age,stem_bores,pane_thickness,last_ring,sapwood_rings,bark
1,radiocarbon,INV-101,180,25,-26.1,young,,,,,
2,pipe stems,,,,,,"5:9, 4:5",,,,
3,window glass,,,,,,,1.2; 1.35,,,
4,tree rings,,,,,,,,1742,12,no
"""


def test_stems_are_counted_by_bore() -> None:
    """A count of stems is kept in one spelling, and the same bore given twice is summed."""
    assert stems_by_bore("5:9;4:5") == {5.0: 9, 4.0: 5}
    assert build(DatingResult, {"id": "r", "stem_bores": " 5 : 9;5:1 , 4.5:2"}).stem_bores == "5:10, 4.5:2"


@pytest.mark.parametrize("text", ["twelve", "5", "5:", "2:4", "13:1", "5:12,,6:1"])
def test_what_is_no_count_of_stems_is_refused(text: str) -> None:
    """A bore outside of 3 to 12, or words, are refused with how to write it."""
    with pytest.raises(FieldError, match="Stems are counted by bore in sixty-fourths of an inch, 3 to 12, as in 5:12, 6:3"):
        build(DatingResult, {"id": "r", "stem_bores": text})


def test_each_method_is_taken_from_a_table() -> None:
    """Radiocarbon, stems, panes and rings stand in one table and come out as values."""
    made = record_of(taken(TABLE, "dating_result").drafts).all(DatingResult)
    assert [one.method for one in made] == ["radiocarbon", "pipe stems", "window glass", "tree rings"]
    assert (made[0].age, made[0].error, made[0].delta_13c, made[0].own_age) == (180, 25, -26.1, "young")
    assert made[1].stem_bores == "5:9, 4:5"
    assert made[2].pane_thickness == (1.2, 1.35)
    assert (made[3].last_ring, made[3].sapwood_rings, made[3].bark) == (1742, 12, False)


def test_settings_outside_of_their_bounds_are_refused() -> None:
    """A lag of 0 years and a factor below 1 are no settings; blanks stay blank, for the house settings."""
    assert build(DatingSettings, {"id": "s", "seed": 3, "absence": False}).discard_lag is None
    for wrong in ({"discard_lag": 0}, {"odds_each_grade": 0.5}, {"undisturbed": 1.5}, {"window_begin": 0}):
        with pytest.raises(FieldError):
            build(DatingSettings, {"id": "s", **wrong})
