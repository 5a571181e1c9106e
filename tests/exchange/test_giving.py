"""What is given can be taken in again as it was; burials and what would give their place away stay behind unless asked for."""

from __future__ import annotations

import csv
import io
import json
from itertools import pairwise

import pytest

from baulk.errors import FieldError, InputError, UnknownRecord
from baulk.exchange import drafts, give_csv, give_dictionary, give_geojson, table_of_text, withheld
from baulk.record import (
    KINDS,
    VOCABULARIES,
    Burial,
    Context,
    Entity,
    Evidence,
    Expectation,
    Find,
    Level,
    LevelRun,
    Notice,
    Outline,
    Photo,
    Position,
    Question,
    Reading,
    Relation,
    Sensitivity,
    Sight,
    Site,
    SiteRecord,
    Station,
    TermList,
    Unit,
    Wall,
    facts_of,
)  # fmt: skip
from baulk.record.reference import csv_headers
from tests.exchange.made import entity_of, ids

RING = ((100.0, 200.0), (100.0, 202.0), (102.0, 202.0), (102.0, 200.0))


def full_record() -> SiteRecord:
    """Return a record that touches every kind of value; invented."""
    return SiteRecord.of([
        Site(id="s", code="OW", name="Otter Weir", length_unit="m", invented=True),
        Station(id="st", number="T1", easting=100.0, northing=200.0, level=-0.35, projected_easting=1.5, mark="nail"),
        Unit(id="u1", number="1", corners=RING, sides=(2.0, 2.005), opened="2026-05-04"),
        Unit(id="u0", number="1", void="moved two metres"),
        Context(id="c1", number="=1042", kind="deposit", units=("u1", "u0"), description="=A1\r\nline, \"two\"",
                colour_moist="10YR 4/3", tools=("trowel", "toothpick; bent"), interpretation="n/a",
                absences={"sieved": "not done: rain", "litres": "bucket lost"}),
        Context(id="c2", number="1043", kind="cut", cut_function="grave", notes="not applicable"),
        Context(id="c3", number="1044", kind="fill", fill_of="c2", attitude="not visible", absences={"bond": "not visible"}),
        Context(id="c4", number="1045", kind="structure", absences={"attitude": "not visible"}, void="same as 1044"),
        Relation(id="r1", later="c1", earlier="c2", how="overlies", certainty="firm"),
        LevelRun(id="run", number="A", day="2026-05-04", start="st", end="st"),
        Sight(id="si", run="run", place=1, backsight=1.234),
        Level(id="l1", context="c1", easting=101.0, northing=201.0, level=1.25, sight="si"),
        Level(id="l2", context="c3", easting=101.5, northing=201.5, level=1.0),
        Outline(id="o1", context="c1", ring=RING, edges=("seen", "seen", "uncertain", "cut away")),
        Outline(id="o2", context="c2", ring=RING),
        Wall(id="w", number="W1", unit="u1", face="north", ends=((100.0, 202.0), (102.0, 202.0))),
        Find(id="f1", number="1", context="c1", material="glass waste", count=3, mass=12.5, begin=-44,
             easting=101.0, northing=201.0),
        Find(id="f2", number="2", context="c1", material="human bone", easting=101.0, northing=201.0),
        Photo(id="p1", number="1", subject="north wall", sensitive=False),
        Photo(id="p2", number="2", subject="bone", sensitive=True),
        Question(id="q", number="1", about=("c1",)), Reading(id="re", question="q"),
        Evidence(id="e", question="q", number="1.1", records=("c1",), expected={"re": "likely"}, seen=False, grain=0.5),
        Expectation(id="x", evidence="e", reading="re", word="0.2 to 0.4", why="seen; twice"),
        TermList(id="t", vocabulary="texture", name="ours 1", terms=("marl; soft", "clay")),
        Burial(id="b", number="1", contexts=("c2",), ring=RING), Notice(id="n", burial="b", to="the coroner"),
    ])  # fmt: skip


def taken_back(record: SiteRecord, kinds: list[str]) -> SiteRecord:
    """Return the record made of what `give_csv` gives of each kind, taken in one after the other."""
    made: dict[str, Entity] = {}
    earlier: list = []
    for kind in kinds:
        found = drafts(table_of_text(give_csv(record, kind, restricted=True), kind), kind, SiteRecord.of(
            entity for entity in record.all(TermList) if kind != "term_list"), new_id=ids(), earlier=earlier)  # fmt: skip
        earlier += found.drafts
        made.update((draft.id, entity_of(draft)) for draft in found.drafts)
    return SiteRecord.of(made.values())


def test_every_kind_comes_back_as_it_was() -> None:
    """Given as CSV and taken again in the order of the kinds, every record is equal, ids, absences and void ones included.

    The void unit that shares a number, which only a merge of two copies gives, is left out: a number twice is refused on taking.
    """
    record = full_record()
    without = SiteRecord.of(entity for entity in record.by_id.values() if entity.id != "u0").entities
    single = SiteRecord.of(
        entity.model_copy(update={"units": ("u1",)}) if entity.id == "c1" else entity
        for found in without.values()
        for entity in found
    )
    assert taken_back(single, list(KINDS)).entities == single.entities


def test_the_headers_are_the_documented_ones() -> None:
    """One header for each field, `id` first; `used_only` leaves out what no record fills."""
    record = full_record()
    for kind in KINDS:
        first = give_csv(record, kind, restricted=True).split("\r\n", 1)[0]
        assert tuple(next(csv.reader([first]))) == csv_headers(KINDS[kind])
    assert give_csv(record, "relation", used_only=True) == "id,later,earlier,how,certainty\r\nr1,'=1042,1043,overlies,firm\r\n"


def test_a_reference_whose_number_would_not_lead_back_is_given_by_id() -> None:
    """A void unit that shares its number is named by id, the live one by number."""
    row = table_of_text(give_csv(full_record(), "context", used_only=True)).rows
    assert any("1; id:u0" in cells for cells in row)


def test_formulas_are_given_as_text() -> None:
    """No cell of text begins as a formula would; numbers keep their minus."""
    for kind in KINDS:
        for row in table_of_text(give_csv(full_record(), kind, restricted=True), kind).rows:
            for cell in row:
                assert cell[:1] not in ("=", "+", "@") and (cell[:1] != "-" or cell[1:2].isdecimal())
    assert "-0.35" in give_csv(full_record(), "station")


def test_a_nul_cannot_be_given() -> None:
    """The field is named so that it can be mended."""
    record = SiteRecord.of([Context(id="c", number="7", notes="a\0b")])
    with pytest.raises(
        FieldError, match=r"context 7: notes is given as .* It holds a NUL, which no text file can hold\. Mend the field"
    ):
        give_csv(record, "context")
    with pytest.raises(UnknownRecord, match=r"There is no kind of record “burrial”\. Did you mean burial"):
        give_csv(record, "burrial")


def test_burials_and_what_gives_their_place_away_stay_behind() -> None:
    """Levels, outlines and finds of a grave, human bone and sensitive photos are withheld, and words say how many."""
    record = full_record()
    for kind, kept in {"burial": [], "notice": [], "level": ["l1"], "outline": ["o1"], "find": ["f1"], "photo": ["p1"]}.items():
        assert [row[0] for row in table_of_text(give_csv(record, kind)).rows] == kept, kind
        assert len(table_of_text(give_csv(record, kind, restricted=True)).rows) > len(kept)
    assert withheld(record, [Burial, Level, Context]) == (
        "possible burial: 1 of 1, restricted.",
        "level: 1 of 2, restricted.",
        "context: 2 of 4, number and kind only.",
    )
    assert withheld(record, [Burial], restricted=True) == ()
    assert "sensitive" not in give_csv(record, "photo").split("\r\n")[0]
    assert withheld(record, [Photo]) == (
        "photo: 1 of 2, restricted.",
        "photo: the field sensitive, filled in 1.",
    )


def test_a_public_version_leaves_agency_fields_out() -> None:
    """The mark of a station and its national co-ordinates are for agencies."""
    headers = give_csv(full_record(), "station", public=True).split("\r\n")[0].split(",")
    assert "projected_easting" not in headers and "mark" not in headers and "easting" in headers
    assert all(facts_of(Station, name).sensitivity is Sensitivity.PUBLIC for name in headers)
    assert "station: the field mark, filled in 1." in withheld(full_record(), [Station], public=True)


def test_the_dictionary_describes_every_field() -> None:
    """One row for each field of each kind, with its list of terms."""
    rows = list(csv.DictReader(io.StringIO(give_dictionary())))
    assert {(row["kind"], row["field"]) for row in rows} == {
        (name, field) for name, kind in KINDS.items() for field in csv_headers(kind)
    }
    (texture,) = [row for row in rows if (row["kind"], row["field"]) == ("context", "texture")]
    assert texture["terms"] == "; ".join(VOCABULARIES["texture"].terms)
    assert (texture["closed list"], texture["applies to"]) == ("no", "deposit; fill")


def flat(position: Position) -> tuple[float, float]:
    """Return a longitude and latitude near Otter Weir (invented) for a position: a degree is taken as 100 km, for the test only."""
    return (-1.0 + position.easting / 1e5, 52.0 + position.northing / 1e5)


def area(ring: list[list[float]]) -> float:
    """Return the signed area of a closed ring, positive when anticlockwise."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring)) / 2


def test_geojson_follows_the_standard() -> None:
    """Rings are closed and anticlockwise, co-ordinates longitude then latitude, references numbers, and the text is JSON."""
    found = json.loads(json.dumps(give_geojson(full_record(), ["unit", "outline", "wall", "level"], to_wgs84=flat)))
    assert found["type"] == "FeatureCollection" and "coordinates_in" not in found
    by_id = {feature["id"]: feature for feature in found["features"]}
    assert set(by_id) == {"u1", "o1", "w", "l1"}
    (ring,) = by_id["u1"]["geometry"]["coordinates"]
    assert ring[0] == ring[-1] and len(ring) == 5 and area(ring) > 0
    assert ring[0] == [-0.999, 52.002]
    assert by_id["w"]["geometry"] == {"type": "LineString", "coordinates": [[-0.999, 52.00202], [-0.99898, 52.00202]]}
    assert by_id["l1"]["geometry"] == {"type": "Point", "coordinates": [-0.99899, 52.00201]}
    assert by_id["l1"]["properties"] == {"kind": "level", "context": "=1042", "surface": "top", "easting": 101.0, "northing": 201.0,
                                         "level": 1.25, "sight": "A/1"}  # fmt: skip
    assert found["withheld"] == [
        "outline: 1 of 2, restricted.",
        "level: 1 of 2, restricted.",
    ]


def test_a_ring_that_a_transform_turns_over_is_still_anticlockwise() -> None:
    """The direction is set after the transform."""
    (feature,) = give_geojson(
        SiteRecord.of([Unit(id="u", corners=RING)]), ["unit"], to_wgs84=lambda at: (at.northing / 1e3, at.easting / 1e3)
    )["features"]
    assert area(feature["geometry"]["coordinates"][0]) > 0


def test_plain_site_grid_is_marked_as_outside_the_standard() -> None:
    """Without a transform it is refused in words, unless plain co-ordinates are asked for."""
    record = full_record()
    with pytest.raises(InputError, match=r"GeoJSON holds longitude and latitude \(WGS 84\), and the site grid is not tied"):
        give_geojson(record, ["unit"])
    found = give_geojson(record, ["unit"], plain=True)
    assert found["coordinates_in"] == "site grid, m; outside RFC 7946, which has longitude and latitude only"
    assert found["features"][0]["geometry"]["coordinates"][0][0] == [100.0, 200.0]
    with pytest.raises(InputError, match=r"Both a transform and plain site-grid co-ordinates are asked for"):
        give_geojson(record, ["unit"], plain=True, to_wgs84=flat)


def test_kinds_without_a_place_and_positions_off_the_earth_are_refused() -> None:
    """A context has no place of its own; a transform that leads off the Earth is answered with what to look at."""
    with pytest.raises(InputError, match=r"A context has no place of its own on the site grid: give it as CSV, not as GeoJSON"):
        give_geojson(full_record(), ["context"], plain=True)
    with pytest.raises(InputError, match=r"comes out at longitude 1000 and latitude 2000, which is not on the Earth"):
        give_geojson(full_record(), ["unit"], to_wgs84=lambda at: (at.easting * 10, at.northing * 10))


def test_burials_are_given_when_asked_for() -> None:
    """The site's own archive holds everything."""
    found = give_geojson(full_record(), ["burial", "outline"], plain=True, restricted=True)
    assert [feature["id"] for feature in found["features"]] == ["b", "o1", "o2"] and "withheld" not in found
    held = give_geojson(full_record(), ["burial"], plain=True)
    assert held["features"] == [] and held["withheld"] == ["possible burial: 1 of 1, restricted."]
