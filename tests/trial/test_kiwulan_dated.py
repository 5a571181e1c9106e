"""The 31 radiocarbon dates of Kiwulan as dating results of a record, through order, chronology and answers, end to end.

L.-Y. Wang 2018-2022, CC0; where the data lie, see `test_real_dates`.
"""

from __future__ import annotations

from itertools import pairwise

from baulk.record import Context, DatingResult, Relation, SiteRecord, View
from baulk.work.chronology_answers import before_told
from baulk.work.study import Study
from tests.trial.test_real_dates import kiwulan, needs


def _record() -> SiteRecord:
    """Return one context for each square and layer that was sampled, the layers of a square in order, layer 1 the latest."""
    samples = kiwulan()
    layers = sorted({(square, layer) for square, layer, _ in samples})
    contexts = [Context(id=f"{s} L{n}", number=f"{s} L{n}", kind="deposit", recorded_on="2002-06-01") for s, n in layers]
    relations = [
        Relation(id=f"r{place}", later=f"{a[0]} L{a[1]}", earlier=f"{b[0]} L{b[1]}", how="overlies")
        for place, (a, b) in enumerate(pairwise(layers)) if a[0] == b[0]
    ]  # fmt: skip
    results = [
        DatingResult(
            id=f"d{place}", number=str(place), context=f"{square} L{layer}", method="radiocarbon", age=age.age, error=age.error,
            age_limit=None if age.age is not None else age.given,
        )
        for place, (square, layer, age) in enumerate(samples)
    ]  # fmt: skip
    return SiteRecord.of([*contexts, *relations, *results])


@needs("kiwulan/KWL_C14_dates.xlsx")
def test_kiwulan_is_dated_from_its_record() -> None:
    """All 31 results are evidence, chains agree, later layers of a square are not earlier, some dates lie in several ranges."""
    study = Study(_record())
    dated = study.dating.dated(View.CREW)
    assert len(dated.site.chronology.evidence) == 31
    assert dated.dates.diagnosis.settled
    assert dated.curves[0].startswith("IntCal20")
    for later, earlier in zip(dated.site.chronology.later.tolist(), dated.site.chronology.earlier.tolist(), strict=True):
        names = dated.site.chronology.events
        assert before_told(dated, names[earlier], names[later]).chance.value > 0.99
    dates = {one.name: one for one in dated.dates.events}
    assert all(one.pieces(0.95)[-1].end <= 2002 for one in dates.values())
    assert any(len(one.pieces(0.95)) > 1 for one in dates.values())
