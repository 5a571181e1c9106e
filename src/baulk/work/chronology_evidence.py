"""What of a record is put into its chronology: finds, what is absent among them, documents, radiocarbon, tree rings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from baulk.dating.evidence import CarbonDate, CarbonLimit, Documented, Evidence, FindMade, NoneLater
from baulk.dating.intrusion import Disturbance
from baulk.dating.radiocarbon_age import read_age
from baulk.dating.types import TypeTable
from baulk.errors import InputError
from baulk.record import Context, DatingResult, Document, Find, SiteRecord
from baulk.work.chronology_settings import Counting
from baulk.work.date_evidence import find_name, years_of_making
from baulk.work.dating_results import felling_of, result_name

__all__ = ["Gathered", "disturbance_of", "gathered_from"]

_DOUBT = {"firm": 0.0, "probable": 0.1, "doubtful": 0.35, None: 0.05}
"""Chance that a document speaks of something else, by how surely it speaks of its contexts: house settings, no source."""
_GRADES = {
    "none seen": Disturbance.NONE,
    "slight": Disturbance.SLIGHT,
    "moderate": Disturbance.MODERATE,
    "heavy": Disturbance.HEAVY,
}
_BY_RELIABILITY = {"good": Disturbance.NONE, "fair": Disturbance.SLIGHT, "poor": Disturbance.MODERATE}


_Of = tuple[Evidence, tuple[str, ...]]
"""A piece of evidence, and the ids of the records that it is of."""


@dataclass(frozen=True, slots=True)
class Gathered:
    """What was gathered from a record.

    Parameters
    ----------
    evidence : tuple of Evidence
        By event.
    records : tuple of tuple of str
        Ids of the finds, document or result that each piece of evidence is of.
    left_out : tuple of str
        What could bear on a date and was not used, with the reason.
    """

    evidence: tuple[Evidence, ...]
    records: tuple[tuple[str, ...], ...]
    left_out: tuple[str, ...]


def gathered_from(record: SiteRecord, events: Mapping[str, int], types: TypeTable, counting: Counting) -> Gathered:
    """Return the evidence that a record holds.

    Parameters
    ----------
    record : SiteRecord
        As the viewer may have it.
    events : mapping of context id to int
        The event of each context; contexts that are left out are not in it.
    types : TypeTable
        Stands in where a find has a type but no years of its own.
    counting : Counting
        How finds are counted.

    Notes
    -----
    A bag is one piece of evidence, however many sherds it holds: they may have come in together. Pipe stems and window glass are
    aids and no evidence here, since their formulas say nothing of how sure they are.
    """
    left: list[str] = []
    found: list[_Of] = [
        *_finds(record, events, types), *_absences(record, events, types, counting), *_documents(record, events),
    ]  # fmt: skip
    for result in record.all(DatingResult):
        if result.context is not None and result.context in events:
            found += [(one, (result.id,)) for one in _result(result, events[result.context], counting, left)]
    return Gathered(tuple(one for one, _ in found), tuple(records for _, records in found), tuple(left))


def disturbance_of(context: Context, find: Find | None = None) -> Disturbance:
    """Return how far a context, or the place where a find lay, was disturbed, as recorded.

    Notes
    -----
    *How far disturbed* counts when it is filled in; else contamination that was seen is slight, and reliability says the rest;
    where nothing is recorded it counts as slight, not as none. A find at a change of layer counts one grade higher.
    """
    grade = _GRADES.get(context.disturbed or "")
    if grade is None:
        seen = context.contamination is not None and context.contamination != "none seen"
        told = _BY_RELIABILITY.get(context.reliability or "", Disturbance.SLIGHT)
        grade = max(told, Disturbance.SLIGHT) if seen else told
    if find is not None and find.at_change:
        grade = Disturbance(min(grade + 1, Disturbance.HEAVY))
    return grade


def _finds(record: SiteRecord, events: Mapping[str, int], types: TypeTable) -> Iterator[_Of]:
    for find in record.all(Find):
        begin, end = years_of_making(find, types)
        context = record.get(Context, find.context or "")
        if begin is not None and context is not None and context.id in events:
            yield FindMade(events[context.id], find_name(find), begin, end, disturbance_of(context, find)), (find.id,)


def _absences(record: SiteRecord, events: Mapping[str, int], types: TypeTable, counting: Counting) -> Iterator[_Of]:
    """Yield for each deposit with dated sherds that a common later type is not among them.

    Of the types that are common on the site and came in after the latest sherd's type did, the one that came in first counts.
    """
    dated = [
        (find, begin) for find in record.all(Find)
        if find.material == "ceramic" and find.type and find.count and (begin := years_of_making(find, types)[0]) is not None
    ]  # fmt: skip
    pieces: Counter[str] = Counter()
    began: dict[str, int] = {}
    for find, begin in dated:
        pieces[find.type or ""] += find.count or 0
        began[find.type or ""] = min(begin, began.get(find.type or "", begin))
    common = sorted((began[name], name) for name, count in pieces.items() if count >= counting.common)
    held: dict[int, list[tuple[Find, int]]] = {}
    for find, begin in dated:
        if find.context is not None and find.context in events:
            held.setdefault(events[find.context], []).append((find, begin))
    for event, found in sorted(held.items()):
        latest = max(begin for _, begin in found)
        missing = next(((year, name) for year, name in common if year > latest), None)
        if missing is not None:
            finds = [find for find, _ in found]
            yield _none_later(event, finds, missing, counting), tuple(find.id for find in finds)


def _none_later(event: int, finds: Sequence[Find], missing: tuple[int, str], counting: Counting) -> NoneLater:
    sherds = sum(find.count or 0 for find in finds)
    year, name = missing
    words = "1 sherd is not" if sherds == 1 else f"none of {sherds} sherds is"
    before = year - 1 if year != 1 else -1
    return NoneLater(event, f"{words} {name}, made from {year}", sherds, before, counting.recognised)


def _documents(record: SiteRecord, events: Mapping[str, int]) -> Iterator[_Of]:
    for document in record.all(Document):
        begin = document.begin if document.not_there_yet else None
        end = document.end if document.there_by_then else None
        name = f"document {document.number or document.id[-6:]}, {document.title or 'without a title'}"
        for context in document.contexts or ():
            if context in events and (begin is not None or end is not None):
                yield Documented(events[context], name, begin, end, _DOUBT.get(document.certainty, 0.05)), (document.id,)


def _result(result: DatingResult, event: int, counting: Counting, left: list[str]) -> Iterator[Evidence]:
    """Yield the evidence of one result; what cannot be used goes to `left`."""
    name = result_name(result)
    if result.method == "radiocarbon":
        yield from _carbon(result, name, event, counting, left)
    elif result.method == "tree rings":
        try:
            aid = felling_of(result)
        except InputError as error:
            left.append(f"{name}: {error}")
            return
        if aid.begin is not None:
            yield FindMade(event, name, int(aid.begin), None if aid.end is None else int(aid.end))
    else:
        left.append(f"{name}: an aid, and no evidence here, since its formula says nothing of how sure it is")


def _carbon(result: DatingResult, name: str, event: int, counting: Counting, left: list[str]) -> Iterator[Evidence]:
    if result.age is not None and result.error:
        lag = None if result.own_age == "young" else counting.old_wood
        yield CarbonDate(event, name, result.age, result.error, lag)
        return
    try:
        limit = read_age(result.age_limit or "")
    except InputError as error:
        left.append(f"{name}: {error}")
        return
    if limit.younger_than is not None:
        yield CarbonLimit(event, name, limit.younger_than)
    else:
        left.append(f"{name}: {limit.words}")
