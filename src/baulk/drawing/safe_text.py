"""Words made safe to stand in a drawing: no mark-up, no control characters, no text that turns its neighbours round."""

from __future__ import annotations

import unicodedata

__all__ = ["safe_words", "shown_width", "wrapped"]

_TURNING = {*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F, 0x061C}
_FIRST_ISOLATE, _END_ISOLATE = "\u2068", "\u2069"
_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"})


def safe_words(text: str, limit: int = 400) -> str:
    """Return `text` as it may stand in SVG text or an attribute: one line, escaped, at most `limit` characters of it.

    Characters that no reader sees, or that XML forbids, become spaces; signs that turn the direction of writing are dropped, and
    right-to-left words are closed off so that the text round them keeps its order.

    Examples
    --------
    >>> safe_words('<script>"1"</script>')
    '&lt;script&gt;&quot;1&quot;&lt;/script&gt;'
    """
    kept = " ".join("".join(_visible(mark) for mark in text).split())
    if len(kept) > limit:
        kept = kept[: limit - 1] + "…"
    isolate = any(unicodedata.bidirectional(mark) in ("R", "AL", "AN") for mark in kept)
    escaped = kept.translate(_ESCAPES)
    return f"{_FIRST_ISOLATE}{escaped}{_END_ISOLATE}" if isolate else escaped


def shown_width(text: str, size: float) -> float:
    """Return roughly how wide `text` is when its letters' body is `size` high, in the same length.

    The font is the reader's own, so this is an estimate on the wide side: 0.62 of the body a letter, 1 for wide scripts, 0 for
    combining signs.
    """
    return size * sum(_letter_width(mark) for mark in text)


def wrapped(text: str, size: float, width: float) -> tuple[str, ...]:
    """Return `text` broken into lines that are at most `width` wide where words allow it."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and shown_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _letter_width(mark: str) -> float:
    if unicodedata.combining(mark):
        return 0.0
    if unicodedata.east_asian_width(mark) in ("W", "F"):
        return 1.0
    return 0.36 if mark in " .,:;'’|il()[]!·" else 0.62


def _visible(mark: str) -> str:
    place = ord(mark)
    if place in _TURNING:
        return ""
    if unicodedata.category(mark) in ("Cc", "Cs", "Cn", "Co") or place & 0xFFFE == 0xFFFE or mark in "\u2028\u2029":
        return " "
    return mark
