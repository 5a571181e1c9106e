"""Relations that only the modelled sections speak of are named; nothing false, nothing twice, nothing that cannot be told."""

from __future__ import annotations

import pytest

from baulk.record import Burial, Relation, Site, SiteRecord, Unit
from baulk.sequence.suspicion import Suspicion
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.modelled_contacts import IN_THE_MODEL, missed_in_the_model
from baulk.work.order import site_order
from tests.work.test_work_shape import SPOTS, layer, over, record


def spreads(*more: object, spots: tuple[tuple[float, float], ...] = SPOTS) -> SiteRecord:
    """Return two spreads of 15 mm on one another, too thin for their mean levels to tell which is the upper."""
    return record(layer("1", 10.0, 9.985, spots=spots), layer("2", 9.985, 9.97, spots=spots), *more)


def modelled(site: SiteRecord) -> list[Suspicion]:
    """Return what only the model tells of a site."""
    return [one for one in site_order(site).missed if one.what == IN_THE_MODEL]


def test_a_relation_that_only_the_model_shows_is_named_with_its_length() -> None:
    """Two thin spreads without a relation touch along 2 m of each face: told once, the right way round, and how to settle it."""
    [one] = modelled(spreads())
    assert (one.later, one.earlier) == ("1", "2")
    assert one.evidence == (
        "In the modelled section of the south face of unit 1, 1 lies on 2 for 2.0 m; no path of relations leads from one to the "
        "other."
    )
    assert one.settle.startswith("See the face: if 1 lies on 2 there, enter “overlies”")
    assert one.mend is not None and one.mend.value == "overlies"
    assert one.records == ("1", "2", "u")


@pytest.mark.parametrize("relation", [over("1", "2"), over("2", "1")], ids=["as modelled", "the other way round"])
def test_what_a_relation_says_is_not_told_again(relation: Relation) -> None:
    """With a relation between the two, whichever way round, the model adds none: what lies wrong is told from the levels."""
    assert modelled(spreads(relation)) == []


def test_what_the_plan_tells_is_not_told_twice() -> None:
    """Two thick layers without a relation are named once, from plan and levels; by the model alone they are named too."""
    site = record(layer("1", 10.0, 9.8), layer("2", 9.8, 9.6))
    order = site_order(site)
    pairs = [(one.what, one.later, one.earlier) for one in order.missed if one.earlier]
    assert pairs == [("missed relation", "1", "2")]
    assert [(one.later, one.earlier) for one in missed_in_the_model(order)] == [("1", "2")]


def test_what_another_suspicion_would_answer_is_passed_over() -> None:
    """Once 1 over 3 and 3 over 2 are told, 1 over 2 follows and is not told as well."""
    site = spreads(layer("3", 9.5, 9.4))
    told = [Suspicion("missed relation", later, earlier, "seen.", "see.", ()) for later, earlier in (("1", "3"), ("3", "2"))]
    order = site_order(site)
    assert [(one.later, one.earlier) for one in missed_in_the_model(order)] == [("1", "2")]
    assert missed_in_the_model(order, told) == ()


def test_where_the_model_cannot_tell_nothing_is_said() -> None:
    """With one level on each surface the height between the two is not known to 25 mm at the faces, so nobody can tell."""
    assert modelled(spreads(spots=((1.0, 1.0),))) == []


def test_layers_that_do_not_meet_are_not_named() -> None:
    """Control: with 100 mm of nothing recorded between them the two do not touch, and no contact is told."""
    site = record(layer("1", 10.0, 9.985), layer("2", 9.885, 9.87))
    assert missed_in_the_model(site_order(site)) == ()


def test_a_withheld_context_is_not_modelled() -> None:
    """A spread that belongs to a possible burial is named from no section."""
    assert modelled(spreads(Burial(id="b", contexts=("2",)))) == []


def test_a_site_in_feet_tells_feet() -> None:
    """The length along the face is told in what the site measures in."""
    square = ((0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0))
    spots = tuple((3 * east, 3 * north) for east, north in SPOTS)
    layers = [layer("1", 33.0, 32.95, spots=spots, ring=square), layer("2", 32.95, 32.9, spots=spots, ring=square)]
    site = SiteRecord.of([Site(id="s", length_unit="ft"), Unit(id="u", number="1", corners=square), *layers[0], *layers[1]])
    found = missed_in_the_model(site_order(site))
    assert [one.evidence.split(" for ")[1].split(";")[0] for one in found] == ["6.0 ft"]


def test_on_the_invented_site_the_model_names_what_is_gone_and_nothing_else(demo_sites: DemoSites) -> None:
    """With nothing gone the model is silent; without 101 over 102, or 109 over 110, it names that relation and no other."""
    with open_site(demo_sites.good, read_only=True) as store:
        whole = store.record()
    assert missed_in_the_model(site_order(whole)) == ()
    for later, earlier, face in (("101", "102", "south face"), ("109", "110", "north wall W1")):
        [gone] = [one.id for one in whole.all(Relation) if (whole.label(one.later), whole.label(one.earlier)) == (later, earlier)]
        site = SiteRecord.of(one for kind in whole.entities.values() for one in kind if one.id != gone)
        order = site_order(site)
        [found] = missed_in_the_model(order)
        assert (site.label(found.later), site.label(found.earlier)) == (later, earlier)
        assert f"modelled section of the {face} of unit 1, {later} lies on {earlier} for" in found.evidence
        named = [(site.label(one.later), site.label(one.earlier)) for one in order.missed if one.earlier]
        assert named.count((later, earlier)) == 1
