"""Levels that contradict a relation, or the context's own top, and the exchanged digits that would explain one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from baulk.grid.length_format import format_difference
from baulk.record import Context, Level, Relation, SiteRecord
from baulk.sequence.closeness import Closeness
from baulk.sequence.level_pairs import TooHigh, hold_levels, surface_levels
from baulk.sequence.suspicion import Mend, Suspicion

__all__ = ["exchanged_digits", "wrong_levels"]

_DECIMALS = 3
"""Decimals of a level in which digits are exchanged: levels are read to the millimetre."""


def wrong_levels(record: SiteRecord, closeness: Closeness) -> Iterator[Suspicion]:
    """Find levels that contradict a relation or the context's own other surface, at about the same point.

    Parameters
    ----------
    record : SiteRecord
        The record.
    closeness : Closeness
        What counts as about the same point and as too high.

    Yields
    ------
    Suspicion
        A base above the context's own top; or, where one context overlies another, the top of the lower above the base or the
        top of the upper. A cut has no body, so what overlies it is not held beside it; a disturbance is passed over. When the
        plan gives another value that fits, or one exchange of two digits does, that value stands in `mend`.
    """
    solid = {context.id for context in record.all(Context) if context.kind not in ("cut", "disturbance")}
    for context in record.all(Context):
        if context.kind != "disturbance":
            tops, bases = surface_levels(record, context.id, "top"), surface_levels(record, context.id, "base")
            held = hold_levels(tops, bases, record.metres, closeness)
            if held.too_high:
                yield _suspicion(record, closeness, context.id, None, (context.id,), held.too_high)
    for relation in record.all(Relation):
        if relation.how != "overlies" or not {relation.later, relation.earlier} <= solid or relation.later == relation.earlier:
            continue
        lower = surface_levels(record, relation.earlier, "top")
        wrong: list[TooHigh] = []
        for surface in ("base", "top"):
            wrong += hold_levels(surface_levels(record, relation.later, surface), lower, record.metres, closeness).too_high
        if wrong:
            yield _suspicion(record, closeness, relation.later, relation.earlier, (relation.id,), wrong)


def exchanged_digits(level: float, *, apart: int | None = None) -> tuple[float, ...]:
    """Return the levels that come of exchanging two digits of one, neighbours first.

    Parameters
    ----------
    level : float
        A level as entered; it is read to three decimals.
    apart : int, optional
        How far the two digits stand from each other, 1 for neighbours; any two when left out.

    Returns
    -------
    tuple of float
        Distinct other values.

    Examples
    --------
    >>> exchanged_digits(9.071)
    (0.971, 9.701, 9.017, 7.091, 1.079, 9.17)
    """
    text = f"{level:.{_DECIMALS}f}"
    digits = [place for place, mark in enumerate(text) if mark.isdigit()]
    found: list[float] = []
    for one, other in sorted(combinations(range(len(digits)), 2), key=lambda pair: pair[1] - pair[0]):
        if apart is not None and other - one != apart:
            continue
        marks = list(text)
        marks[digits[one]], marks[digits[other]] = marks[digits[other]], marks[digits[one]]
        value = float("".join(marks))
        if value != float(text) and value not in found:
            found.append(value)
    return tuple(found)


def _suspicion(
    record: SiteRecord,
    closeness: Closeness,
    later: str,
    earlier: str | None,
    records: tuple[str, ...],
    wrong: Sequence[TooHigh],
) -> Suspicion:
    worst = max(wrong, key=lambda pair: pair.by)
    by = format_difference(worst.by, record.length_unit)
    if earlier is None:
        name = f"The base of {record.label(later)} stands {by} above its top"
    else:
        above = "base" if worst.upper.surface == "base" else "top"
        name = (
            f"{record.label(later)} is recorded as overlying {record.label(earlier)}, but the top of {record.label(earlier)} "
            f"stands {by} above the {above} of {record.label(later)}"
        )
    mend, hint = _likely_slip(record, closeness, worst)
    return Suspicion(
        "contradicted by levels",
        later,
        earlier,
        f"{name} at about the same point ({worst.words}).",
        _how_to_settle(record, earlier, mend, hint),
        (*records, worst.upper.id, worst.lower.id),
        mend,
    )


def _how_to_settle(record: SiteRecord, earlier: str | None, mend: Mend | None, hint: str) -> str:
    rest = "it is a slip of another kind" if earlier is None else "see whether the relation is the wrong way round"
    if mend is None:
        return f"Read both levels again and look for exchanged digits; if both are right, {rest}."
    level = record.get(Level, mend.record)
    of = f"the level on the {level.surface or 'surface'} of {record.label(level.context)}" if level else "the level"
    return f"Look {of} up in the levels book: {hint}, which would fit. If both levels are right, {rest}."


def _likely_slip(record: SiteRecord, closeness: Closeness, pair: TooHigh) -> tuple[Mend | None, str]:
    """Return the change of one level that explains a contradiction, and why; None when no one value stands out."""
    for level in (pair.upper, pair.lower):
        plan = level.on_plan
        if plan is not None and plan != level.level and _fits(record, closeness, level, plan):
            return Mend(level.id, "level", plan), f"the plan says {plan:.3f}"
    for apart in (1, None):
        guesses = [
            Mend(level.id, "level", value)
            for level in (pair.upper, pair.lower)
            for value in exchanged_digits(level.level or 0.0, apart=apart)
            if _fits(record, closeness, level, value)
        ]
        if len(guesses) == 1:
            return guesses[0], f"with two digits exchanged it is {guesses[0].value:.3f}"
    return None, ""


def _fits(record: SiteRecord, closeness: Closeness, level: Level, value: float) -> bool:
    """Tell whether a level at another value would contradict no level near it on its own context or one next to it."""
    tried = level.model_copy(update={"level": value})
    pairs = [(tried, other) if level.surface == "top" else (other, tried) for other in _own_others(record, level)]
    for relation in record.pointing_at(Relation, "earlier", level.context):
        if relation.how == "overlies" and level.surface == "top":
            pairs += [(other, tried) for other in surface_levels(record, relation.later)]
    for relation in record.pointing_at(Relation, "later", level.context):
        if relation.how == "overlies":
            pairs += [(tried, other) for other in surface_levels(record, relation.earlier, "top")]
    return not any(hold_levels([upper], [lower], record.metres, closeness).too_high for upper, lower in pairs)


def _own_others(record: SiteRecord, level: Level) -> tuple[Level, ...]:
    return surface_levels(record, level.context, "base" if level.surface == "top" else "top")
