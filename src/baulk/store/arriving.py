"""Files that come to the shelf in pieces, over a network that breaks off: named by the SHA-256 that they are to have in the end."""

from __future__ import annotations

import hashlib
import shutil
import time
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from baulk.errors import FileError, StoreError, shorten
from baulk.store.on_disk import settle
from baulk.store.refusals import in_trade_words
from baulk.store.shelf import FileShelf

__all__ = ["LARGEST_FILE", "LARGEST_PIECE", "Arrived", "ArrivingFiles"]

LARGEST_PIECE = 4_000_000
"""Bytes of one piece: small enough to be sent again over a bad network."""

LARGEST_FILE = 1_000_000_000
"""Bytes of one file: photos, scans and films of the trench; point clouds and the like are taken in by command."""

_ENOUGH_LEFT = 200_000_000
_FORGOTTEN_AFTER = 30 * 86_400


@dataclass(frozen=True, slots=True)
class Arrived:
    """How many bytes of a file are here, and whether it is whole and on the shelf."""

    held: int
    whole: bool


class ArrivingFiles:
    """The files of one shelf that are still arriving.

    Parameters
    ----------
    shelf : FileShelf
        Where a file goes once it is whole.

    Notes
    -----
    Two devices may send the same file at once: pieces that are here already are passed over. A file that is whole but has another
    SHA-256 than it should is thrown away, since one of its pieces is wrong and none can tell which.
    """

    def __init__(self, shelf: FileShelf) -> None:
        self.shelf = shelf
        self._folder = shelf.folder / "arriving"
        self._locks: defaultdict[str, Lock] = defaultdict(Lock)

    def held(self, sha: str) -> Arrived:
        """Return how much of a file is here.

        Raises
        ------
        FileError
            When the name is no SHA-256.
        """
        if sha in self.shelf:
            size = self.shelf.path(sha).stat().st_size
            return Arrived(size, whole=True)
        return Arrived(_size(self._part(sha)), whole=False)

    def put(self, sha: str, piece: bytes, offset: int, size: int) -> Arrived:
        """Keep one piece and return how much is here; the last one puts the file on the shelf.

        Parameters
        ----------
        sha : str
            The SHA-256 that the whole file is to have.
        piece : bytes
            Passed over as far as it is here already; not kept when it would leave a gap.
        offset, size : int
            Where the piece belongs, and how many bytes the whole file has.

        Raises
        ------
        FileError
            When the file or piece is too large, the piece does not fit into the file, or the whole file is not what its name says.
        StoreError
            When the disk is full or refuses.
        """
        _refuse_sizes(sha, piece, offset, size)
        with self._locks[sha]:
            here = self.held(sha)
            if here.whole or offset > here.held:
                return here
            self._write(sha, piece[here.held - offset :], here.held, size)
            if _size(self._part(sha)) < size:
                return self.held(sha)
            self._finish(sha)
            return Arrived(size, whole=True)

    def clear_forgotten(self) -> int:
        """Delete what nobody has sent a piece of for 30 days and return how many files that were."""
        cleared = 0
        for part in self._folder.glob("*.part"):
            if part.stat().st_mtime < time.time() - _FORGOTTEN_AFTER:
                part.unlink(missing_ok=True)
                cleared += 1
        return cleared

    def _part(self, sha: str) -> Path:
        return self._folder / f"{self.shelf.checked(sha)}.part"

    def _write(self, sha: str, piece: bytes, held: int, size: int) -> None:
        part = self._part(sha)
        with in_trade_words(self.shelf.folder, "written"):
            self._folder.mkdir(parents=True, exist_ok=True)
            self._refuse_full(size - held)
            with part.open("ab") as out:
                try:
                    out.write(piece)
                    out.flush()
                except OSError:
                    out.truncate(held)  # half a piece would shift all that follows
                    raise
            settle(part)

    def _refuse_full(self, wanted: int) -> None:
        free = shutil.disk_usage(self._folder).free
        if free < wanted + _ENOUGH_LEFT:
            raise StoreError(
                f"The disk of the site server has {free / 1e6:,.0f} MB left and this file needs {wanted / 1e6:,.0f} MB more, "
                "so it was not taken; it stays on the device. Make room on the server, and it is sent again by itself."
            )

    def _finish(self, sha: str) -> None:
        part = self._part(sha)
        with in_trade_words(self.shelf.folder, "written"):
            with part.open("rb") as stream:
                found = hashlib.file_digest(stream, "sha256").hexdigest()
            if found != sha:
                part.unlink()
                raise FileError(
                    f"The file {sha[:12]}… came over damaged: it is whole, but not what its SHA-256 says. What had come was thrown "
                    "away; send the file again from its beginning."
                )
            self.shelf.put_whole(part, sha)


def _size(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0


def _refuse_sizes(sha: str, piece: bytes, offset: int, size: int) -> None:
    if size > LARGEST_FILE:
        raise FileError(
            f"The file {shorten(sha, 13)} has {size / 1e9:,.1f} GB, and one of up to {LARGEST_FILE / 1e9:,.0f} GB is taken over "
            "the network. Keep it on its device; copy it to the server by cable and take it in there, or send a smaller version."
        )
    if len(piece) > LARGEST_PIECE:
        raise FileError(
            f"A piece of {len(piece):,} bytes was sent, and one has {LARGEST_PIECE:,} at most. Send the file in smaller pieces."
        )
    if size <= 0 or offset < 0 or not piece or offset + len(piece) > size:
        raise FileError(
            f"A piece of {len(piece):,} bytes at {offset:,} does not fit into a file of {size:,} bytes. "
            "Ask how much is held and send from there."
        )
