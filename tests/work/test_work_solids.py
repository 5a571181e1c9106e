"""The contexts of a unit as solids: less what later cuts took, ranked by the order, without what is withheld."""

from __future__ import annotations

from typing import Any

import pytest

from baulk.errors import UnknownRecord
from baulk.ground.solid import open_edges
from baulk.record import Burial, Context, Level, Outline, Relation, Site, SiteRecord, Unit, View, build
from baulk.work.order import site_order
from baulk.work.solids import UnitSolids, unit_solids

SQUARE = [[112, 204], [114, 204], [114, 206], [112, 206]]
PIT = [[112.8, 204.8], [113.2, 204.8], [113.2, 205.2], [112.8, 205.2]]
GRAVE = [[112.1, 204.1], [112.5, 204.1], [112.5, 205.1], [112.1, 205.1]]


def context(number: str, kind: str, ring: list[list[float]], top: float | None, base: float | None, **more: Any) -> list[Any]:
    """Return a context with an outline and flat levels at its corners."""
    made: list[Any] = [
        build(Context, {"id": f"c{number}", "number": number, "kind": kind, "units": ["u"], **more}),
        build(Outline, {"id": f"o{number}", "context": f"c{number}", "ring": ring}),
    ]
    for surface, level in (("top", top), ("base", base)):
        for at, (east, north) in enumerate(ring if level is not None else []):
            values = {"context": f"c{number}", "surface": surface, "easting": east, "northing": north, "level": level}
            made.append(build(Level, {"id": f"l{number}{surface}{at}", **values}))
    return made


def over(later: str, earlier: str, how: str = "overlies") -> Any:
    """Return a relation."""
    return build(Relation, {"id": f"r{later}-{earlier}", "later": f"c{later}", "earlier": f"c{earlier}", "how": how})


def site(*more: Any) -> SiteRecord:
    """Return two layers of 0.2 m, a pit of 0.3 m through the upper into the lower, and its fill."""
    return SiteRecord.of(
        [
            build(Site, {"id": "s", "length_unit": "m"}),
            build(Unit, {"id": "u", "number": "1", "corners": SQUARE}),
            *context("1", "deposit", SQUARE, 29.4, 29.2, colour_moist="10YR 4/3"),
            *context("2", "deposit", SQUARE, 29.2, 29.0, colour_moist="10YR 3/2"),
            *context("3", "cut", PIT, 29.4, 29.1),
            *context("4", "fill", PIT, 29.4, 29.1, fill_of="c3"),
            over("1", "2"), over("3", "1", "cuts"), over("4", "3", "fills"), *more,
        ]
    )  # fmt: skip


def solids(record: SiteRecord, view: View = View.CREW) -> UnitSolids:
    """Return the solids of the unit."""
    return unit_solids(record, "u", site_order(record), view)


def test_cuts_are_taken_out_of_what_they_cut() -> None:
    """The upper layer loses the whole pit, the lower the part of it that reaches down; the fill is whole; all are closed."""
    found = {one.context: one for one in solids(site()).solids}
    litres = {name: 1000 * one.solid.volume for name, one in found.items()}
    assert litres["c1"] == pytest.approx(800 - 160 * 0.2, abs=0.1)
    assert litres["c2"] == pytest.approx(800 - 160 * 0.1, abs=0.1)
    assert litres["c4"] == pytest.approx(160 * 0.3, abs=0.1)
    assert all(open_edges(one.solid) == 0 for one in found.values())
    assert "cut by 3" in found["c2"].says


def test_without_the_relation_nothing_is_cut() -> None:
    """The negative control: a pit that is not recorded as later takes nothing."""
    record = site()
    record = SiteRecord.of([one for one in record.by_id.values() if not isinstance(one, Relation)])
    assert all(
        1000 * one.solid.volume == pytest.approx(800, abs=0.1) for one in solids(record).solids if one.context in ("c1", "c2")
    )


def test_rank_follows_the_order_and_what_lies_on_what() -> None:
    """A solid lies higher than every earlier one that it overlaps; one that overlaps none lies at the bottom."""
    aside = context("5", "deposit", [[113.7, 205.7], [113.9, 205.7], [113.9, 205.9], [113.7, 205.9]], 29.6, 29.5)
    ranks = {one.context: one.rank for one in solids(site(*aside)).solids}
    assert ranks == {"c2": 0, "c1": 1, "c4": 2, "c5": 0}
    assert [one.rank for one in solids(site()).solids] == sorted(one.rank for one in solids(site()).solids)


def test_what_has_no_solid_is_told_with_its_reason() -> None:
    """A cut is room; a context without an outline, or levels on its base that nothing gives, says what is missing."""
    bare = build(Context, {"id": "c6", "number": "6", "kind": "deposit", "units": ["u"]})
    why = {one.context: one.why for one in solids(site(bare, *context("7", "deposit", PIT, 29.6, None))).left_out}
    assert why["c3"] == "a cut is room, not a body: its fills are drawn"
    assert "no outline" in why["c6"]
    assert "base" in why["c7"]


def test_a_cut_of_unknown_depth_is_told_and_takes_nothing() -> None:
    """A later cut without levels on its base cuts nothing from the drawing, and that is said."""
    trench = context("8", "cut", [[113.5, 204], [113.8, 204], [113.8, 206], [113.5, 206]], 29.4, None)
    found = {one.context: one for one in solids(site(*trench, over("8", "1", "cuts"))).solids}
    assert any("how deep 8 cuts into it was not levelled" in words for words in found["c1"].says)


def burial() -> list[Any]:
    """Return a possible grave through both layers, with its fill and the burial's own record."""
    return [
        *context("9", "cut", GRAVE, 29.4, 28.9, cut_function="grave"), *context("10", "fill", GRAVE, 29.4, 28.9, fill_of="c9"),
        over("9", "1", "cuts"), over("10", "9", "fills"), build(Burial, {"id": "b", "number": "G1", "contexts": ["c9", "c10"]}),
    ]  # fmt: skip


@pytest.mark.parametrize("view", [View.CREW, View.PUBLIC])
def test_a_possible_grave_leaves_no_hole_and_no_solid(view: View) -> None:
    """What is withheld has no solid, is not named, and its cut is not taken out of its neighbours: no hole shows where it lies."""
    found = solids(site(*burial()), view)
    named = {one.context for one in found.solids} | {one.context for one in found.left_out}
    assert not named & {"c9", "c10"}
    assert found.withheld == 2
    litres = {one.context: 1000 * one.solid.volume for one in found.solids}
    assert litres["c1"] == pytest.approx(800 - 32, abs=0.1)
    assert not any("9" in words for one in found.solids for words in one.says if "cut by" in words)


def test_who_may_know_sees_the_grave() -> None:
    """The negative control: in the restricted view the fill has a solid and the layer a hole, and that is marked."""
    found = solids(site(*burial()), View.RESTRICTED)
    litres = {one.context: 1000 * one.solid.volume for one in found.solids}
    assert litres["c10"] == pytest.approx(200, abs=0.1)
    assert litres["c1"] == pytest.approx(800 - 32 - 80, abs=0.1)
    assert (found.withheld, found.holds_restricted) == (0, True)


def test_an_unknown_unit_is_refused() -> None:
    """A unit that the site does not have is refused with those it has."""
    with pytest.raises(UnknownRecord, match="There is no unit “9”"):
        unit_solids(site(), "9", site_order(site()))
