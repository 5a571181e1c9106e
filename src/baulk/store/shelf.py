"""The shelf: photographs, scans and other files of a site, kept under the SHA-256 of their content.

A name made of the content cannot go stale, two copies of one photograph are kept once, and a file that has rotted
gives itself away.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import BufferedReader
from pathlib import Path

from baulk.errors import FileError, shorten
from baulk.store.on_disk import UNFINISHED, settle, whole_file
from baulk.store.refusals import in_trade_words

__all__ = ["FileShelf", "ShelfFault"]

_BLOCK = 1 << 20
_SHA = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, order=True)
class ShelfFault:
    """A file of the shelf that is not as it should be, and what to do."""

    name: str
    says: str


class FileShelf:
    """The files of one site in one folder, by content.

    Parameters
    ----------
    folder : Path
        Made when the first file is kept; that of ``SITE.gpkg`` is ``SITE.files`` beside it, see `FileShelf.beside`.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = Path(folder)

    @classmethod
    def beside(cls, site_file: Path) -> FileShelf:
        """Return the shelf of a site file."""
        return cls(site_file.with_suffix(".files"))

    def keep(self, source: Path | bytes) -> str:
        """Keep a file and return its SHA-256; one already kept is written again, which mends a copy that has rotted.

        Parameters
        ----------
        source : Path or bytes
            A file of any size, read in blocks, or its content.

        Raises
        ------
        FileError
            When the source is missing, a folder, or cannot be read.
        StoreError
            When the shelf cannot be written.
        """
        if isinstance(source, bytes):
            return self._put(iter((source,)), hashlib.sha256(source).hexdigest())
        with _opened(source) as stream:
            sha = _sha_of(stream)
            stream.seek(0)
            return self._put(iter(lambda: stream.read(_BLOCK), b""), sha)

    def _put(self, blocks: Iterator[bytes], sha: str) -> str:
        target = self._place(sha)
        with in_trade_words(self.folder, "written"):
            target.parent.mkdir(parents=True, exist_ok=True)
            with whole_file(target) as unfinished:
                written = hashlib.sha256()
                with unfinished.open("xb") as out:
                    for block in blocks:
                        written.update(block)
                        out.write(block)
                if written.hexdigest() != sha:
                    raise FileError(
                        "The file was being changed while it was read, so it was not kept. Take it again when it is finished."
                    )
        return sha

    def path(self, sha: str) -> Path:
        """Return where a file lies.

        Raises
        ------
        FileError
            When the name is no SHA-256 or no such file is kept.
        """
        place = self._place(sha)
        if not place.is_file():
            raise FileError(
                f"No file {sha[:12]}… is kept in {self.folder.name}. Copy that folder along with the site file, or "
                f"take the file again."
            )
        return place

    def put_whole(self, source: Path, sha: str) -> None:
        """Move a file of this disk, whose content is known to have this SHA-256, on to the shelf.

        Raises
        ------
        StoreError
            When the shelf cannot be written.
        """
        target = self._place(sha)
        with in_trade_words(self.folder, "written"):
            target.parent.mkdir(parents=True, exist_ok=True)
            settle(source)
            source.replace(target)
            settle(target.parent)

    def __contains__(self, sha: str) -> bool:
        """Tell whether a file is kept; a name that is no SHA-256 is not."""
        return bool(_SHA.fullmatch(sha)) and self._place(sha).is_file()

    def checked(self, sha: str) -> str:
        """Return a SHA-256 as given.

        Raises
        ------
        FileError
            When it is none, so that no name from outside becomes a path.
        """
        return self._place(sha).name

    def _place(self, sha: str) -> Path:
        if not _SHA.fullmatch(sha):
            raise FileError(f"“{shorten(sha)}” is not the SHA-256 of a file, which has 64 digits from 0 to 9 and a to f.")
        return self.folder / sha[:2] / sha

    def __iter__(self) -> Iterator[str]:
        """Yield the SHA-256 of every file kept, in order."""
        return (path.name for path in sorted(self.folder.glob("??/*")) if _SHA.fullmatch(path.name))

    def faults(self, wanted: Iterable[str] = ()) -> tuple[ShelfFault, ...]:
        """Read every file again and return those that are not what their name says.

        Parameters
        ----------
        wanted : iterable of str
            SHA-256 of files that the record refers to; those missing are faults too.

        Returns
        -------
        tuple of ShelfFault
            Empty when all is well. Files that a crash left unfinished are named, since they may be deleted.
        """
        found = [
            ShelfFault(name, "The record refers to this file, but it is not here: take it again.")
            for name in set(wanted) - set(self)
        ]
        for path in self.folder.glob("??/*"):
            if path.name.endswith(UNFINISHED):
                found.append(ShelfFault(path.name, "This file was never finished, nothing refers to it: it may be deleted."))
            elif not _SHA.fullmatch(path.name) or path.parent.name != path.name[:2]:
                found.append(ShelfFault(path.name, "This file was not put here by Baulk: move it elsewhere."))
            else:
                with _opened(path) as stream:
                    if _sha_of(stream) != path.name:
                        found.append(
                            ShelfFault(
                                path.name, "The content of this file has changed since it was kept: take it again from its source."
                            )
                        )
        return tuple(sorted(found))


def _opened(source: Path) -> BufferedReader:
    try:
        if source.is_dir():
            raise FileError(f"{source.name} is a folder. Give the files in it one by one.")
        return source.open("rb")
    except FileNotFoundError:
        raise FileError(f"There is no file {source.name}. Check its name and folder.") from None
    except (OSError, ValueError) as refusal:
        raise FileError(f"{shorten(source.name)} cannot be read: {refusal}. See that you may read it.") from None


def _sha_of(stream: BufferedReader) -> str:
    return hashlib.file_digest(stream, "sha256").hexdigest()
