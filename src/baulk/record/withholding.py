"""What of a record is withheld from whom: the one rule that every drawing, table, report, page and command follows.

Three viewers are told apart. The crew, the default, sees neither a possible burial nor what would give one away; of the contexts
concerned it sees number, kind and relations, since the order hangs on them. The public sees not even these, and no field kept for
the agency. Only who may know of burials sees all. Edges of neighbours that would show a withheld shape are told by geometry, in
`baulk.drawing.withheld`, from the sets given here.

References
----------
What to hide and why: ACHP and National Register guidance on section 304 of the National Historic Preservation Act; staff readings,
grave-like anomalies and words of a relation: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from itertools import chain

from baulk.record.burial import Burial
from baulk.record.context import Context
from baulk.record.entity import Entity, fields_of
from baulk.record.facts import FieldFacts, Sensitivity
from baulk.record.find import Document, Drawing, Find, Photo
from baulk.record.kinds import KINDS
from baulk.record.question import Question, Reading
from baulk.record.relation import Relation
from baulk.record.shape import Level
from baulk.record.site import Sight
from baulk.record.site_record import SiteRecord
from baulk.record.survey import Anomaly

__all__ = [
    "BARE_FIELDS", "REMAINS", "RESTRICTED_NOTICE", "View", "Why", "Withheld", "fields_for", "kinds_for", "reads_as_remains",
    "speaks_of_remains", "view_of", "withheld_contexts", "withheld_finds", "withheld_from",
]  # fmt: skip

RESTRICTED_NOTICE = "Restricted: not for the public"
"""What stands on whatever shows possible burials."""

BARE_FIELDS: Mapping[type[Entity], frozenset[str]] = {
    Context: frozenset({"id", "number", "kind"}),
    Relation: frozenset({"id", "later", "earlier", "how", "where_seen", "certainty", "sheet"}),
    Sight: frozenset({"id", "run", "place", "backsight", "intermediate", "foresight"}),
}
"""All that the crew sees of a withheld context, its relations, and a turning point on it: the order and the run, and no word."""

REMAINS = re.compile(
    r"\b(?:grave(?!l)|burial|human|skelet|coffin|skull|crani|inter(?:red|ment)|inhum|osteolog|bone|remains)\w*", re.IGNORECASE
)
"""Words for human remains or a grave; gravel is none."""

_READ_AS_BURIAL = re.compile(r"\w*(?:grave(?!l)|coffin|burial|inhum|cremat|human)\w*", re.IGNORECASE)
_WORDS = re.compile(r"\w+")
_READ_FIELDS = ("cut_function", "timber_type", "structure_type", "deposit_type")
_POINTERS_ONLY = ("cut_from", "construction_cut")
"""Fields that are left blank, and do not take their record with them, when they lead to a withheld context."""


class View(StrEnum):
    """Who looks."""

    CREW = "crew"
    """The default: burials and what would give one away are left out."""
    RESTRICTED = "restricted"
    """Who may know of burials; what is shown says that it is restricted."""
    PUBLIC = "public"
    """Everyone: no burials, no co-ordinates, no names of people."""


class Why(StrEnum):
    """Why a record is withheld."""

    REMAINS = "possible human remains"
    SENSITIVE = "flagged sensitive"
    LEADS = "belongs to, or would lead to, a withheld record"


_STAY: Mapping[View, tuple[type[Entity], ...]] = {
    View.PUBLIC: (Drawing, Document),
    View.CREW: (Drawing, Document, Relation),
}
"""Kinds that stay though they point to a withheld record; the public sees them without the pointer."""


@dataclass(frozen=True, slots=True)
class Withheld:
    """What of a record one viewer does not see.

    Parameters
    ----------
    why : mapping of str to Why
        The id of each record that is left out altogether, void ones included, with the reason.
    bare : frozenset of str
        Ids of the contexts, with their relations and turning points, of which only `BARE_FIELDS` are seen.
    """

    why: Mapping[str, Why] = field(default_factory=dict)
    bare: frozenset[str] = frozenset()

    def hides(self, identity: str) -> bool:
        """Tell whether the record is left out altogether."""
        return identity in self.why


def view_of(*, restricted: bool = False, public: bool = False) -> View:
    """Return the view that is meant by two switches; the stricter one wins when both are set."""
    return View.PUBLIC if public else View.RESTRICTED if restricted else View.CREW


def kinds_for(view: View) -> dict[str, type[Entity]]:
    """Return the kinds of record that a viewer knows of, by name."""
    return {name: kind for name, kind in KINDS.items() if view is View.RESTRICTED or not kind.RESTRICTED}


@cache
def fields_for(kind: type[Entity], view: View) -> tuple[tuple[str, FieldFacts], ...]:
    """Return the fields of a kind that a viewer may see, `id` first, with their facts."""
    if view is View.RESTRICTED:
        return tuple(fields_of(kind))
    barred = {Sensitivity.RESTRICTED, *({Sensitivity.AGENCY} if view is View.PUBLIC else ())}
    known = kinds_for(view)
    return tuple(
        (name, said)
        for name, said in fields_of(kind)
        if said.sensitivity not in barred and (not said.refers or said.refers in known)
    )


def speaks_of_remains(text: str) -> bool:
    """Tell whether a text has a word for human remains or a grave in it.

    Examples
    --------
    >>> speaks_of_remains("grave fill"), speaks_of_remains("gravel")
    (True, False)
    """
    return REMAINS.search(text) is not None


def withheld_contexts(record: SiteRecord) -> frozenset[str]:
    """Return the ids of the contexts that belong to a possible burial or are read as one, with all that fills them.

    Void burials and void contexts count: that a record was made void does not move what lies in the ground.
    """
    known = record.worked_out.get("withheld contexts")
    if known is None:
        known = record.worked_out["withheld contexts"] = _contexts(record)
    assert isinstance(known, frozenset)
    return known


def _contexts(record: SiteRecord) -> frozenset[str]:
    contexts = record.all(Context, void=True)
    found = set(chain.from_iterable(burial.contexts or () for burial in record.all(Burial, void=True)))
    found |= {context.id for context in contexts if _reads_as_burial(context)}
    fills: dict[str, list[str]] = {}
    for context in contexts:
        if context.fill_of:
            fills.setdefault(context.fill_of, []).append(context.id)
    todo = list(found)
    while todo:
        new = [fill for fill in fills.get(todo.pop(), ()) if fill not in found]
        found.update(new)
        todo += new
    return frozenset(found)


def _reads_as_burial(context: Context) -> bool:
    words = (getattr(context, name) for name in _READ_FIELDS)
    return any(_READ_AS_BURIAL.search(word) for word in words if word)


def withheld_finds(record: SiteRecord) -> frozenset[str]:
    """Return the ids of finds from withheld contexts and of human bone from any, void ones included."""
    contexts = withheld_contexts(record)
    return frozenset(
        find.id for find in record.all(Find, void=True) if find.context in contexts or "human" in (find.material or "").casefold()
    )


def reads_as_remains(words: str) -> bool:
    """Tell whether the name of a reading, or a question, means a burial or human remains; gravel is none.

    Examples
    --------
    >>> reads_as_remains("Possible grave"), reads_as_remains("Gravel spread")
    (True, False)
    """
    return _READ_AS_BURIAL.search(words) is not None


def _questions(record: SiteRecord) -> Iterator[str]:
    """Yield the ids of the questions of which one reading, void or not, is for human remains, or whose own words ask after them."""
    for reading in record.all(Reading, void=True):
        if reading.remains or reads_as_remains(reading.name or ""):
            yield reading.question
    for question in record.all(Question, void=True):
        if reads_as_remains(f"{question.asks or ''} {question.conclusion or ''} {question.pattern or ''}"):
            yield question.id


def withheld_from(record: SiteRecord, view: View = View.CREW) -> Withheld:
    """Return what of a record a viewer does not see.

    Parameters
    ----------
    record : SiteRecord
        The whole record.
    view : View
        Who looks.

    Notes
    -----
    Left out are the restricted kinds; photos marked sensitive; finds of human bone; anomalies read as grave-like; questions that
    weigh a reading for remains, whatever it weighs; what points to one of these or to a withheld context, by any reference and on
    from there; and the intermediate staff readings of a withheld level, or whose words speak of remains or name a withheld context
    (a run closes without them; a turning point stays). Sheets of the drawing register and documents stay. For the crew, withheld
    contexts, their relations and turning points stay bare; of turning points, for the public too.
    """
    if view is View.RESTRICTED:
        return Withheld()
    key = f"withheld from {view}"
    known = record.worked_out.get(key)
    if known is None:
        known = record.worked_out[key] = _withheld(record, view)
    assert isinstance(known, Withheld)
    return known


def _withheld(record: SiteRecord, view: View) -> Withheld:
    why: dict[str, Why] = {}
    for kind, entities in record.entities.items():
        if KINDS[kind].RESTRICTED:
            why.update(dict.fromkeys((entity.id for entity in entities), Why.REMAINS))
    why |= {photo.id: Why.SENSITIVE for photo in record.all(Photo, void=True) if photo.sensitive}
    found = (one.id for one in record.all(Anomaly, void=True) if speaks_of_remains(one.reading or ""))
    why |= dict.fromkeys(found, Why.REMAINS)
    why |= dict.fromkeys(_questions(record), Why.REMAINS)
    contexts = withheld_contexts(record)
    on_record = [identity for identity in contexts if record.get(Context, identity)]
    left_out = [*(on_record if view is View.PUBLIC else ()), *withheld_finds(record)]
    why |= dict.fromkeys(left_out, Why.REMAINS)
    _follow(record, view, why, contexts)
    turning = _add_readings(record, why, contexts)
    if view is View.PUBLIC:
        return Withheld(why, frozenset(turning))
    relations = (one.id for one in record.all(Relation, void=True) if one.later in contexts or one.earlier in contexts)
    return Withheld(why, frozenset([*on_record, *relations, *turning]))


def _follow(record: SiteRecord, view: View, why: dict[str, Why], contexts: frozenset[str]) -> None:
    """Add every record that points to a withheld one, until nothing more is reached."""
    reached = {*why, *contexts}
    before = -1
    while before != len(why):
        before = len(why)
        for kind, entities in record.entities.items():
            for name in _pointing_fields(KINDS[kind], view):
                new = [entity.id for entity in entities if _leads_to(entity.__dict__[name], reached) and entity.id not in why]
                why.update(dict.fromkeys(new, Why.LEADS))
                reached.update(new)


@cache
def _pointing_fields(kind: type[Entity], view: View) -> tuple[str, ...]:
    if issubclass(kind, _STAY[view]) or (kind is Context and view is View.CREW):
        return ()
    return tuple(name for name, said in fields_of(kind) if (said.refers or name == "records") and name not in _POINTERS_ONLY)


def _leads_to(held: str | tuple[str, ...] | None, reached: Collection[str]) -> bool:
    if held.__class__ is str:  # most by far
        return held in reached
    return bool(held) and not isinstance(held, str) and any(each in reached for each in held or ())


def _add_readings(record: SiteRecord, why: dict[str, Why], contexts: frozenset[str]) -> list[str]:
    """Add the intermediate staff readings on what is withheld, and return the ids of the turning points on it."""
    levelled = {level.sight for level in record.all(Level, void=True) if level.id in why}
    numbers = {str(context.number) for identity in contexts if (context := record.get(Context, identity)) and context.number}
    long_numbers = {number for number in numbers if len(number) > 2}
    turning = []
    for sight in record.all(Sight, void=True):
        words = sight.point or ""
        if sight.id in levelled or speaks_of_remains(words) or not long_numbers.isdisjoint(_WORDS.findall(words)):
            if sight.backsight is None and sight.foresight is None:
                why.setdefault(sight.id, Why.LEADS)
            else:
                turning.append(sight.id)
    return turning
