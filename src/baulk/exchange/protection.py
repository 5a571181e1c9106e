"""Text that a spreadsheet would take for a formula, or Baulk for an absence: an apostrophe before it says that it is text.

Written out, a text gets the mark when it begins with one of ``= + - @``, a tab, a carriage return or an apostrophe, or when it
reads as the words of an absence. Taken in, one apostrophe before such a text is taken off again; before any other text it is a
letter like others. A formula is never worked out in either direction.
"""

from __future__ import annotations

from baulk.record import absent_words

__all__ = ["absence_in", "absence_out", "protected", "unprotected"]

_STARTS = ("=", "+", "-", "@", "\t", "\r", "'")
_SPOKEN = "absent:"


def _reads_as_absence(text: str) -> bool:
    return text[:1] in "nNaA" and (text[: len(_SPOKEN)].lower() == _SPOKEN or absent_words(text) is not None)


def protected(text: str) -> str:
    """Return the text as it is written into a cell.

    Examples
    --------
    >>> protected("=1+1"), protected("brown")
    ("'=1+1", 'brown')
    """
    return "'" + text if text and (text[0] in _STARTS or _reads_as_absence(text)) else text


def unprotected(cell: str) -> str:
    """Return the text of a cell; the other way of `protected`."""
    if cell[:1] == "'" and len(cell) > 1 and (cell[1] in _STARTS or _reads_as_absence(cell[1:])):
        return cell[1:]
    return cell


def absence_in(cell: str) -> str | None:
    """Return the words when a cell says that its field is absent on purpose, else None.

    The words are *not applicable*, *not visible*, *not done: reason*, or any others after ``absent:``.

    Examples
    --------
    >>> absence_in("Not done: rain"), absence_in("absent: lost in the post")
    ('not done: rain', 'lost in the post')
    """
    if cell[:1] not in "nNaA":
        return None
    if cell[: len(_SPOKEN)].lower() == _SPOKEN:
        return cell[len(_SPOKEN) :].strip() or None
    return absent_words(cell)


def absence_out(words: str, *, also_a_term: bool = False) -> str:
    """Return how an absence is written into a cell; `also_a_term` when the field's list has the same words as a term."""
    return words if absent_words(words) == words and not also_a_term else f"{_SPOKEN} {words}"
