"""Rows to drafts of records: every cell checked, every fault listed, all or nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from baulk.errors import InputError, RowFault, TableError, did_you_mean, shorten
from baulk.exchange.cells import CellFault, number_in
from baulk.exchange.completing import Completing
from baulk.exchange.draft import Draft, Drafted
from baulk.exchange.known import KnownNumbers
from baulk.exchange.mapping import Take
from baulk.exchange.measures import Entered, without_words
from baulk.exchange.readers import reader_of, terms_for
from baulk.exchange.repeats import WITHOUT_NUMBER, relates_to_itself, without_repeats
from baulk.exchange.table import Table, lines_named
from baulk.exchange.turning import Turned, plain_take, turned, untaken
from baulk.record import Entity, Need, Quantity, SiteRecord, facts_of, kind_named

__all__ = ["drafts", "drafts_of_pass"]

_ID = re.compile(r"[A-Za-z0-9-]{1,64}", re.ASCII)
_ID_HELD = "A record has this id already. Leave the id blank if this is another record."
_DIGITS = 9
_ONE_SITE = (
    "A site file has one site, and it is there already. Take this row out, or correct the site with it: "
    "baulk amend SITE.gpkg site.csv."
)


def drafts(
    table: Table,
    kind: str,
    record: SiteRecord,
    *,
    new_id: Callable[[], str],
    take: Take | None = None,
    earlier: Sequence[Draft] = (),
    skip_repeats: bool = False,
) -> Drafted:
    """Return the records that a table's rows describe; nothing is written.

    Parameters
    ----------
    table : Table
        The rows.
    kind : str
        Kind of record, a name that `baulk.record.kind_named` knows.
    record : SiteRecord
        What the site holds: its numbers, its own lists of terms, its quantity of lengths.
    new_id : callable
        Gives the id of each new record, in the order of the rows.
    take : Take, optional
        How the columns become ours; without it each header is a field's name or label.
    earlier : sequence of Draft
        Drafts already made in the same take, which references may point to.
    skip_repeats : bool
        Leave out, with a note, what the record holds already, of kinds that no number tells apart; else it is a fault.

    Returns
    -------
    Drafted

    Raises
    ------
    TableError
        A header or a cell breaks a rule; every fault is listed and no row is taken.
    InputError
        The mapping does not fit the table.
    """
    said = kind_named(kind)
    plan = take or plain_take(table, said)
    plan = replace(plan, repeats="skip") if skip_repeats else plan
    for ours in plan.fields:
        if ours not in said.model_fields or ours == "absences":
            raise InputError(f"A {said.TITLE} has no field “{shorten(ours)}”.{did_you_mean(ours, list(said.model_fields))}")
    made = drafts_of_pass(table, plan, record, new_id=new_id, earlier=earlier)
    notes = untaken(table, [plan]) if take else ()
    return Drafted(made.drafts, (*table.notes, *made.notes, *notes), made.completed)


def drafts_of_pass(
    table: Table, take: Take, record: SiteRecord, *, new_id: Callable[[], str], earlier: Sequence[Draft] = ()
) -> Drafted:
    """Return the records of one pass, without notes on the table itself or on columns that the pass leaves; see `drafts`."""
    found = turned(table, take)
    return _Drafting(table, kind_named(take.kind), record, new_id, take, KnownNumbers(record, earlier), found).run()


@dataclass
class _Drafting:
    """The work on one table; `faults`, `left` and `values` fill up as its steps run."""

    table: Table
    kind: type[Entity]
    record: SiteRecord
    new_id: Callable[[], str]
    take: Take
    known: KnownNumbers
    turned: Turned
    faults: list[RowFault] = field(default_factory=list)
    left: dict[int, tuple[str, str]] = field(default_factory=dict)
    unknown_words: dict[str, dict[str, None]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    repeated: list[int] = field(default_factory=list)
    on_record: list[int] = field(default_factory=list)

    def run(self) -> Drafted:
        columns, lines = self.turned.columns, self.turned.lines
        values: list[dict[str, Any]] = [{} for _ in lines]
        entered: dict[int, list[str]] = {}
        self._one_site()
        numbers = self._read("number") if "number" in columns else [None] * len(lines)
        ids = self._ids()
        completing = Completing(self.kind, self.take, self.known, lines)
        state = completing.sort(numbers, self.faults)
        fresh = [at for at in range(len(lines)) if at not in state.of_earlier and at not in state.left]
        if "number" in columns:
            self._fill(values, "number", numbers, entered)
            self.known.add(self.kind.KIND, {number: ids[at] for at in fresh if isinstance(number := numbers[at], str)}, ids)
        for ours in columns:
            if ours not in ("number", "id"):
                self._fill(values, ours, self._read(ours), entered)
        self.left.update(state.left)
        self._required(values, state.of_earlier)
        made = [
            Draft(self.kind.KIND, ids[at], values[at].get("number"), values[at], "; ".join(entered[at]) if at in entered else None,
                  self.table.source, lines[at])
            for at in range(len(lines)) if at not in self.left and values[at]
        ]  # fmt: skip
        of_earlier = {ids[at]: draft for at, draft in state.of_earlier.items()}
        made = completing.once(made, of_earlier, self.repeated, self.faults)
        made = self._not_on_record(made)
        completed = completing.completed([draft for draft in made if draft.id in of_earlier], of_earlier, self.faults)
        self._raise_faults()
        self._say_what_was_left()
        return Drafted(tuple(draft for draft in made if draft.id not in of_earlier), (*self.turned.notes, *self.notes), completed)

    def _one_site(self) -> None:
        if self.kind.KIND == "site":
            held = len(self.record.entities.get("site", ())) + len(self.known.earlier("site"))
            for line in self.turned.lines[max(0, 1 - held) :]:
                self.faults.append(
                    RowFault(
                        line,
                        "",
                        "",
                        _ONE_SITE,
                    )
                )

    @property
    def _may_repeat(self) -> bool:
        """Whether a row under an id on record may be that same record: known once its fields are read."""
        return self.take.repeats == "skip" and self.kind.KIND in WITHOUT_NUMBER

    def _ids(self) -> list[str]:
        """Return each row's id: the one given in the column `id`, else a new one."""
        given = self.turned.columns.get("id")
        if given is None:
            return [self.new_id() for _ in self.turned.lines]
        held = self.record.by_id
        seen: dict[str, int] = {}
        ids: list[str] = []
        for cell, line in zip(given, self.turned.lines, strict=True):
            if not cell:
                ids.append(self.new_id())
                continue
            reason = ""
            if not _ID.fullmatch(cell):
                reason = "An id has at most 64 letters, digits and dashes. Leave it blank for a new one."
            elif (cell in held or cell in self.known.ids(self.kind.KIND)) and not self._may_repeat:
                reason = _ID_HELD
            elif cell in seen:
                reason = f"The same id stands on line {seen[cell]}. Leave one of them blank."
            if reason:
                self.faults.append(RowFault(line, "id", cell, reason))
            seen[cell] = line
            ids.append(cell)
        return ids

    def _read(self, ours: str) -> list[Any]:
        """Return the values of one column; faults are listed, and orphans are left out if the mapping says so."""
        unknown: dict[str, None] = {}
        self.unknown_words[ours] = unknown
        read = reader_of(self.kind, ours, habits=self.take.habits, own=self.record.length_unit, record=self.record,
                         known=self.known, unknown=unknown)  # fmt: skip
        if ours in self.take.depths:
            read = self._depth_reader(ours, read)
        values: list[Any] = []
        for at, cell in enumerate(self.turned.columns[ours]):
            if not cell:
                values.append(None)
                continue
            try:
                values.append(read(cell))
            except CellFault as fault:
                values.append(None)
                if fault.orphan and self.take.orphans == "leave":
                    self.left[at] = (f"{self.turned.headers[ours]} names what is not there", cell)
                else:
                    self.faults.append(RowFault(self.turned.lines[at], self.turned.headers[ours], cell, str(fault)))
        if ours in self.turned.datums:
            self._from_datums(ours, values)
        return values

    def _depth_reader(self, ours: str, read: Callable[[str], Any]) -> Callable[[str], Any]:
        """Return the reader of a depth: the level is the datum less the depth."""
        datum = self.take.depths[ours]
        if isinstance(datum, str):
            return read

        def level(cell: str) -> Any:
            return _below(datum, read(cell), cell)

        return level

    def _from_datums(self, ours: str, values: list[Any]) -> None:
        for at, (cell, value) in enumerate(zip(self.turned.datums[ours], values, strict=True)):
            if value is None:
                continue
            try:
                values[at] = _below(number_in(cell, self.take.habits.decimal), value, self.turned.columns[ours][at])
            except CellFault:
                reason = (
                    "The depth beside it cannot become a level without the level of its datum, a number in the site's own quantity."
                )
                self.faults.append(RowFault(self.turned.lines[at], str(self.take.depths[ours]), cell, reason))

    def _fill(self, values: list[dict[str, Any]], ours: str, found: list[Any], entered: dict[int, list[str]]) -> None:
        measured = facts_of(self.kind, ours).quantity in (Quantity.LENGTH, Quantity.LEVEL, Quantity.SIZE)
        for at, (row, value) in enumerate(zip(values, found, strict=True)):
            if value is None or value == []:
                continue
            row[ours], words = without_words(value) if measured else (value, "")
            if words:
                entered.setdefault(at, []).append(f"{ours}: {words}")

    def _required(self, values: list[dict[str, Any]], of_earlier: dict[int, Draft]) -> None:
        names = [name for name, said in self.kind.model_fields.items() if said.is_required() and name != "id"]
        if self.kind.NUMBERED and facts_of(self.kind, "number").need is Need.MANDATORY and "id" not in self.turned.columns:
            names.append("number")
        faulty = {fault.line for fault in self.faults}
        for at, row in enumerate(values):
            if at in self.left or at in of_earlier or self.turned.lines[at] in faulty:
                continue
            for name in names:
                if name not in row:
                    column = self.turned.headers.get(name, name)
                    self.faults.append(
                        RowFault(self.turned.lines[at], column, "", f"A {self.kind.TITLE} cannot be kept without it.")
                    )

    def _not_on_record(self, made: list[Draft]) -> list[Draft]:
        """Return the drafts without those that the record holds already; a relation of a context to itself is a fault."""
        for draft in made:
            if reason := relates_to_itself(self.kind, draft.values):
                self.faults.append(RowFault(draft.line, self.turned.headers.get("earlier", ""), "", reason))
        kept = without_repeats(
            self.kind,
            made,
            self.known.entities(self.kind.KIND),
            skip=self.take.repeats == "skip",
            lines=self.on_record,
            faults=self.faults,
        )
        if self.take.repeats == "skip":
            self.faults += [RowFault(one.line, "id", one.id, _ID_HELD) for one in kept if one.id in self.record.by_id]
        return kept

    def _raise_faults(self) -> None:
        if self.faults:
            raise TableError(self.table.source, sorted(self.faults, key=lambda fault: fault.line))

    def _say_what_was_left(self) -> None:
        by_reason: dict[str, dict[int, str]] = {}
        for at, (reason, name) in self.left.items():
            by_reason.setdefault(reason, {})[at] = name
        for reason, rows in by_reason.items():
            where = lines_named(self.turned.lines[at] for at in rows)
            names = dict.fromkeys(f"“{shorten(name, 30)}”" for name in rows.values() if name)
            shown = ", ".join(list(names)[:10]) + (f" and {len(names) - 10} more" if len(names) > 10 else "")
            said = f"{reason}: {shown}" if names else reason
            self.notes.append(f"{self.table.source}, {where}: {_rows(len(rows))} left out, as the mapping says ({said}).")
        if self.repeated:
            where = lines_named(self.repeated)
            said = "the same stands there already"
            self.notes.append(f"{self.table.source}, {where}: {_rows(len(self.repeated))} left out, as the mapping says ({said}).")
        if self.on_record:
            where = lines_named(self.on_record)
            self.notes.append(f"{self.table.source}, {where}: {_rows(len(self.on_record))} left out: already on record.")
        for ours, words in self.unknown_words.items():
            if words:
                title = terms_for(self.record, facts_of(self.kind, ours).vocabulary).title
                shown = ", ".join(f"“{shorten(word, 30)}”" for word in list(words)[:10]) + (" and more" if len(words) > 10 else "")
                self.notes.append(f"Kept, though not in the list “{title}”: {shown}.")


def _rows(count: int) -> str:
    return "1 record" if count == 1 else f"{count} records"


def _below(datum: float, depth: Any, cell: str) -> Any:
    if isinstance(depth, dict):
        return depth
    number = depth.value if isinstance(depth, Entered) else depth
    words = depth.words if isinstance(depth, Entered) else cell
    return Entered(round(datum - number, _DIGITS), f"{words} below {datum:g}")
