"""Words and co-ordinates that a public version must not print, taken out of free text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from baulk.record import Entity, Quantity, Sensitivity, SiteRecord, fields_of

__all__ = ["GAP", "SENTENCE_GAP", "Mask", "co_ordinates_of", "people_of"]

GAP = "[withheld]"
SENTENCE_GAP = "[sentence withheld]"

_PEOPLE = frozenset({
    "recorded_by", "checked_by", "director", "observer", "photographer", "drawn_by", "crew", "who", "person", "recognised_by", "by",
    "to", "staff", "proposed_by",
})  # fmt: skip
_BETWEEN_NAMES = re.compile(r"\s*(?:[,;&/()]|\band\b)\s*")
_FIGURE = re.compile(r"(?<![\w.])[-−]?\d+(?:\.\d+)?(?![\w]|\.\d)")
_LABELLED = re.compile(
    r"(?:\b[EN]\s*[:=]?\s*|(?:east|north)ing\s*[:=]?\s*)[-−]?\d+(?:\.\d+)?|[-−]?\d+(?:\.\d+)?\s*m?\s?[EN]\b", re.IGNORECASE
)
_REMAINS = re.compile(
    r"\b(?:grave|burial|human|skelet|coffin|skull|crani|inter(?:red|ment)|inhum|osteolog|bone|remains)\w*", re.IGNORECASE
)
_A_PLACE = re.compile(r"\d|\b(?:north|south|east|west|corner|centre|center|middle|[NS][EW])\w*\b", re.IGNORECASE)
_SENTENCES = re.compile(r"(?<=[.!?])\s+")
_FAR = 100.0


@dataclass(frozen=True)
class Mask:
    """What must not be printed.

    Parameters
    ----------
    words : frozenset of str
        Names, initials, addresses, ids: taken out wherever they stand as whole words.
    numbers : frozenset of str
        Numbers of withheld records: taken out beside a word such as *context*, or in brackets.
    co_ordinates : frozenset of str
        Co-ordinates as they are written with 0 to 3 decimals; those below 100 are taken out only where they are said to be one.
    remains : bool
        True when the record holds possible human remains: a sentence that speaks of them and of a place is taken out whole.
    """

    words: frozenset[str] = frozenset()
    numbers: frozenset[str] = frozenset()
    co_ordinates: frozenset[str] = frozenset()
    remains: bool = False

    @cached_property
    def _word_pattern(self) -> re.Pattern[str] | None:
        spelled = [re.escape(word) for word in self.words if len(word) > 1]
        if not spelled:
            return None
        return re.compile(r"(?<!\w)(?:" + "|".join(sorted(spelled, key=len, reverse=True)) + r")(?!\w|\.\d)")

    @cached_property
    def _number_pattern(self) -> re.Pattern[str] | None:
        if not self.numbers:
            return None
        either = "|".join(sorted(map(re.escape, self.numbers), key=len, reverse=True))
        named = r"(?:burials?|graves?|contexts?|cuts?|fills?|layers?|finds?|photos?|frames?|samples?)\s+(?:number\s+|no\.?\s*)?"
        return re.compile(rf"({named})(?:{either})\b|([\[(<])(?:{either})([\])>])", re.IGNORECASE)

    def text(self, text: str) -> str:
        """Return `text` without anything that must not be printed."""
        if self.remains and _REMAINS.search(text):
            text = " ".join(self._sentence(part) for part in _SENTENCES.split(text))
        if self._word_pattern is not None:
            text = self._word_pattern.sub(GAP, text)
        if self._number_pattern is not None:
            text = self._number_pattern.sub(lambda found: f"{found[1] or ''}{GAP}", text)
        if self.co_ordinates:
            text = _LABELLED.sub(self._labelled, text)
            text = _FIGURE.sub(self._far_figure, text)
        return text

    def _sentence(self, part: str) -> str:
        return SENTENCE_GAP if _REMAINS.search(part) and _A_PLACE.search(part) else part

    def _labelled(self, found: re.Match[str]) -> str:
        figure = _FIGURE_ALONE.search(found[0])
        return GAP if figure and figure[0] in self.co_ordinates else found[0]

    def _far_figure(self, found: re.Match[str]) -> str:
        given = found[0].replace("−", "-")
        return GAP if abs(float(given)) >= _FAR and given in self.co_ordinates else found[0]


_FIGURE_ALONE = re.compile(r"-?\d+(?:\.\d+)?")


def people_of(record: SiteRecord) -> frozenset[str]:
    """Return what agency and restricted text fields hold: whole values, and each name of a field that names people.

    The site's own code, name and organisation are public and never among them.
    """
    site = record.site
    public = {part.lower() for part in (site.code, site.name, site.organisation) if part}
    found: set[str] = set()
    for entities in record.entities.values():
        for entity in entities:
            found.update(_secrets(entity))
    return frozenset(word for word in found if word and not any(word.lower() in part for part in public))


def _secrets(entity: Entity) -> Iterator[str]:
    for name, said in fields_of(type(entity)):
        value = getattr(entity, name)
        if said.sensitivity is Sensitivity.PUBLIC or said.quantity is not Quantity.TEXT or not isinstance(value, str):
            continue
        if name in _PEOPLE:
            yield from (value, *_names(value))
        elif name == "place":
            yield from (value, *(part.strip() for part in value.split(",") if len(part.strip()) > 3))
        elif " " in value or any(mark.isdigit() for mark in value):
            yield value  # a single plain word of a restricted field ("boards") is left alone in other fields


def _names(value: str) -> Iterator[str]:
    for name in (part.strip() for part in _BETWEEN_NAMES.split(value)):
        if len(name) < 2:
            continue
        if name[0].isupper():
            yield name
        surname = name.split()[-1]
        if " " in name and len(surname) > 3 and surname[0].isupper():
            yield surname


def co_ordinates_of(record: SiteRecord) -> frozenset[str]:
    """Return every co-ordinate of the record's positions as it may be written, with 0 to 3 decimals."""
    values: set[float] = set()
    for entities in record.entities.values():
        for entity in entities:
            for place in entity.positions():
                values.update(place)
            for name in ("projected_easting", "projected_northing"):
                value = getattr(entity, name, None)
                if value is not None:
                    values.add(value)
    return frozenset(f"{value:.{places}f}" for value in values for places in range(4) if _keeps(value, places))


def _keeps(value: float, places: int) -> bool:
    """Tell whether `places` decimals still say where it is: to the nearest 0.5 of the site's own length."""
    return places > 0 or float(value).is_integer() or abs(value) >= _FAR
