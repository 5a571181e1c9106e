"""The site file against the requirements of the GeoPackage standard, and as a general GIS library reads it.

Requirements read at the source: OGC 12-128, *GeoPackage Encoding Standard*, tag v1.3.0 of the standard's own repository,
spec/core/1_base.adoc (application_id, user_version, reference systems, contents, last_change, integrity and foreign key checks).
Requirements on features and attributes (clauses 2.1 and 2.4) and the binary header are from memory.
"""

from __future__ import annotations

import json
import re
import sqlite3
import struct
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
import shapely

from baulk.record import KINDS
from baulk.store import open_site
from baulk.store.schema import LISTS
from tests.store.samples import RING, made, record_id, small_site


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a small site file with a point, a line and polygons, closed."""
    path = tmp_path_factory.mktemp("standard") / "site.gpkg"
    with open_site(path, create=True) as store:
        store.append(small_site())
        store.append([made(40, "wall", record_id(40), unit=record_id(1), ends=[[100.0, 202.0], [102.0, 202.0]])])
        store.append([made(41, "find", record_id(41), number="7", easting=101.0, northing=201.0)])
    return path


@pytest.fixture
def tables(site):
    """Return a connection of plain SQLite to the site file."""
    with closing(sqlite3.connect(f"{site.as_uri()}?mode=ro", uri=True)) as connection:
        yield connection


def one(connection: sqlite3.Connection, statement: str) -> object:
    """Return the single value of a statement."""
    return connection.execute(statement).fetchone()[0]


def test_it_is_a_geopackage(site, tables):
    """The file is SQLite 3 with the application id GPKG (0x47504B47) and the user version 10300, and its name ends in .gpkg."""
    assert site.read_bytes()[:16] == b"SQLite format 3\0"
    assert site.suffix == ".gpkg"
    assert one(tables, "PRAGMA application_id") == 0x47504B47
    assert one(tables, "PRAGMA user_version") == 10300


def test_it_is_whole(tables):
    """PRAGMA integrity_check answers ok and PRAGMA foreign_key_check nothing."""
    assert tables.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert tables.execute("PRAGMA foreign_key_check").fetchall() == []


def test_the_reference_systems_that_every_file_has(tables):
    """EPSG 4326, -1 and 0 are there; -1 is of organisation NONE and undefined: the site grid."""
    rows = {
        row[0]: row[1:]
        for row in tables.execute("SELECT srs_id, organization, organization_coordsys_id, definition FROM gpkg_spatial_ref_sys")
    }
    assert rows[-1] == ("NONE", -1, "undefined")
    assert rows[0] == ("NONE", 0, "undefined")
    assert rows[4326][:2] == ("EPSG", 4326)
    assert rows[4326][2].startswith('GEOGCS["WGS 84"')


def test_every_table_is_entered_among_the_contents(tables):
    """Every table but the standard's own is entered as features or attributes, and its last change has the standard's form."""
    held = {row[0] for row in tables.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'gpkg_%'")}
    contents = {row[0]: row[1:] for row in tables.execute("SELECT table_name, data_type, last_change FROM gpkg_contents")}
    assert held == contents.keys() == {"baulk_file", "change", *KINDS, *LISTS}
    for kind in KINDS.values():
        assert contents[kind.KIND][0] == ("features" if kind.SHAPE else "attributes")
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", changed) for _, changed in contents.values())


def test_feature_tables_name_their_geometry(tables):
    """Each feature table has one row in gpkg_geometry_columns with its type, the site grid and whether heights may be given."""
    rows = {row[0]: row[1:] for row in tables.execute("SELECT * FROM gpkg_geometry_columns")}
    assert rows.keys() == {name for name, kind in KINDS.items() if kind.SHAPE}
    assert rows["level"] == ("geom", "POINT", -1, 2, 0)
    assert rows["wall"] == ("geom", "LINESTRING", -1, 0, 0)
    assert rows["unit"] == ("geom", "POLYGON", -1, 0, 0)
    for name, (column, geometry, *_) in rows.items():
        (declared,) = [row[2] for row in tables.execute(f'PRAGMA table_info("{name}")') if row[1] == column]
        assert declared == geometry


def test_tables_have_an_integer_key_and_types_of_the_standard(tables):
    """Every table has an INTEGER PRIMARY KEY as its row number, and only column types of the standard's table 1."""
    allowed = {"TEXT", "INTEGER", "REAL", "BOOLEAN", "DATE", "POINT", "LINESTRING", "POLYGON"}
    for (name,) in tables.execute("SELECT table_name FROM gpkg_contents").fetchall():
        columns = tables.execute(f'PRAGMA table_info("{name}")').fetchall()
        assert [(column[2], column[0]) for column in columns if column[5]] == [("INTEGER", 0)]
        assert {column[2] for column in columns} <= allowed


def test_the_binary_header(tables):
    """A geometry begins GP, version 0, flags, the site grid's -1, an envelope for all but points, then well-known binary."""
    unit = one(tables, "SELECT geom FROM unit")
    assert struct.unpack("<2sBBi4d", unit[:40]) == (b"GP", 0, 0b11, -1, 100.0, 102.0, 200.0, 202.0)
    ring = shapely.from_wkb(unit[40:])
    assert ring.equals_exact(shapely.Polygon(RING))
    level = one(tables, "SELECT geom FROM level")
    assert struct.unpack("<2sBBi", level[:8]) == (b"GP", 0, 0b01, -1)
    assert list(shapely.from_wkb(level[8:]).coords) == [(101.5, 200.25, 12.34)]
    assert list(shapely.from_wkb(one(tables, "SELECT geom FROM find")[8:]).coords) == [(101.0, 201.0)]
    assert list(shapely.from_wkb(one(tables, "SELECT geom FROM wall")[40:]).coords) == [(100.0, 202.0), (102.0, 202.0)]


READ_WITH_GDAL = """
import json, sys, warnings
warnings.simplefilter("error")
import pyogrio, shapely
path = sys.argv[1]
answer = {"layers": pyogrio.list_layers(path).tolist()}
for layer in ("unit", "level", "wall", "find", "outline", "context", "change"):
    meta, _, geometry, values = pyogrio.raw.read(path, layer=layer)
    shapes = [] if geometry is None else [shapely.from_wkb(one).wkt for one in geometry]
    answer[layer] = {"crs": meta["crs"], "shapes": shapes, "rows": len(values[0]),
                     "values": {name: [str(one) for one in column] for name, column in zip(meta["fields"], values)}}
warnings.simplefilter("ignore")
try:
    import numpy
    pyogrio.raw.write(path, numpy.array([shapely.Point(0, 0).wkb], dtype=object), [numpy.array(["x"], dtype=object)], ["id"],
                      layer="level", geometry_type="Point", append=True, driver="GPKG")
    answer["append"] = "went through"
except Exception as refusal:  # whichever it is, its words are the answer
    answer["append"] = str(refusal)
print(json.dumps(answer))
"""


def read_with_gdal(path: Path) -> dict:
    """Return what GDAL, in a process of its own, reads of a file."""
    told = subprocess.run([sys.executable, "-c", READ_WITH_GDAL, str(path)], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr
    return json.loads(told.stdout)


def test_a_gis_library_reads_it(site):
    """GDAL lists every layer with its kind of geometry and reads attributes and places without a warning."""
    answer = read_with_gdal(site)
    layers = dict(answer["layers"])
    assert layers.keys() == {"baulk_file", "change", *KINDS, *LISTS}
    assert layers["unit"] == "Polygon"
    assert layers["level"] == "Point Z"
    assert layers["wall"] == "LineString"
    assert layers["context"] is None
    assert answer["level"]["shapes"] == ["POINT Z (101.5 200.25 12.34)"]
    assert answer["find"]["shapes"] == ["POINT (101 201)"] or answer["find"]["shapes"] == ["POINT Z (101 201 0)"]
    assert answer["unit"]["shapes"] == ["POLYGON ((100 200, 102 200, 102 202, 100 202, 100 200))"] == answer["outline"]["shapes"]
    assert answer["wall"]["shapes"] == ["LINESTRING (100 202, 102 202)"]
    context = answer["context"]["values"]
    assert (context["number"], context["colour_moist"]) == (["1002", "1001"], ["10YR 4/3", "None"])
    assert context["absences"][0] == '{"checked_by":"not done: rain"}'
    assert answer["unit"]["values"]["opened"] == ["2026-05-04"]
    assert answer["change"]["rows"] == 13


def test_a_gis_cannot_write_what_would_be_lost(site):
    """An edit of a computed table from outside is refused with the reason, and the log takes no edit at all."""
    before = site.read_bytes()
    refusal = read_with_gdal(site)["append"]
    assert "computed from the log of changes" in refusal
    with closing(sqlite3.connect(site)) as outside:
        for statement, says in [
            ("UPDATE context SET title = 'x'", "make the change with Baulk"),
            ("DELETE FROM level", "make the change with Baulk"),
            ("DELETE FROM change", "never altered or taken out"),
            ("UPDATE change SET person = 'x'", "never altered or taken out"),
        ]:
            with pytest.raises(sqlite3.IntegrityError, match=says):
                outside.execute(statement)
    assert len(site.read_bytes()) == len(before)
    with open_site(site) as store:
        assert store.revision() == 13
