"""Files of earlier versions open, and nothing in them is lost."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from baulk.errors import StoreError
from baulk.store import MemoryStore, open_site
from baulk.store.backup import faults_of_file
from baulk.store.migrations import MIGRATIONS, SCHEMA_VERSION, put_file_fact, version_of

from .old_files import write_version_1
from .samples import assert_same_record, made, record_id, small_site, written


@pytest.fixture
def old(tmp_path):
    """Return a site file of schema version 1."""
    path = tmp_path / "old.gpkg"
    write_version_1(path, small_site())
    return path


def expected():
    """Return the record that the changes of the old file fold to."""
    store = MemoryStore()
    store.append(small_site())
    return store.record()


def test_a_file_of_version_1_is_brought_up(old):
    """Opening for writing leads the tables to today's version, lays the tables of records anew and keeps the log."""
    with open_site(old) as store:
        assert list(store.changes()) == small_site()
        assert_same_record(store.record(), expected())
        assert store.append([made(20, "context", record_id(20))]) == 12
    with closing(sqlite3.connect(old)) as tables:
        assert version_of(tables) == SCHEMA_VERSION == len(MIGRATIONS) == 2
        names = {row[0] for row in tables.execute("SELECT name FROM sqlite_master")}
        assert "change_by_time" in names
        assert "pedestal" not in names
        assert faults_of_file(tables) == []


def test_reading_only_leaves_an_old_file_as_it_is(old):
    """Opened for reading, an old file shows today's record and is not altered by a byte; it can be backed up."""
    before = old.read_bytes()
    with open_site(old, read_only=True) as store:
        assert_same_record(store.record(), expected())
        store.backup(old.with_name("copy.gpkg"))
    assert old.read_bytes() == before
    with open_site(old.with_name("copy.gpkg")) as copy:
        assert_same_record(copy.record(), expected())


def test_a_step_that_fails_leaves_the_old_file(old, monkeypatch):
    """When a step fails half-way the file is as before, and opens with a Baulk whose steps work."""
    before = old.read_bytes()

    def fails(connection):
        connection.execute("CREATE TABLE half_way (a)")
        connection.execute("SELECT no_such_function()")

    with monkeypatch.context() as broken:
        broken.setattr("baulk.store.migrations.MIGRATIONS", (MIGRATIONS[0], fails))
        with pytest.raises(StoreError, match="cannot be opened: no such function"):
            open_site(old)
    assert old.read_bytes() == before
    with open_site(old) as store:
        assert_same_record(store.record(), expected())


def test_fields_that_were_not_known_come_into_view(tmp_path):
    """What an earlier Baulk had to leave out is shown by one that knows the field, since the log kept it."""
    path = tmp_path / "site.gpkg"
    with open_site(path, create=True) as store:
        store.append(small_site())
    with closing(sqlite3.connect(path)) as tables:  # as an earlier Baulk would leave it: no colours, a kind unknown
        put_file_fact(tables, "writing", "now")
        tables.execute("UPDATE context SET colour_moist = NULL")
        tables.execute("DROP TABLE relation")
        tables.execute("DELETE FROM baulk_file WHERE name = 'writing'")
        put_file_fact(tables, "fields", "of another Baulk")
        tables.commit()
    with open_site(path, read_only=True) as store:
        assert_same_record(store.record(), expected())
    with open_site(path) as store:
        assert_same_record(store.record(), expected())


def test_tables_that_others_added_stay(old):
    """A table that a GIS user put into the file stays when the tables of records are laid anew."""
    with closing(sqlite3.connect(old)) as tables:
        tables.execute("CREATE TABLE my_notes (fid INTEGER PRIMARY KEY, words TEXT)")
        tables.execute("INSERT INTO my_notes (words) VALUES ('spoil heap')")
        tables.commit()
    open_site(old).close()
    with closing(sqlite3.connect(old)) as tables:
        assert tables.execute("SELECT words FROM my_notes").fetchall() == [("spoil heap",)]


def test_another_version_that_comes_in_between(tmp_path):
    """A store whose file another version has laid anew meanwhile refuses to write by its own idea of the tables."""
    path = tmp_path / "site.gpkg"
    with open_site(path, create=True) as store:
        store.append(small_site())
        with closing(sqlite3.connect(path)) as tables:
            put_file_fact(tables, "fields", "of another Baulk")
            tables.commit()
        with pytest.raises(StoreError, match=r"was changed by another version of Baulk while it was open here.*Open it again"):
            store.append([written(50, record_id(2), "notes", "x")])
        assert store.revision() == 11


def test_row_numbers_stay(tmp_path):
    """A record keeps its row number when it changes, so that what a GIS noted of it stays true."""
    path = tmp_path / "site.gpkg"
    with open_site(path, create=True) as store:
        store.append(small_site())
    query = "SELECT fid, id FROM context ORDER BY fid"
    with closing(sqlite3.connect(path)) as tables:
        before = tables.execute(query).fetchall()
    with open_site(path) as store:
        store.append([written(50, record_id(2), "notes", "x")])
    with closing(sqlite3.connect(path)) as tables:
        assert tables.execute(query).fetchall() == before
        assert tables.execute("SELECT sha256, kind, field FROM shelf_file").fetchall() == [("ab" * 32, "photo", "file")]
