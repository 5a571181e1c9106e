"""How expected a sighting is under a reading: our own printed scale of words, each with a range of chance; or a number.

The question that a word answers is always the same: *of a hundred features that truly were this, at how many would it be seen?*

Notes
-----
The words stand a factor of three in odds apart: 1:27, 1:9, 1:3, 1:1, 3:1, 9:1, 27:1 (chances 0.036, 0.1, 0.25, 0.5, 0.75, 0.9,
0.964), and each reaches half a step, a factor √3, to either side; the figures are rounded to whole per cents. A step is 4.8
decibans. The reason is ours: two people who know their trade seldom differ by more than a step, and a finer scale would claim more
than anybody has counted. The scale is symmetric, so that "looked for and not there" is the mirrored word. No word reaches 0 or 1:
mis-seeing, mixed bags and slips of the pen are commoner than that. It answers how expected a sighting is, not how likely a
reading is, nor how strong a piece of evidence is; scales printed elsewhere for those two are not to be mixed with it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from baulk.errors import InputError, did_you_mean, shorten

__all__ = ["CANNOT_SAY", "HIGHEST", "LOWEST", "SCALE", "Expectation", "Word", "expectation_of", "word_near"]

LOWEST, HIGHEST = 0.001, 0.999
"""Chances that no cell passes (house value): one sighting is never worth more than 30 decibans."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of the scale.

    Parameters
    ----------
    word : str
        The word.
    low, middle, high : float
        Chance of the sighting if the reading is true: ends of the word's range, and the value used for it.
    meaning : str
        What it says of a hundred such features.
    """

    word: str
    low: float
    middle: float
    high: float
    meaning: str


SCALE = (
    Word("nearly always", 0.94, 0.96, 0.98, "at 94 to 98 of a hundred"),
    Word("usually", 0.84, 0.90, 0.94, "at 84 to 94 of a hundred"),
    Word("often", 0.63, 0.75, 0.84, "at 63 to 84 of a hundred"),
    Word("as often as not", 0.37, 0.50, 0.63, "at 37 to 63 of a hundred"),
    Word("now and then", 0.16, 0.25, 0.37, "at 16 to 37 of a hundred"),
    Word("seldom", 0.06, 0.10, 0.16, "at 6 to 16 of a hundred"),
    Word("hardly ever", 0.02, 0.04, 0.06, "at 2 to 6 of a hundred"),
)
"""The printed scale, most expected first."""

CANNOT_SAY = Word("cannot say", 0.06, 0.50, 0.94, "anything from seldom to usually: nobody knows")
"""For a reading of which nobody can say what it would show, such as *none of these*; also what a blank cell stands for."""

_BY_WORD = {word.word: word for word in (*SCALE, CANNOT_SAY)}
_NUMBER = re.compile(r"(\d*\.?\d+)(?:\s*(?:-|–|to)\s*(\d*\.?\d+))?")


@dataclass(frozen=True, slots=True)
class Expectation:
    """How expected a sighting is under one reading.

    Parameters
    ----------
    low, best, high : float
        Chance of the sighting if the reading is true: ends of its range and the value used.
    word : str or None
        The word of the scale it came from; None for a number or a measured value.
    mirror : bool
        True when it stands for "looked for and not there": the chances are already those of not seeing it.
    """

    low: float
    best: float
    high: float
    word: str | None = None
    mirror: bool = False

    def mirrored(self) -> Expectation:
        """Return how expected it is *not* to see it."""
        return Expectation(1 - self.high, 1 - self.best, 1 - self.low, self.word, not self.mirror)

    @property
    def says(self) -> str:
        """The word, or the number with its range."""
        if self.word is not None:
            return self.word
        low, best, high = (1 - self.high, 1 - self.best, 1 - self.low) if self.mirror else (self.low, self.best, self.high)
        return f"{best:.3g}" if low == high else f"{best:.3g} ({low:.3g} to {high:.3g})"


def expectation_of(given: str | float | None) -> Expectation:
    """Return how expected a sighting is from a word of the scale, a chance, or a range of chance.

    Parameters
    ----------
    given : str, float or None
        ``"usually"``, ``0.3``, ``"0.3"`` or ``"0.2 to 0.4"``; None or blank text stands for "cannot say".

    Raises
    ------
    InputError
        When it is no word of the scale and no chance between 0.001 and 0.999.

    Notes
    -----
    The value used for a range of chance is its middle on the scale of odds, √(odds low × odds high).

    Examples
    --------
    >>> expectation_of("usually")
    Expectation(low=0.84, best=0.9, high=0.94, word='usually', mirror=False)
    >>> expectation_of("0.2 to 0.8").best
    0.5
    """
    if given is None or (isinstance(given, str) and not given.strip()):
        return _of_word(CANNOT_SAY)
    if not isinstance(given, str):
        return _of_chances(given, given, given)
    tidy = " ".join(given.lower().split())
    if tidy in _BY_WORD:
        return _of_word(_BY_WORD[tidy])
    found = _NUMBER.fullmatch(tidy)
    if found is None:
        raise InputError(
            f"“{shorten(given)}” is given for how expected a sighting is. It is a word of the scale ({', '.join(_BY_WORD)}), or a "
            f"chance such as 0.3 or 0.2 to 0.4.{did_you_mean(tidy, list(_BY_WORD))}"
        )
    return _of_chances(float(found[1]), float(found[2] or found[1]), given)


def word_near(chance: float) -> Word:
    """Return the word of the scale in whose range a chance lies; the nearest end's word beyond the scale.

    Examples
    --------
    >>> word_near(0.7).word, word_near(0.001).word
    ('often', 'hardly ever')
    """
    return next((word for word in SCALE if chance >= word.low), SCALE[-1])


def _of_word(word: Word) -> Expectation:
    return Expectation(word.low, word.middle, word.high, word.word)


def _of_chances(low: float, high: float, given: object) -> Expectation:
    if not LOWEST <= low <= high <= HIGHEST:
        raise InputError(
            f"“{shorten(given)}” is given as the chance of a sighting. A chance lies between {LOWEST} and {HIGHEST}, the lower end "
            "first: nothing that people see in the ground is quite impossible or quite certain."
        )
    if low == high:
        return Expectation(low, low, high)
    odds = ((low / (1 - low)) * (high / (1 - high))) ** 0.5
    return Expectation(low, round(odds / (1 + odds), 12), high)
