"""The folder of a site's own secrets and notes of its server, beside the site file, for its owner only."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from pathlib import Path

from baulk.errors import StoreError

__all__ = ["keys_beside", "put_secret", "read_or_make"]


def keys_beside(site_file: Path) -> Path:
    """Return the folder of a site's own keys: ``SITE.keys`` beside ``SITE.gpkg``."""
    return site_file.with_suffix(".keys")


def put_secret(path: Path, content: bytes) -> None:
    """Write a file that its owner only may read: whole, or not at all.

    Raises
    ------
    OSError
        When it cannot be written.
    """
    path.parent.mkdir(mode=0o700, exist_ok=True)
    unfinished = path.with_name(f".{secrets.token_hex(8)}")
    try:
        with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.write(content)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)


def read_or_make(path: Path, make: Callable[[], bytes]) -> bytes:
    """Return what a secret file holds; make it first, readable by its owner only, when there is none.

    Raises
    ------
    StoreError
        When it can be neither read nor made.
    """
    try:
        if not path.exists():
            put_secret(path, make())
        return path.read_bytes()
    except OSError as refusal:
        raise StoreError(
            f"The key {path.name} in {path.parent.name} can be neither read nor made ({refusal.strerror}), so no device can join. "
            "See that the folder of the site may be written; to look only, open a copy of the site."
        ) from None
