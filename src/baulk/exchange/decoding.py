"""Bytes to text: the encoding is told from marks and content, and a guess is said to be one."""

from __future__ import annotations

import codecs

from baulk.errors import FileError, InputError, did_you_mean, shorten

__all__ = ["ENCODINGS", "decoded"]

ENCODINGS = (
    "utf-8",
    "utf-16",
    "cp1252",
    "latin-1",
    "big5",
    "cp950",
    "shift_jis",
    "cp932",
    "gb18030",
    "euc_kr",
    "cp1251",
    "mac_roman",
)
"""Encodings that may be named; others that Python knows are taken too."""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def decoded(raw: bytes, name: str, encoding: str = "") -> tuple[str, tuple[str, ...]]:
    """Return the text of a file and notes on how it was decoded.

    Parameters
    ----------
    raw : bytes
        The whole file.
    name : str
        The file's name, for messages.
    encoding : str
        The encoding, when it is known; empty to tell it from the content: byte-order mark, then UTF-8, then, as a guess that is
        noted, cp1252 (or latin-1 where cp1252 has no letter).

    Raises
    ------
    InputError
        No encoding has the name given.
    FileError
        The bytes are not in the encoding named, or the text holds a NUL.
    """
    text, notes = (_as_named(raw, name, encoding), ()) if encoding else _told_from_content(raw, name)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise FileError(
            f"{shorten(name, 80)} holds a NUL on line {line}, which no text has: the file is damaged or in another encoding. "
            "Save the table again as CSV in UTF-8, or name its encoding."
        )
    return text, notes


def _as_named(raw: bytes, name: str, encoding: str) -> str:
    try:
        known = codecs.lookup(encoding).name
    except (LookupError, ValueError):
        raise InputError(
            f"The encoding is given as “{shorten(encoding)}”, which is not known.{did_you_mean(encoding.lower(), ENCODINGS)} "
            f"Often used are {', '.join(ENCODINGS[:8])}."
        ) from None
    try:
        text = raw.decode("utf-8-sig" if known == "utf-8" else known)
    except LookupError:  # a codec such as hex turns bytes into bytes
        raise InputError(f"{shorten(encoding)} is no encoding of text. Often used are {', '.join(ENCODINGS[:8])}.") from None
    except UnicodeError as refusal:
        at = getattr(refusal, "start", 0)
        line = raw.count(b"\n", 0, at) + 1
        raise FileError(
            f"{shorten(name, 80)} is not in {known}: byte {at + 1}, on line {line}, is no letter of it. "
            "Name another encoding, or leave it out to have it told from the content."
        ) from None
    return text.removeprefix("\ufeff")


def _told_from_content(raw: bytes, name: str) -> tuple[str, tuple[str, ...]]:
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return _as_named(raw, name, encoding), ()
    if raw[:200].count(b"\0") > len(raw[:200]) // 4:
        wide = "utf-16-le" if raw[1:200:2].count(0) > raw[0:200:2].count(0) else "utf-16-be"
        return _as_named(raw, name, wide), (f"It has no byte-order mark; it was read as {wide}, told from its content.",)
    try:
        return raw.decode("utf-8"), ()
    except UnicodeDecodeError as refusal:
        return _guessed(raw, raw.count(b"\n", 0, refusal.start) + 1)


def _guessed(raw: bytes, line: int) -> tuple[str, tuple[str, ...]]:
    try:
        text, used = raw.decode("cp1252"), "cp1252"
    except UnicodeDecodeError:
        text, used = raw.decode("latin-1"), "latin-1"
    others = [encoding for encoding in ("big5", "shift_jis") if _fits(raw, encoding)]
    also = f" It would also be sound {' or '.join(others)}." if others else ""
    return text, (
        f"It is not UTF-8 (line {line}); it was read as {used}, which is a guess.{also} "
        "If letters look wrong, name the encoding and take it again.",
    )


def _fits(raw: bytes, encoding: str) -> bool:
    try:
        raw.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True
