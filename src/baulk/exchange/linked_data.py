"""Relations and phases as linked data: JSON-LD in the terms of CIDOC CRM 7.1.3 and CRMarchaeo 2.0."""

from __future__ import annotations

from collections.abc import Iterator
from types import MappingProxyType
from typing import Any
from urllib.parse import quote

from baulk.record import ORDERING, SAME, Context, Relation, SiteRecord

__all__ = ["CRM", "CRMARCHAEO", "LINKED_TERMS", "VERSIONS", "give_linked_data"]

CRM = "http://www.cidoc-crm.org/cidoc-crm/"
CRMARCHAEO = "http://www.cidoc-crm.org/extensions/crmarchaeo/"
VERSIONS = MappingProxyType({"CIDOC CRM": "7.1.3", "CRMarchaeo": "2.0"})
"""The versions whose terms are used; terms of other versions differ, so they are pinned."""

_RDF, _RDFS, _DCTERMS = (
    "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "http://www.w3.org/2000/01/rdf-schema#",
    "http://purl.org/dc/terms/",
)

_CLASSES = MappingProxyType(
    {
        "deposit": "crmarchaeo:A2_Stratigraphic_Volume_Unit",
        "fill": "crmarchaeo:A2_Stratigraphic_Volume_Unit",
        "structure": "crmarchaeo:A2_Stratigraphic_Volume_Unit",
        "timber": "crmarchaeo:A2_Stratigraphic_Volume_Unit",
        "cut": "crmarchaeo:A3_Stratigraphic_Interface",
        "surface": "crmarchaeo:A3_Stratigraphic_Interface",
    }
)
"""The class of a kind of context; a disturbance, or one whose kind is blank, is a stratigraphic unit of no nearer class."""

LINKED_TERMS = MappingProxyType(
    {
        "identified by": "crm:P1_is_identified_by",
        "content": "crm:P190_has_symbolic_content",
        "type": "crm:P2_has_type",
        "phase": "crm:P10_falls_within",
        "next phase": "crm:P182_ends_before_or_with_the_start_of",
        "event": "crmarchaeo:AP7_produced",
        "touches": "crmarchaeo:AP11_has_physical_relation_to",
        "type of touching": "crmarchaeo:AP11.1_has_type",
        "event relation": "crmarchaeo:AP13_has_stratigraphic_relation_to",
        "type of event relation": "crmarchaeo:AP13.1_has_type",
        "justified by": "crmarchaeo:AP13.2_justified_by",
        "same time": "crmarchaeo:AP22_is_equal_in_time_to",
        "before": "crmarchaeo:AP28_occurs_before",
    }
)
"""Every property that is written."""

_T = LINKED_TERMS
_TYPED_BY = (_T["type"], _T["type of touching"], _T["type of event relation"])


def give_linked_data(record: SiteRecord, *, base: str = "") -> dict[str, Any]:
    """Return the contexts, relations and phases of a record as a JSON-LD document.

    Parameters
    ----------
    record : SiteRecord
        The record; void contexts and relations are left out, and so is a relation that names one.
    base : str, optional
        The permanent address of the document; without it the ids hold within the document only.

    Returns
    -------
    dict
        ``@context`` and ``@graph``. No place is given, so nothing is kept back.

    Notes
    -----
    A context is a unit (A2, A3 or A8) with its number as an E42 identifier, and the event that formed it (A4 and A5) produced it
    (AP7). A relation seen in the ground joins the units by AP11, and a statement of that carries its type (AP11.1). The events are
    joined by AP13, which links events and not units; a statement of that says by its type (AP13.1) that the first is later, and by
    which statement it is justified (AP13.2), unless it was only inferred. AP28 puts the earlier event before the later one; AP22
    joins the events of contexts that are one. Certainty and where it was seen are types (P2) of the statement. A phase is an E4
    period that the event falls within (P10), and each phase ends before or with the start of the next one given (P182). P120 is not
    part of CIDOC CRM 7.1.3 and is never written.

    References
    ----------
    CIDOC CRM 7.1.3 and CRMarchaeo 2.0 (July 2023): classes and properties as listed there; E4, P1, P10 and P190 from memory.
    """
    nodes: list[dict[str, Any]] = []
    contexts = record.all(Context)
    for context in contexts:
        nodes += _context_nodes(context)
    nodes += _phases(contexts)
    known = {context.id for context in contexts}
    for relation in record.all(Relation):
        if {relation.later, relation.earlier} <= known and relation.later != relation.earlier:
            nodes += _relation_nodes(relation)
    nodes += _types(nodes)
    place = {"@base": base} if base else {}
    return {
        "@context": {
            **place, "crm": CRM, "crmarchaeo": CRMARCHAEO, "rdf": _RDF, "rdfs": _RDFS, "dcterms": _DCTERMS,
            "label": "rdfs:label", "conformsTo": "dcterms:conformsTo",
        },
        "@graph": [
            {"@id": "#document", "label": f"Order of the contexts, site {record.site.code or 'without a code'}",
             "conformsTo": [f"{name} {version}" for name, version in VERSIONS.items()]},
            *nodes,
        ],
    }  # fmt: skip


def _node(kind: str, identity: str) -> dict[str, str]:
    return {"@id": f"#{kind}-{quote(identity, safe='')}"}


def _context_nodes(context: Context) -> Iterator[dict[str, Any]]:
    unit: dict[str, Any] = {
        **_node("unit", context.id),
        "@type": _CLASSES.get(context.kind or "", "crmarchaeo:A8_Stratigraphic_Unit"),
        "label": f"context {context.number or context.id}",
    }
    if context.kind:
        unit[_T["type"]] = _type(context.kind)
    if context.number:
        unit[_T["identified by"]] = _node("number", context.id)
        yield {**_node("number", context.id), "@type": "crm:E42_Identifier", _T["content"]: context.number}
    yield unit
    event: dict[str, Any] = {
        **_node("event", context.id),
        "@type": ["crmarchaeo:A4_Stratigraphic_Genesis", "crmarchaeo:A5_Stratigraphic_Modification"],
        "label": f"forming of context {context.number or context.id}",
        _T["event"]: _node("unit", context.id),
    }
    if context.phase:
        event[_T["phase"]] = _node("phase", str(context.phase))
    yield event


def _phases(contexts: tuple[Context, ...]) -> Iterator[dict[str, Any]]:
    given = sorted({context.phase for context in contexts if context.phase})
    for place, phase in enumerate(given):
        after = {_T["next phase"]: _node("phase", str(given[place + 1]))} if place + 1 < len(given) else {}
        yield {**_node("phase", str(phase)), "@type": "crm:E4_Period", "label": f"phase {phase}", **after}


def _relation_nodes(relation: Relation) -> Iterator[dict[str, Any]]:
    units = _node("unit", relation.later), _node("unit", relation.earlier)
    events = _node("event", relation.later), _node("event", relation.earlier)
    justified: dict[str, Any] = {}
    if relation.where_seen != "inferred" and relation.how != "same as":
        contact = _node("contact", relation.id)
        justified = {_T["justified by"]: contact}
        yield {**units[0], _T["touches"]: units[1]}
        how = {_T["type of touching"]: _type(relation.how)} if relation.how else {}
        yield {**_statement(contact, relation, units, _T["touches"]), **how}
    if relation.how in ORDERING:
        yield {**events[0], _T["event relation"]: events[1]}
        statement = _statement(_node("relation", relation.id), relation, events, _T["event relation"])
        yield {**statement, _T["type of event relation"]: _type("later than"), **justified}
        yield {**events[1], _T["before"]: events[0]}
    elif relation.how in SAME:
        yield {**events[0], _T["same time"]: events[1]}


def _statement(
    identity: dict[str, str], relation: Relation, ends: tuple[dict[str, str], dict[str, str]], term: str
) -> dict[str, Any]:
    """Return a statement about a statement, which carries what the standard writes as a property of a property."""
    said = [_type(word) for word in (relation.where_seen, relation.certainty) if word]
    types = {_T["type"]: said} if said else {}
    return {
        **identity, "@type": "rdf:Statement",
        "rdf:subject": ends[0], "rdf:predicate": {"@id": term}, "rdf:object": ends[1], **types,
    }  # fmt: skip


def _type(word: str) -> dict[str, str]:
    return _node("type", word.replace(" ", "-"))


def _types(nodes: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    named: dict[str, None] = {}
    for node in nodes:
        for term in _TYPED_BY:
            held = node.get(term, ())
            named.update(dict.fromkeys(one["@id"] for one in ([held] if isinstance(held, dict) else held)))
    for identity in named:
        yield {"@id": identity, "@type": "crm:E55_Type", "label": identity.removeprefix("#type-").replace("-", " ")}
