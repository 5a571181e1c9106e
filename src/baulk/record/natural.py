"""The order in which a person sorts numbers."""

from __future__ import annotations

from baulk.record.entity import Entity

__all__ = ["by_natural_number", "natural_number"]


def natural_number(number: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts numbers as a person does: 2 before 10, P2-9 before P2-10.

    Examples
    --------
    >>> sorted(["10", "2", "P10", "P2"], key=natural_number)
    ['2', '10', 'P2', 'P10']
    """
    parts: list[tuple[int, int, str]] = []
    digits = text = ""
    for mark in number + "\0":
        if mark.isdecimal() and mark.isascii():
            if text:
                parts.append((1, 0, text))
                text = ""
            digits += mark
            continue
        if digits:
            parts.append((0, int(digits), ""))
            digits = ""
        if mark != "\0":
            text += mark
    if text:
        parts.append((1, 0, text))
    return tuple(parts)


def by_natural_number(entity: Entity) -> tuple[bool, tuple[tuple[int, int, str], ...], str]:
    """Return the sorting key of a numbered record; those without a number come last, in order of id."""
    number = entity.__dict__.get("number")  # most kinds have none, and asking for it by name is slow then
    return (number is None, natural_number(str(number or "")), entity.id)
