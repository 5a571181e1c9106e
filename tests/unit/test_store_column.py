"""Columns and geometries derived from the fields."""

from __future__ import annotations

import shapely

from baulk.record import KINDS, Context, Find, Level, Unit, build
from baulk.store.column import columns_of, plain_value
from baulk.store.geometry import has_levels, shape_of
from baulk.store.schema import fields_mark


def test_every_field_of_every_kind_has_a_column():
    """Each field becomes one column of a known type, id first, and none has the name of the row number or the geometry."""
    for kind in KINDS.values():
        columns = columns_of(kind)
        assert columns[0].name == "id"
        assert {column.name for column in columns} == set(kind.model_fields)
        assert not {"fid", "geom"} & {column.name for column in columns}
        assert {column.type for column in columns} <= {"TEXT", "INTEGER", "REAL", "BOOLEAN", "DATE"}
        assert [column.name for column in columns if column.json and column.name == "absences"] == ["absences"]


def test_types_follow_the_fields():
    """Lists become JSON text, yes/no a boolean, a date a date, a count a whole number, a measure a real number."""
    types = {column.name: (column.type, column.json) for column in columns_of(Context)}
    assert types["units"] == ("TEXT", True)
    assert types["natural"] == ("BOOLEAN", False)
    assert types["recorded_on"] == ("DATE", False)
    assert types["phase"] == ("INTEGER", False)
    assert types["depth"] == ("REAL", False)
    assert types["colour_moist"] == ("TEXT", False)


def test_plain_values_are_lists_all_the_way_down():
    """Tuples of positions become lists of lists, mappings become dictionaries."""
    unit = build(Unit, {"id": "a", "corners": [[0, 0], [1, 0], [1, 1]]})
    assert plain_value(unit.corners) == [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]]
    assert type(plain_value(unit.corners)[0]) is list
    assert plain_value({"a": (1,)}) == {"a": [1]}


def test_a_blank_place_has_no_geometry():
    """A record without a place, and a kind that has none, have no geometry."""
    assert shape_of(build(Context, {"id": "a"})) is None
    assert shape_of(build(Unit, {"id": "a"})) is None
    assert shape_of(build(Level, {"id": "a", "context": "b", "easting": 1.0})) is None


def test_a_height_is_written_where_there_is_one():
    """A level with a height is a point with height, a find without one a plain point."""
    assert has_levels(Level)
    assert not has_levels(Unit)
    level = build(Level, {"id": "a", "context": "b", "easting": -1.5, "northing": 2.0, "level": 0.0})
    assert shapely.from_wkb(shape_of(level)[8:]).equals_exact(shapely.Point(-1.5, 2.0, 0.0))
    assert shapely.from_wkb(shape_of(level)[8:]).has_z
    find = build(Find, {"id": "a", "easting": 1e300, "northing": 2.0})
    assert not shapely.from_wkb(shape_of(find)[8:]).has_z


def test_the_mark_of_the_fields_does_not_hang_on_the_order_of_kinds(monkeypatch):
    """Moving a kind in the list leaves the mark; leaving one out changes it."""
    before = fields_mark()
    monkeypatch.setattr("baulk.store.schema.KINDS", dict(reversed(KINDS.items())))
    assert fields_mark() == before
    monkeypatch.setattr("baulk.store.schema.KINDS", {"context": Context})
    assert fields_mark() != before
