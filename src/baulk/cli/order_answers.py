"""What `baulk order` answers when it is asked for doubts, for missed relations or for a likely order."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite, isnan
from typing import Any

from baulk.sequence.likely_pair import LikelyPair, Over
from baulk.work.order import LIKELY_SEED, SiteOrder

__all__ = ["SIGN", "doubt_answer", "doubt_words", "likely_answer", "likely_words", "missed_answer", "missed_words"]

SIGN = "A > B means that A is later than B."
"""Stands once above whatever shows a chain or a loop."""

Answer = Mapping[str, Any]


def doubt_answer(found: SiteOrder) -> Answer:
    """Return the loops with what to doubt in each, and the contradictions."""
    return {
        "sound": found.sound,
        "loops": [
            {
                "shortest": loop.shortest, "contexts": [found.label(one) for one in loop.contexts], "exact": loop.exact,
                "weight": loop.weight, "at_least": loop.at_least,
                "doubt": [
                    {
                        "later": one.later, "earlier": one.earlier, "weight": one.weight, "cycle": one.cycle,
                        "relations": list(one.relations),
                    }
                    for one in loop.suspects
                ],
            }
            for loop in found.doubts
        ],
        "contradictions": [{"says": one.says, "relation": one.relation, "same": list(one.same)} for one in found.clashes],
    }  # fmt: skip


def doubt_words(found: SiteOrder) -> str:
    """Return the same in words."""
    lines: list[str] = [] if found.sound else [SIGN]
    for loop in found.doubts:
        proof = (
            "the smallest set by certainty and sides (exact)"
            if loop.exact
            else f"a set that opens the loop (heuristic: weight {loop.weight:.3g}, none can be below {loop.at_least:.3g})"
        )
        lines += [f"Loop {loop.shortest}", f"  doubt {proof}:"]
        lines += [f"    {one.later} later than {one.earlier} (weight {one.weight:.3g}; in {one.cycle})" for one in loop.suspects]
    lines += [one.says for one in found.clashes]
    if found.sound:
        return "No loop and no contradiction: there is nothing to doubt."
    return "\n".join([*lines, "This is where to look first, not what is wrong: see each in plan or wall before it is changed."])


def missed_answer(found: SiteOrder) -> Answer:
    """Return what seems to be missed or wrong."""
    return {
        "missed": [
            {
                "what": one.what, "later": found.label(one.later),
                "earlier": None if one.earlier is None else found.label(one.earlier),
                "evidence": one.evidence, "settle": one.settle, "records": list(one.records),
                "mend": None if one.mend is None else {"record": one.mend.record, "field": one.mend.field, "value": one.mend.value},
            }
            for one in found.missed
        ]
    }  # fmt: skip


def missed_words(found: SiteOrder) -> str:
    """Return the same in words."""
    if not found.missed:
        return "Nothing seems to be missed: outlines, levels, walls and kinds agree with the relations as far as they go."
    return "\n".join(f"{one.what}: {one.evidence}\n    {one.settle}" for one in found.missed)


def likely_answer(one: str, other: str, found: LikelyPair) -> Answer:
    """Return how often the first is earlier than the second; figures that do not exist are null."""
    return {
        "first": one, "second": other, "first_earlier": found.earlier, "standard_error": found.standard_error,
        "effective_size": found.effective_size if isfinite(found.effective_size) else None,
        "exact": found.exact, "settled": found.settled, "over": str(found.over), "whole_site": found.over.whole,
        "contexts": found.contexts, "orders": found.orders if isfinite(found.orders) else None, "seed": LIKELY_SEED,
    }  # fmt: skip


def likely_words(one: str, other: str, found: LikelyPair) -> str:
    """Return the same in words."""
    if found.over is Over.PATH:
        first, second = (one, other) if found.earlier == 1 else (other, one)
        return f"{first} is earlier than {second}: a path of relations says so (see --why {second} {first})."
    share = f"{one} is earlier than {other} in {100 * found.earlier:.1f} percent of the orders that the relations allow"
    if found.exact:
        how = "every one was counted" if isnan(found.orders) else f"all {found.orders:.6g} were counted"
    else:
        how = (
            f"standard error {100 * found.standard_error:.1f} percent, as good as {found.effective_size:.0f} orders drawn "
            f"independently, seed {LIKELY_SEED}"
        )
    lines = [f"{share} ({how}).", f"Over {found.over}: {found.contexts} contexts."]
    if not found.over.whole:
        lines.append("What was left out can shift this: it is not the answer over the whole site.")
    if not found.settled:
        lines.append("The chains of draws disagree, so this figure may not be used.")
    return "\n".join([*lines, "Every order counts alike: this is a statement of what is not known, not a date."])
