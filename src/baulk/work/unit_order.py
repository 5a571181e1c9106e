"""The contexts of one unit, latest first, without putting the whole site in order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from baulk.record import Contact, Context, Relation, SiteRecord
from baulk.work.order import site_order

__all__ = ["latest_first_among"]


def latest_first_among(record: SiteRecord, contexts: Iterable[str]) -> tuple[str, ...]:
    """Return some contexts in the order that the whole site gives them, none before one that is later.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    contexts : iterable of str
        Ids of the contexts wanted; void and unknown ones are left out.

    Notes
    -----
    How far a context lies from the top hangs on nothing but what relations, step by step, tie it to. So it is enough to put in
    order what hangs together with the contexts that are wanted, and the answer is the same as that of the whole site.
    """
    wanted = frozenset(contexts)
    tied = _tied_to(record, wanted)
    held = [entity for each in tied if (entity := record.get(Context, each)) is not None]
    relations = {one.id: one for each in tied for one in _relations_of(record, each)}
    contacts = {one.id: one for each in tied for side in ("later", "earlier") for one in record.pointing_at(Contact, side, each)}
    part = SiteRecord.of((*held, *relations.values(), *contacts.values()))
    return tuple(each for each in site_order(part).latest_first if each in wanted)


def _tied_to(record: SiteRecord, contexts: frozenset[str]) -> set[str]:
    found = set(contexts)
    todo = list(contexts)
    while todo:
        for relation in _relations_of(record, todo.pop()):
            for each in (relation.later, relation.earlier):
                if each not in found:
                    found.add(each)
                    todo.append(each)
    return found


def _relations_of(record: SiteRecord, context: str) -> Iterator[Relation]:
    for side in ("later", "earlier"):
        yield from record.pointing_at(Relation, side, context)
