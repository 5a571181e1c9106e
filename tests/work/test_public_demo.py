"""The public report of the invented site tells neither that a cut was closed nor where; the agency's copy says it is restricted."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

import pypdf
import pytest

from baulk.record import SiteRecord, Unit
from baulk.report import to_html, to_pdf
from baulk.store import open_site
from baulk.work.demo import DemoSites
from baulk.work.study import Study

TELLING = (
    "Stopped at a rectangular cut", "treated as a possible grave", "Neither cut is dug", "narrows to its north-east",
    "both rectangular cuts", "rectangular cuts", "Rectangular cut", "stay closed", "Mixed fill", "upcast from the graves",
    "stands on a possible grave", "cut by 114", "second rectangular", "burial plot",
)  # fmt: skip


@dataclass(frozen=True)
class Printed:
    """Words of the public and of the full report, and the record they were made from."""

    record: SiteRecord
    public: str
    public_pdf: str
    full: str
    full_pages: tuple[str, ...]


def _pages(pdf: bytes) -> tuple[str, ...]:
    return tuple(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.fixture(scope="module")
def printed(demo_sites: DemoSites) -> Printed:
    """Return both reports of the demo without mistakes."""
    with open_site(demo_sites.good, read_only=True) as store:
        study = Study(store.record())
    unit = study.record.all(Unit)[0].id
    public, full = study.report(unit, public=True), study.report(unit)
    return Printed(study.record, to_html(public), " ".join(_pages(to_pdf(public))), to_html(full), _pages(to_pdf(full)))


def told(text: str) -> list[str]:
    """Return the telling words that stand in a text, in any case and across line breaks."""
    joined = re.sub(r"\s+", " ", text.replace("\u00ad", "")).casefold()
    return [words for words in TELLING if words.casefold() in joined]


def test_no_telling_sentence_is_in_the_public_report(printed: Printed) -> None:
    """Sentences that are harmless alone and tell side by side are withheld, and counted as whole fields."""
    assert told(printed.public) == []
    assert told(printed.public_pdf) == []
    assert "whole fields of free text" in printed.public
    assert "[withheld]" in printed.public


def test_what_does_not_tell_stays_public(printed: Printed) -> None:
    """Other days of the diary and other contexts are printed."""
    assert "Drain not lifted: it still carries water." in printed.public
    assert "Eleven setts lifted to see the ground beneath" in printed.public
    assert "Seven rows of stone setts, one course high, laid on edge" in printed.public


def test_the_check_can_fail(printed: Printed) -> None:
    """Control: the full report holds these sentences."""
    assert len(told(printed.full)) >= len(TELLING) - 3


def test_every_page_of_the_full_report_is_marked(printed: Printed) -> None:
    """The cover and every page say that it is restricted; no page of the public version does."""
    assert all("Restricted: not for the public" in page for page in printed.full_pages)
    assert "Restricted: not for the public" not in printed.public_pdf


def test_dates_and_sources_are_printed_as_they_are_read(printed: Printed) -> None:
    """No date stands in figures alone, and no source says in which copy it was read."""
    words = " ".join(printed.full_pages)
    assert re.findall(r"\b\d{4}-\d{2}-\d{2}\b", words) == []
    assert re.findall(r"read in (?:a )?(?:reprint|secondary)\w*", words) == []
    assert "2026 to 2026" not in words
    assert "is still open" in words
