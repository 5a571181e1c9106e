"""What a record is called in a cell, so that it is found again when the cell is taken in."""

from __future__ import annotations

from collections.abc import Callable

from baulk.exchange.known import BY_ID, name_of
from baulk.record import KINDS, SiteRecord

__all__ = ["namer"]


def namer(record: SiteRecord, kind: str) -> Callable[[str], str]:
    """Return the function from the id of a record of that kind to its name; ``id:`` and the id where the name would not lead back.

    Parameters
    ----------
    record : SiteRecord
        The record.
    kind : str
        Name of the kind.
    """
    runs: dict[str, str] = {}
    if kind == "sight":
        to_run = namer(record, "level_run")
        runs = {entity.id: to_run(entity.id) for entity in record.entities.get("level_run", ())}
    names: dict[str, str] = {}
    owner: dict[str, str] = {}
    entities = sorted(record.entities.get(kind, ()), key=lambda found: found.void is None)
    for entity in entities:
        name = name_of(KINDS[kind], entity.__dict__, runs)
        if name is not None and name == name.strip():
            names[entity.id] = name
            owner[name] = entity.id

    def called(identity: str) -> str:
        name = names.get(identity)
        return name if name is not None and owner[name] == identity else f"{BY_ID}{identity}"

    return called
