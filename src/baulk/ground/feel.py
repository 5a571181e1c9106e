"""Soil texture by feel: a few questions that a hand can answer, and the class they lead to.

The way follows the flow chart that soil surveys teach with (ball, ribbon, grit); the steps are from memory, the words our own. It
never leads to silt or sand-free extremes that a hand cannot tell; what it gives is a class to note as "by feel".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from baulk.errors import InputError, did_you_mean

__all__ = ["QUESTIONS", "Felt", "Question", "texture_by_feel"]

SOURCE = "field flow chart of soil surveys, from memory"


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its name, what to do and ask, and the answers that may be given."""

    name: str
    asks: str
    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Felt:
    """What the answers so far lead to.

    Parameters
    ----------
    texture : str or None
        The class; None while a question is open.
    next_question : Question or None
        What to ask next; None when the class is found.
    mark : str
        Where the steps are from.
    """

    texture: str | None
    next_question: Question | None
    mark: str = SOURCE


QUESTIONS = {
    one.name: one
    for one in (
        Question(
            "ball", "Wet a walnut of soil until it works like putty. Squeezed in the fist, does it stay in one lump?", ("yes", "no")
        ),
        Question("ribbon", "Push it out between thumb and finger. Does a ribbon form before it breaks?", ("yes", "no")),
        Question(
            "ribbon_length",
            "How long does the ribbon grow before it breaks of its own weight?",
            ("under 25 mm", "25 to 50 mm", "over 50 mm"),
        ),
        Question(
            "rub",
            "Rub a very wet pinch in the palm. What is felt most?",
            ("grit", "silk", "neither"),
        ),
    )
}
"""The questions by name, in the order in which they are asked."""

_BY_RIBBON = {
    "under 25 mm": {"grit": "sandy loam", "silk": "silt loam", "neither": "loam"},
    "25 to 50 mm": {"grit": "sandy clay loam", "silk": "silty clay loam", "neither": "clay loam"},
    "over 50 mm": {"grit": "sandy clay", "silk": "silty clay", "neither": "clay"},
}


def texture_by_feel(answers: Mapping[str, str]) -> Felt:
    """Return the class that the answers lead to, or the next question.

    Parameters
    ----------
    answers : mapping of str to str
        Answers by the question's name; none at first.

    Raises
    ------
    InputError
        A name or an answer is not among those of `QUESTIONS`.

    Examples
    --------
    >>> texture_by_feel({}).next_question.name
    'ball'
    >>> texture_by_feel({"ball": "yes", "ribbon": "yes", "ribbon_length": "over 50 mm", "rub": "neither"}).texture
    'clay'
    """
    for name, answer in answers.items():
        if name not in QUESTIONS:
            raise InputError(
                f"There is no question “{name}”.{did_you_mean(name, list(QUESTIONS))} They are {', '.join(QUESTIONS)}."
            )
        if answer not in QUESTIONS[name].answers:
            raise InputError(f"“{answer}” is no answer to “{name}”. Answer with one of: {', '.join(QUESTIONS[name].answers)}.")
    if "ball" not in answers:
        return Felt(None, QUESTIONS["ball"])
    if answers["ball"] == "no":
        return Felt("sand", None)
    if "ribbon" not in answers:
        return Felt(None, QUESTIONS["ribbon"])
    if answers["ribbon"] == "no":
        return Felt("loamy sand", None)
    for name in ("ribbon_length", "rub"):
        if name not in answers:
            return Felt(None, QUESTIONS[name])
    return Felt(_BY_RIBBON[answers["ribbon_length"]][answers["rub"]], None)
