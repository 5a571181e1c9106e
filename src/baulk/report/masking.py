"""Words and co-ordinates that a public version must not print, taken out of free text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property

from baulk.record import (
    REMAINS,
    Burial,
    Context,
    Entity,
    Find,
    FollowUp,
    Photo,
    Quantity,
    Sample,
    Sensitivity,
    SiteRecord,
    fields_of,
)

__all__ = ["GAP", "Mask", "co_ordinates_of", "people_of"]

GAP = "[withheld]"

_PEOPLE = frozenset({
    "recorded_by", "checked_by", "director", "observer", "photographer", "drawn_by", "crew", "who", "person", "recognised_by", "by",
    "to", "staff", "proposed_by",
})  # fmt: skip
_BETWEEN_NAMES = re.compile(r"\s*(?:[,;&/()]|\band\b)\s*")
_FIGURE = re.compile(r"(?<![\w.])[-−]?\d+(?:\.\d+)?(?![\w]|\.\d)")
_LABELLED = re.compile(
    r"(?:\b[EN]\s*[:=]?\s*|(?:east|north)ing\s*[:=]?\s*)[-−]?\d+(?:\.\d+)?|[-−]?\d+(?:\.\d+)?\s*m?\s?[EN]\b", re.IGNORECASE
)
_WORD = re.compile(r"\w+")
_DIGIT = re.compile(r"\d")
_FAR = 100.0
_WORDS_OF = {
    Context.KIND: "contexts?|cuts?|fills?|layers?|structures?|of|by|over|under|above|below",
    Burial.KIND: "burials?|graves?",
    Find.KIND: "finds?|bags?",
    Photo.KIND: "photos?|frames?",
    Sample.KIND: "samples?",
    FollowUp.KIND: "follow-ups?",
}


@dataclass(frozen=True)
class Mask:
    """What must not be printed.

    Parameters
    ----------
    words : frozenset of str
        Names, initials, addresses, ids: taken out wherever they stand as whole words.
    numbers : mapping of kind to frozenset of str
        Numbers of withheld records by kind: taken out beside that kind's words (*find 33*), those of contexts also in brackets.
    co_ordinates : frozenset of str
        Co-ordinates as they are written with 0 to 3 decimals; those below 100, and whole numbers of up to four digits, are taken
        out only where they are said to be one.
        A figure of three and more digits that is said to be an easting or northing is taken out in any case.
    remains : bool
        True when the record holds possible human remains: a text that speaks of them, or that names a withheld context by its
        number or by `telling` words, is withheld whole, since sentences that are harmless alone tell more side by side.
    telling : re.Pattern or None
        The words by which withheld contexts are known.
    whole : bool
        True for the free text of a day on which remains were dealt with: all of it is withheld.
    """

    words: frozenset[str] = frozenset()
    numbers: Mapping[str, frozenset[str]] = field(default_factory=dict)
    co_ordinates: frozenset[str] = frozenset()
    remains: bool = False
    telling: re.Pattern[str] | None = None
    whole: bool = False

    @cached_property
    def _word_pattern(self) -> re.Pattern[str] | None:
        spelled = [re.escape(word) for word in self.words if len(word) > 1]
        if not spelled:
            return None
        return re.compile(r"(?<!\w)(?:" + "|".join(sorted(spelled, key=len, reverse=True)) + r")(?!\w|\.\d)")

    @cached_property
    def _number_patterns(self) -> tuple[re.Pattern[str], ...]:
        return tuple(_numbers_beside(kind, numbers) for kind, numbers in self.numbers.items() if numbers and kind in _WORDS_OF)

    def tells(self, text: str) -> bool:
        """Tell whether a text speaks of human remains, or names a withheld context by its number or its telling words."""
        if self.whole or not self.remains:
            return self.whole
        beside = self._number_pattern_of_contexts
        return bool(
            REMAINS.search(text)
            or self._names_hidden(text)
            or (self.telling is not None and self.telling.search(text))
            or (beside is not None and beside.search(text))
        )

    @cached_property
    def _number_pattern_of_contexts(self) -> re.Pattern[str] | None:
        numbers = self.numbers.get(Context.KIND)
        return _numbers_beside(Context.KIND, numbers) if numbers else None

    def text(self, text: str) -> str:
        """Return `text` without anything that must not be printed."""
        if self.tells(text):
            return GAP
        if self._word_pattern is not None:
            text = self._word_pattern.sub(GAP, text)
        for pattern in self._number_patterns:
            text = pattern.sub(lambda found: f"{found[1] or ''}{GAP}", text)
        if self.co_ordinates and _DIGIT.search(text):
            text = _LABELLED.sub(self._labelled, text)
            text = _FIGURE.sub(self._far_figure, text)
        return text

    def _names_hidden(self, part: str) -> bool:
        """Tell whether a text holds the number of a withheld context, three signs and more."""
        return bool(self._long_numbers) and not self._long_numbers.isdisjoint(_WORD.findall(part))

    @cached_property
    def _long_numbers(self) -> frozenset[str]:
        return frozenset(number for number in self.numbers.get(Context.KIND, ()) if len(number) > 2)

    def _labelled(self, found: re.Match[str]) -> str:
        figure = _FIGURE_ALONE.search(found[0])
        if figure is None:
            return found[0]
        return GAP if figure[0] in self.co_ordinates or abs(float(figure[0])) >= _FAR else found[0]

    def _far_figure(self, found: re.Match[str]) -> str:
        given = found[0].replace("−", "-")
        exact = "." in given or len(given.lstrip("-")) > 4  # a whole number of few digits is more often a context's
        return GAP if exact and abs(float(given)) >= _FAR and given in self.co_ordinates else found[0]


_FIGURE_ALONE = re.compile(r"-?\d+(?:\.\d+)?")


def _numbers_beside(kind: str, numbers: frozenset[str]) -> re.Pattern[str]:
    """Return the pattern of a kind's numbers beside its words; the first group is the word, which is kept."""
    either = "|".join(sorted(map(re.escape, numbers), key=len, reverse=True))
    bracketed = rf"|[\[(<](?:{either})[\])>]" if kind == Context.KIND else ""
    return re.compile(rf"(\b(?:{_WORDS_OF[kind]})\s+(?:number\s+|no\.?\s*)?)(?:{either})\b{bracketed}", re.IGNORECASE)


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


@cache
def _secret_fields(kind: type[Entity]) -> tuple[str, ...]:
    """Return the text fields of a kind that are not public."""
    return tuple(
        name for name, said in fields_of(kind) if said.sensitivity is not Sensitivity.PUBLIC and said.quantity is Quantity.TEXT
    )


def _secrets(entity: Entity) -> Iterator[str]:
    for name in _secret_fields(type(entity)):
        value = getattr(entity, name)
        if not isinstance(value, str):
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
