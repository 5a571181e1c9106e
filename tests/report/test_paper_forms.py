"""Blank sheets hold every field that the trench must fill, numbers nobody else is given, and nothing overflows."""

from __future__ import annotations

import io
from itertools import count

import pypdf
import pytest

from baulk.errors import InputError, TypesettingError, UnknownRecord
from baulk.quantities import LengthUnit
from baulk.record import CONTEXT_KINDS, Context, Need, NumberBlock, Sensitivity, fields_of
from baulk.record.numbers import next_number
from baulk.report.paper_forms import PaperForms, context_sheet, forms_pdf
from baulk.store import MemoryStore
from baulk.work.paper import ON_PAPER, paper_forms
from baulk.work.pen import Pen

PRINTED_OR_AT_HOME = {"number", "kind", "units", "phase_note", "spot_begin", "spot_end", "spot_by"}


@pytest.fixture
def site() -> tuple[MemoryStore, Pen]:
    """A site with a unit and a context of a number of its own."""
    store, ticks = MemoryStore(), count(1_790_000_000_000)
    pen = Pen("AK", "laptop", clock=lambda: next(ticks))
    store.append([pen.create("site", {"code": "OW", "name": "Otter #Weir $ *yard*"}), pen.create("unit", {"number": "1"})])
    store.append([pen.create("context", {"number": "104"})])
    return store, pen


@pytest.mark.parametrize("kind", CONTEXT_KINDS)
def test_a_sheet_has_each_field_that_its_kind_must_have(kind: str) -> None:
    """Every mandatory or expected field of the kind is a box, and none of another kind is."""
    labels = [box.label for row in context_sheet(kind, "1", LengthUnit.METRE).rows for box in row]
    for name, said in fields_of(Context):
        if said.need is Need.OPTIONAL or name in PRINTED_OR_AT_HOME or said.sensitivity is Sensitivity.RESTRICTED:
            continue
        assert (said.label in labels) == (not said.applies or kind in said.applies), name
    for row in context_sheet(kind, "1", LengthUnit.METRE).rows:
        assert sum(box.span for box in row) == 6
        assert len({box.height for box in row}) == 1


def test_the_numbers_are_nobody_elses(site: tuple[MemoryStore, Pen]) -> None:
    """Two prints have different numbers, after all that are used, in blocks that the recorder's tablet does not take from."""
    store, pen = site
    prints = [paper_forms(store, lambda: pen, "1", "AK", {"deposit": 2, "cut": 1}) for _ in range(2)]
    assert [[sheet.number for sheet in made.sheets] for made in prints] == [["105", "106", "107"], ["108", "109", "110"]]
    assert [sheet.title for sheet in prints[0].sheets] == ["Context: deposit", "Context: deposit", "Context: cut"]
    finds = [next(one for one in made.registers if one.title == "Finds").numbers for made in prints]
    assert finds[0][0] == "1" and not set(finds[0]) & set(finds[1])
    blocks = [block for block in store.record().all(NumberBlock) if block.series == "context"]
    assert {block.person for block in blocks} == {f"AK {ON_PAPER}"}
    with pytest.raises(InputError, match="AK has no free context number left"):
        next_number(store.record(), Context, "AK")


def test_what_cannot_be_printed(site: tuple[MemoryStore, Pen]) -> None:
    """An unknown unit and more sheets than a block holds are refused, and nothing is handed out."""
    store, pen = site
    with pytest.raises(UnknownRecord, match="There is no unit “9”"):
        paper_forms(store, lambda: pen, "9", "AK", {"cut": 1})
    with pytest.raises(InputError, match="A block of 1001 numbers is asked for"):
        paper_forms(store, lambda: pen, "1", "AK", {"cut": 1001})
    assert not store.record().all(NumberBlock)


def test_the_pdf_has_each_number_large_and_the_cautions(site: tuple[MemoryStore, Pen]) -> None:
    """Each context has its own pages with its number, the remains caution stands on every page, names are no mark-up."""
    store, pen = site
    made = paper_forms(store, lambda: pen, "1", "AK", {"deposit": 1, "cut": 1, "structure": 1})
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(forms_pdf(made))).pages]
    assert all("Possible human remains: stop, cover, notify, leave in place." in page for page in pages)
    assert all("OW Otter #Weir $ *yard*, unit 1, numbers of AK on paper" in page for page in pages)
    for sheet in made.sheets:
        own = [page for page in pages if sheet.number in page.split()]
        assert 1 <= len(own) <= 3 and "Sketch: scale, north, levels" in "".join(own)
    assert sum("Backsight" in page for page in pages) == 1, "the levels fill one page"


def test_a_refusal_of_the_page_setter_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the page setter refuses, the words say what to look at."""
    monkeypatch.setattr("baulk.report.paper_forms.PAPER", "#panic()")
    with pytest.raises(TypesettingError, match=r"The forms cannot be set as PDF: .*See that code and name of the site"):
        forms_pdf(PaperForms("OW", "1", "AK", (), ()))
