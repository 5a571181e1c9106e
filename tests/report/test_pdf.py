"""The printed report holds the same words, keeps its scale, and cannot be made to read or run anything."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pypdf
import pytest
from PIL import Image

from baulk.errors import TypesettingError
from baulk.record import Context, DayEntry, Level
from baulk.report import pdf as pdf_module
from baulk.report import to_pdf
from baulk.report.figures import Sheet, fitted
from tests.report.sample_site import bar_figure, changed, sample_record, sample_report, with_changes

HOSTILE = '#read("/etc/passwd") $x^2$ *b* _i_ @ref <label> `raw` \\ [c] // gone #{1+1} = Heading ~ #import "x.typ"'
_RASTER = 254  # dots an inch: one dot is 0.1 mm


def text_of(pdf: bytes) -> str:
    """Return the words of a PDF in one line, broken words joined."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    text = "\n".join(page.extract_text() for page in pages)
    return " ".join(re.sub(r"(?:\u00ad|(?<=\w)\u2010)\s*", "", text).split())


@pytest.fixture(scope="module")
def pdf() -> bytes:
    """Return the sample unit's PDF."""
    return to_pdf(sample_report())


def test_the_file_is_tagged_archival_and_says_what_it_is(pdf):
    """Title, author, language and tags are set, every font is embedded, and the file states PDF/A-2a."""
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.metadata is not None
    assert reader.metadata.title == "Sample yard: Excavation report: Unit 1"
    assert reader.metadata.creation_date is not None
    assert reader.metadata.creation_date.date().isoformat() == "2026-06-01"
    catalogue = reader.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert str(catalogue["/Lang"]).lower() == "en-gb"
    stated = reader.xmp_metadata
    assert stated is not None
    assert "<pdfaid:part>2</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance>" in pdf.decode("latin-1")
    names, loose = reader.pages[0]._get_fonts()
    assert any("SourceSansPro" in name for name in names)
    assert not loose


def test_every_page_has_its_head_and_its_number(pdf):
    """Every page after the cover carries site code and unit, and every page its number out of all."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    assert len(pages) > 10
    for number, page in enumerate(pages, start=1):
        words = " ".join(page.extract_text().split())
        assert f"Page {number} of {len(pages)}" in words
        assert "Invented data, not of a real place" in words
        assert number == 1 or "SMP26" in words


def test_words_numbers_and_captions_are_those_of_the_tree(pdf):
    """The numbers that the page setter gives figures and tables are those of the tree."""
    words = text_of(pdf)
    for chapter in sample_report().placed():
        for item in chapter.placed:
            if item.anchor.startswith("table"):
                assert f"Table {item.number}. {item.node.caption}" in words
            if item.anchor.startswith("figure"):
                assert f"Figure {item.number}. {item.node.caption}" in words
    assert "Contents" in words
    assert "Crucible sherds in ash; said Bo Tern." in words


def test_hostile_text_is_printed_as_it_was_typed():
    """Mark-up of the page setter in a field is printed letter by letter and reads no file."""
    record = sample_record()
    evil = changed(record.get(Context, "c-2"), description=HOSTILE, title="#panic()", number="$7")
    words = text_of(to_pdf(sample_report(with_changes(record, evil))))
    assert '#read("/etc/passwd") $x^2$ *b* _i_ @ref <label> `raw` \\ [c] // gone #{1+1} = Heading' in words
    assert "root:" not in words
    assert "#panic()" in words


def test_a_drawing_cannot_fetch_a_file(tmp_path):
    """A picture linked into a drawing is taken out before the page is set."""
    Image.new("RGB", (8, 8), "red").save(tmp_path / "red.png")
    evil = bar_figure().replace("<rect", f'<image href="{tmp_path}/red.png" width="50" height="50"/><rect', 1)
    assert b"/Subtype/Image" not in to_pdf(sample_report(plan=evil)).replace(b" ", b"")


def bar_lengths(pdf: bytes, folder: Path) -> list[float]:
    """Return the length in mm of each full black bar in a PDF, one for a page that has one."""
    source = folder / "report.pdf"
    source.write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(_RASTER), "-gray", str(source), str(folder / "page")], check=True, capture_output=True)
    found = []
    for picture in sorted(folder.glob("page-*.pgm")):
        dark = np.asarray(Image.open(picture)) < 60
        thick = dark[:-40] & dark[20:-20] & dark[40:]  # black through 4 mm: no rule of a table is
        rows = [_longest_run(row) for row in thick[::5]]
        if max(rows) > 400:
            found.append(max(rows) * 25.4 / _RASTER)
    return found


def _longest_run(row: np.ndarray) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(np.int8), [0]))))
    return int((edges[1::2] - edges[::2]).max(initial=0))


needs_raster = pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler-utils) is not installed")


@needs_raster
def test_plan_and_wall_are_printed_at_their_size(pdf, tmp_path):
    """Bars of 100 mm in order, plan and wall measure 100 mm on paper, the wall on a sheet of its own."""
    assert bar_lengths(pdf, tmp_path) == pytest.approx([100.0, 100.0, 100.0], abs=0.3)


@needs_raster
def test_the_measurement_sees_a_wrong_size(tmp_path):
    """Control: a bar drawn 97 mm long is not measured as 100 mm."""
    found = bar_lengths(to_pdf(sample_report(plan=bar_figure(bar=97))), tmp_path)
    assert min(abs(length - 97) for length in found) < 0.3


def test_a_figure_gets_the_page_it_needs(pdf):
    """A wall drawing 230 mm wide stands on a landscape page, the rest on upright A4."""
    sizes = {
        (round(float(page.mediabox.width) / 72 * 25.4), round(float(page.mediabox.height) / 72 * 25.4))
        for page in pypdf.PdfReader(io.BytesIO(pdf)).pages
    }
    assert sizes == {(210, 297), (297, 210)}


@pytest.mark.parametrize(
    ("width", "height", "sheet"),
    [
        (160, 190, Sheet.IN_TEXT),
        (175, 210, Sheet.A4_PORTRAIT),
        (260, 130, Sheet.A4_LANDSCAPE),
        (260, 300, Sheet.A3_PORTRAIT),
        (390, 200, Sheet.A3_LANDSCAPE),
    ],
)
def test_a_scaled_drawing_takes_a_larger_sheet_before_it_shrinks(width, height, sheet):
    """A plan or wall that fits a sheet at its size is never made smaller."""
    placed = fitted(width, height, keeps_scale=True)
    assert placed.sheet is sheet
    assert (placed.width, placed.height, placed.share) == (width, height, 1.0)


def test_what_is_too_large_says_that_it_is_not_at_scale():
    """A plan larger than A3 is made smaller and says so; a diagram says by how much."""
    words = text_of(to_pdf(sample_report(plan=bar_figure(width=800, height=300))))
    assert "Too large for A3: printed at 49 % of 1:20, not at scale." in words
    placed = fitted(600, 100, keeps_scale=False)
    assert placed.sheet is Sheet.A3_LANDSCAPE
    assert placed.share == pytest.approx(392 / 600)


@pytest.mark.parametrize(
    ("size", "sheet", "share"),
    [((90, 324), Sheet.A3_PORTRAIT, 1.0), ((170, 100), Sheet.IN_TEXT, 162 / 170), ((230, 100), Sheet.A4_LANDSCAPE, 1.0)],
)
def test_a_diagram_is_printed_at_its_size_where_it_fits(size, sheet, share):
    """The order of a unit stands at its full size on the smallest sheet that holds it; a tenth is let go to stay in the text."""
    placed = fitted(*size, keeps_scale=False)
    assert placed.sheet is sheet
    assert placed.share == pytest.approx(share)


def test_long_tables_repeat_their_head():
    """A table over several pages repeats its head on each."""
    record = sample_record()
    levels = [Level(id=f"lv-{place}", context="c-1", level=10 + place / 1000) for place in range(300)]
    pages = pypdf.PdfReader(io.BytesIO(to_pdf(sample_report(with_changes(record, *levels))))).pages
    held = [words for page in pages if (words := page.extract_text()).count("10.") > 20]
    assert len(held) >= 4
    assert all("From reading" in words for words in held)


def test_signs_without_a_glyph_do_not_stop_the_report():
    """A sign that no font has gives a plain PDF that says so on its cover."""
    record = sample_record()
    rare = changed(record.get(Context, "c-2"), description="Stamped \U00016a40 on the base")
    made = to_pdf(sample_report(with_changes(record, rare)))
    assert "Some signs of this record are in no font at hand" in text_of(made)
    assert b"pdfaid:part" not in made


def test_a_refusal_of_the_page_setter_is_told(monkeypatch):
    """When the page setter refuses, the message says so and where the same report can be had."""
    monkeypatch.setattr(pdf_module, "LAYOUT", "#panic()")
    with pytest.raises(TypesettingError, match=r"cannot be set as PDF: .* The web version holds the same report\."):
        to_pdf(sample_report())


def test_a_short_table_is_not_broken_over_two_pages():
    """Wherever it falls, a table of a few rows stands whole on one page with its caption and the sentence before it."""
    record = sample_record()
    for lines in (20, 24, 28, 32, 36):
        filler = changed(record.site, setting=" ".join(["Level ground."] * lines * 8))
        decided = [
            DayEntry(id=f"day-{day}", day=f"2026-06-{day:02}", unit="u-1", decisions=f"Decision number {day}.")
            for day in range(1, 9)
        ]
        pages = pypdf.PdfReader(io.BytesIO(to_pdf(sample_report(with_changes(record, filler, *decided))))).pages
        holding = [page.extract_text() for page in pages if "Decision number" in page.extract_text()]
        assert len(holding) == 1
        assert "Decisions and changes of method" in holding[0]
