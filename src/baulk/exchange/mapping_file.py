"""Reading a mapping file: TOML, every key checked, faults named with the key and the nearest right one."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from baulk.errors import FileError, InputError, UnknownRecord, did_you_mean, shorten
from baulk.exchange.cells import DATE_ORDERS
from baulk.exchange.mapping import Each, Spread, Take
from baulk.exchange.measures import MEASURES
from baulk.exchange.readers import Habits
from baulk.exchange.template import template_of
from baulk.record import KINDS, Entity, Quantity, facts_of, kind_named

__all__ = ["MAPPING_KEYS", "read_mapping", "takes_of_text"]

_LARGEST = 1_000_000
_TEXT, _WHOLE, _FLAG, _TABLE, _LIST = "text", "a whole number", "true or false", "a table", "a list of texts"
MAPPING_KEYS = {
    "kind": _TEXT, "file": _TEXT, "sheet": _TEXT, "encoding": _TEXT, "separator": _TEXT, "header_line": _WHOLE,
    "columns": _TABLE, "constants": _TABLE, "compose": _TABLE, "words": _TABLE, "measures": _TABLE, "depths": _TABLE,
    "spread": _TABLE, "each": _TABLE, "within": _TEXT, "skip": _TABLE, "blanks": _LIST, "ignore": _LIST, "decimal": _TEXT,
    "dates": _TEXT, "lists": _TEXT, "keep_rest": _FLAG, "known": _TEXT, "new": _TEXT, "orphans": _TEXT, "repeats": _TEXT,
    "key": _LIST,
}  # fmt: skip
"""Every key of a ``[[take]]`` with what it holds; docs/taking-in.md explains each."""

_CHOICES = {
    "known": ("refuse", "complete", "skip"), "new": ("take", "leave"), "orphans": ("refuse", "leave"),
    "repeats": ("refuse", "skip"),
    "decimal": (".", ","), "dates": DATE_ORDERS,
}  # fmt: skip
_BY_FIELD = ("columns", "constants", "compose", "words", "measures", "depths")


def read_mapping(path: Path) -> tuple[Take, ...]:
    """Read a mapping file.

    Parameters
    ----------
    path : Path
        A TOML file with one or more ``[[take]]`` sections.

    Returns
    -------
    tuple of Take
        The passes, in order.

    Raises
    ------
    FileError
        The file is missing, not readable or too large.
    InputError
        It is no TOML, or a key or value breaks its rule; the key is named.
    """
    name = shorten(path.name, 80)
    try:
        if path.stat().st_size > _LARGEST:
            raise FileError(
                f"{name} has {path.stat().st_size:,} bytes; a mapping file has at most {_LARGEST:,}. Is this the table?"
            )
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise FileError(f"There is no mapping file {name}. See that its name and folder are right.") from None
    except UnicodeDecodeError:
        raise FileError(f"{name} is not in UTF-8, as a mapping file must be. Save it again in UTF-8.") from None
    except OSError as refusal:
        raise FileError(f"The mapping file {name} cannot be read ({refusal.strerror}).") from None
    return takes_of_text(text, path.name)


def takes_of_text(text: str, source: str = "the mapping") -> tuple[Take, ...]:
    """Return the passes that the text of a mapping file describes; see `read_mapping` for the errors."""
    name = shorten(source, 80)
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as refusal:
        raise InputError(
            f"{name} cannot be read as TOML: {shorten(refusal, 120)}. Mend that line; docs/taking-in.md has an example."
        ) from None
    strange = [key for key in found if key != "take"]
    if strange:
        raise InputError(
            f"{name}: there is no key “{shorten(strange[0])}”.{did_you_mean(strange[0], ['take'])} A mapping has [[take]] sections."
        )
    sections = found.get("take", [])
    sections = [sections] if isinstance(sections, dict) else sections
    if not isinstance(sections, list) or not sections or not all(isinstance(section, dict) for section in sections):
        raise InputError(f'{name} has no [[take]] section, so it says nothing. Begin with [[take]] and kind = "context".')
    return tuple(_Section(f"{name}, take {place}", section).take() for place, section in enumerate(sections, start=1))


class _Section:
    """One ``[[take]]`` being checked; `where` begins each message."""

    def __init__(self, where: str, given: Mapping[str, Any]) -> None:
        self.where, self.given = where, given
        self._check_keys(given, MAPPING_KEYS, "")
        self.kind = self._kind()

    def refuse(self, key: str, rule: str) -> InputError:
        return InputError(f"{self.where}, {key}: {rule}")

    def take(self) -> Take:
        for key, choices in _CHOICES.items():
            self._check_choice(key, choices)
        for key in _BY_FIELD:
            self._check_fields(key)
        self._check_sources()
        get = self.given.get
        lists = get("lists", ";")
        if not lists:
            raise self.refuse("lists", 'it is blank. Name the marks that separate items, as in ",;".')
        return Take(
            kind=self.kind.KIND,
            file=self._file(),
            sheet=get("sheet", ""),
            encoding=get("encoding", ""),
            separator=get("separator", ""),
            header_line=get("header_line", 0),
            columns=self._texts("columns"),
            constants=self._texts("constants"),
            compose={ours: self._parsed("compose", ours, text, template_of) for ours, text in self._texts("compose").items()},
            words={ours: self._words(ours, table) for ours, table in get("words", {}).items()},
            depths={ours: self._datum(ours, datum) for ours, datum in get("depths", {}).items()},
            spread=self._spread(),
            each=self._each(),
            within=get("within", ""),
            skip={column: self._skipped(column, values) for column, values in get("skip", {}).items()},
            blanks=tuple(get("blanks", ())),
            ignore=tuple(get("ignore", ())),
            habits=Habits(get("decimal", "."), get("dates", DATE_ORDERS[0]), lists, self._measures()),
            keep_rest=get("keep_rest", False),
            known=get("known", "refuse"),
            new=get("new", "take"),
            orphans=get("orphans", "refuse"),
            repeats=get("repeats", "refuse"),
            key=tuple(self._field("key", ours) for ours in get("key", ())),
        )

    def _check_keys(self, given: Mapping[str, Any], keys: Mapping[str, str], under: str) -> None:
        for key, value in given.items():
            if key not in keys:
                near = did_you_mean(key, list(keys))
                raise InputError(f"{self.where}: there is no key “{shorten(under + key)}”.{near} Known are {', '.join(keys)}.")
            if not _is(value, keys[key]):
                raise self.refuse(under + key, f"it is given as “{shorten(value, 40)}”. It is {keys[key]}.")

    def _kind(self) -> type[Entity]:
        given = self.given.get("kind", "")
        if not given:
            raise self.refuse("kind", 'it is missing. Say which kind of record the rows are, as in kind = "context".')
        try:
            return kind_named(given)
        except UnknownRecord:
            raise self.refuse("kind", f"there is no kind “{shorten(given)}”.{did_you_mean(given.lower(), list(KINDS))}") from None

    def _check_choice(self, key: str, choices: tuple[str, ...]) -> None:
        given = self.given.get(key, choices[0])
        if given not in choices:
            raise self.refuse(key, f"it is given as “{shorten(given)}”. It is {' or '.join(f'“{choice}”' for choice in choices)}.")

    def _field(self, key: str, ours: str) -> str:
        known = [name for name in self.kind.model_fields if name != "absences"]
        if ours not in known:
            raise self.refuse(key, f"a {self.kind.TITLE} has no field “{shorten(ours)}”.{did_you_mean(ours, known)}")
        return ours

    def _check_fields(self, key: str) -> None:
        for ours in self.given.get(key, {}):
            self._field(key, ours)

    def _check_sources(self) -> None:
        seen: dict[str, str] = {}
        for key in ("columns", "compose", "constants"):
            for ours in self.given.get(key, {}):
                if ours in seen:
                    raise self.refuse(key, f"{ours} is filled twice, by {seen[ours]} and by {key}. Keep one of them.")
                seen[ours] = key
        if not seen:
            raise self.refuse("columns", 'nothing fills any field. Name at least one column, as in number = "SU No".')
        for key in ("words", "measures", "depths", "key"):
            for ours in self.given.get(key, {}):
                if ours not in seen:
                    raise self.refuse(key, f"{ours} is named here, but nothing fills it. Name its column under columns.")

    def _texts(self, key: str) -> dict[str, str]:
        found = self.given.get(key, {})
        for ours, text in found.items():
            if not isinstance(text, str) or not text:
                raise self.refuse(f"{key}.{ours}", f"it is given as “{shorten(text, 40)}”. A text in quotation marks belongs here.")
        return dict(found)

    def _words(self, ours: str, table: Any) -> dict[str, str]:
        if not isinstance(table, dict) or not all(isinstance(word, str) for word in table.values()):
            raise self.refuse(f"words.{ours}", 'each line is their word = our word, both in quotation marks: "Layer" = "deposit".')
        return {" ".join(theirs.split()).casefold(): word for theirs, word in table.items()}

    def _measures(self) -> dict[str, str]:
        found = self._texts("measures")
        for ours, measure in found.items():
            if facts_of(self.kind, ours).quantity not in (Quantity.LENGTH, Quantity.LEVEL, Quantity.SIZE):
                raise self.refuse(f"measures.{ours}", "the field is no length, level or size, so it has no quantity to name.")
            if measure not in MEASURES:
                raise self.refuse(f"measures.{ours}", f"“{shorten(measure)}” is not known. It is one of {', '.join(MEASURES)}.")
        return found

    def _datum(self, ours: str, datum: Any) -> float | str:
        if facts_of(self.kind, ours).quantity is not Quantity.LEVEL:
            raise self.refuse(f"depths.{ours}", "the field is no level, so no depth can be turned into it.")
        if isinstance(datum, bool) or not isinstance(datum, (int, float, str)):
            raise self.refuse(f"depths.{ours}", "give the level that depths are taken from: a number, or the column that holds it.")
        return datum if isinstance(datum, str) else float(datum)

    def _skipped(self, column: str, values: Any) -> tuple[str, ...]:
        if not _is(values, _LIST):
            raise self.refuse(f"skip.{column}", 'give a list of the words whose rows are left out, as in Unit = ["Total", ""].')
        return tuple(" ".join(value.split()).casefold() for value in values)

    def _spread(self) -> Spread | None:
        given = self.given.get("spread")
        if given is None:
            return None
        self._check_keys(given, {"pattern": _TEXT, "columns": _TABLE, "name": _TEXT, "value": _TEXT}, "spread.")
        if ("pattern" in given) == ("columns" in given):
            raise self.refuse("spread", "give either pattern or columns: which headers stand side by side.")
        columns = given.get("columns", {})
        if not all(isinstance(word, str) for word in columns.values()):
            raise self.refuse("spread.columns", 'each line is a header = the word it stands for: "Top" = "top".')
        pattern = self._parsed("spread", "pattern", given["pattern"], re.compile) if "pattern" in given else None
        return Spread(pattern, columns, given.get("name", "name"), given.get("value", "value"))

    def _each(self) -> Each | None:
        given = self.given.get("each")
        if given is None:
            return None
        self._check_keys(given, {"column": _TEXT, "separators": _TEXT, "value": _TEXT, "pattern": _TEXT}, "each.")
        if not given.get("column"):
            raise self.refuse("each.column", "it is missing. Name the column that holds the list.")
        pattern = self._parsed("each", "pattern", given["pattern"], re.compile) if "pattern" in given else None
        return Each(given["column"], given.get("separators") or ",;", given.get("value", "item"), pattern)

    def _parsed(self, key: str, name: str, text: str, parse: Callable[[str], Any]) -> Any:
        try:
            return parse(text)
        except InputError as refusal:
            raise self.refuse(f"{key}.{name}", str(refusal)) from None
        except re.error as refusal:
            raise self.refuse(f"{key}.{name}", f"“{shorten(text)}” is no pattern that can be read: {refusal}.") from None

    def _file(self) -> str:
        given: str = self.given.get("file", "")
        place = PurePosixPath(given.replace("\\", "/"))
        if place.is_absolute() or ".." in place.parts or re.match(r"[A-Za-z]:", given):
            raise self.refuse(
                "file",
                f"“{shorten(given)}” leads out of the folder of the tables. Name a file inside it, without ../ or a drive.",
            )
        return given


def _is(value: Any, what: str) -> bool:
    if what is _LIST:
        return isinstance(value, list) and all(isinstance(item, str) for item in value)
    if what is _WHOLE:
        return isinstance(value, int) and not isinstance(value, bool) and value >= 0
    return isinstance(value, {_TEXT: str, _FLAG: bool, _TABLE: dict}[what])
