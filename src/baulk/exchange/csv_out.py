"""Records to CSV: one kind a file, one header a field; what is given can be taken in again as it was."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from baulk.errors import FieldError
from baulk.exchange.withheld import fields_given, given_from
from baulk.exchange.writers import writer_of
from baulk.record import KINDS, SiteRecord, fields_of, kind_named, terms_of

__all__ = ["give_csv", "give_dictionary"]


def give_csv(record: SiteRecord, kind: str, *, restricted: bool = False, public: bool = False, used_only: bool = False) -> str:
    """Return every record of a kind as CSV (RFC 4180, lines end in CR LF), void ones included.

    Parameters
    ----------
    record : SiteRecord
        The record.
    kind : str
        Kind of record.
    restricted : bool
        True to give burials and what would give the place of one away; see `baulk.record.withholding`.
    public : bool
        True for a public version, without the fields kept for agencies.
    used_only : bool
        True to leave out columns that no record fills.

    Returns
    -------
    str
        Without a byte-order mark; write it in UTF-8.

    Raises
    ------
    UnknownRecord
        There is no such kind.
    FieldError
        A text holds a NUL, which no text file can hold.
    """
    said = kind_named(kind)
    given = given_from(record, restricted=restricted, public=public)
    entities = given.entities.get(said.KIND, ())
    names = fields_given(said, restricted=restricted, public=public)
    columns = []
    for name in names:
        write = writer_of(given, said, name)
        cells = [write(entity) for entity in entities]
        for entity, cell in zip(entities, cells, strict=True):
            if "\0" in cell:
                number = str(getattr(entity, "number", None) or "")
                rule = "It holds a NUL, which no text file can hold."
                raise FieldError(said.TITLE, name, cell, rule, number=number, next_step="Mend the field and give it again.")
        columns.append(cells)
    if used_only:
        kept = [at for at, cells in enumerate(columns) if at == 0 or any(cells)]
        names, columns = tuple(names[at] for at in kept), [columns[at] for at in kept]
    return _csv([names, *zip(*columns, strict=True)])


def give_dictionary(kinds: Iterable[str] = tuple(KINDS)) -> str:
    """Return the data dictionary as CSV: one row for each field of each kind.

    Parameters
    ----------
    kinds : iterable of str
        The kinds described; all when left out.
    """
    rows: list[Sequence[str]] = [
        ("kind", "field", "label", "what belongs in it", "need", "holds", "list of terms", "closed list", "terms", "points to",
         "applies to", "who may see it", "source")
    ]  # fmt: skip
    for given in kinds:
        kind = kind_named(given)
        for name, said in fields_of(kind):
            if name == "absences":
                continue
            terms = terms_of(said.vocabulary) if said.vocabulary else None
            words = "; ".join(terms.terms) if terms else ""
            closed = ("yes" if terms.closed else "no") if terms else ""
            facts = (name, said.label, said.help, said.need.value, said.quantity.value, said.vocabulary)
            tail = (said.refers, "; ".join(said.applies), said.sensitivity.value, said.source)
            rows.append((kind.KIND, *facts, closed, words, *tail))
    return _csv(rows)


def _csv(rows: Iterable[Sequence[str]]) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows(rows)
    return text.getvalue()
