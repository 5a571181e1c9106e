"""A file that is no site file, or cannot be used now, is refused with a sentence and left byte for byte as it was."""

from __future__ import annotations

import hashlib
import io
import os
import random
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from baulk.errors import BusySiteFile, DamagedSiteFile, NewerSiteFile, NotASiteFile, StoreError
from baulk.store import opening
from baulk.store.migrations import SCHEMA_VERSION, put_file_fact
from baulk.store.standard_tables import APPLICATION_ID, lay_standard_tables

from .samples import DUMP, assert_same_record, made, record_id, small_site, written

open_site = opening.open_site


def digest(path: Path) -> str:
    """Return a hash of a file's bytes."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def zipped() -> bytes:
    """Return a ZIP archive."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("site.gpkg", "no")
    return held.getvalue()


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """Return a small site file, closed."""
    path = tmp_path / "site.gpkg"
    with open_site(path, create=True) as store:
        store.append(small_site())
    return path


OTHER_FILES = [
    (b"\xff\xd8\xff\xe0" + bytes(5000), "by its first bytes it is a JPEG picture"),
    (b"\x89PNG\r\n\x1a\n" + bytes(900), "a PNG picture"),
    (zipped(), "a ZIP archive or an office document"),
    (b"%PDF-1.7\n" + b"x" * 600, "a PDF document"),
    (b"context,kind\n1001,cut\n" * 60, "by its first bytes it is something else"),
    (b"x", "by its first bytes it is something else"),
    (bytes(4096), "by its first bytes it is something else"),
    (random.Random(5).randbytes(20_000), "by its first bytes it is something else"),
]


@pytest.mark.parametrize(("content", "says"), OTHER_FILES)
@pytest.mark.parametrize("read_only", [True, False])
def test_another_kind_of_file(tmp_path, content, says, read_only):
    """A picture, text, archive or noise is named for what it is and left alone."""
    path = tmp_path / "site.gpkg"
    path.write_bytes(content)
    with pytest.raises(NotASiteFile) as refusal:
        open_site(path, read_only=read_only)
    assert says in str(refusal.value)
    assert str(refusal.value).startswith("site.gpkg is not a site file")
    assert path.read_bytes() == content
    assert [path.name for path in tmp_path.iterdir()] == ["site.gpkg"]


def test_nothing_there_a_folder_and_an_empty_file(tmp_path):
    """A missing file, a folder, a device and an empty file each get their own sentence, and nothing is made."""
    with pytest.raises(NotASiteFile, match=r"There is no file gone\.gpkg in .*Check the name; a new site is made with “baulk new”"):
        open_site(tmp_path / "gone.gpkg")
    with pytest.raises(NotASiteFile, match=r"is a folder\. Give the site file in it"):
        open_site(tmp_path)
    (tmp_path / "empty.gpkg").touch()
    with pytest.raises(NotASiteFile, match=r"empty\.gpkg is empty: 0 bytes"):
        open_site(tmp_path / "empty.gpkg")
    with pytest.raises(NotASiteFile, match="is a device or a link to one"):
        open_site(Path(os.devnull))
    assert [path.name for path in tmp_path.iterdir()] == ["empty.gpkg"]


def test_making_a_site_where_something_is(site):
    """A new site never takes the place of a file, not even of an empty one."""
    before = digest(site)
    with pytest.raises(StoreError, match=r"site\.gpkg is already there, so no new site was made"):
        open_site(site, create=True)
    assert digest(site) == before


def test_a_database_of_another_program(tmp_path):
    """An SQLite database without the mark of a GeoPackage is refused, and so is a GeoPackage without a log of changes."""
    path = tmp_path / "notes.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE change (id TEXT)")
    before = digest(path)
    with pytest.raises(NotASiteFile, match="is an SQLite database, but not a site file"):
        open_site(path)
    assert digest(path) == before
    elsewhere = tmp_path / "parcels.gpkg"
    with closing(sqlite3.connect(elsewhere)) as other:
        lay_standard_tables(other)
        other.commit()
    before = digest(elsewhere)
    with pytest.raises(NotASiteFile, match="is a GeoPackage from another program: it holds no log of changes"):
        open_site(elsewhere)
    assert digest(elsewhere) == before


def test_a_later_version(site):
    """A file whose tables are of a later version is refused for reading and writing, with both versions in the sentence."""
    with closing(sqlite3.connect(site)) as later:
        put_file_fact(later, "schema_version", str(SCHEMA_VERSION + 1))
        later.commit()
    before = digest(site)
    for read_only in (True, False):
        with pytest.raises(NewerSiteFile) as refusal:
            open_site(site, read_only=read_only)
        assert f"its tables are of version {SCHEMA_VERSION + 1}, this one knows them up to {SCHEMA_VERSION}" in str(refusal.value)
    assert digest(site) == before


def test_a_file_cut_short_anywhere(site, tmp_path):
    """A file cut at any offset is refused as damaged, or as no site file within its first bytes, and is not altered."""
    whole = site.read_bytes()
    dice = random.Random(11)
    offsets = {1, 15, 16, 17, 50, 99, 100, 101, 511, 512, 1023, 4095, 4096, 4097, len(whole) - 4096, len(whole) - 1}
    offsets |= {dice.randrange(1, len(whole)) for _ in range(60)}
    path = tmp_path / "cut.gpkg"
    for offset in sorted(offsets):
        path.write_bytes(whole[:offset])
        for read_only in (True, False):
            with pytest.raises(DamagedSiteFile) as refusal:
                open_site(path, read_only=read_only)
            assert "cut.gpkg is damaged" in str(refusal.value)
            assert "go back to the latest backup" in str(refusal.value)
        assert path.read_bytes() == whole[:offset]


def test_bytes_overwritten_in_the_middle(site, tmp_path):
    """Noise written over a file is met with a sentence, at the latest when a backup is made, or harms nothing in the record."""
    whole, dice, refused = site.read_bytes(), random.Random(12), 0
    with open_site(site, read_only=True) as store:
        record = store.record()
    path, copy = tmp_path / "noise.gpkg", tmp_path / "copy.gpkg"
    for _ in range(60):
        start = dice.randrange(100, len(whole) - 4096)
        path.write_bytes(whole[:start] + dice.randbytes(4096) + whole[start + 4096 :])
        fault = noticed(path, copy)
        if fault is None:
            with open_site(copy, read_only=True) as store:
                assert_same_record(store.record(), record)
        else:
            assert ".gpkg" in str(fault)
            refused += 1
        copy.unlink(missing_ok=True)
    assert refused > 40


def noticed(path: Path, copy: Path) -> StoreError | None:
    """Return the refusal met while a site is opened, read and backed up."""
    try:
        with open_site(path, read_only=True) as store:
            store.record()
            store.backup(copy)
    except StoreError as refusal:
        return refusal
    return None


def test_a_file_held_by_another_process(site, monkeypatch):
    """While another process writes, a write here waits a little, then says so; nothing of it is kept, and later it goes through."""
    monkeypatch.setattr(opening, "_PATIENCE_OF_WRITERS", 0.1)
    program = (
        "import sqlite3, sys; c = sqlite3.connect(sys.argv[1], isolation_level=None); c.execute('BEGIN EXCLUSIVE'); "
        "print('held', flush=True); sys.stdin.readline(); c.execute('COMMIT')"
    )
    with open_site(site) as store:
        with subprocess.Popen([sys.executable, "-c", program, str(site)], stdin=-1, stdout=-1, text=True) as other:
            assert other.stdout.readline() == "held\n"
            for attempt in (lambda: store.append([written(50, DUMP, "notes", "x")]), store.record, lambda: open_site(site)):
                with pytest.raises(BusySiteFile) as refusal:
                    attempt()
                assert "another program holds it. Nothing was changed; let that program finish" in str(refusal.value)
            other.communicate("\n")
        assert store.revision() == 11
        assert store.append([written(50, DUMP, "notes", "x")]) == 12


def test_several_readers_beside_one_writer(site):
    """Readers with the file open see each acknowledged change at once."""
    with open_site(site) as writer, open_site(site, read_only=True) as first, open_site(site, read_only=True) as second:
        assert writer.append([written(50, DUMP, "notes", "x")]) == first.revision() == second.revision() == 12
        assert first.columns("context", ["notes"]) == {"notes": ["x"]}


def test_writing_to_a_store_opened_for_reading(site):
    """A store opened for reading only refuses to write, and opening it leaves the file untouched."""
    before = digest(site)
    with (
        open_site(site, read_only=True) as store,
        pytest.raises(StoreError, match="was opened for reading only, so nothing was written"),
    ):
        store.append([written(50, DUMP, "notes", "x")])
    assert digest(site) == before


@pytest.mark.skipif(not hasattr(os, "fork") or os.geteuid() != 0, reason="needs the right to become another user")
def test_a_folder_that_may_not_be_written(site):
    """In a read-only folder the file opens for reading, and for writing it is refused with the way out."""
    for folder in (site.parent, *site.parents[1:4]):
        folder.chmod(0o755)
    said = run_as_nobody(site)
    assert "site.gpkg cannot be opened for writing: it, or its folder, can only be read here. Nothing was changed" in said
    assert said.endswith("read 11")


def run_as_nobody(site: Path) -> str:
    """Return what a process without any right to write says of opening a file."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setuid(65534)
            try:
                open_site(site)
                said = "opened"
            except StoreError as refusal:
                said = str(refusal)
            with open_site(site, read_only=True) as store:
                said += f" read {store.revision()}"
            os.write(writer, said.encode())
        except BaseException as fault:  # noqa: BLE001 - handed to the test
            os.write(writer, repr(fault).encode())
        finally:
            os._exit(0)
    os.close(writer)
    os.waitpid(child, 0)
    with os.fdopen(reader) as told:
        return told.read()


def test_a_full_disk(site):
    """When the disk is full nothing of the batch is kept, the sentence says so, and with room again the same batch goes through."""
    batch = [made(number, "context", record_id(number), notes="x" * 5000) for number in range(100, 200)]
    with open_site(site) as store:
        pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
        store._connection.execute(f"PRAGMA max_page_count = {pages + 10}")
        with pytest.raises(StoreError, match=r"cannot be written: the disk is full\. Nothing was changed; make room"):
            store.append(batch)
        assert store.revision() == 11
        store._connection.execute("PRAGMA max_page_count = 100000000")
        assert store.append(batch) == 111


def test_a_closed_store(site):
    """A store that is closed says so instead of failing in the words of the database."""
    store = open_site(site)
    store.close()
    with pytest.raises(StoreError, match="if the site is closed, open it again"):
        store.record()


def test_a_backup_that_would_destroy_something(site, tmp_path):
    """A backup never takes the place of the site itself, a folder, a foreign file, or a site file with changes of its own."""
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"\xff\xd8\xff" + bytes(100))
    other = tmp_path / "other.gpkg"
    with open_site(other, create=True) as another:
        another.append([made(500, "context", record_id(500))])
    before = {path: digest(path) for path in (photo, other, site)}
    with open_site(site) as store:
        for target, says in [
            (site, "is the site file itself"),
            (tmp_path, "is a folder or device, not a file"),
            (photo, "is already there and is no earlier backup of this site"),
            (other, "holds 1 changes that this site does not have"),
            (tmp_path / "no folder" / "copy.gpkg", "cannot be written as a backup"),
        ]:
            with pytest.raises(StoreError) as refusal:
                store.backup(target)
            assert says in str(refusal.value)
    assert {path: digest(path) for path in before} == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["other.gpkg", "photo.jpg", "site.gpkg"]


def test_names_of_files_that_mean_something_in_an_address(tmp_path):
    """A file may have any name that the disk allows, also one with marks that mean something in an address."""
    for name in ("a?mode=memory.gpkg", "50%.gpkg", "a#b.gpkg", "Ottér Weir ü.gpkg", "a b'c.gpkg"):
        with open_site(tmp_path / name, create=True) as store:
            store.append(small_site())
        assert (tmp_path / name).stat().st_size > 4096
        with open_site(tmp_path / name) as store:
            assert store.revision() == 11


def test_the_mark_is_that_of_the_standard():
    """The mark that tells a GeoPackage is the letters GPKG."""
    assert APPLICATION_ID.to_bytes(4, "big") == b"GPKG"
