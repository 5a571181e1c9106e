"""A whole mapping file run over its tables, pass by pass, all or nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from baulk.errors import FileError, InputError, shorten
from baulk.exchange.draft import Draft, Drafted
from baulk.exchange.drafts import drafts_of_pass
from baulk.exchange.mapping import Take
from baulk.exchange.table import Table, read_table
from baulk.exchange.turning import untaken
from baulk.record import SiteRecord

__all__ = ["take_in"]


def take_in(place: Path, takes: Sequence[Take], record: SiteRecord, *, new_id: Callable[[], str]) -> Drafted:
    """Return the records that the passes of a mapping make of one or more tables.

    Parameters
    ----------
    place : Path
        The folder of the tables, or the one table that every pass reads.
    takes : sequence of Take
        The passes, in order; a later one may point to the records of an earlier.
    record : SiteRecord
        What the site holds.
    new_id : callable
        Gives the id of each new record.

    Returns
    -------
    Drafted
        New records in the order of the passes; `completed` is empty, since what a pass adds to earlier drafts is in them already.

    Raises
    ------
    FileError, TableError
        As for `read_table` and `drafts`; nothing is taken.
    InputError
        The mapping does not fit the tables, or names a file in another place than the folder.
    """
    files = sorted({take.file for take in takes if take.file})
    if len(files) > 1 and not place.is_dir():
        named = ", ".join(shorten(file, 40) for file in files)
        raise InputError(f"The mapping reads several files ({named}), and one is handed in. Give the folder that holds them.")
    tables: dict[tuple[Path, str, str, str, int], Table] = {}
    over: dict[tuple[Path, str, str, str, int], list[Take]] = {}
    made: dict[str, Draft] = {}
    notes: list[str] = []
    for take in takes:
        key = (_file(place, take), take.sheet, take.encoding, take.separator, take.header_line)
        if key not in tables:
            tables[key] = read_table(
                key[0], sheet=take.sheet, encoding=take.encoding, separator=take.separator, header_line=take.header_line
            )
            notes += [f"{tables[key].source}: {note}" for note in tables[key].notes]
        over.setdefault(key, []).append(take)
        found = drafts_of_pass(tables[key], take, record, new_id=new_id, earlier=list(made.values()))
        made.update((draft.id, draft) for draft in (*found.completed, *found.drafts))
        notes += found.notes
    if tables and not any(table.rows for table in tables.values()):
        named = ", ".join(shorten(table.source, 40) for table in tables.values())
        raise FileError(f"{named}: no rows stand below the headers, so there is nothing to take. See that the right file is named.")
    for key, table in tables.items():
        notes += [f"{table.source}: {note}" for note in untaken(table, over[key])]
    return Drafted(tuple(made.values()), tuple(dict.fromkeys(notes)))


def _file(place: Path, take: Take) -> Path:
    if not place.is_dir():
        return place
    if not take.file:
        raise InputError(
            f'{shorten(place.name, 80)} is a folder, and a pass for {take.kind} names no file in it. Say file = "….csv".'
        )
    found = (place / take.file).resolve()
    if not found.is_relative_to(place.resolve()):
        raise InputError(f"The mapping names the file “{shorten(take.file)}”, which lies outside the folder of the tables.")
    return found
