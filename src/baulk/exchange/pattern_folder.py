"""Patterns of questions from files: those that Baulk brings, and a user's own in a folder, which stand before them."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from baulk.errors import FileError, InputError, did_you_mean
from baulk.reading.from_record import RULES
from baulk.reading.pattern import Pattern, merged
from baulk.reading.pattern_text import pattern_of

__all__ = ["own_patterns", "pattern_named", "patterns", "shipped_patterns"]

_LARGEST = 1_000_000
"""Bytes beyond which a file is no pattern."""


def shipped_patterns() -> tuple[Pattern, ...]:
    """Return the patterns that Baulk brings, by name."""
    folder = files("baulk.reading") / "library"
    texts = {held.name: held.read_text(encoding="utf-8") for held in folder.iterdir() if held.name.endswith(".toml")}
    return merged((pattern_of(texts[name], name, RULES) for name in sorted(texts)), ())


def own_patterns(folder: Path) -> tuple[Pattern, ...]:
    """Return the patterns in a user's folder: every file whose name ends in ``.toml``.

    Raises
    ------
    FileError
        When the folder is not there, or a file in it is too large or no text.
    TableError
        When a file breaks the rules of a pattern, with every fault by its line.
    """
    if not folder.is_dir():
        raise FileError(f"{folder} is given as the folder of your own patterns. There is no such folder: make it, or leave it out.")
    found = []
    for file in sorted(folder.glob("*.toml")):
        if file.stat().st_size > _LARGEST:
            raise FileError(f"{file.name} is larger than a pattern can be ({_LARGEST:,} bytes). Take it out of the folder.")
        try:
            text = file.read_text(encoding="utf-8-sig")
        except UnicodeDecodeError:
            raise FileError(f"{file.name} is not text in UTF-8. Save it as UTF-8 and try again.") from None
        found.append(pattern_of(text, file.name, RULES))
    return merged((), found)


def patterns(folder: Path | None = None) -> tuple[Pattern, ...]:
    """Return all patterns by name; one in the user's folder stands in place of the one that Baulk brings under its name."""
    return merged(shipped_patterns(), own_patterns(folder) if folder is not None else ())


def pattern_named(name: str, folder: Path | None = None) -> Pattern:
    """Return the pattern of that name.

    Raises
    ------
    InputError
        When there is none; near names are offered.
    """
    known = {pattern.name: pattern for pattern in patterns(folder)}
    if name not in known:
        raise InputError(f"No pattern is called “{name}”. There are {', '.join(known)}.{did_you_mean(name, list(known))}")
    return known[name]
