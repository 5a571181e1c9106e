"""The chapter on volumes: figures as given, what cannot be told, and nothing of what is withheld."""

from __future__ import annotations

from dataclasses import replace

import pytest

from baulk.record import Burial, Context, Outline, Site, SiteRecord, Unit
from baulk.report import BackfillFacts, Report, VolumeFacts, VolumeLine, to_html, to_pdf, unit_report
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.study import Study
from tests.report.test_outline import chapter_text

FACTORS = BackfillFacts("The hole is 1.50 to 1.70 m³.", "earth", (1.2, 1.4), (0.9, 1.0), "a table, from memory")
LINES = (
    VolumeLine("a", False, 0.4, 0.03, 0.1, 0.34, 100.0, buckets="410 litres were counted: they agree", agrees=True, finds="35"),
    VolumeLine("b", True, 1.2, 0.1, 0.3, 1.0, 50.0),
    VolumeLine("c", False, None, None, None, None, 100.0, why_not="no level on its base"),
)
FACTS = VolumeFacts(LINES, 1.6, 0.05, FACTORS, ("4 contexts are withheld; they are in no sum",))


def record(unit: str = "m", *more: object) -> SiteRecord:
    """Return a unit with three contexts."""
    contexts = [Context(id=key, number=number, kind=kind, units=("u",)) for key, number, kind in
                (("a", "101", "deposit"), ("b", "103", "cut"), ("c", "105", "fill"))]  # fmt: skip
    return SiteRecord.of([Site(id="s", code="OTW26", length_unit=unit), Unit(id="u", number="1"), *contexts, *more])


def report(given: VolumeFacts | None, site: SiteRecord | None = None, *, public: bool = False) -> Report:
    """Return a report with the volumes."""
    return unit_report(site or record(), "u", None, None, {}, public=public, volumes=given)


def test_each_volume_stands_with_its_error_buckets_and_finds() -> None:
    """Litres, half of the 95 % interval, thickness, buckets and find density stand in one row; of a cut the volume is room."""
    said = chapter_text(report(FACTS), "Volumes")
    assert "Dug in all. 1.60 m³ as it lay in the ground, standard error 0.05 m³" in said
    assert "101 | deposit | 400 l | ± 30 l | 100 mm | 100 % | 410 litres were counted: they agree | 35" in said
    assert "103 | cut (room) | 1200 l | ± 100 l | 300 mm | 50 % | not recorded | cannot tell" in said
    assert "More than half outside the outermost levels: 103." in said
    assert "4 contexts are withheld; they are in no sum." in said


def test_what_cannot_be_told_is_said_with_what_is_missing() -> None:
    """A context without a volume, a unit without any, and a report without the reckoning each say so."""
    assert "Volume: cannot tell (1 context)\n105: No level on its base." in chapter_text(report(FACTS), "Volumes")
    none = chapter_text(report(VolumeFacts(LINES[2:], 0.0, 0.0, None)), "Volumes")
    assert "No context of the unit has a volume: cannot tell." in none
    assert "Nothing has a volume, so how much filling in takes cannot be told." in none
    assert chapter_text(report(None), "Volumes") == "The volumes were not worked out for this report."


def test_backfill_states_its_factors_and_their_source() -> None:
    """The plan, both factors as ranges, the soil and the source of the factors stand under their heading."""
    said = chapter_text(report(FACTS), "Volumes")
    factors = ("1.20 to 1.40 m³", "0.90 to 1.00 m³", "Source of the factors: a table, from memory")
    for words in ("The hole is 1.50 to 1.70 m³.", "earth", *factors):
        assert words in said


def test_a_site_in_feet_has_cubic_feet() -> None:
    """A volume of 10 cubic feet, 0.283168 m³ (0.3048³ m³ to the cubic foot), is printed as 10.0 ft³; 1 ft thick as 1.00 ft."""
    line = replace(LINES[0], cubic_metres=10 * 0.3048**3, half_width=0.3048**3, thickness=0.3048)
    said = chapter_text(report(replace(FACTS, lines=(line,), hole=10 * 0.3048**3, hole_error=0.3048**3), record("ft")), "Volumes")
    assert "101 | deposit | 10.0 ft³ | ± 1.0 ft³ | 1.00 ft" in said
    assert "Dug in all. 10.0 ft³ as it lay in the ground, standard error 1.0 ft³" in said


def test_a_withheld_context_is_left_out_of_the_public_chapter() -> None:
    """Even when its volume is given, the public chapter has neither number nor figure of it; the agency's has."""
    site = record("m", Burial(id="g", contexts=("c",)), Outline(id="o", context="c", ring=((0, 0), (1, 0), (1, 1))))
    given = replace(FACTS, lines=(*LINES[:2], replace(LINES[2], cubic_metres=0.777, half_width=0.01, thickness=0.2)))
    public, agency = (chapter_text(report(given, site, public=public), "Volumes") for public in (True, False))
    assert "777" not in public and "105" not in public and "101 | deposit | 400 l" in public
    assert "105 | fill | 777 l" in agency


@pytest.fixture(scope="module")
def study(demo_sites: DemoSites) -> Study:
    """Return a study of the invented site."""
    with open_site(demo_sites.good, read_only=True) as store:
        return Study(store.record())


def test_the_invented_site_prints_its_volumes(study: Study) -> None:
    """The report's figures are those of the model: context 102, its hole and its factors; web page and PDF can be made of it."""
    one = study.record.numbered(Unit, "1").id
    found = study.ground.shape(one, restricted=True)
    line = next(each for each in found.contexts if each.context.number == "102")
    assert line.volume is not None
    agency = study.report(one)
    said = chapter_text(agency, "Volumes")
    assert f"102 | deposit | {line.volume.litres:.0f} l | ± {1000 * line.volume.half_width:.0f} l |" in said
    assert f"Dug in all. {found.hole:.2f} m³" in said
    assert "from memory, low confidence" in said
    assert "Volumes" in to_html(agency) and to_pdf(agency).startswith(b"%PDF")


def test_the_public_version_of_the_invented_site_has_no_volume_of_a_grave(study: Study) -> None:
    """The agency reads of each withheld context why it has no volume; the public reads no number, word or place of it."""
    one = study.record.numbered(Unit, "1").id
    public, agency = (chapter_text(study.report(one, public=public), "Volumes") for public in (True, False))
    for number in ("114", "115", "116", "117"):
        assert f"\n{number}: No level on its base" in agency
        assert f"\n{number}:" not in public and f"\n{number} |" not in public
    assert "4 contexts are withheld; they are in no sum." in public and "[withheld]" not in public
    assert "206." not in public
