"""The answer in plain words, from the table and nothing beyond it."""

from __future__ import annotations

from collections.abc import Sequence

from baulk.reading.overturn import Overturning, overturning
from baulk.reading.robustness import influences, separation, treatments
from baulk.reading.weigh import Weighed

__all__ = ["and_list", "paragraph", "share_words"]

_FEW = 3


def share_words(share: float) -> str:
    """Return a share as a whole per cent, with one decimal below 10 and above 90, where the halves of a per cent tell.

    Examples
    --------
    >>> share_words(0.634), share_words(0.978), share_words(0.0002), share_words(0.9999)
    ('63 %', '97.8 %', 'under 0.1 %', 'over 99.9 %')
    """
    if share < 0.001:
        return "under 0.1 %"
    if share > 0.999:
        return "over 99.9 %"
    return f"{100 * share:.1f} %" if share < 0.1 or share > 0.9 else f"{100 * share:.0f} %"


def and_list(items: Sequence[str]) -> str:
    """Return items as a list in a sentence.

    Examples
    --------
    >>> and_list(["a", "b", "c"])
    'a, b and c'
    """
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def paragraph(weighed: Weighed, falls: Sequence[Overturning] | None = None) -> str:
    """Return what the table says: the answer and its range, what carries it, the closest rival, and what would overturn it.

    Parameters
    ----------
    weighed : Weighed
        The weighing.
    falls : sequence of Overturning, optional
        As `overturning` returns it; worked out when it is not given.

    Notes
    -----
    Every statement is read off the weighing: no fact and no judgement is added.
    """
    if not weighed.question.evidence:
        first, share = _name(weighed, weighed.leader), share_words(float(weighed.posterior[weighed.leader]))
        return f"Nothing has been entered yet: before any evidence “{first}” is held likeliest at {share}."
    sentences = [
        _answer(weighed),
        _carries(weighed),
        _rival(weighed),
        _overturns(weighed, overturning(weighed) if falls is None else falls),
        *_groups(weighed),
        *_blanks(weighed),
    ]
    return " ".join(sentence for sentence in sentences if sentence)


def _name(weighed: Weighed, place: int) -> str:
    return weighed.question.readings[place].name


def _told(weighed: Weighed, pieces: Sequence[int]) -> str:
    return and_list([f"“{weighed.question.evidence[piece].told}”" for piece in pieces])


def _pieces(count: int) -> str:
    return "one piece" if count == 1 else f"{count} pieces"


def _answer(weighed: Weighed) -> str:
    lead = weighed.leader
    share, low, high = (share_words(float(held[lead])) for held in (weighed.posterior, weighed.low, weighed.high))
    count = len(weighed.question.evidence)
    text = (
        f"On {_pieces(count)} of evidence “{_name(weighed, lead)}” is the likeliest reading at {share}; with every word "
        f"anywhere in its range it lies between {low} and {high}"
    )
    still = [share_words(float(held[lead])) for held in (weighed.steady_low, weighed.steady_high)]
    none = next((reading.name for reading in weighed.question.readings if reading.none_of_these), "")
    if still != [low, high] and not weighed.question.readings[lead].none_of_these:
        text += f", and while “{none}” stays as it is between {still[0]} and {still[1]}"
    return f"{text}."


def _carries(weighed: Weighed) -> str:
    helping = [held for held in influences(weighed) if held.cause is None and held.change > 0.005][:_FEW]
    if not helping:
        return "No single piece carries it: taking out any one changes it by less than 1 %."
    parts = [f"{_told(weighed, held.pieces)} (without it {share_words(float(held.posterior[weighed.leader]))})" for held in helping]
    lost = [held for held in helping if not held.keeps_lead]
    tail = f" Without {_told(weighed, lost[0].pieces)} “{_name(weighed, lost[0].leader)}” would lead." if lost else ""
    return f"Most of it rests on {and_list(parts)}.{tail}"


def _rival(weighed: Weighed) -> str:
    held = separation(weighed)
    if not held.rows:
        return f"The closest rival is “{_name(weighed, held.other)}”; no evidence separates the two."
    ahead = [row for row, weight in zip(held.rows, held.weights, strict=True) if weight > 0][:_FEW]
    against = [row for row, weight in zip(held.rows, held.weights, strict=True) if weight < 0][:_FEW]
    text = (
        f"The closest rival is “{_name(weighed, held.other)}” at {share_words(float(weighed.posterior[held.other]))}, "
        f"{held.total:.1f} decibans behind"
    )
    if ahead:
        text += f"; what separates them most is {and_list([_row(weighed, row) for row in ahead])}"
    if against:
        text += f"; {and_list([_row(weighed, row) for row in against])} {'speaks' if len(against) == 1 else 'speak'} for the rival"
    return f"{text}."


def _row(weighed: Weighed, row: int) -> str:
    pieces = weighed.rows.pieces[row]
    if len(pieces) == 1:
        return _told(weighed, pieces)
    return f"what comes of “{weighed.rows.causes[row]}” ({len(pieces)} pieces)"


def _overturns(weighed: Weighed, found: Sequence[Overturning]) -> str:
    if not found:
        return "No evidence that could fall would let another reading lead: the prior carries it."
    least = found[0]
    if not least.pieces:
        return f"“{_name(weighed, least.rival)}” is level with it as it stands."
    return (
        f"“{_name(weighed, least.rival)}” would draw level or lead if {_pieces(len(least.pieces))} of evidence fell: "
        f"{_told(weighed, least.pieces)}; nothing smaller would do it."
    )


def _groups(weighed: Weighed) -> list[str]:
    if len(weighed.rows) == len(weighed.question.evidence) and weighed.treatment.value != "shared":
        return []
    parts = []
    for held in treatments(weighed):
        if held.treatment is not weighed.treatment:
            lead = "" if held.leader == weighed.leader else f", and “{_name(weighed, held.leader)}” leads"
            parts.append(f"counted “{held.treatment}” it is {share_words(float(held.posterior[weighed.leader]))}{lead}")
    return [f"Pieces of one cause are counted once ({weighed.treatment}); {and_list(parts)}."]


def _blanks(weighed: Weighed) -> list[str]:
    count = len(weighed.question.blanks)
    if not count:
        return []
    return [f"{count} cell{' is' if count == 1 else 's are'} blank and counted as “cannot say”."]
