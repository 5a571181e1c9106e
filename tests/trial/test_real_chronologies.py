"""Three real records, which nobody here made, through the chronology model: what it makes of their inversions, in words.

L.-Y. Wang 2018-2022 (Kiwulan) and B. Marwick (KTC11, GMH), all CC0. The data stay outside the project: the folder named by
BAULK_TRIAL_DATA, else ../shared/data beside the checkout.
"""

from __future__ import annotations

from itertools import pairwise

from baulk.dating.chronology import date_events
from baulk.dating.evidence import CarbonDate, CarbonLimit, Evidence
from baulk.dating.model import Chronology, chronology_of
from baulk.dating.window import Window

from .test_real_dates import kiwulan, needs, table


def rows_of(layers: list[tuple[str, int]], evidence: list[Evidence], window: Window) -> Chronology:
    """Return layers by place and number, the larger number the earlier, as one row for each place."""
    known = sorted(set(layers))
    pairs = [(one, other) for one, other in pairwise(known) if one[0] == other[0]]
    place = {layer: at for at, layer in enumerate(known)}
    names = [f"{where}-{number}" for where, number in known]
    return chronology_of(names, [place[one] for one, _ in pairs], [place[other] for _, other in pairs], evidence, window)


@needs("kiwulan/KWL_C14_dates.xlsx")
def test_kiwulan_is_dated_and_its_inversion_told() -> None:
    """31 samples in their squares: all dated; of P052 the old sample over the limit is what does not go with its layer."""
    samples = kiwulan()
    layers = [(square, number) for square, number, _ in samples]
    known = {layer: at for at, layer in enumerate(sorted(set(layers)))}
    evidence: list[Evidence] = []
    for place, (square, number, age) in enumerate(samples):
        event, name = known[square, number], f"sample {place + 1} of {square} layer {number} ({age.given})"
        if age.age is not None and age.error is not None:
            evidence.append(CarbonDate(event, name, age.age, age.error, doubt=0.05))
        elif age.younger_than is not None:
            evidence.append(CarbonLimit(event, name, age.younger_than, doubt=0.05))
    assert len(evidence) == 31
    dates = date_events(rows_of(layers, evidence, Window(-400, 1950, firm=True)), seed=1)
    assert dates.diagnosis.settled
    by_doubt = sorted(dates.samples, key=lambda one: -one.out)
    told = [one.words for one in by_doubt if one.out >= 0.5]
    layers_of_p052 = [one for one in by_doubt if "P052 layer" in one.name]
    assert layers_of_p052[0].out > 0.4
    assert "(510±75" in layers_of_p052[0].name or "(<200" in layers_of_p052[0].name
    assert all("does not go with its event" in words for words in told)
    later, earlier = dates.of("P052-6"), dates.of("P052-7")
    assert dates.before("P052-7", "P052-6").value == 1.0
    assert later.quantile(0.5) >= earlier.quantile(0.5)


@needs("ktc11/ktc11_radiocarbon_dates.csv")
def test_ktc11_doubts_the_charcoal_at_its_base_or_the_shells_above() -> None:
    """Ten dates in spits: what is out of order is told as samples that do not go with their spits, and none of the others is."""
    rows = table("ktc11/ktc11_radiocarbon_dates.csv")
    spits = [("KTC11", int(row["spit"])) for row in rows]
    known = {spit: at for at, spit in enumerate(sorted(set(spits)))}
    evidence: list[Evidence] = [
        CarbonDate(known[spit], f"{row['Material']} of spit {spit[1]}", float(row["RCAge"]), float(row["RCAge_1s_error"]))
        for spit, row in zip(spits, rows, strict=True)
    ]
    dates = date_events(rows_of(spits, evidence, Window(-14000, 1949, 5)), seed=1)
    out = {one.name: one.out for one in dates.samples}
    involved = {name for name in out if name.split()[-1] in {"13", "15", "19", "20"}}
    assert max(out[name] for name in involved) > 0.9
    assert all(share < 0.5 for name, share in out.items() if name not in involved)


@needs("gmh_spits/GMH_C14_dates.csv")
def test_gmh_doubts_an_organic_sample_that_is_too_young_for_its_depth() -> None:
    """Organics alone, by spit: the doubt falls on 5214 of spit 23 most, and on 5371 and 5461 above it; not on those in order."""
    rows = [list(row.values()) for row in table("gmh_spits/GMH_C14_dates.csv") if "Organics" in row.values()]
    spits = [("GMH", int(row[2])) for row in rows]
    known = {spit: at for at, spit in enumerate(sorted(set(spits)))}
    evidence: list[Evidence] = [
        CarbonDate(known[spit], f"{row[-2]} of spit {spit[1]}", float(row[-2]), float(row[-1]))
        for spit, row in zip(spits, rows, strict=True)
    ]
    dates = date_events(rows_of(spits, evidence, Window(-6000, 1949, 2)), seed=1)
    out = {one.name.split()[0]: one for one in dates.samples}
    assert max(out.values(), key=lambda one: one.out).name == "5214 of spit 23"
    assert all("may not go with its event" in out[age].words for age in ("5214", "5371", "5461"))
    assert all(out[age].out < 0.05 for age in ("3452", "3905", "3865", "5460", "5618"))
