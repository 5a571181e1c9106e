"""What was measured of a context's finds and samples, as aids to its date: radiocarbon, pipe stems, window glass, tree rings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from baulk.dating.aid import DateAid
from baulk.dating.bricks import brick_dates
from baulk.dating.calibration import calibrate, years_of_limit
from baulk.dating.curve import intcal20
from baulk.dating.glass import window_glass_dates
from baulk.dating.pipes import pipe_dates
from baulk.dating.radiocarbon_age import read_age
from baulk.dating.sapwood import SAPWOOD, felling
from baulk.drawing.date_panels import CarbonDrawn
from baulk.errors import InputError, MeasureError
from baulk.ground.brick_size import size_statistics
from baulk.record import Context, DatingResult, Element, Find, SiteRecord, stems_by_bore

__all__ = [
    "bricks_of", "carbon_drawn", "felling_of", "records_of_aid", "result_name", "results_of", "stems_of", "what_results_say",
]  # fmt: skip

_FEW_BRICKS = 5
"""Bricks measured below which their size is not told: a house setting."""


def result_name(result: DatingResult) -> str:
    """Return what a result is called in an answer: number, method, laboratory code."""
    code = f" {result.laboratory_code}" if result.laboratory_code and result.laboratory_code != result.number else ""
    return f"result {result.number or result.id[-6:]}, {result.method or 'method not recorded'}{code}"


def results_of(record: SiteRecord, context: Context) -> tuple[DatingResult, ...]:
    """Return the results that bear on a context, in natural order of number."""
    return tuple(record.pointing_at(DatingResult, "context", context.id))


def what_results_say(record: SiteRecord, context: Context) -> tuple[tuple[DateAid, ...], tuple[str, ...]]:
    """Return the aids that a context's results give, and in words the results that give none.

    Parameters
    ----------
    record : SiteRecord
        As the viewer may have it.
    context : Context
        The context.

    Returns
    -------
    tuple of DateAid
        Radiocarbon ages first; pipe stems of several results are counted together.
    tuple of str
        Results that cannot be used, with the reason.
    """
    aids: list[DateAid] = []
    refused: list[str] = []
    for result in results_of(record, context):
        try:
            aids += _one(result)
        except (InputError, MeasureError) as error:
            refused.append(f"{result_name(result)}: {error}")
    stems = stems_of(results_of(record, context))
    if stems:
        aids += pipe_dates(list(stems), list(stems.values()))
    return (*aids, *bricks_of(record, context)), tuple(refused)


def records_of_aid(record: SiteRecord, context: Context, aid: DateAid) -> tuple[str, ...]:
    """Return the ids of the results, pieces or finds of a context that an aid is worked out of.

    Notes
    -----
    An aid that names a result is of that one; stems of all results are counted together; brick sizes are of the pieces; what is
    left is of the finds: ceramics with a type and a count, and things of that way of making.
    """
    results = results_of(record, context)
    named = tuple(one.id for one in results if f"({result_name(one)})" in aid.name)
    if named:
        return named
    if aid.name.startswith("pipe stems"):
        return tuple(one.id for one in results if one.stem_bores)
    if aid.name.startswith("brick size"):
        return tuple(
            one.id for one in record.pointing_at(Element, "context", context.id) if one.length and one.width and one.height
        )
    finds = record.pointing_at(Find, "context", context.id)
    ceramic = "ceramic" in aid.name
    return tuple(
        one.id for one in finds
        if (ceramic and one.material == "ceramic" and one.type and one.count)
        or (not ceramic and aid.name.casefold() in {(one.type or "").casefold(), (one.object or "").casefold()})
    )  # fmt: skip


def _one(result: DatingResult) -> Iterator[DateAid]:
    name = result_name(result)
    if result.method == "radiocarbon":
        if result.age is not None and result.error is not None:
            yield _named(calibrate(result.age, result.error).aid, name, _lag_words(result))
        elif result.age_limit:
            yield _limit(result.age_limit, name)
        else:
            raise InputError("no age with an error is recorded, nor a limit")
    elif result.method == "window glass":
        if not result.pane_thickness:
            raise InputError("no thickness is recorded")
        for aid in window_glass_dates(result.pane_thickness, coffin_glass=bool(result.coffin_glass)):
            yield replace(aid, name=f"{aid.name} ({name})")
    elif result.method == "tree rings":
        yield _named(felling_of(result), name)
    elif result.method != "pipe stems" or not result.stem_bores:
        raise InputError("nothing that was measured is recorded")


def _named(aid: DateAid, name: str, *more: str) -> DateAid:
    return replace(aid, name=f"{aid.name} ({name})", limits=(*(one for one in more if one), *aid.limits))


def _lag_words(result: DatingResult) -> str:
    material = result.dated_material or "what was dated is not recorded"
    own = {"young": "young when it came in", "may be old": "may have been old when it came in"}
    return f"{material[:1].upper()}{material[1:]}; {own.get(result.own_age or '', 'its own age when it came in is not known')}."


def _limit(text: str, name: str) -> DateAid:
    given = read_age(text)
    said = given.words if given.younger_than is None else f"{given.words} {years_of_limit(given.younger_than)}"
    valid = "a limit without an error: a weak terminus only"
    return DateAid(f"radiocarbon ({name})", None, None, None, valid, (said,), intcal20().title, "as given by the laboratory", False)


def felling_of(result: DatingResult) -> DateAid:
    """Return the felling that a result of tree rings tells.

    Raises
    ------
    InputError
        When no last ring is recorded, or there is neither bark nor an area whose estimate is held.
    """
    if result.last_ring is None:
        raise InputError("no last ring is recorded")
    estimate = next((one for one in SAPWOOD if one.area == result.sapwood_area), None)
    return felling(
        result.last_ring,
        estimate=estimate,
        sapwood=result.sapwood_rings,
        unmeasured=result.rings_beyond or 0,
        bark=bool(result.bark),
    )


def stems_of(results: Sequence[DatingResult]) -> dict[float, int]:
    """Return the stems of several results by bore, in sixty-fourths of an inch, the wide ones first."""
    counted: Counter[float] = Counter()
    for result in results:
        counted.update(stems_by_bore(result.stem_bores) if result.stem_bores else {})
    return dict(sorted(counted.items(), reverse=True))


def bricks_of(record: SiteRecord, context: Context) -> tuple[DateAid, ...]:
    """Return what the sizes of a structure's bricks come near, as weak evidence; nothing for few bricks or other pieces."""
    if context.kind != "structure" or context.material != "brick":
        return ()
    pieces = [
        (one.length, one.width, one.height)
        for one in record.pointing_at(Element, "context", context.id)
        if one.length and one.width and one.height
    ]
    return brick_dates(size_statistics(pieces)) if len(pieces) >= _FEW_BRICKS else ()


def carbon_drawn(record: SiteRecord, context: Context) -> tuple[CarbonDrawn, ...]:
    """Return the radiocarbon ages of a context with the curve that they are read on."""
    found = []
    for result in results_of(record, context):
        if result.method == "radiocarbon" and result.age is not None and result.error:
            try:
                found.append(CarbonDrawn(result_name(result), calibrate(result.age, result.error), intcal20()))
            except InputError:
                continue  # `what_results_say` tells why
    return tuple(found)
