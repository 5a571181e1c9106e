"""The drawing of a wall, read back from its SVG."""

from __future__ import annotations

import pytest
from shapely import LineString, Point, Polygon

from baulk.drawing import to_svg, wall_drawing
from baulk.drawing.wall import facing_of
from baulk.errors import InputError, UnknownRecord
from baulk.record import KINDS, SiteRecord, Wall, WallOutline, build
from tests.drawings.otter_yard import WALL, yard, yard_entities
from tests.drawings.read_svg import area_of, entries, groups, length_of, lines, paths, read, words


def _svg(record: SiteRecord | None = None, **how: object) -> str:
    return to_svg(wall_drawing(record or yard(), WALL, **how))


def test_areas_on_the_face_are_the_records_areas() -> None:
    """At 1:10 a square metre of face is 100 by 100 mm; every layer has its recorded area."""
    record = yard()
    root = read(_svg(record))
    grounds = {group.get("data-record"): group for group in [*groups(root, "deposit"), *groups(root, "fill")]}
    for outline in record.all(WallOutline):
        if outline.context != "c1004":
            [ring] = lines(grounds[outline.context], "baulk-soil")
            assert area_of(ring) == pytest.approx(Polygon(outline.ring).area * 100**2, rel=1e-3)
    assert len(grounds) == 4


def test_level_scale_reads_true_on_both_sides() -> None:
    """A label of the level scale stands at the height of its level, so that the string line lies at its own."""
    root = read(_svg())
    scales = groups(root, "level-scale")
    assert len(scales) == 2
    for scale in scales:
        _, *ticks = lines(scale, "baulk-line-level-scale")
        levels = [float(word) for word in words(scale)]
        assert len(levels) == len(ticks) >= 4
        gap = (ticks[0][0][1] - ticks[1][0][1]) / (levels[1] - levels[0])
        assert gap == pytest.approx(100, abs=0.01)
        [string] = lines(groups(root, "string")[0], "baulk-line-string-line")
        assert ticks[0][0][1] - string[0][1] == pytest.approx((41.0 - levels[0]) * 100, abs=0.01)
    assert words(groups(root, "string")[0]) == ["string 41.00"]


@pytest.mark.parametrize(
    ("contact", "quality", "dashes"),
    [("k1", "firm", None), ("k2", "dotted", "0.01 1.1"), ("k3", "broken", "2.2 1.2")],
)
def test_contact_is_drawn_by_its_certainty(contact: str, quality: str, dashes: str | None) -> None:
    """A firm contact is firm, a probable one broken, a doubtful one dotted."""
    [group] = [group for group in groups(read(_svg()), "contact") if group.get("data-record") == contact]
    [line] = paths(group, f"baulk-line-{quality}")
    assert line.get("stroke-dasharray") == dashes


def test_changing_a_certainty_changes_its_line() -> None:
    """The quality of a contact's line follows the record: the same contact made doubtful is dotted."""
    entities = [entity for entity in yard_entities() if entity.id != "k1"]
    firm = next(entity for entity in yard_entities() if entity.id == "k1")
    doubtful = build(KINDS["contact"], {**firm.model_dump(), "certainty": "doubtful"})
    [group] = [g for g in groups(read(_svg(SiteRecord.of([*entities, doubtful]))), "contact") if g.get("data-record") == "k1"]
    assert paths(group, "baulk-line-dotted")
    assert not paths(group, "baulk-line-firm")


@pytest.mark.parametrize(("certainty", "drawn"), [("doubtful", "dotted"), ("probable", "broken"), ("firm", ""), (None, "")])
def test_doubt_without_a_line_is_drawn_on_the_shared_edge(certainty: str | None, drawn: str) -> None:
    """A contact recorded as less than firm, but without a line, makes the edge its contexts share as doubtful as it is."""
    entities = [entity for entity in yard_entities() if entity.id != "k2"]
    bare = build(KINDS["contact"], {"id": "k2", "wall": WALL, "later": "c1005", "earlier": "c1008", "certainty": certainty})
    found = [group for group in groups(read(_svg(SiteRecord.of([*entities, bare]))), "contact") if group.get("data-record") == "k2"]
    if not drawn:
        assert not found
        return
    [group] = found
    shared = lines(group, f"baulk-line-{drawn}")[0]
    assert length_of(shared) == pytest.approx(100 * (0.655**2 + 0.02**2) ** 0.5, abs=0.7)


def test_cut_on_a_wall_is_open_above_and_notched_into_the_void() -> None:
    """The cut's mouth has no line, its contact is notched on the side of its fill, and it is never filled."""
    root = read(_svg())
    [cut] = groups(root, "cut")
    assert not paths(cut, "baulk-soil")
    fill = Polygon(lines(next(g for g in groups(root, "fill")), "baulk-soil")[0])
    [contact] = [group for group in groups(root, "contact") if group.get("data-record") == "k1"]
    tips = [Point(run[1]) for run in lines(contact, "baulk-line-notch")]
    assert len(tips) > 20
    assert all(fill.buffer(0.05).contains(tip) for tip in tips)
    mouth = LineString([fill.exterior.coords[0], fill.exterior.coords[3]])
    drawn = [LineString(run) for quality in ("firm", "unsaid", "broken") for run in lines(cut, f"baulk-line-{quality}")]
    assert all(line.intersection(mouth.buffer(0.3)).length < 2 for line in drawn)


def test_edge_that_a_contact_draws_is_not_drawn_twice() -> None:
    """Where a contact says how sure an edge is, the outline's own edge is left to it."""
    root = read(_svg())
    doubtful = LineString(next(run for run in lines(root, "baulk-line-dotted") if len(run) == 2))
    for group in groups(root, "edges"):
        for quality in ("firm", "broken", "unsaid", "cut-away"):
            assert all(
                LineString(run).intersection(doubtful.buffer(0.2)).length < 2 for run in lines(group, f"baulk-line-{quality}")
            )


def test_sheet_says_where_it_looks_and_where_it_lies() -> None:
    """Title, ends and their grid positions are on the sheet; a public sheet keeps the directions and drops positions and names."""
    shown, public = _svg(), _svg(public=True)
    assert "Unit 1: north wall" in shown
    assert all(word in shown for word in ("Seen looking: north", "100.00 E", "102.00 E", "202.00 N", "Drawn by: HM"))
    assert "Checked by: not recorded" in shown
    assert not any(word in public for word in ("100.00 E", "102.00 E", "202.00 N", "Drawn by"))
    assert {"west", "east"} <= set(words(read(public)))


@pytest.mark.parametrize(
    ("ends", "looking"),
    [([(0, 2), (2, 2)], "north"), ([(2, 0), (0, 0)], "south"), ([(2, 2), (2, 0)], "east"), ([(0, 0), (0, 2)], "west")],
)
def test_facing_follows_from_the_ends(ends: list[tuple[float, float]], looking: str) -> None:
    """Seen from inside, with its left end on the left, a face's ends tell which way one looks."""
    assert facing_of(build(Wall, {"id": "w", "unit": "u", "ends": ends})) == looking


def test_face_with_a_burial_is_drawn_without_it_and_without_what_shows_it() -> None:
    """A withheld shape leaves no id, no colour and no gap: neighbours along its edge go too, and the sheet counts both."""
    grave = build(
        WallOutline, {"id": "wg", "wall": WALL, "context": "c1009", "ring": [(1.4, 40.3), (1.8, 40.3), (1.8, 40.84), (1.4, 40.84)]}
    )
    beside = build(
        WallOutline, {"id": "wb", "wall": WALL, "context": "c1007", "ring": [(1.8, 40.3), (2, 40.3), (2, 40.84), (1.8, 40.84)]}
    )
    record = SiteRecord.of([*yard_entities(), grave, beside])
    text = _svg(record)
    assert not any(word in text for word in ("c1009", "1009", "10YR 5/6", "c1007"))
    assert "1 restricted record not drawn." in text
    assert "1 further outline not drawn in this version." in text
    assert "c1009" in _svg(record, restricted=True)


def test_key_of_a_wall_has_its_lines_only() -> None:
    """The key has the string, the ground line and the doubtful contact of this face, and no sign of a plan."""
    listed = entries(read(_svg()))
    assert {"line: dotted", "line: ground line", "line: string line", "cut", "line: cut away"} <= listed
    assert not any(name.startswith("mark: ") for name in listed)


def test_unknown_and_empty_walls_are_refused_in_words() -> None:
    """Each refusal says what was given and what to do."""
    with pytest.raises(UnknownRecord, match="There is no wall “wall-9”"):
        wall_drawing(yard(), "wall-9")
    with pytest.raises(InputError, match=r"Wall E1 has nothing to draw.*Enter what the face shows as"):
        wall_drawing(yard(), "wall-2")
