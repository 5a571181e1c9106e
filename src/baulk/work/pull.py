"""Give a device what was touched since it last asked: each record with the writes that stand in its fields, as its crew sees it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from baulk.errors import InputError
from baulk.record import BARE_FIELDS, WITHHELD_WORD, Change, Entity, SiteRecord, View, Write, fields_for, fields_of, withheld_from
from baulk.record.fold import standing_writes
from baulk.store import Histories
from baulk.work.scope import Scope, all_in_scope, open_units

__all__ = ["PAGE", "Asked", "HeldRecord", "Pulled", "pull", "wanted_by"]

PAGE = 1000
"""Most records of one answer: a house setting, some 2 MB of JSON."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a device asks for.

    Parameters
    ----------
    after : int
        The revision it stands at; 0 for everything.
    units : tuple of str
        Ids of the units it works on; the open ones when empty.
    page : str
        What the answer before gave as `Pulled.next`; empty for the first.
    view : View
        Who looks.
    device : str
        Its name: what it wrote itself and may no more see it has to drop.
    """

    after: int = 0
    units: tuple[str, ...] = ()
    page: str = ""
    view: View = View.CREW
    device: str = ""


@dataclass(frozen=True, slots=True)
class HeldRecord:
    """One record with what stands in its fields; `gone` when the device must drop it, and then it has no fields.

    `withheld` when only number, kind and place in the order are given: a person who works there has to be told why a sheet is shut.
    """

    id: str
    kind: str
    fields: dict[str, tuple[Write, ...]] = field(default_factory=dict)
    replaced: dict[str, tuple[str, ...]] = field(default_factory=dict)
    gone: bool = False
    withheld: bool = False


@dataclass(frozen=True, slots=True)
class Pulled:
    """An answer: the revision that the device stands at once it has all pages, records in order of id, and the next page."""

    revision: int
    records: tuple[HeldRecord, ...]
    next: str | None


def pull(
    store: Histories, whole: SiteRecord, shown: SiteRecord, hidden: Collection[str], wanted: Sequence[str], gone: Collection[str],
    asked: Asked,
) -> Pulled:  # fmt: skip
    """Return one page of what a device asked for.

    Parameters
    ----------
    store : Histories
        Where the changes are.
    whole, shown : SiteRecord
        The record at one revision, and as the viewer may have it.
    hidden : collection of str
        Ids of all records that the viewer does not see.
    wanted : sequence of str
        Ids of the records to tell of, sorted; see `wanted_by`.
    gone : collection of str
        Those of them that the viewer could see and can no more.
    asked : Asked
        What the device asked for.

    Raises
    ------
    InputError
        When the page is none that was given out.
    """
    revision, last = _page_of(asked.page, whole.revision)
    start = bisect_right(wanted, last)
    page = wanted[start : start + PAGE]
    seen = _Seen(whole, hidden, asked.view)
    histories = store.histories((each for each in page if each not in gone), until=whole.revision)
    records = tuple(
        HeldRecord(each, whole.by_id[each].KIND if each in whole.by_id else "", gone=True)
        if each in gone
        else seen.held(shown.by_id[each], histories.get(each, ()))
        for each in page
    )
    return Pulled(revision, records, f"{revision}.{page[-1]}" if start + PAGE < len(wanted) else None)


def wanted_by(
    whole: SiteRecord, shown: SiteRecord, touched: Collection[str] | None, gone: Collection[str], units: Collection[str]
) -> list[str]:
    """Return the ids of the records to tell a device of, sorted.

    Parameters
    ----------
    whole, shown : SiteRecord
        The record at one revision, and as the viewer may have it.
    touched : collection of str or None
        Ids of the records that changed since the device asked; None when it asks for all.
    gone : collection of str
        Ids of records that the viewer could see and can no more.
    units : collection of str
        Ids of the units it works on; the open ones when empty.
    """
    units = units or open_units(whole)
    if touched is None:
        found: Iterable[str] = (each for each in all_in_scope(whole, units) if each in shown.by_id)
    else:
        scope = Scope(whole, units)
        found = (each for each in touched if each in shown.by_id and whole.by_id[each] in scope)
    return sorted({*found, *gone})


def _page_of(page: str, revision: int) -> tuple[int, str]:
    """Return the revision at which the first page was given, and the last id that was sent."""
    if not page:
        return revision, ""
    first, point, last = page.partition(".")
    if not (point and last and first.isascii() and first.isdecimal() and len(first) < 16 and int(first) <= revision):
        raise InputError("The page asked for is none that this site gave out. Start again from the first page.")
    return int(first), last


class _Seen:
    """Makes records as one viewer may have them."""

    def __init__(self, whole: SiteRecord, hidden: Collection[str], view: View) -> None:
        self._view, self._hidden, self._bare = view, hidden, withheld_from(whole, view).bare

    def held(self, entity: Entity, history: Iterable[Change]) -> HeldRecord:
        """Return a record with what stands in those of its fields that the viewer sees."""
        kind = type(entity)
        bare = entity.id in self._bare
        known = BARE_FIELDS[kind] | {"void"} if bare else {name for name, _ in fields_for(kind, self._view)}
        leads = {name for name, said in fields_of(kind) if said.refers or name == "records"}
        standing = standing_writes(change for change in history if change.kind == entity.KIND)
        fields, replaced = {}, {}
        for name, stands in standing.items():
            if name in known and name != "id":
                fields[name] = tuple(self._write(write, bare=bare, field=name, leads=name in leads) for write in stands.heads)
                replaced[name] = stands.replaced
        return HeldRecord(entity.id, entity.KIND, fields, replaced, withheld=bare)

    def _write(self, write: Write, *, bare: bool, field: str, leads: bool) -> Write:
        value = write.value
        if bare and field == "void" and value is not None:
            value = WITHHELD_WORD
        elif leads and value and self._hidden:
            value = self._pruned(value)
        return write if value is write.value else Write(write.change, write.time, write.device, write.person, value)

    def _pruned(self, value: Any) -> Any:
        if isinstance(value, list):
            kept = [each for each in value if not (isinstance(each, str) and each in self._hidden)]
            return value if len(kept) == len(value) else kept
        return None if isinstance(value, str) and value in self._hidden else value
