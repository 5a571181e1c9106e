"""A site file as schema version 1 laid it: frozen text, never derived from the code of today.

Only two tables of records are laid, with few fields: the tables of records are computed, so their form then does not matter now.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from msgspec.structs import astuple

from baulk.record import Change

VERSION_1 = """
PRAGMA application_id = 1196444487;
PRAGMA user_version = 10300;
CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
  description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ', 'now')),
  min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name), CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES
  gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
INSERT INTO gpkg_spatial_ref_sys VALUES
  ('Site grid', -1, 'NONE', -1, 'undefined', NULL),
  ('Geographic', 0, 'NONE', 0, 'undefined', NULL),
  ('WGS 84', 4326, 'EPSG', 4326, 'GEOGCS["WGS 84"]', NULL);
CREATE TABLE baulk_file (fid INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, value TEXT NOT NULL);
CREATE TABLE change (revision INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, time TEXT NOT NULL, device TEXT NOT NULL,
  person TEXT NOT NULL, kind TEXT NOT NULL, record TEXT NOT NULL, field TEXT NOT NULL, value TEXT, replaced TEXT, after TEXT,
  entered TEXT, why TEXT);
CREATE INDEX change_of_record ON change (record);
CREATE TABLE "unit" (fid INTEGER PRIMARY KEY, geom POLYGON, id TEXT NOT NULL UNIQUE, number TEXT);
CREATE TABLE "pedestal" (fid INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, number TEXT);
INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES ('baulk_file', 'attributes', 'baulk_file', NULL),
  ('change', 'attributes', 'change', NULL), ('unit', 'features', 'unit', -1), ('pedestal', 'attributes', 'pedestal', NULL);
INSERT INTO gpkg_geometry_columns VALUES ('unit', 'geom', 'POLYGON', -1, 0, 0);
INSERT INTO baulk_file (name, value) VALUES ('schema_version', '1'),
  ('record_tables', '["unit", "pedestal"]'), ('fields', 'of then');
"""


def write_version_1(path: Path, changes: Iterable[Change]) -> None:
    """Write a site file of schema version 1 that holds `changes`; its tables of records are left empty."""
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(VERSION_1)
        rows = [(*astuple(c)[:7], json.dumps(c.value), None, json.dumps(c.after), c.entered, c.why) for c in changes]
        connection.executemany(
            "INSERT INTO change (id, time, device, person, kind, record, field, value, replaced, after, entered, why) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            rows,
        )
        connection.commit()
