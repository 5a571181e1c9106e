"""The tables that every GeoPackage has, and how a table of ours is entered in them.

References
----------
OGC 12-128r17, *GeoPackage Encoding Standard* 1.3: clauses 1.1.1 (application_id, user_version), 1.1.2 (reference systems),
1.1.3 (contents), 2.1.5 (geometry columns), 2.4 (attributes).
"""

from __future__ import annotations

import sqlite3

from baulk.store.geometry import SITE_GRID

__all__ = [
    "APPLICATION_ID",
    "USER_VERSION",
    "enter_attributes",
    "enter_features",
    "lay_standard_tables",
    "mark_changed",
    "strike_out",
]

APPLICATION_ID = 0x47504B47
USER_VERSION = 10300

_WGS_84 = (
    'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],AUTHORITY["EPSG","6326"]],'
    'PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],'
    'AUTHORITY["EPSG","4326"]]'
)
_REFERENCE_SYSTEMS = (
    ("Site grid (undefined Cartesian)", SITE_GRID, "NONE", -1, "undefined", "the site grid, in the site's own quantity"),
    ("Undefined geographic", 0, "NONE", 0, "undefined", "undefined geographic reference system"),
    ("WGS 84", 4326, "EPSG", 4326, _WGS_84, "longitude and latitude on the World Geodetic System 1984"),
)
_NOW = "strftime('%Y-%m-%dT%H:%M:%fZ', 'now')"
_TABLES = (
    """CREATE TABLE gpkg_spatial_ref_sys (
        srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
        organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT)""",
    f"""CREATE TABLE gpkg_contents (
        table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '',
        last_change DATETIME NOT NULL DEFAULT ({_NOW}),
        min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
        CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))""",
    """CREATE TABLE gpkg_geometry_columns (
        table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL,
        z TINYINT NOT NULL, m TINYINT NOT NULL,
        CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
        CONSTRAINT uk_gc_table_name UNIQUE (table_name),
        CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
        CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))""",
)


def lay_standard_tables(connection: sqlite3.Connection) -> None:
    """Make an empty file a GeoPackage."""
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {USER_VERSION}")
    for statement in _TABLES:
        connection.execute(statement)
    connection.executemany("INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)", _REFERENCE_SYSTEMS)


def enter_attributes(connection: sqlite3.Connection, table: str, description: str) -> None:
    """Enter a table without geometry among the contents."""
    connection.execute(
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, description) VALUES (?, 'attributes', ?, ?)",
        (table, table, description),
    )


def enter_features(connection: sqlite3.Connection, table: str, description: str, geometry: str, *, levels: bool) -> None:
    """Enter a table with a geometry on the site grid among the contents; with `levels` its points may carry a height."""
    connection.execute(
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES (?, 'features', ?, ?, ?)",
        (table, table, description, SITE_GRID),
    )
    connection.execute(
        "INSERT INTO gpkg_geometry_columns VALUES (?, 'geom', ?, ?, ?, 0)", (table, geometry, SITE_GRID, 2 if levels else 0)
    )


def strike_out(connection: sqlite3.Connection, table: str) -> None:
    """Take a table out of the contents."""
    connection.execute("DELETE FROM gpkg_geometry_columns WHERE table_name = ?", (table,))
    connection.execute("DELETE FROM gpkg_contents WHERE table_name = ?", (table,))


def mark_changed(connection: sqlite3.Connection, tables: set[str]) -> None:
    """Note the moment at which tables changed."""
    connection.executemany(
        "UPDATE gpkg_contents SET last_change = strftime('%Y-%m-%dT%H:%M:%fZ', 'now') WHERE table_name = ?",
        [(name,) for name in sorted(tables)],
    )
