"""Sheets of the modelled ground by name: which there are, what they show, and what is kept from whom."""

from __future__ import annotations

import re

import pytest

from baulk.errors import InputError, UnknownRecord
from baulk.record import Burial, Context, Relation, SiteRecord, View, Wall, WallOutline
from baulk.work.ground_sheets import GroundSheets
from baulk.work.order import site_order
from baulk.work.study import Study
from tests.drawings.read_svg import groups, lines, read, words
from tests.work.test_work_shape import layer, over, record

EDGES = ("seen",) * 4


def face(context: str, top: float, base: float) -> WallOutline:
    """Return a layer drawn over the whole south face."""
    ring = ((0.0, top), (2.0, top), (2.0, base), (0.0, base))
    return WallOutline(id=f"w{context}", wall="w", context=context, ring=ring, edges=EDGES)


def two_layers(*more: object, drawn: float = 9.9) -> SiteRecord:
    """Return two layers, 100 and 300 mm thick, with a drawing of the south face."""
    wall = Wall(id="w", number="W1", unit="u", face="south", ends=((2.0, 0.0), (0.0, 0.0)))
    faces = [wall, face("1", 10.0, drawn), face("2", drawn, 9.6)]
    return record(layer("1", 10.0, 9.9), layer("2", 9.9, 9.6), over("1", "2"), *faces, *more)


def sheets(site: SiteRecord) -> GroundSheets:
    """Return its sheets."""
    return GroundSheets(site, site_order(site))


def test_contexts_with_a_volume_and_walls_with_a_drawing_are_listed() -> None:
    """A context without a base, and a wall with nothing drawn, have no sheet; a study lists the rest beside its other drawings."""
    site = two_layers(layer("3", 9.6, None), Wall(id="w2", number="W2", unit="u", face="north"))
    assert sheets(site).names == ("thickness-1", "thickness-2", "modelled-W1")
    assert set(sheets(site).names) < set(Study(site).drawings)
    assert "thick" in Study(site).svg("thickness-1")


def test_a_sheet_that_is_not_there_is_refused_in_words() -> None:
    """A context without a base says so, an unknown one too, and a wall without a drawing names what to enter."""
    site = two_layers(layer("3", 9.6, None), Wall(id="w2", number="W2", unit="u", face="north"))
    with pytest.raises(InputError, match=r"Context 3 has no thickness to draw: no level on its base, nor on what it meets there"):
        sheets(site).scene("thickness-3")
    with pytest.raises(InputError, match="Wall W3 names no unit that is on record, so there is no model to hold it against"):
        sheets(two_layers(Wall(id="w3", number="W3", unit="gone", face="east"))).scene("modelled-W3")
    with pytest.raises(UnknownRecord, match="There is no context “9”"):
        sheets(site).scene("thickness-9")
    with pytest.raises(InputError, match=r"Wall W2 cannot be held against the model: .* Enter which face it is"):
        sheets(site).scene("modelled-W2")


def test_differences_are_those_between_drawing_and_model() -> None:
    """A contact drawn 40 mm low is marked −40 by a line of 4 mm at 1:10, in the table too; what agrees has no mark."""
    root = read(Study(two_layers(drawn=9.86)).svg("modelled-W1"))
    marks = {group.get("data-name"): group for group in groups(root, "difference")}
    assert set(marks) == {"1 base", "2 top"}
    for mark in marks.values():
        [(one, other)] = lines(mark, "baulk-line-difference")
        assert other[1] - one[1] == pytest.approx(4.0, abs=0.01)
        assert words(mark) in (["−40"], [])
    rows = {row.get("data-name"): words(row) for row in groups(root, "difference-row")}
    assert re.fullmatch(r"mean 0; 0 at \d\.\d\d m", rows["1"][1])
    assert re.fullmatch(r"mean −40; −40 at \d\.\d\d m", rows["1"][2])
    assert groups(read(Study(two_layers()).svg("modelled-W1")), "difference") == []


def test_the_modelled_bodies_lie_behind_the_lines() -> None:
    """The model of a layer of 2 m by 100 mm takes 200 × 10 mm at 1:10 and is drawn before the first drawn line."""
    svg = Study(two_layers(drawn=9.86)).svg("modelled-W1")
    bodies = {group.get("data-name"): group for group in groups(read(svg), "modelled")}
    heights = [down for _, down in lines(bodies["1"], "baulk-paper")[0]]
    assert max(heights) - min(heights) == pytest.approx(10.0, abs=0.05)
    assert svg.rindex("baulk-modelled") < svg.index('"baulk-drawn"')


def grave(*, burial: bool = True) -> SiteRecord:
    """Return two layers with a possible grave cut into them, levelled and outlined."""
    ring = ((0.5, 0.5), (1.5, 0.5), (1.5, 1.0), (0.5, 1.0))
    spots = ((0.7, 0.6), (1.3, 0.6), (1.3, 0.9), (0.7, 0.9))
    parts = [
        *layer("77", 9.9, 9.317, spots=spots, ring=ring, kind="fill"),
        Relation(id="r", later="77", earlier="2", how="overlies"),
    ]
    return two_layers(*parts, *([Burial(id="b", contexts=("77",))] if burial else []))


def test_a_withheld_context_has_no_sheet_but_for_who_may_know() -> None:
    """The crew's list, sheets and refusal tell nothing of its shape; restricted, the sheet says what it is."""
    site = grave()
    told = sheets(site)
    assert "thickness-77" not in told.names and "thickness-77" in sheets(grave(burial=False)).names
    for view in (View.CREW, View.PUBLIC):
        with pytest.raises(InputError, match="The shape of context 77 is withheld"):
            told.scene("thickness-77", view)
        assert "9.32" not in Study(site).svg("thickness-2", view)
    restricted = Study(site).svg("thickness-77", View.RESTRICTED)
    assert "9.32" in restricted and "RESTRICTED" in restricted


def test_levels_of_a_withheld_context_shape_no_neighbour() -> None:
    """The top of a layer without levels of its own is not taken from the base of a grave that lies on it, but for who may know."""
    site = grave()
    bare = SiteRecord.of(one for kind in site.entities.values() for one in kind if not one.id.startswith(("2-top", "1>2")))
    assert bare.get(Context, "2")
    assert "thickness-2" not in sheets(bare).names
    assert "9.32" in Study(bare).svg("thickness-2", View.RESTRICTED)
    with pytest.raises(InputError, match="Context 2 has no thickness to draw: no level on its top"):
        sheets(bare).scene("thickness-2")


def test_a_wall_is_restricted_only_when_it_shows_what_is_withheld() -> None:
    """A possible grave in the middle of the unit does not make the sheet of the south wall restricted; one on its line does."""
    assert "RESTRICTED" not in Study(grave()).svg("modelled-W1", View.RESTRICTED)
    ring, spots = ((0.5, 0.0), (1.5, 0.0), (1.5, 0.5), (0.5, 0.5)), ((0.7, 0.1), (1.3, 0.1), (1.3, 0.4))
    parts = [*layer("77", 9.9, 9.317, spots=spots, ring=ring, kind="fill"), Burial(id="b", contexts=("77",))]
    on_face = Study(two_layers(*parts))
    assert "RESTRICTED" in on_face.svg("modelled-W1", View.RESTRICTED)
    for view in (View.CREW, View.PUBLIC):
        assert "RESTRICTED" not in on_face.svg("modelled-W1", view) and ">77<" not in on_face.svg("modelled-W1", view)
