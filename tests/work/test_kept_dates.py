"""Dates kept in files beside the site: the same figures again, nothing that cannot be trusted, nothing of another record."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from baulk.record import Context, DatingResult, Find, Relation, SiteRecord
from baulk.work.chronology import SiteChronology, site_chronology
from baulk.work.chronology_settings import ChronologySettings, PhaseUse
from baulk.work.date_more import varied_told
from baulk.work.kept_dates import KeptDates, kept_beside
from baulk.work.order import site_order
from baulk.work.site_dating import dated_site

LAYER = {"kind": "deposit", "reliability": "good", "contamination": "none seen"}


def _site(count: int = 40, settings: ChronologySettings | None = None) -> SiteChronology:
    """Return white ware over creamware, in two phases, with a radiocarbon age."""
    record = SiteRecord.of([
        Context(id="a", number="1", phase=2, recorded_on="2026-05-11", **LAYER), Context(id="b", number="2", phase=1, **LAYER),
        Relation(id="r1", later="a", earlier="b", how="overlies"),
        Find(id="f1", number="1", context="a", material="ceramic", type="whiteware", count=9, begin=1820, end=1900),
        Find(id="f2", number="2", context="b", material="ceramic", type="creamware", count=count, begin=1762, end=1820),
        DatingResult(id="d", number="1", context="b", method="radiocarbon", age=180, error=25),
    ], revision=5)  # fmt: skip
    return site_chronology(record, site_order(record), settings or ChronologySettings(phases=PhaseUse.OVERLAP))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which the dates of the site are kept."""
    folder = tmp_path_factory.mktemp("site") / "yard.dates"
    dated_site(_site(), KeptDates(folder))
    return folder


def test_the_same_figures_come_out_of_the_file(folder: Path) -> None:
    """Ranges, prior, phases, draws, doubts, diagnosis and notes are those that were worked out, to the bit."""
    site = _site()
    first, again = dated_site(site).dates, KeptDates(folder).get(site)
    assert again is not None
    assert again.revision == 5
    assert (again.dates.draws == first.draws).all()
    for one, other in zip(first.events, again.dates.events, strict=True):
        assert (one.probability == other.probability).all() and (one.prior == other.prior).all()
    assert [one.name for one in again.dates.phases] == ["phase 1", "phase 2"]
    assert [one.length for one in (again.dates.site, *again.dates.phases)] == [one.length for one in (first.site, *first.phases)]
    assert (again.dates.finds, again.dates.samples, again.dates.moved) == (first.finds, first.samples, first.moved)
    assert again.dates.diagnosis.words == first.diagnosis.words
    assert (again.dates.in_effect, again.dates.notes) == (first.in_effect, first.notes)


def test_another_record_or_setting_is_not_answered_from_it(folder: Path) -> None:
    """One sherd more, another seed or no absence: nothing is kept of that."""
    kept = KeptDates(folder)
    assert kept.get(_site(41)) is None
    assert kept.get(_site(settings=ChronologySettings(phases=PhaseUse.OVERLAP, seed=2))) is None
    assert kept.get(_site(settings=ChronologySettings(phases=PhaseUse.OVERLAP).without_absence())) is None


def test_a_file_that_broke_off_or_holds_objects_is_not_read(folder: Path, tmp_path: Path) -> None:
    """Half a file, an empty one and one with an object in it are as if they were not there."""
    (whole,) = folder.glob("*.npz")
    for content in (whole.read_bytes()[:500], b""):
        (tmp_path / whole.name).write_bytes(content)
        assert KeptDates(tmp_path).get(_site()) is None
    with (tmp_path / whole.name).open("wb") as file:
        np.savez(file, names=np.array([{"an": "object"}], dtype=object))
    assert KeptDates(tmp_path).get(_site()) is None


def test_a_folder_that_cannot_be_made_keeps_nothing_and_stops_nothing(tmp_path: Path) -> None:
    """Where a file stands in the way the dates are worked out all the same."""
    (tmp_path / "yard.dates").write_text("in the way", encoding="utf-8")
    kept = KeptDates(kept_beside(tmp_path / "yard.gpkg"))
    assert dated_site(_site(), kept).dates.diagnosis.settled


def test_variations_are_kept_with_the_dates(folder: Path) -> None:
    """Asked a second time all nine come out of the files, with the same moves."""
    dated = dated_site(_site(), KeptDates(folder))
    first = tuple(varied_told(dated, KeptDates(folder)))
    assert len(list(folder.glob("*.npz"))) == 10
    again = tuple(varied_told(dated, KeptDates(folder)))
    assert [(one.name, one.moved) for one in again] == [(one.name, one.moved) for one in first]
