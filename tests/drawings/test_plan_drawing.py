"""The plan of a unit, read back from its SVG."""

from __future__ import annotations

import pytest
from shapely import Point, Polygon

from baulk.drawing import plan_drawing, sequence_of_plans, to_svg
from baulk.errors import InputError, MeasureError, UnknownRecord
from baulk.record import KINDS, Outline, SiteRecord, Unit, build
from tests.drawings.otter_yard import UNIT, yard, yard_entities
from tests.drawings.read_svg import area_of, classes, entries, groups, length_of, lines, paths, read, words

_GRAVE = ("c1009", "c1010", "o1009", "o1010", "b1", "l5")


def _svg(record: SiteRecord | None = None, **how: object) -> str:
    return to_svg(plan_drawing(record or yard(), UNIT, **how))


@pytest.mark.parametrize(("scale", "millimetres"), [(20, 50.0), (10, 100.0), (50, 20.0)])
def test_print_scale_is_exact(scale: float, millimetres: float) -> None:
    """One metre at 1:20 is 50 mm of paper, on the unit's side and on the scale bar alike, and the view box is in millimetres."""
    root = read(_svg(scale=scale))
    across, down = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {root.get('width')[:-2]} {root.get('height')[:-2]}"
    ring = lines(groups(root, "unit")[0], "baulk-line-limit-of-excavation")[0]
    assert max(spot[0] for spot in ring) - min(spot[0] for spot in ring) == pytest.approx(2 * millimetres, abs=0.002)
    assert max(spot[0] for spot in ring) < across
    assert max(spot[1] for spot in ring) < down
    bar = groups(root, "scale-bar")[0]
    metres = float(bar.get("data-name").split()[0])
    frame = max(lines(bar, "baulk-line-frame"), key=area_of)
    assert max(spot[0] for spot in frame) - min(spot[0] for spot in frame) == pytest.approx(metres * millimetres, abs=0.002)


def test_drawn_areas_are_the_records_areas() -> None:
    """The area of every deposit, fill and structure on paper is its outline's area at scale; another scale's would not be."""
    record = yard()
    root = read(_svg(record))
    checked = 0
    for outline in record.all(Outline):
        found = [group for group in root.iter() if group.get("data-record") == outline.context]
        soils = [run for group in found for run in [*lines(group, "baulk-soil"), *lines(group, "baulk-paper")[:1]]]
        if soils:
            truth = Polygon(outline.ring).area * 50**2
            assert area_of(soils[0]) == pytest.approx(truth, rel=1e-3)
            assert area_of(soils[0]) != pytest.approx(truth / 4, rel=1e-3)
            checked += 1
    assert checked == 6


def test_soil_is_drawn_in_its_own_colour_and_a_blank_colour_is_not_invented() -> None:
    """A deposit is filled with the sRGB of its moist Munsell colour; without one it is paper, and the key says so."""
    root = read(_svg())
    fills = {group.get("data-name"): [path.get("fill") for path in paths(group, "baulk-soil")] for group in groups(root, "deposit")}
    assert fills["1002"] == ["#544535"]
    assert fills["1007"] == []
    assert "ground: colour not recorded; sand" in entries(root)
    assert "ground: 10YR 3/2; sandy loam" in entries(root)


def test_earliest_lies_beneath_latest_by_the_order_given() -> None:
    """Contexts are painted earliest first; without an order the drawing says what it takes for granted."""
    order = ["c1008", "c1007", "c1006", "c1005", "c1004", "c1003", "c1002"]
    plan = plan_drawing(yard(), UNIT, order=order)
    painted = [group.get("data-record") for group in read(to_svg(plan)).iter() if group.get("data-record") in order]
    assert painted == ["c1008", "c1007", "c1006", "c1005", "c1003", "c1004", "c1002"]  # a cut's line after its own fill
    assert not any("No order" in note for note in plan.notes)
    assert any("No order was given" in note for note in plan_drawing(yard(), UNIT).notes)
    covered = plan_drawing(yard(), UNIT, contexts=order, order=list(reversed(order)))
    assert "Beneath later contexts and not seen here: 1002, 1003, 1004, 1005, 1006, 1007." in covered.notes


def test_layer_over_the_whole_unit_does_not_hide_the_features() -> None:
    """In a plan of everything a layer over all of the unit and later than a feature is taken off and named; the ground is kept."""
    turf = [
        build(KINDS["context"], {"id": "c1001", "number": "1001", "kind": "deposit", "units": [UNIT]}),
        build(KINDS["outline"], {"id": "o1001", "context": "c1001", "ring": [(100, 200), (102, 200), (102, 202), (100, 202)]}),
    ]
    record = SiteRecord.of([*yard_entities(), *turf])
    plan = plan_drawing(record, UNIT)
    text = to_svg(plan)
    assert "Lay over the whole unit and are taken off to show the features: 1001." in plan.notes
    assert 'data-record="c1001"' not in text
    assert all(f'data-record="{kept}"' in text for kept in ("c1008", "c1004", "c1006"))
    assert 'data-record="c1001"' in to_svg(plan_drawing(record, UNIT, contexts=["c1001"]))


def test_certainty_is_line_quality() -> None:
    """Each edge of an outline is drawn firm, broken, cut away or as limit by its kind, over its true length."""
    root = read(_svg())
    [deposit] = [group for group in groups(root, "deposit") if group.get("data-name") == "1002"]
    [broken] = paths(deposit, "baulk-line-broken")
    assert broken.get("stroke-dasharray") == "2.2 1.2"
    assert sum(map(length_of, lines(deposit, "baulk-line-broken"))) == pytest.approx(50 * (0.2**2 + 0.8**2) ** 0.5, abs=0.01)
    [firm] = paths(deposit, "baulk-line-firm")
    assert firm.get("stroke-dasharray") is None
    assert sum(map(length_of, lines(deposit, "baulk-line-limit-of-excavation"))) == pytest.approx(50 * 1.6, abs=0.01)
    [unsaid] = [group for group in groups(root, "deposit") if group.get("data-name") == "1007"]
    assert paths(unsaid, "baulk-line-unsaid")
    assert not paths(unsaid, "baulk-line-firm")


def test_cut_is_never_filled_and_its_notches_point_inwards() -> None:
    """A cut has no soil and no texture; every notch starts on its line and ends inside it."""
    record = yard()
    root = read(_svg(record))
    [cut] = groups(root, "cut")
    assert not classes(cut) & {"baulk-soil", "baulk-texture", "baulk-paper"}
    whole = Polygon(max(lines(cut, "baulk-line-firm") + lines(cut, "baulk-line-broken"), key=len)).convex_hull
    ring = Polygon([spot for run in [*lines(cut, "baulk-line-firm"), *lines(cut, "baulk-line-broken")] for spot in run])
    assert whole.area > 0
    tips = [run[1] for run in lines(cut, "baulk-line-notch")]
    assert len(tips) > 20
    assert all(ring.buffer(0).contains(Point(tip)) for tip in tips)


@pytest.mark.parametrize("turned", [False, True])
def test_notches_point_inwards_whichever_way_the_ring_runs(turned: bool) -> None:
    """The way round in which a cut's outline was entered does not turn its notches outwards."""
    ring = [(100.5, 200.5), (101.5, 200.5), (101.5, 201.5), (100.5, 201.5)]
    cut = build(KINDS["context"], {"id": "cx", "number": "9", "kind": "cut", "units": [UNIT]})
    outline = build(KINDS["outline"], {"id": "ox", "context": "cx", "ring": ring[::-1] if turned else ring, "edges": ["seen"] * 4})
    entities = [entity for entity in yard_entities() if entity.KIND in ("site", "unit")]
    [group] = groups(read(_svg(SiteRecord.of([*entities, cut, outline]))), "cut")
    square = Polygon(lines(group, "baulk-line-firm")[0])
    assert all(square.contains(Point(run[1])) for run in lines(group, "baulk-line-notch"))


def test_levels_are_the_records_levels_at_their_place() -> None:
    """A level stands as a triangle on its point with its reduced level, two decimals; a covered one is not drawn."""
    root = read(_svg())
    levels = {group.get("data-record"): group for group in groups(root, "point") if group.get("data-name").startswith("level")}
    assert words(levels["l1"]) == ["40.71"]
    assert "l2" not in levels  # the base of the pit lies beneath its fill
    emptied = groups(read(_svg(contexts=["c1004", "c1008"])), "point")
    assert "level on base" in {group.get("data-name") for group in emptied if group.get("data-record") == "l2"}
    place = next(part.get("transform") for part in levels["l1"].iter() if "baulk-mark" in (part.get("class") or ""))
    ring = lines(groups(root, "unit")[0], "baulk-line-limit-of-excavation")[0]
    left, bottom = min(spot[0] for spot in ring), max(spot[1] for spot in ring)
    assert place.startswith(f"translate({left + 25:.3f}".rstrip("0").rstrip("."))
    assert f" {bottom - 65:.3f}".rstrip("0").rstrip(".") in place
    hidden = read(_svg(contexts=["c1008", "c1002"], order=["c1002", "c1008"]))
    assert "l0" not in {group.get("data-record") for group in groups(hidden, "point")}


def test_labels_lie_clear_of_each_other() -> None:
    """No number tag covers another, and every context that is seen has one."""
    root = read(_svg())
    tags = {}
    for group in groups(groups(root, "drawing")[0], "number"):
        [rim] = lines(group, "baulk-paper")
        tags[group.get("data-name")] = Polygon(rim)
    assert set(tags) == {"1002", "1003", "1004", "1005", "1006", "1007", "1008"}
    names = sorted(tags)
    assert not any(tags[one].overlaps(tags[two]) for one in names for two in names if one < two)


def test_key_lists_what_is_used_and_nothing_else() -> None:
    """Every line, sign and tag of the drawing is in the key, and the key has none that the drawing lacks."""
    root = read(_svg())
    drawing, listed = groups(root, "drawing")[0], entries(root)
    used = classes(drawing)
    qualities = {"firm", "broken", "dotted", "cut-away", "limit-of-excavation", "unsaid", "drawn-face"}
    in_key = {name.removeprefix("line: ").replace(" ", "-") for name in listed if name.startswith("line: ")}
    assert in_key == {quality for quality in qualities if f"baulk-line-{quality}" in used}
    assert "dotted" not in in_key
    marks = {name.removeprefix("mark: ").replace(" ", "-") for name in listed if name.startswith("mark: ")}
    assert {mark for mark in marks if not mark.startswith(("laid", "way"))} == {
        name.removeprefix("baulk-mark-") for name in used if name.startswith("baulk-mark-")
    }
    pieces = {f"mark: {group.get('data-name')}" for group in groups(root, "piece")}
    assert pieces == {name for name in listed if name.startswith(("mark: laid", "mark: way"))}
    turned = read(_svg(contexts=["c1002", "c1008"], order=["c1002", "c1008"]))
    assert "ground: 10YR 3/2; sandy loam" not in entries(turned)  # covered, so not drawn and not in the key
    assert not [group for group in groups(turned, "deposit") if group.get("data-name") == "1002"]
    lone = entries(read(_svg(contexts=["c1008"])))
    assert not any(name.startswith(("cut", "mark: find", "tag: cut", "ground: 10YR")) for name in lone)


def test_restricted_records_leave_no_trace_unless_asked_for() -> None:
    """Without leave, no id, number or level of a burial, its contexts or human bone is in the SVG; the count is told."""
    text = _svg()
    assert not any(f'"{identity}"' in text for identity in (*_GRAVE, "f2"))
    assert not any(word in text for word in ("1009", "1010", "39.33", "grave", "urial", "10YR 5/6"))
    assert "4 restricted records not drawn." in text
    shown = _svg(restricted=True)
    assert all(f'data-record="{identity}"' in shown for identity in ("c1009", "c1010", "b1"))
    assert "RESTRICTED" in shown
    assert "not drawn" not in shown


def test_neighbour_that_would_show_the_shape_is_left_out() -> None:
    """An outline that runs along a withheld one is left out too; one that merely crosses the ground is drawn."""
    ring = [(100, 200), (100.2, 200.05), (100.2, 200.75), (100.55, 200.75), (100.55, 200.05), (100.6, 200), (101, 201), (100, 201)]
    around = [
        build(KINDS["context"], {"id": "c1011", "number": "1011", "kind": "deposit", "units": [UNIT]}),
        build(KINDS["outline"], {"id": "o1011", "context": "c1011", "ring": ring}),
    ]
    record = SiteRecord.of([*yard_entities(), *around])
    text = _svg(record)
    assert 'data-record="c1011"' not in text
    assert "1 further outline not drawn in this version." in text
    assert 'data-record="c1008"' in text
    assert 'data-record="c1011"' in _svg(record, restricted=True)


def test_edge_at_the_limit_of_excavation_gives_nothing_away() -> None:
    """A burial that runs to the unit's side does not take the layers over the whole unit with it."""
    ring = [(100, 200), (101.9, 200), (101.9, 200.1), (100, 200.1)]
    record = SiteRecord.of([*yard_entities(), build(KINDS["burial"], {"id": "b2", "number": "B2", "ring": ring})])
    assert 'data-record="c1008"' in _svg(record)


def test_public_sheet_has_no_position_and_no_name() -> None:
    """A public plan has crosses without co-ordinates and no one's initials; the agency's sheet has both."""
    public, agency = _svg(public=True), _svg()
    assert not any(place in public for place in ("100.00 E", "102.00 E", "200.00 N", "202.00 N"))
    assert "Drawn by" not in public
    assert all(place in agency for place in ("100.00 E", "102.00 E", "200.00 N", "202.00 N"))
    assert "Drawn by: HM" in agency


def test_feet_sites_are_drawn_in_feet() -> None:
    """On a site kept in feet one foot at 1:20 is 15.24 mm, and scale bar, levels and title say feet."""
    root = read(_svg(yard(length_unit="ft")))
    ring = lines(groups(root, "unit")[0], "baulk-line-limit-of-excavation")[0]
    assert max(spot[0] for spot in ring) - min(spot[0] for spot in ring) == pytest.approx(2 * 15.24, abs=0.002)
    assert groups(root, "scale-bar")[0].get("data-name").endswith(" ft")
    assert "Lengths and levels in: feet and tenths" in words(root)


def test_faces_are_marked_outside_with_ticks_towards_them() -> None:
    """The line of a drawn face stands outside the unit, and its ticks point back to it."""
    root = read(_svg())
    ring = Polygon(lines(groups(root, "unit")[0], "baulk-line-limit-of-excavation")[0])
    faces = groups(root, "drawn-face")
    assert [words(face)[0] for face in faces] == ["wall E1", "wall N1"]
    for face in faces:
        line, *ticks = lines(face, "baulk-line-drawn-face")
        assert not ring.intersects(Point(line[0]))
        assert all(ring.distance(Point(tick[1])) < ring.distance(Point(tick[0])) for tick in ticks)


def test_letters_are_legible_on_paper_and_on_a_phone() -> None:
    """No letter is under 1.8 mm on paper nor under 6.5 pixels when the sheet is 360 pixels wide."""
    for scale in (20, 10):
        root = read(_svg(scale=scale))
        width = float(root.get("width")[:-2])
        smallest = min(float(text.get("font-size")) for text in root.iter(f"{root.tag.removesuffix('svg')}text"))
        assert smallest >= 1.8
        assert scale != 20 or smallest * 360 / width > 6.5


def test_one_plan_a_context_latest_first() -> None:
    """A sequence has one plan for each context with an outline, latest first, burials left out."""
    scenes = sequence_of_plans(yard(), UNIT, order=["c1008", "c1007", "c1006", "c1005", "c1004", "c1003", "c1002"])
    assert [scene.title.split(",")[0] for scene in scenes] == [
        f"Unit 1: context {number}" for number in (1002, 1003, 1004, 1005, 1006, 1007, 1008)
    ]


def test_unknown_unit_empty_unit_and_bad_scale_are_refused_in_words() -> None:
    """Each refusal says what was given and what to do."""
    with pytest.raises(UnknownRecord, match="There is no unit “unit-9”"):
        plan_drawing(yard(), "unit-9")
    with pytest.raises(MeasureError, match=r"The scale is given as 0\. .* give 20 for 1:20"):
        plan_drawing(yard(), UNIT, scale=0)
    with pytest.raises(MeasureError, match="scale is given as nan"):
        plan_drawing(yard(), UNIT, scale=float("nan"))
    bare = SiteRecord.of([build(Unit, {"id": UNIT, "number": "1"})])
    with pytest.raises(InputError, match=r"Unit 1 has neither corners nor an outline on record.*Enter the unit's corners"):
        plan_drawing(bare, UNIT)
