"""Nothing that must not be printed is anywhere in a public version, and what was left out is listed."""

from __future__ import annotations

import io
import re
import typing
from itertools import count

import pypdf
import pytest

from baulk.closing.check import check_unit
from baulk.record import KINDS, Burial, Context, Entity, Find, Photo, Quantity, Sensitivity, Sight, SiteRecord, build, fields_of
from baulk.report import public_version, to_html, to_pdf, unit_report, wall_key
from baulk.report.masking import GAP, Mask
from baulk.report.shown import WITHHELD
from baulk.report.tree import Figure, Table
from tests.report.sample_site import (
    GRAVE_NUMBERS,
    SECRET_NAMES,
    SECRET_PLACES,
    UNIT,
    bar_figure,
    changed,
    sample_record,
    sample_report,
    with_changes,
)
from tests.report.test_pdf import text_of

SECRET_WORDS = (
    *SECRET_NAMES, *SECRET_PLACES, *GRAVE_NUMBERS, "Straight cut", "coffin nail", "north corner", "lying east", "weir house step",
    "lane and its gate", "77/2026", "Coroner", "grave top", "412.25", "206.75", "413.125",
)  # fmt: skip


def secret_figure() -> str:
    """Return a drawing that says what it must not: in groups, labels, titles and attributes."""
    inside = (
        '<g data-record="c-71"><title>1071 Straight cut</title><path d="M1 1L2 2"/><text x="1" y="1">1071</text></g>'
        '<g data-record="c-3" data-name="drawn by Bo Tern"><text x="2" y="2">412.25 E</text><text x="3" y="3">206.75 N</text>'
        '<text x="4" y="4">Drawn by: Bo Tern</text><text x="5" y="5">1003</text></g>'
    )
    return bar_figure("Plan, 1071 in the north corner").replace("</svg>", f"{inside}</svg>")


def public_page(record: SiteRecord | None = None) -> str:
    """Return the public web page of the sample unit."""
    return to_html(sample_report(record, public=True, plan=secret_figure()))


def leaks(text: str, secrets: typing.Iterable[str]) -> list[str]:
    """Return the secrets that stand in a text as whole words."""
    return [secret for secret in secrets if re.search(rf"(?<!\w){re.escape(secret)}(?!\w)", text)]


def test_no_secret_is_in_the_public_page():
    """No name, place, co-ordinate, grave number or sensitive caption stands in text, table, drawing or attribute."""
    assert leaks(public_page(), SECRET_WORDS) == []


def test_no_secret_is_in_the_public_pdf():
    """The same holds for the words of the PDF, its metadata and the words of its drawings."""
    made = to_pdf(sample_report(public=True, plan=secret_figure()))
    assert leaks(text_of(made), SECRET_WORDS) == []
    held = strings_of(made)
    assert "Plan of unit 1, as seen from above." not in held
    assert any("Order of the contexts" in words for words in held)
    assert [secret for words in held for secret in leaks(words, SECRET_WORDS)] == []


def strings_of(pdf: bytes) -> list[str]:
    """Return every text string of a PDF outside its pages: titles, descriptions of figures, bookmarks, metadata."""
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    found: list[str] = []
    for number in range(1, int(reader.trailer["/Size"])):
        _collect(reader.get_object(number), found)
    return found


def _collect(held: object, found: list[str]) -> None:
    if isinstance(held, pypdf.generic.TextStringObject):
        found.append(str(held))
    elif isinstance(held, dict):
        for value in dict.values(held):
            _collect(value, found)
    elif isinstance(held, list):
        for value in list.__iter__(held):
            _collect(value, found)


def test_the_check_for_leaks_can_fail():
    """Control: the full version does hold these secrets, so the check above would find them."""
    full = to_html(sample_report(plan=secret_figure()))
    found = leaks(full, SECRET_WORDS)
    assert set(SECRET_WORDS) - set(found) <= {
        "Coroner",
        "77/2026",
        "Quill",
        "BT",
        "projected",
        "412345.67",
        "298765.43",
        "AQ",
        "weir house step",
    }


def marked_record() -> tuple[SiteRecord, dict[str, str]]:
    """Return the sample record with a mark of its own in every agency and restricted text field of every record."""
    numbers, marks, entities = count(1), {}, []
    for found in sample_record().entities.values():
        for entity in found:
            given: dict[str, object] = {}
            for name, said in fields_of(type(entity)):
                if said.sensitivity is Sensitivity.PUBLIC or said.quantity is not Quantity.TEXT or name == "number":
                    continue
                given[name] = f"Secret {next(numbers)} Xq"
                marks[str(given[name])] = f"{entity.KIND}.{name}"
            entities.append(changed(entity, **given))
    return SiteRecord.of(entities), marks


def test_no_agency_or_restricted_field_of_any_kind_is_printed():
    """Whatever stands in a field that is not public never reaches the page, nor when free text repeats it."""
    record, marks = marked_record()
    assert len(marks) > 40
    repeated = changed(record.get(Context, "c-1"), description=f"As written: {next(iter(marks))}.")
    page = public_page(with_changes(record, repeated))
    assert [marks[mark] for mark in leaks(page, marks)] == []
    full = to_html(sample_report(record))
    assert len(leaks(full, marks)) > 10


def test_every_kind_is_known_to_the_public_version():
    """Every restricted kind is withheld whole, whatever kinds are added."""
    assert {kind.KIND for kind in KINDS.values() if kind.RESTRICTED} == {"burial", "notice"}
    version = public_version(sample_record())
    for kind in KINDS.values():
        if kind.RESTRICTED:
            assert version.record.all(kind, void=True) == ()


def test_what_leads_to_a_grave_is_withheld_with_it():
    """Contexts of a burial, their fills, relations, levels, finds, photos and follow-ups go with it; other records stay."""
    version = public_version(sample_record())
    assert version.hidden >= {"b-1", "n-1", "c-71", "c-72", "r-6", "r-7", "l-2", "f-3", "f-4", "p-2", "p-3", "o-1", "fu-2", "si-4"}
    assert not version.hidden & {"c-4", "c-3", "r-3", "d-1", "p-1", "s-1", "lr-1", "si-3", UNIT}
    assert version.record.get(Sight, "si-3").point == "TP"


def test_a_drawing_sheet_stays_without_its_pointer():
    """A sheet that also shows a withheld context stays in the register without that number."""
    version = public_version(sample_record())
    drawing = version.record.all(KINDS["drawing"])[0]
    assert drawing.contexts == ("c-3",)
    assert drawing.absences["drawn_by"] == WITHHELD


def test_a_void_burial_still_hides_its_contexts():
    """A burial that was made void later gives nothing away."""
    record = sample_record()
    record = with_changes(record, changed(record.get(Burial, "b-1"), void="entered twice"))
    assert {"b-1", "c-71", "c-72"} <= public_version(record).hidden


def test_the_list_tells_what_was_withheld_and_why():
    """The public version ends with what was withheld, how many and why; the words of free text that were taken out are counted."""
    report = sample_report(public=True)
    last = report.chapters[-1]
    assert last.title == "What was withheld"
    table = next(part for part in last.parts if isinstance(part, Table))
    lines = {row[0]: row for row in table.rows}
    assert lines["possible human remains and their record"][1] == "6"
    assert "respect" in lines["possible human remains and their record"][2]
    assert int(lines["whole fields of free text"][1]) >= 1
    assert lines["field “Director”"][1] == "1"
    assert "co-ordinates of records with a position" in lines
    full = sample_report()
    assert all(chapter.title != "What was withheld" for chapter in full.chapters)


def test_public_and_full_say_what_they_are():
    """The public version is marked on the cover and at the foot of every page; the full one is not."""
    assert sample_report(public=True).notice == "Invented data, not of a real place · Public version"
    assert any("Public version" in words for words in sample_report(public=True).cover.banners)
    assert "Public version" not in sample_report().notice


def test_human_remains_are_spoken_of_in_general_only():
    """The public version says that possible human remains are on record, and neither how many nor where."""
    page = public_page()
    assert "Possible human remains are on record at this site." in page
    record = sample_record()
    clean = SiteRecord.of(
        entity for found in record.entities.values() for entity in found if entity.id not in public_version(record).hidden
    )
    assert "No human remains are on record for this site. That is not evidence that there are none." in public_page(clean)


def test_closing_findings_give_nothing_away():
    """A finding on human remains is withheld, and other findings do not name a withheld record."""
    record = sample_record()
    result = check_unit(record, UNIT)
    assert any(finding.rule.restricted for finding in result.findings)
    report = unit_report(record, UNIT, None, result, {}, public=True)
    page = to_html(report)
    assert "Details withheld in the public version." in page
    assert leaks(page, GRAVE_NUMBERS) == []


def test_labels_in_drawings_are_taken_out_and_the_rest_stays():
    """A group of a withheld record goes whole; a label with a name or position goes; a context's number stays."""
    report = sample_report(public=True, plan=secret_figure())
    plan = next(node for chapter in report.chapters for node in chapter.parts if isinstance(node, Figure) and node.scale == 20)
    assert 'd="M1 1L2 2"' not in plan.svg
    assert ">1003<" in plan.svg
    assert "Bo Tern" not in plan.svg
    assert plan.caption == GAP


def test_sensitive_photos_are_left_out():
    """A photo flagged sensitive is in neither the register nor a list of a context's photos."""
    record = sample_record()
    record = with_changes(record, changed(record.get(Photo, "p-1"), sensitive=True))
    assert "Pit before digging" not in public_page(record)
    assert "Pit before digging" in to_html(sample_report(record))


def test_a_find_keeps_its_record_without_its_place():
    """A plotted find stays in the register; where it lay is not printed."""
    record = sample_record()
    record = with_changes(record, changed(record.get(Find, "f-1"), easting=412.77, northing=205.31, level=10.111))
    page = public_page(record)
    assert "412.77" not in page
    assert "205.31" not in page
    assert "412.77" in to_html(sample_report(record))


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("Find 33 and find 3 from 33 buckets", f"Find {GAP} and find 3 from 33 buckets"),
        ("Cut by 1071, see [1071]", GAP),
        ("Both rectangular cuts stay closed.", GAP),
        ("The trench is cut at a right angle.", "The trench is cut at a right angle."),
        ("Level 10.71 beside 11071", "Level 10.71 beside 11071"),
        ("Peg at E 412.25, N 206.75", f"Peg at {GAP}, {GAP}"),
        ("A peg at 412.25 / 206.75", f"A peg at {GAP} / {GAP}"),
        ("Like 108 but cleaner, and 12345", f"Like 108 but cleaner, and {GAP}"),
        ("The peg 108 E of the wall", f"The peg {GAP} of the wall"),
        ("0.75 m wide and 2 m long", "0.75 m wide and 2 m long"),
        ("AQ said so, the AQUA pipe too", f"{GAP} said so, the AQUA pipe too"),
        ("A grave in the north corner. Setts run on.", GAP),
        ("The setts stop short of 1071 at the east wall.", GAP),
        ("Possible graves are spoken of. Setts run on.", GAP),
    ],
)
def test_words_are_taken_out_as_whole_words(given, shown):
    """Names, numbers and co-ordinates go as whole words beside what they mean; other figures stay."""
    mask = Mask(
        frozenset({"AQ", "1071"}),
        {"find": frozenset({"33"}), "context": frozenset({"1071"})},
        frozenset({"412.25", "206.75", "0.75", "108", "12345"}),
        remains=True,
        telling=re.compile("rectangular cuts?"),
    )
    assert mask.text(given) == shown


def test_an_empty_mask_changes_nothing():
    """Without anything to hide a text stays as it is."""
    text = "AQ found grave 7 at 412.25 in the north."
    assert Mask().text(text) == text


def test_the_public_record_is_a_record():
    """The public record's entities are valid: each can be built again from its values."""
    for found in public_version(sample_record()).record.entities.values():
        for entity in found:
            assert isinstance(build(type(entity), entity.model_dump()), Entity)
            assert wall_key(entity.id) == f"wall:{entity.id}"
