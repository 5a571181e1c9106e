"""The shelf keeps files by their content and knows when one has rotted."""

from __future__ import annotations

import hashlib
import resource
import subprocess
import sys

import pytest

from baulk.errors import FileError, StoreError
from baulk.store import FileShelf, ShelfFault


@pytest.fixture
def shelf(tmp_path):
    """Return an empty shelf."""
    return FileShelf.beside(tmp_path / "site.gpkg")


def test_a_file_is_kept_by_its_content(shelf, tmp_path):
    """The name is the SHA-256 of the content; the same content is kept once, whether it came as a file or as bytes."""
    photo = tmp_path / "IMG 1.jpg"
    photo.write_bytes(b"light")
    sha = shelf.keep(photo)
    assert sha == shelf.keep(b"light") == hashlib.sha256(b"light").hexdigest()
    assert shelf.path(sha).read_bytes() == b"light"
    assert shelf.folder == tmp_path / "site.files"
    assert list(shelf) == [sha]
    assert shelf.faults() == ()


def test_an_empty_file_and_an_empty_shelf(shelf):
    """An empty file is a file; a shelf that was never used is empty and without faults."""
    assert list(shelf) == []
    assert shelf.faults() == ()
    assert shelf.path(shelf.keep(b"")).read_bytes() == b""


def test_a_file_that_has_rotted_is_named_and_mended(shelf):
    """A changed byte gives a file away, and keeping the source again mends it."""
    sha = shelf.keep(b"x" * 5000)
    shelf.keep(b"good")
    shelf.path(sha).write_bytes(b"x" * 4999 + b"y")
    assert shelf.faults() == (
        ShelfFault(sha, "The content of this file has changed since it was kept: take it again from its source."),
    )
    shelf.keep(b"x" * 5000)
    assert shelf.faults() == ()


def test_what_is_missing_strange_or_unfinished(shelf):
    """A file that the record wants and is not there, a stranger, and one that a crash left unfinished are each told apart."""
    sha = shelf.keep(b"good")
    (shelf.path(sha).parent / "holiday.jpg").write_bytes(b"sun")
    (shelf.path(sha).parent / ".0123.unfinished").write_bytes(b"ha")
    found = {fault.name: fault.says for fault in shelf.faults([sha, "ab" * 32])}
    assert found.keys() == {"ab" * 32, "holiday.jpg", ".0123.unfinished"}
    assert "is not here: take it again" in found["ab" * 32]
    assert "not put here by Baulk" in found["holiday.jpg"]
    assert "may be deleted" in found[".0123.unfinished"]
    assert list(shelf) == [sha]


@pytest.mark.parametrize("name", ["", "../../etc/passwd", "AB" * 32, "ab" * 31, "ab" * 32 + "/..", "ab" * 32 + "\n"])
def test_a_name_that_is_no_hash(shelf, name):
    """Only a SHA-256 names a file of the shelf, so no name leads out of it."""
    with pytest.raises(FileError, match="is not the SHA-256 of a file, which has 64 digits"):
        shelf.path(name)


def test_sources_that_cannot_be_kept(shelf, tmp_path):
    """A missing source, a folder, and a file that is not on the shelf each get a sentence; nothing is left behind."""
    with pytest.raises(FileError, match=r"There is no file gone\.jpg"):
        shelf.keep(tmp_path / "gone.jpg")
    with pytest.raises(FileError, match=r"is a folder\. Give the files in it one by one"):
        shelf.keep(tmp_path)
    with pytest.raises(FileError, match=r"No file abababababab… is kept in site\.files\. Copy that folder along"):
        shelf.path("ab" * 32)
    assert not shelf.folder.exists()


def test_a_disk_that_refuses(tmp_path):
    """A shelf whose folder cannot be made says so."""
    (tmp_path / "site.files").write_bytes(b"in the way")
    with pytest.raises(StoreError, match=r"site\.files cannot be written: .*Nothing was changed"):
        FileShelf(tmp_path / "site.files").keep(b"x")


def test_a_file_that_changes_while_it_is_read(shelf, tmp_path, monkeypatch):
    """A file still being written by another program is refused, and nothing of it is kept."""
    growing = tmp_path / "scan.tif"
    growing.write_bytes(b"a" * 100)

    def grows(stream):
        sha = hashlib.sha256(stream.read()).hexdigest()
        with growing.open("ab") as more:
            more.write(b"b" * 100)
        return sha

    monkeypatch.setattr("baulk.store.shelf._sha_of", grows)
    with pytest.raises(FileError, match="was being changed while it was read, so it was not kept"):
        shelf.keep(growing)
    assert list(shelf) == []
    assert [path for path in shelf.folder.rglob("*") if path.is_file()] == []


def test_a_huge_file_is_not_read_into_memory(shelf, tmp_path):
    """A file of 200 MB is kept by a process that may use less memory than that."""
    huge = tmp_path / "cloud.laz"
    with huge.open("wb") as out:
        out.truncate(200_000_000)
    program = (
        "import resource, sys; from pathlib import Path; from baulk.store import FileShelf; "
        "before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss; FileShelf(Path(sys.argv[1])).keep(Path(sys.argv[2])); "
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)"
    )
    told = subprocess.run([sys.executable, "-c", program, shelf.folder, huge], capture_output=True, text=True, check=True)
    assert int(told.stdout) * resource.getpagesize() // 4096 < 20_000
    assert len(list(shelf)) == 1
