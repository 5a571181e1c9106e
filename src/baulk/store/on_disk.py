"""A file that is there whole or not at all, whenever the power goes."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["UNFINISHED", "settle", "whole_file"]

UNFINISHED = ".unfinished"
"""How the name of a file ends that is still being written; one left by a crash may be deleted."""


@contextmanager
def whole_file(target: Path) -> Iterator[Path]:
    """Yield a name to write to; on leaving without an error the file is on disk and takes the name of `target`.

    Raises
    ------
    OSError
        When the file cannot be written or renamed; `target` is then as it was.
    """
    unfinished = target.with_name(f".{secrets.token_hex(8)}{UNFINISHED}")
    try:
        yield unfinished
        settle(unfinished)
        unfinished.replace(target)
        settle(target.parent)
    finally:
        unfinished.unlink(missing_ok=True)
        unfinished.with_name(unfinished.name + "-journal").unlink(missing_ok=True)


def settle(path: Path) -> None:
    """Return when what was written to a file, or the names in a folder, would survive a power cut."""
    if os.name == "nt" and path.is_dir():
        return  # Windows opens no folder; NTFS keeps names in its own journal
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
