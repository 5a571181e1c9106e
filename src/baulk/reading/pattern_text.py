"""A pattern from its text: TOML, checked key by key, every fault told by its line."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from math import inf

from baulk.errors import InputError, RowFault, TableError, did_you_mean, shorten
from baulk.reading.pattern import Pattern, PatternLine
from baulk.reading.pattern_lines import Lines, read_toml
from baulk.reading.prior import BLANK_PRIOR
from baulk.reading.question import NONE_OF_THESE, Reading, is_burial_name
from baulk.reading.scale import Expectation, expectation_of
from baulk.reading.spread import Spread, spread_of

__all__ = ["pattern_of"]

Table = Mapping[str, object]

_NONE = "none"
"""Key of *none of these* in a cell; left out, nobody can say what an unnamed thing would show."""

_TOP = {"name": str, "title": str, "asks": str, "reading": list, "evidence": list}
_READING = {"key": str, "name": str, "prior": float, "why": str, "burial": bool}
_EVIDENCE = {
    "id": str, "saw": str, "expected": dict, "spread": dict, "measures": str, "grain": float, "source": str, "does": str,
    "hours": float, "lost_at_backfill": bool, "cause": str, "rule": str, "sought": bool,
}  # fmt: skip
_NEEDED = {
    "": ("name", "title", "asks", "reading", "evidence"),
    "reading": ("key", "name", "prior", "why"),
    "evidence": ("id", "saw", "source", "does", "hours", "lost_at_backfill"),
}
_KIND = {
    str: "text in quotes",
    float: "a number",
    bool: "true or false",
    dict: "a table in braces",
    list: "tables in double brackets",
}


class _Check:
    """Gathers the faults of one text."""

    def __init__(self, text: str) -> None:
        self.lines = Lines(text)
        self.faults: list[RowFault] = []

    def fault(self, table: str, place: int, key: str, given: object, reason: str) -> None:
        """Note a fault at the line of a key."""
        shown = "" if isinstance(given, dict | list) or given is None else shorten(given)
        self.faults.append(RowFault(self.lines.line(table, place, key), key, shown, reason))

    def keys(self, table: str, place: int, held: Table, known: Mapping[str, type]) -> bool:
        """Check that a table has the keys it needs, no others, and values of their kinds."""
        before = len(self.faults)
        for key in held:
            if key not in known:
                reason = f"No such key is known here: {', '.join(known)}.{did_you_mean(key, list(known))}"
                self.fault(table, place, key, key, reason)
        for key in _NEEDED[table]:
            if key not in held:
                self.fault(table, place, key, None, "This key is missing.")
        for key, kind in known.items():
            if key in held and not _is(held[key], kind):
                self.fault(table, place, key, held[key], f"The value is to be {_KIND[kind]}.")
        return len(self.faults) == before


def _is(value: object, kind: type) -> bool:
    if kind is float:
        return isinstance(value, int | float) and not isinstance(value, bool)
    if kind is str:
        return isinstance(value, str) and bool(value.strip())
    return isinstance(value, kind)


def pattern_of(text: str, source: str, rules: Collection[str] = ()) -> Pattern:
    """Return the pattern that a text holds.

    Parameters
    ----------
    text : str
        TOML as `docs/methods/weighing.md` describes it.
    source : str
        What the text is called, for messages.
    rules : collection of str
        Names of the rules by which the record can tell; when empty, no name is checked.

    Returns
    -------
    Pattern
        With *none of these* added at a prior of a tenth, the others scaled to what is left.

    Raises
    ------
    TableError
        With every fault and its line.
    """
    held = read_toml(text, source)
    check = _Check(text)
    readings: list[Reading] = []
    lines: list[PatternLine] = []
    if check.keys("", 0, held, _TOP):
        readings = _readings(check, held["reading"])
        lines = _lines(check, held["evidence"], [reading.id for reading in readings], rules)
    if check.faults:
        raise TableError(source, sorted(check.faults, key=lambda fault: fault.line))
    return Pattern(str(held["name"]), str(held["title"]), str(held["asks"]), _with_none(readings), tuple(lines))


def _tables(held: object) -> list[tuple[int, Table]]:
    return [(place, table if isinstance(table, dict) else {}) for place, table in enumerate(held if isinstance(held, list) else [])]


def _readings(check: _Check, held: object) -> list[Reading]:
    found: list[Reading] = []
    for place, table in _tables(held):
        if not check.keys("reading", place, table, _READING):
            continue
        key, name, prior = str(table["key"]), str(table["name"]), float(str(table["prior"]))
        if key in {_NONE, *(reading.id for reading in found)}:
            check.fault("reading", place, "key", key, "Another reading has this key, or it is “none”, which is always there.")
        if not 0 < prior < 1:
            check.fault("reading", place, "prior", prior, "A prior lies between 0 and 1.")
        burial = bool(table.get("burial", is_burial_name(name)))
        found.append(Reading(key, name, prior, str(table["why"]), burial=burial))
    if len(found) < 2 and not check.faults:
        check.fault("reading", 0, "", None, "A pattern needs at least two readings that compete.")
    return found


def _with_none(readings: list[Reading]) -> tuple[Reading, ...]:
    total = sum(reading.prior or 0 for reading in readings)
    scaled = [
        Reading(reading.id, reading.name, (reading.prior or 0) / total * (1 - BLANK_PRIOR), reading.prior_reason, reading.burial)
        for reading in readings
    ]
    return (*scaled, Reading(NONE_OF_THESE, NONE_OF_THESE, BLANK_PRIOR, "Always kept.", none_of_these=True))


def _lines(check: _Check, held: object, readings: list[str], rules: Collection[str]) -> list[PatternLine]:
    found: list[PatternLine] = []
    for place, table in _tables(held):
        if not check.keys("evidence", place, table, _EVIDENCE):
            continue
        identity, rule, hours = str(table["id"]), table.get("rule"), float(str(table["hours"]))
        if identity in {line.id for line in found}:
            check.fault("evidence", place, "id", identity, "Another piece of evidence has this id.")
        if not 0 < hours < inf:
            check.fault("evidence", place, "hours", hours, "Every look costs some time: give hours above 0.")
        if rule is not None and rules and rule not in rules:
            reason = f"No rule of that name reads the record.{did_you_mean(str(rule), list(rules))}"
            check.fault("evidence", place, "rule", rule, reason)
        spreads = _spreads(check, place, table, readings)
        found.append(
            PatternLine(
                identity,
                str(table["saw"]),
                {} if spreads else _expected(check, place, table, readings),
                str(table["source"]),
                str(table["does"]),
                hours,
                bool(table["lost_at_backfill"]),
                _text(table.get("cause")),
                _text(rule),
                spreads,
                float(str(table.get("grain", 0.0))),
                str(table.get("measures", "")),
                bool(table.get("sought", True)),
            )
        )
    return found


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def _known_readings(check: _Check, place: int, key: str, cells: object, readings: list[str]) -> dict[str, object]:
    kept = {}
    for reading, cell in (cells if isinstance(cells, dict) else {}).items():
        if reading in (*readings, _NONE):
            kept[NONE_OF_THESE if reading == _NONE else reading] = cell
        else:
            reason = f"No reading has this key; they are {', '.join((*readings, _NONE))}.{did_you_mean(reading, readings)}"
            check.fault("evidence", place, key, reading, reason)
    return kept


def _expected(check: _Check, place: int, table: Table, readings: list[str]) -> dict[str, Expectation]:
    if "expected" not in table:
        reason = "Say how expected it is under each reading, or give “spread”, “measures” and “grain” for a measure."
        check.fault("evidence", place, "expected", None, reason)
    found = {}
    for reading, cell in _known_readings(check, place, "expected", table.get("expected"), readings).items():
        try:
            found[reading] = expectation_of(cell if isinstance(cell, str | int | float) else str(cell))
        except InputError as refusal:
            check.fault("evidence", place, "expected", cell, str(refusal))
    return found


def _spreads(check: _Check, place: int, table: Table, readings: list[str]) -> dict[str, Spread] | None:
    if "spread" not in table:
        return None
    if "expected" in table or not table.get("measures") or not 0 < float(str(table.get("grain", 0))) < inf:
        reason = "A measure has “spread”, “measures” and a “grain” above 0, and no “expected”."
        check.fault("evidence", place, "spread", None, reason)
    found = {}
    for reading, cell in _known_readings(check, place, "spread", table["spread"], readings).items():
        try:
            held = spread_of(str(cell))
        except InputError as refusal:
            held = None
            check.fault("evidence", place, "spread", cell, str(refusal))
        else:
            if held is None:
                check.fault("evidence", place, "spread", cell, "Write “about 12, give or take 4” or “between 0 and 90”.")
        if held is not None:
            found[reading] = held
    return found
