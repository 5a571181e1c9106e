"""What mortar, firing, hardness and absorption of laid pieces say of their making and of an earlier use."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from baulk.errors import MeasureError
from baulk.ground.brick_size import absorption_classes

__all__ = ["absorption_in_words", "firing_in_words", "hardness_in_words", "reuse_in_words"]

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
    return _counted("Firing", firing)


def hardness_in_words(hardness: Sequence[str | None]) -> str:
    """Return the hardness of the pieces in a sentence.

    Parameters
    ----------
    hardness : sequence of str or None
        Of each piece: soft, medium, hard, not known, or None when not recorded.

    Notes
    -----
    Soft, medium and hard by fingernail and knife: common practice, no source. A piece can be soft from low firing or from decay:
    hardness alone tells no firing.

    Examples
    --------
    >>> hardness_in_words(["hard", "soft", "hard", None])
    'Hardness: 2 hard, 1 soft; 1 not known.'
    """
    return _counted("Hardness", hardness)


def absorption_in_words(per_cent: Sequence[float | None]) -> str:
    """Return the absorption of the pieces in a sentence, with the burns of brick that take up as much.

    Parameters
    ----------
    per_cent : sequence of float or None
        Of each piece: water taken up in per cent of the dry mass; None when not measured.

    Raises
    ------
    MeasureError
        An absorption is below nought or above 100.

    Notes
    -----
    The classes are those of C. T. Davis's 20 bricks, 19th century United States, 13 days under water (read; computed from the
    masses). They overlap, so that an absorption hints at a firing and shows none.

    Examples
    --------
    >>> absorption_in_words([12.0, None])
    "Absorption 12.0 % of 1 piece: among Davis's bricks that is hard or dark. Weak evidence: the classes overlap."
    """
    known = [float(one) for one in per_cent if one is not None]
    for one in known:
        if not 0 <= one <= 100:
            raise MeasureError(f"An absorption of {one:g} % is given. It runs from 0 to 100 per cent of the dry mass: weigh again.")
    if not known:
        return f"Absorption was measured on none of {len(per_cent)} pieces."
    mean = sum(known) / len(known)
    spread = f" ({min(known):.1f}–{max(known):.1f})" if len(known) > 1 else ""
    said = f"Absorption {mean:.1f} %{spread} of {len(known)} piece{'s' if len(known) > 1 else ''}"
    classes = absorption_classes(mean)
    if not classes:
        return f"{said}: none of Davis's bricks took up as much or as little."
    return f"{said}: among Davis's bricks that is {' or '.join(classes)}. Weak evidence: the classes overlap."


def _counted(title: str, words: Sequence[str | None]) -> str:
    counts = Counter(one for one in words if one not in _NOT_SEEN)
    missing = len(words) - counts.total()
    if not counts:
        return f"{title} was recorded on none of {len(words)} pieces."
    parts = ", ".join(f"{number} {word}" for word, number in counts.most_common())
    return f"{title}: {parts}" + (f"; {missing} not known." if missing else ".")
