"""The demo's own contexts, read by rule and weighed by the shipped patterns."""

from __future__ import annotations

import pytest

from baulk.exchange.pattern_folder import pattern_named
from baulk.reading.argument import Argument, argue
from baulk.reading.from_record import evidence_from_record
from baulk.reading.pattern import begin
from baulk.record import Context, SiteRecord
from baulk.store import open_site
from baulk.work.begin import LINE, Proposal, line_tests
from baulk.work.demo import DemoSites


@pytest.fixture(scope="module")
def demo(demo_sites: DemoSites) -> SiteRecord:
    """Return the record of the demo site."""
    with open_site(demo_sites.good, read_only=True) as store:
        return store.record()


def read(demo: SiteRecord, number: str, pattern: str) -> Argument:
    """Weigh what the record says of one context."""
    context = demo.numbered(Context, number)
    begun = begin(pattern_named(pattern), evidence_from_record(demo, [context.id]), about=[context.id])
    assert all(identity in demo.by_id for piece in begun.question.evidence for identity in piece.records)
    assert all(piece.records for piece in begun.question.evidence)
    return argue(begun.question, begun.tests)


def names(held: Argument) -> list[str]:
    """Return the readings' ids, likeliest first."""
    return [held.weighed.question.readings[place].id for place in held.weighed.order]


def test_the_setting_of_setts_is_read_as_a_path(demo: SiteRecord) -> None:
    """On edge, dry, worn, bedded on old ground, turning: path leads, footing and wall trail; a void beside it is told."""
    held = read(demo, "109", "setting")
    assert names(held)[0] == "path" and min(names(held).index(name) for name in ("footing", "wall")) > 4
    told = {piece.id: piece.seen for piece in held.weighed.question.evidence}
    assert told["upright"] and told["old-ground"] and told["void"] and not told["old-mortar"] and not told["trench"]
    assert not held.care.acts


def test_the_rectangular_cut_calls_for_burial_care(demo: SiteRecord) -> None:
    """East and west, mixed fill, nails: a grave leads, care is due, nothing is planned, and no bone is asked for."""
    held = read(demo, "114", "rectangular-cut")
    assert names(held)[0] == "grave" and held.care.acts and held.plan.first is None
    asked = {ranked.observation.id for ranked in held.tests}
    assert "bone" not in asked and {"refuse", "rubble"} <= asked


def test_the_collapse_is_not_told_from_its_own_void(demo: SiteRecord) -> None:
    """That a void is a void speaks for no reading of what made it: no root leads on that alone."""
    held = read(demo, "103", "void")
    assert held.weighed.posterior[held.weighed.leader] < 0.5


def test_the_old_ground_and_the_mixed_layer_are_read_as_the_director_reads_them(demo: SiteRecord) -> None:
    """118 as a buried topsoil, 108 as levelling with upcast as its closest rival."""
    assert names(read(demo, "118", "dark-soil"))[0] == "topsoil"
    assert names(read(demo, "108", "mixed-layer"))[:2] == ["levelling", "upcast"]


def test_a_line_that_nobody_goes_looking_for_is_ranked_as_no_test() -> None:
    """Of two lines left open, human bone and another, only the other becomes a test."""
    lines = {line.id: line for line in pattern_named("rectangular-cut").lines}
    keys = {"grave": "r1", "pit": "r2"}
    open_lines = [Proposal(lines[name], None, None, "", (), keys) for name in ("bone", "refuse")]
    assert [test.id for test in line_tests(open_lines)] == [f"{LINE}refuse"]
