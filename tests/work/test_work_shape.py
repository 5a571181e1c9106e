"""The shape of a unit from its record: the demo, records with gaps, records that contradict themselves."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from baulk.errors import InputError, UnknownRecord
from baulk.record import Burial, Context, Find, Level, Outline, Relation, Site, SiteRecord, Unit, Wall, WallOutline
from baulk.work.order import site_order
from baulk.work.shape import UnitShape, unit_volumes
from baulk.work.unit_sections import section_of_unit, unit_sections

RING = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
SPOTS = ((0.1, 0.1), (1.9, 0.1), (1.9, 1.9), (0.1, 1.9), (1.0, 1.0))


def levels(context: str, surface: str, height: float, spots: tuple[tuple[float, float], ...] = SPOTS) -> list[Level]:
    """Return levels on one surface."""
    return [
        Level(id=f"{context}-{surface}-{place}", context=context, surface=surface, easting=east, northing=north, level=height)
        for place, (east, north) in enumerate(spots)
    ]


Spots = tuple[tuple[float, float], ...]


def layer(
    number: str, top: float | None, base: float | None, *, spots: Spots = SPOTS, ring: Spots = RING, **fields: Any
) -> list[Any]:
    """Return a deposit, over the whole unit if no ring is given, with its levels and outline."""
    given = {"kind": "deposit", "units": ("u",), "dug": 100.0, "texture": "silt"} | fields
    found: list[Any] = [Context(id=number, number=number, **given)]
    found.append(
        Outline(id=f"o{number}", context=number, ring=ring, edges=("limit of excavation" if ring == RING else "seen",) * 4)
    )
    found += levels(number, "top", top, spots) if top is not None else []
    found += levels(number, "base", base, spots) if base is not None else []
    return found


def over(later: str, earlier: str) -> Relation:
    """Return a relation."""
    return Relation(id=f"{later}>{earlier}", later=later, earlier=earlier, how="overlies")


def record(*parts: Any, unit: str = "m") -> SiteRecord:
    """Return a site with one unit of 2 × 2."""
    flat = [one for part in parts for one in (part if isinstance(part, list) else [part])]
    return SiteRecord.of([Site(id="s", length_unit=unit), Unit(id="u", number="1", corners=RING), *flat])


def shaped(site: SiteRecord, **options: Any) -> UnitShape:
    """Return the shape of the unit."""
    return unit_volumes(site, "u", site_order(site), **options)


def test_two_layers_fill_the_hole_they_came_from() -> None:
    """Two layers of 4 m² and 0.1 and 0.3 m hold 400 and 1200 litres; the hole is their sum; the truth lies in each interval."""
    found = shaped(record(layer("1", 10.0, 9.9), layer("2", 9.9, 9.6), over("1", "2")))
    volumes = [one.volume for one in found.contexts]
    assert [one.litres for one in volumes if one] == [pytest.approx(400, abs=0.5), pytest.approx(1200, abs=0.5)]
    assert found.hole == pytest.approx(1.6, abs=1e-3)
    assert found.crossings == ()
    assert found.backfill is not None
    assert found.backfill.bulking.soil == "earth"
    assert found.backfill.hole[0] < 1.6 < found.backfill.hole[1]


def test_feet_are_turned_once() -> None:
    """A unit of 5 × 5 ft dug 3 ft is 2.12376 m³ (75 cubic feet, computed)."""
    square = ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0))
    spots = ((0.2, 0.2), (4.8, 0.2), (4.8, 4.8), (0.2, 4.8), (2.5, 2.5))
    site = SiteRecord.of(
        [
            Site(id="s", length_unit="ft"),
            Unit(id="u", number="1", corners=square),
            Context(id="1", number="1", kind="deposit", units=("u",)),
            Outline(id="o", context="1", ring=square),
            *levels("1", "top", 33.0, spots),
            *levels("1", "base", 30.0, spots),
        ]
    )
    assert shaped(site).hole == pytest.approx(2.12376, rel=1e-4)


def test_a_missing_base_is_taken_from_what_it_lies_on_and_said() -> None:
    """Without levels on its base a layer takes the tops beneath; a fill takes the base of its cut; else there is no volume."""
    ring = ((0.5, 0.5), (1.5, 0.5), (1.5, 1.5), (0.5, 1.5))
    spots = ((0.6, 0.6), (1.4, 0.6), (1.4, 1.4), (0.6, 1.4), (1.0, 1.0))
    pit = [
        Context(id="3", number="3", kind="cut", units=("u",)),
        Context(id="4", number="4", kind="fill", units=("u",), fill_of="3"),
        Outline(id="o3", context="3", ring=ring),
        Outline(id="o4", context="4", ring=ring),
        *levels("3", "base", 9.4, spots),
        *levels("4", "top", 9.9, spots),
    ]
    found = shaped(record(layer("1", 10.0, None), layer("2", 9.9, None), over("1", "2"), pit))
    shapes = {one.context.number: one for one in found.contexts}
    assert shapes["1"].volume is not None
    assert shapes["1"].volume.litres == pytest.approx(400, abs=1)
    assert shapes["1"].body.base_from.startswith("the tops of what it lies on")
    assert shapes["2"].volume is None
    assert shapes["2"].why_not == "no level on its base, nor on what it meets there"
    assert shapes["4"].volume is not None
    assert shapes["4"].volume.litres == pytest.approx(500, abs=1)
    assert shapes["4"].body.base_from.startswith("the base of cut 3")
    assert found.notes == ("not in the sum, having no volume: 2",)


def test_levels_without_place_and_contexts_without_outline_are_told() -> None:
    """A level without a height is set aside and counted; a context that was not drawn has no volume."""
    blind = Level(id="x", context="1", surface="base", easting=1.0, northing=1.0)
    found = shaped(record(layer("1", 10.0, None), blind, Context(id="9", number="9", kind="deposit", units=("u",))))
    assert [one.why_not for one in found.contexts] == [
        "no level on its base that can be used (1 lack a place or a height), nor on what it meets there",
        "no outline is drawn in this unit",
    ]
    assert found.backfill is None


def test_a_level_that_pushes_is_named_in_words() -> None:
    """A level of the lower layer entered 150 mm too high is named with its place; the move is told and widens the error."""
    good = shaped(record(layer("1", 10.0, 9.9), layer("2", 9.9, 9.6), over("1", "2")))
    parts = layer("2", 9.9, 9.6)
    slip = next(place for place, one in enumerate(parts) if one.id == "2-top-4")
    parts[slip] = parts[slip].model_copy(update={"level": 10.05})
    bad = shaped(record(layer("1", 10.0, 9.9), parts, over("1", "2")))
    (words,) = [one for one in bad.crossings if "the top of 2 came out" in one and "the base of 1" in one]
    assert "level 10.050 at 1.00 1.00 on the top of 2" in words
    assert max(one.moved for one in bad.contexts) > 0.02
    assert bad.contexts[0].volume is not None and good.contexts[0].volume is not None
    assert bad.contexts[0].volume.standard_error > good.contexts[0].volume.standard_error


def test_a_loop_leaves_the_surfaces_as_they_are_and_says_so() -> None:
    """With a loop in the order nothing is pushed, and the note tells."""
    found = shaped(record(layer("1", 10.0, 9.9), layer("2", 9.9, 9.6), over("1", "2"), over("2", "1")))
    assert "the order holds a loop or a contradiction: surfaces were not kept from crossing" in found.notes


def test_burials_are_in_no_answer_unless_asked_for() -> None:
    """Contexts of a burial are left out and counted; asked for, they are there."""
    site = record(layer("1", 10.0, 9.9), layer("2", 9.9, 9.6), Burial(id="b", number="1", contexts=("2",)))
    found = shaped(site)
    assert [one.context.number for one in found.contexts] == ["1"]
    assert "1 contexts are withheld; they are in no sum" in found.notes
    assert len(shaped(site, restricted=True).contexts) == 2
    assert all("2" not in face.section.contexts for face in unit_sections(site, "u"))


def test_buckets_and_finds_stand_beside_the_volume() -> None:
    """Litres and counted finds are held against the volume; human bone is not counted."""
    finds = [Find(id="f", context="1", count=20, material="ceramic"), Find(id="g", context="1", count=5, material="human bone")]
    one = shaped(record(layer("1", 10.0, 9.9, litres=450.0), finds)).contexts[0]
    assert one.buckets is not None and one.buckets.agrees
    assert one.finds is not None
    assert one.finds.per_cubic_metre == pytest.approx(50, rel=0.01)


def test_the_drawn_wall_is_held_beside_the_model_and_contacts_beside_the_order() -> None:
    """A base drawn 40 mm low is told; a contact without a relation is missing, one the other way round is against."""
    wall = Wall(id="w", number="W1", unit="u", face="north", ends=((0.0, 2.0), (2.0, 2.0)))
    drawn = WallOutline(id="wo", wall="w", context="1", ring=((0, 10.0), (2, 10.0), (2, 9.86), (0, 9.86)))
    parts = (layer("1", 10.0, 9.9), layer("2", 9.9, 9.6), layer("3", 9.6, 9.3), over("3", "2"), wall, drawn)
    site = record(*parts)
    faces = {face.face.name: face for face in unit_sections(site, "u", site_order(site))}
    assert set(faces) == {"north", "east", "south", "west"}
    base = faces["north"].differences[1]
    assert base.mean == pytest.approx(-40, abs=1)
    assert faces["east"].wall is None
    verdicts = {(one.contact.later, one.contact.earlier): one.verdict for one in faces["east"].contacts}
    assert verdicts == {("1", "2"): "missing", ("2", "3"): "against"}
    middle = section_of_unit(site, "u", [(0, 1), (2, 1)])
    np.testing.assert_allclose(middle.top[0], 10.0, atol=1e-6)


def test_what_is_not_there_is_refused() -> None:
    """An unknown unit, and faces of a unit without corners, are refused with what to do."""
    site = SiteRecord.of([Site(id="s"), Unit(id="u", number="1")])
    with pytest.raises(UnknownRecord, match="There is no unit “z”"):
        unit_volumes(site, "z")
    with pytest.raises(InputError, match=r"has no corners on record, so it has no faces. Enter its corners"):
        unit_sections(site, "u")
    assert unit_volumes(site, "u").contexts == ()
