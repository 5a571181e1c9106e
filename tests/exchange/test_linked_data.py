"""Relations and phases as linked data: which statements are made, and in whose terms."""

from __future__ import annotations

import json

import pytest
from rdflib import RDF, RDFS, Graph, Literal, Namespace, URIRef

from baulk.exchange import give_linked_data
from baulk.record import Context, Relation, SiteRecord

CRM = Namespace("http://www.cidoc-crm.org/cidoc-crm/")
ARC = Namespace("http://www.cidoc-crm.org/extensions/crmarchaeo/")
BASE = "https://example.org/order"

# rdflib 7.6 reads JSON-LD through a class of its own that it calls deprecated; a release that does not lifts this
pytestmark = pytest.mark.filterwarnings("ignore:ConjunctiveGraph is deprecated:DeprecationWarning")

IN_THE_STANDARDS = {
    # CIDOC CRM 7.1.3, read in ecrm_240920.owl of the repository erlangen-crm/ecrm
    "E42", "E55", "P2", "P182",
    # CIDOC CRM 7.1.3, from memory
    "E4", "P1", "P10", "P190",
    # CRMarchaeo 2.0 (July 2023), class and property list of cidoc-crm.org/extensions/crmarchaeo, read
    "A2", "A3", "A4", "A5", "A8", "AP7", "AP11", "AP11.1", "AP13", "AP13.1", "AP13.2", "AP22", "AP28",
}  # fmt: skip

DOMAINS_AND_RANGES = {
    # CRMarchaeo 2.0, domains and ranges as read; A2 and A3 are kinds of A8, A4 and A5 are events
    ARC.AP7_produced: ({"A4"}, {"A8", "A2", "A3"}),
    ARC.AP11_has_physical_relation_to: ({"A8", "A2", "A3"}, {"A8", "A2", "A3"}),
    ARC.AP13_has_stratigraphic_relation_to: ({"A5"}, {"A5"}),
    ARC.AP22_is_equal_in_time_to: ({"A5"}, {"A5"}),
    ARC.AP28_occurs_before: ({"A5"}, {"A5"}),
    CRM.P10_falls_within: ({"A5"}, {"E4"}),
    CRM.P182_ends_before_or_with_the_start_of: ({"E4"}, {"E4"}),
    CRM.P1_is_identified_by: ({"A8", "A2", "A3"}, {"E42"}),
}


def record(*relations: Relation) -> SiteRecord:
    """Return four contexts of three kinds in two phases, and relations."""
    return SiteRecord.of(
        [
            Context(id="a", number="1", kind="fill", phase=3),
            Context(id="b", number="2", kind="cut", phase=3),
            Context(id="c", number="3", kind="deposit", phase=1),
            Context(id="d/4", number="4"),
            Context(id="v", number="9", void="never there"),
            *relations,
        ]
    )


RELATIONS = (
    Relation(id="r1", later="a", earlier="b", how="fills", where_seen="wall", certainty="firm"),
    Relation(id="r2", later="b", earlier="c", how="cuts"),
    Relation(id="r3", later="c", earlier="d/4", how="same as"),
    Relation(id="r4", later="a", earlier="v"),
    Relation(id="r5", later="a", earlier="d/4", where_seen="inferred"),
)


def graph(*relations: Relation) -> Graph:
    """Return the statements of a record, read by a general library."""
    return Graph().parse(data=json.dumps(give_linked_data(record(*relations), base=BASE)), format="json-ld")


def node(name: str) -> URIRef:
    """Return one node of the document."""
    return URIRef(f"{BASE}#{name}")


def code(term: URIRef) -> str:
    """Return the number of a term, as AP11 of AP11_has_physical_relation_to."""
    return term.rsplit("/", 1)[-1].split("_")[0]


def terms_outside(found: Graph) -> set[str]:
    """Return the terms of both standards that are used and stand on no list."""
    terms = set(found.predicates()) | set(found.objects(None, RDF.type)) | set(found.objects(None, RDF.predicate))
    return {str(term) for term in terms if str(term).startswith((CRM, ARC)) and code(term) not in IN_THE_STANDARDS}


def misfits(found: Graph) -> list[tuple[str, str, str]]:
    """Return the statements whose ends are not of the classes that the property asks for."""
    wrong = []
    for term, (domain, range_) in DOMAINS_AND_RANGES.items():
        for one, other in found.subject_objects(term):
            first, second = ({code(kind) for kind in found.objects(end, RDF.type)} for end in (one, other))
            if not first & domain or not second & range_:
                wrong.append((str(one), code(term), str(other)))
    return wrong


def test_only_terms_of_the_pinned_versions_are_used() -> None:
    """Every class and property stands on the list, and the document says which versions these are."""
    found = graph(*RELATIONS)
    assert terms_outside(found) == set()
    conforms = found.objects(node("document"), URIRef("http://purl.org/dc/terms/conformsTo"))
    assert {str(one) for one in conforms} == {"CIDOC CRM 7.1.3", "CRMarchaeo 2.0"}


def test_a_term_that_the_standard_does_not_have_would_be_caught() -> None:
    """The control: P120 is not in CIDOC CRM 7.1.3, and never written."""
    found = graph(*RELATIONS)
    assert not any("P120" in str(term) for term in found.predicates())
    found.add((node("event-c"), CRM.P120_occurs_before, node("event-b")))
    assert terms_outside(found) == {str(CRM.P120_occurs_before)}


def test_the_ends_of_every_statement_are_of_the_right_class() -> None:
    """AP13 and AP28 join events, AP11 joins units."""
    assert misfits(graph(*RELATIONS)) == []


@pytest.mark.parametrize(
    "wrong",
    [
        (node("unit-a"), ARC.AP13_has_stratigraphic_relation_to, node("unit-b")),
        (node("event-a"), ARC.AP11_has_physical_relation_to, node("event-b")),
    ],
    ids=["AP13 between units", "AP11 between events"],
)
def test_a_statement_between_the_wrong_things_would_be_caught(wrong) -> None:
    """The control: the likeliest mistakes with AP13 and AP11 are seen."""
    found = graph(*RELATIONS)
    found.add(wrong)
    assert misfits(found) == [(str(wrong[0]), code(wrong[1]), str(wrong[2]))]


def test_a_relation_seen_joins_units_and_events_and_says_its_type() -> None:
    """Fill over cut: the units touch, the filling is later than the cutting, and one justifies the other."""
    found = graph(*RELATIONS)
    assert (node("unit-a"), ARC.AP11_has_physical_relation_to, node("unit-b")) in found
    assert (node("event-a"), ARC.AP13_has_stratigraphic_relation_to, node("event-b")) in found
    assert (node("event-b"), ARC.AP28_occurs_before, node("event-a")) in found
    assert (node("event-a"), ARC.AP28_occurs_before, node("event-b")) not in found
    contact, relation = node("contact-r1"), node("relation-r1")
    assert (contact, ARC["AP11.1_has_type"], node("type-fills")) in found
    assert (contact, RDF.predicate, ARC.AP11_has_physical_relation_to) in found
    assert (contact, RDF.subject, node("unit-a")) in found
    assert (relation, ARC["AP13.1_has_type"], node("type-later-than")) in found
    assert (relation, ARC["AP13.2_justified_by"], contact) in found
    assert {str(found.value(one, RDFS.label)) for one in found.objects(relation, CRM.P2_has_type)} == {"wall", "firm"}


def test_what_was_only_inferred_is_no_contact() -> None:
    """An inferred relation orders the events, and no physical relation is claimed or appealed to."""
    found = graph(*RELATIONS)
    earlier = node("event-d%2F4")
    assert (earlier, ARC.AP28_occurs_before, node("event-a")) in found
    assert (node("unit-a"), ARC.AP11_has_physical_relation_to, node("unit-d%2F4")) not in found
    assert found.value(node("relation-r5"), ARC["AP13.2_justified_by"]) is None


def test_contexts_that_are_one_are_equal_in_time_and_void_ones_are_left_out() -> None:
    """“Same as” claims no contact; nothing is said of a void context or of a relation to it."""
    found = graph(*RELATIONS)
    assert (node("event-c"), ARC.AP22_is_equal_in_time_to, node("event-d%2F4")) in found
    assert (node("unit-c"), ARC.AP11_has_physical_relation_to, None) not in found
    assert (node("unit-v"), None, None) not in found
    assert (None, None, node("unit-v")) not in found
    assert (node("relation-r4"), None, None) not in found


def test_contexts_have_their_class_and_number() -> None:
    """A fill is a volume, a cut an interface, one of no known kind a unit; each number is an E42 identifier."""
    found = graph()
    kinds = {name: code(found.value(node(f"unit-{name}"), RDF.type)) for name in ("a", "b", "d%2F4")}
    assert kinds == {"a": "A2", "b": "A3", "d%2F4": "A8"}
    number = found.value(node("unit-a"), CRM.P1_is_identified_by)
    assert (number, RDF.type, CRM.E42_Identifier) in found
    assert found.value(number, CRM.P190_has_symbolic_content) == Literal("1")


def test_phases_follow_each_other() -> None:
    """Two phases given, 1 and 3: the first ends before or with the start of the other; a context without one falls within none."""
    found = graph()
    assert list(found.subject_objects(CRM.P182_ends_before_or_with_the_start_of)) == [(node("phase-1"), node("phase-3"))]
    within = {
        (str(one).rsplit("-", 1)[-1], str(other).rsplit("-", 1)[-1]) for one, other in found.subject_objects(CRM.P10_falls_within)
    }
    assert within == {("a", "3"), ("b", "3"), ("c", "1")}


def test_ids_hold_within_the_document_when_no_address_is_given() -> None:
    """Without a base every id is a fragment; read at two addresses they stay apart."""
    given = give_linked_data(record())
    assert "@base" not in given["@context"]
    assert all(one["@id"].startswith("#") for one in given["@graph"])
