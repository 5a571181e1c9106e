"""Files come in pieces, from several devices, over networks that break and on to disks that fill."""

from __future__ import annotations

import errno
import os
import random
import time
from collections import namedtuple
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path

import pytest

from baulk.errors import FileError, StoreError
from baulk.store import LARGEST_FILE, LARGEST_PIECE, Arrived, ArrivingFiles, FileShelf

CONTENT = random.Random(1).randbytes(100_000)
SHA = sha256(CONTENT).hexdigest()


@pytest.fixture
def arriving(tmp_path: Path) -> ArrivingFiles:
    """What arrives for a new shelf."""
    return ArrivingFiles(FileShelf(tmp_path / "site.files"))


def send(arriving: ArrivingFiles, seed: int) -> Arrived:
    """Send the file in pieces of odd sizes, going on from what is held, with pieces lost and sent twice."""
    dice, here = random.Random(seed), arriving.held(SHA)
    while not here.whole:
        start = max(0, here.held - dice.choice((0, 0, 500)))
        piece = CONTENT[start : start + dice.randint(501, 9_000)]
        if dice.random() < 0.8:
            here = arriving.put(SHA, piece, start, len(CONTENT))
    return here


@pytest.mark.parametrize("seed", range(5))
def test_a_file_comes_whole_however_it_is_cut(arriving: ArrivingFiles, seed: int) -> None:
    """With pieces of any size, some lost and some sent twice, the shelf has the file and nothing is left behind."""
    assert send(arriving, seed) == Arrived(len(CONTENT), whole=True)
    assert arriving.shelf.path(SHA).read_bytes() == CONTENT
    assert arriving.shelf.faults([SHA]) == ()
    assert not list((arriving.shelf.folder / "arriving").iterdir())
    assert arriving.put(SHA, b"anything", 0, 8) == Arrived(len(CONTENT), whole=True)


def test_several_devices_send_one_file(arriving: ArrivingFiles) -> None:
    """Four devices that send the same file at once, each at its own pace, make one file of it."""
    with ThreadPoolExecutor(4) as many:
        assert set(many.map(lambda seed: send(arriving, seed), range(4))) == {Arrived(len(CONTENT), whole=True)}
    assert arriving.shelf.path(SHA).read_bytes() == CONTENT


def test_a_full_disk_is_told_before_it_is_full(arriving: ArrivingFiles, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that would fill the disk is not begun, and the words say that it stays on the device."""
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr("baulk.store.arriving.shutil.disk_usage", lambda _: usage(10**9, 10**9 - 10**8, 10**8))
    with pytest.raises(
        StoreError, match=r"The disk of the site server has 100 MB left .*so it was not taken; it stays on the device"
    ):
        arriving.put(SHA, CONTENT[:100], 0, len(CONTENT))
    assert arriving.held(SHA) == Arrived(0, whole=False)


def test_half_a_piece_is_taken_back(arriving: ArrivingFiles, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk fills within a piece, what is held is as it was before it, so that the rest fits on."""
    arriving.put(SHA, CONTENT[:1000], 0, len(CONTENT))
    opened = Path.open

    class Full:
        """A file that takes half of what is written to it."""

        def __init__(self, held) -> None:
            self.held = held

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.held.close()

        def write(self, piece):
            self.held.write(piece[: len(piece) // 2])
            self.held.flush()
            raise OSError(errno.ENOSPC, "No space left on device")

        def truncate(self, size):
            self.held.truncate(size)

    def full(self, mode="r", *rest, **more):
        held = opened(self, mode, *rest, **more)
        return Full(held) if mode == "ab" else held

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(StoreError, match="cannot be written: No space left on device"):
        arriving.put(SHA, CONTENT[1000:3000], 1000, len(CONTENT))
    monkeypatch.undo()
    assert arriving.held(SHA) == Arrived(1000, whole=False)
    assert send(arriving, 3).whole


@pytest.mark.parametrize("sha", ["", "x", "../" * 20 + "abcd", "a" * 63 + "/", SHA.upper(), SHA + "\n", "a" * 65])
def test_a_name_is_a_hash(arriving: ArrivingFiles, sha: str) -> None:
    """What is no SHA-256 is refused, and nothing is made for it."""
    for ask in (lambda: arriving.held(sha), lambda: arriving.put(sha, b"x", 0, 1)):
        with pytest.raises(FileError, match="is not the SHA-256 of a file"):
            ask()
    assert sha not in arriving.shelf
    assert not arriving.shelf.folder.exists()


def test_sizes_out_of_reason(arriving: ArrivingFiles) -> None:
    """A giant file, a giant piece and a piece that does not fit are refused with what to do."""
    with pytest.raises(FileError, match=r"has 4\.0 GB, and one of up to 1 GB is taken over the network\. Keep it on its device"):
        arriving.put(SHA, b"x", 0, 4 * LARGEST_FILE)
    with pytest.raises(FileError, match=r"bytes was sent, and one has 4,000,000 at most\. Send the file in smaller pieces"):
        arriving.put(SHA, bytes(LARGEST_PIECE + 1), 0, LARGEST_FILE)
    with pytest.raises(FileError, match=r"does not fit into a file of 5 bytes\. Ask how much is held"):
        arriving.put(SHA, b"xyz", 3, 5)


def test_what_nobody_sends_on_is_forgotten(arriving: ArrivingFiles) -> None:
    """What has not grown for a month is deleted; what is still coming stays."""
    other = sha256(b"other").hexdigest()
    for sha in (SHA, other):
        arriving.put(sha, b"x", 0, 5)
    old = arriving.shelf.folder / "arriving" / f"{other}.part"
    os.utime(old, (time.time() - 31 * 86_400,) * 2)
    assert arriving.clear_forgotten() == 1
    assert (arriving.held(SHA).held, arriving.held(other).held) == (1, 0)
