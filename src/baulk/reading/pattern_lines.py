"""On which line of a pattern's text a table or key stands, so that a fault can be told by its line."""

from __future__ import annotations

import re
import tomllib
from collections import Counter

from baulk.errors import RowFault, TableError

__all__ = ["Lines", "read_toml"]

_TABLE = re.compile(r"\s*\[\[\s*([\w-]+)\s*\]\]")
_KEY = re.compile(r"\s*([\w-]+)\s*=")
_PLACE = re.compile(r"\(at line (\d+), column \d+\)")


class Lines:
    """Lines of a text by table, number of the table and key.

    Parameters
    ----------
    text : str
        TOML with plain keys and arrays of tables.
    """

    def __init__(self, text: str) -> None:
        self._known: dict[tuple[str, int, str], int] = {}
        table, counts = ("", 0), Counter[str]()
        for number, line in enumerate(text.splitlines(), start=1):
            found = _TABLE.match(line)
            if found:
                table = (found[1], counts[found[1]])
                counts[found[1]] += 1
                self._known[*table, ""] = number
            elif key := _KEY.match(line):
                self._known.setdefault((*table, key[1]), number)

    def line(self, table: str, place: int = 0, key: str = "") -> int:
        """Return the line of a key, else of its table, else the first."""
        return self._known.get((table, place, key)) or self._known.get((table, place, "")) or 1


def read_toml(text: str, source: str) -> dict[str, object]:
    """Return what a TOML text holds.

    Raises
    ------
    TableError
        When it is not TOML, with the line.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as refusal:
        place = _PLACE.search(str(refusal))
        line = int(place[1]) if place else text.count("\n") + 1
        reason = f"This is not TOML: {_PLACE.sub('', str(refusal)).strip().rstrip('.')}."
        raise TableError(source, [RowFault(line, "", "", reason)]) from None
