"""What mortar, firing and wear on laid pieces say of their making and of an earlier use."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

__all__ = ["firing_in_words", "reuse_in_words"]

_NOT_SEEN = ("not visible", "not known", None, "")


def reuse_in_words(mortar: Sequence[str | None], bonding: str | None = None) -> str:
    """Return what the mortar on the pieces says of an earlier use.

    Parameters
    ----------
    mortar : sequence of str or None
        Of each piece: none, bedding, clinging remnant, not visible, or None when not recorded.
    bonding : str or None
        Bonding agent of the structure where it is recorded.

    Notes
    -----
    A remnant that clings to a piece laid dry cannot come from this laying (common practice, no source). Its absence proves
    nothing: mortar of lime comes off, and cleaned bricks were sold.

    Examples
    --------
    >>> reuse_in_words(["none", "clinging remnant", None])
    'Of 2 looked at, 1 carries mortar of an earlier use (a clinging remnant). 1 was not looked at.'
    """
    seen = [one for one in mortar if one not in _NOT_SEEN]
    missing = len(mortar) - len(seen)
    rest = f" {missing} {'was' if missing == 1 else 'were'} not looked at." if missing else ""
    if not seen:
        return f"Reuse cannot be told: mortar was recorded on none of {len(mortar)} pieces."
    counts = Counter(seen)
    clinging, bedding = counts["clinging remnant"], counts["bedding"]
    if clinging:
        dry = " The structure is recorded as laid dry, so it cannot be its own." if bonding == "none (dry)" else ""
        carries = "carries" if clinging == 1 else "carry"
        return f"Of {len(seen)} looked at, {clinging} {carries} mortar of an earlier use (a clinging remnant).{dry}{rest}"
    if bedding:
        lie = "is" if bedding == 1 else "are"
        return f"Of {len(seen)} looked at, {bedding} {lie} bedded in mortar and none shows an earlier one.{rest}"
    return f"None of {len(seen)} looked at carries mortar. That neither shows nor rules out an earlier use.{rest}"


def firing_in_words(firing: Sequence[str | None]) -> str:
    """Return the firing of the pieces in a sentence.

    Notes
    -----
    Hard and over-fired bricks were chosen for paving; soft ones were not for foundations or face work (trade books of 1900 to
    1921, read). Colour alone is no sure guide to firing (Kidder §228, read).

    Examples
    --------
    >>> firing_in_words(["hard", "hard", "over-fired", None])
    'Firing: 2 hard, 1 over-fired; 1 not known.'
    """
    counts = Counter(one for one in firing if one not in _NOT_SEEN)
    missing = len(firing) - counts.total()
    if not counts:
        return f"Firing was recorded on none of {len(firing)} pieces."
    parts = ", ".join(f"{number} {word}" for word, number in counts.most_common())
    return f"Firing: {parts}" + (f"; {missing} not known." if missing else ".")
