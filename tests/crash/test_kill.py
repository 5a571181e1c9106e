"""A process killed at any moment loses nothing that it had acknowledged and leaves no file that will not open.

Killing a process shows that the order of writes is right. That a write reaches the disk before it is acknowledged is asked of
SQLite by ``synchronous = EXTRA``, which is checked here, and rests on the disk telling the truth.
"""

from __future__ import annotations

import json
import os
import random
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from baulk.record import Context, fold_all
from baulk.store import FileShelf, open_site
from baulk.store.backup import faults_of_file

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that forks and kills processes")


class Session:
    """A program that runs jobs and kills them."""

    def __init__(self) -> None:
        program = Path(__file__).with_name("writing_session.py")
        self.program = subprocess.Popen([sys.executable, str(program)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def killed(self, job: str, path: Path, seed: int, dice: random.Random, most: int) -> list[str]:
        """Return what a job told before it was killed, a few milliseconds after one of its first `most` lines."""
        moment = {"words": dice.randint(0, most), "further": dice.uniform(0.0, 0.012)}
        self.program.stdin.write(json.dumps({"job": job, "path": str(path), "seed": seed, **moment}) + "\n")
        self.program.stdin.flush()
        told = json.loads(self.program.stdout.readline())
        assert not [line for line in told if line.startswith("fault")], told
        return told


@pytest.fixture(scope="module")
def session():
    """Return the program that runs jobs, ready."""
    running = Session()
    yield running
    with running.program:
        running.program.stdin.close()


def lost(path: Path, told: list[str]) -> set[str]:
    """Return the acknowledged changes that a site file does not hold, once it is seen to be whole and to fold as its log says."""
    with open_site(path) as store:
        changes = list(store.changes())
        record = store.record()
    assert {context.id: context.notes for context in record.all(Context)} == {
        identity: folded.values["notes"].strip() for identity, folded in fold_all(changes).items()
    }
    with closing(sqlite3.connect(path)) as tables:
        assert faults_of_file(tables) == []
        assert tables.execute("SELECT count(*) FROM baulk_file WHERE name = 'writing'").fetchone() == (0,)
    return set(told) - {change.id for change in changes}


def test_200_writing_sessions_killed(session, tmp_path):
    """In 200 writing sessions killed at moments drawn by lot no acknowledged change is lost and every file opens whole."""
    dice, acknowledged, half_written = random.Random(2026), 0, 0
    template = tmp_path / "template.gpkg"
    open_site(template, create=True).close()
    whole = template.read_bytes()
    for seed in range(200):
        path = tmp_path / "site.gpkg"
        path.write_bytes(whole)
        told = session.killed("write", path, seed, dice, 20)
        half_written += path.with_name("site.gpkg-journal").exists()
        assert lost(path, told) == set(), f"run {seed}"
        acknowledged += len(told)
    assert acknowledged > 1000
    assert half_written > 10, "the moments missed every write"


def test_the_check_would_see_a_loss(session, tmp_path):
    """A session that acknowledges before it writes is caught, so the check above can fail."""
    dice, caught = random.Random(7), 0
    for seed in range(30):
        path = tmp_path / f"{seed}.gpkg"
        open_site(path, create=True).close()
        caught += bool(lost(path, session.killed("lie", path, seed, dice, 30)))
    assert caught > 3


def test_backups_killed(session, tmp_path):
    """A backup killed at any moment leaves the last finished one whole under its name, and the site unharmed."""
    dice, finished = random.Random(8), 0
    for seed in range(40):
        folder = tmp_path / str(seed)
        folder.mkdir()
        path, copy = folder / "site.gpkg", folder / "copy.gpkg"
        open_site(path, create=True).close()
        told = session.killed("back_up", path, seed, dice, 3)
        assert lost(path, []) == set()
        assert copy.exists() or not told
        if copy.exists():
            assert lost(copy, []) == set()
            with open_site(copy, read_only=True) as store:
                assert store.revision() >= max((int(revision) for revision in told), default=0)
            finished += 1
    assert finished >= 10


def test_files_kept_while_killed(session, tmp_path):
    """Of files being put on the shelf, those acknowledged are there and whole; what is unfinished bears no file's name."""
    dice, kept = random.Random(9), 0
    for seed in range(40):
        path = tmp_path / str(seed) / "site.gpkg"
        told = session.killed("keep", path, seed, dice, 8)
        shelf = FileShelf.beside(path)
        assert [fault for fault in shelf.faults(told) if not fault.name.endswith(".unfinished")] == []
        kept += len(told)
    assert kept > 100


def test_sites_made_while_killed(session, tmp_path):
    """A site being made is there whole or not at all."""
    dice = random.Random(10)
    made = 0
    for seed in range(20):
        folder = tmp_path / str(seed)
        folder.mkdir()
        told = session.killed("make", folder / "site.gpkg", seed, dice, 2)
        assert set(told) <= {path.name for path in folder.glob("new*.gpkg")}
        for path in folder.glob("new*.gpkg"):
            assert lost(path, []) == set()
            made += 1
    assert made >= 10


def test_a_write_waits_for_the_disk(tmp_path):
    """The file asks SQLite to return only when the disk has the change and the name of the journal is gone from it."""
    with open_site(tmp_path / "site.gpkg", create=True) as store:
        assert store._connection.execute("PRAGMA synchronous").fetchone() == (3,)
        assert store._connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
