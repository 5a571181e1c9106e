"""Jurisdiction profiles: which rules are asked, which block, and the figures they are held against.

A profile is data. Those below are named neutrally; statutes and agencies change, and a site's own profile is read from text.
Nothing here is legal advice.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from baulk.closing.limits import HOUSE_LIMITS, LIMIT_MEANINGS, Limits
from baulk.closing.rule import Rule, Severity
from baulk.closing.rules import PROFILE_RULES, RULES
from baulk.errors import FieldError, UnknownRecord, did_you_mean

__all__ = ["HOUSE", "PROFILES", "Profile", "profile_from_text", "profile_named"]

_KEYS = ("name", "title", "source", "based_on", "add", "drop", "block", "free", "severity", "limits")


@dataclass(frozen=True, slots=True)
class Profile:
    """One set of rules.

    Parameters
    ----------
    name, title, source : str
        What it is called, one sentence on it, and where it comes from.
    rules : mapping of rule number to Rule
        The rules that are asked, in order of number.
    limits : Limits
        The figures they are held against.
    """

    name: str
    title: str
    source: str
    rules: Mapping[str, Rule] = field(default_factory=lambda: RULES)
    limits: Limits = HOUSE_LIMITS


HOUSE = Profile("house", "The house rules: every rule of the checklist that the record can answer.", "our judgement; see each rule")


def _made(name: str, title: str, *, add: Sequence[str], drop: Sequence[str], limits: Limits) -> Profile:
    rules = {**{number: rule for number, rule in RULES.items() if number not in drop}, **{key: PROFILE_RULES[key] for key in add}}
    return Profile(
        name, title, "published state guidance, read in part; check it with your agency", MappingProxyType(rules), limits
    )


PROFILES: Mapping[str, Profile] = MappingProxyType(
    {
        profile.name: profile
        for profile in (
            HOUSE,
            _made(
                "US state profile: two contiguous walls",
                "At least two walls that meet are drawn, 20 cm are dug below the last finds, and the mesh is 1/4 inch or finer.",
                add=("P01", "P02", "P03"),
                drop=("B35",),
                limits=replace(HOUSE_LIMITS, walls_to_draw=2, walls_contiguous=1, sterile_depth=0.20, largest_mesh=6.35),
            ),
            _made(
                "US state profile: one wall and base photograph",
                "At least one wall is drawn and the base is photographed.",
                add=("P01",),
                drop=("B35",),
                limits=replace(HOUSE_LIMITS, walls_to_draw=1),
            ),
            _made(
                "Smallest drawing scales",
                "The house rules, with plans and sections at 1:20 or larger.",
                add=("P04",),
                drop=(),
                limits=HOUSE_LIMITS,
            ),
        )
    }
)
"""The profiles that come with Baulk, by name."""


def profile_named(name: str | None) -> Profile:
    """Return the profile of that name; the house rules when it is blank.

    Raises
    ------
    UnknownRecord
        When no profile has the name; near names are offered.
    """
    if not name or not name.strip():
        return HOUSE
    folded = name.strip().casefold()
    for profile in PROFILES.values():
        if profile.name.casefold() == folded:
            return profile
    raise UnknownRecord("jurisdiction profile", name, list(PROFILES))


def profile_from_text(text: str) -> Profile:
    """Return a site's own profile from TOML text.

    Parameters
    ----------
    text : str
        Keys ``name``, ``title``, ``source``, ``based_on`` (name of a profile that comes with Baulk), ``add``, ``drop``,
        ``block`` and ``free`` (lists of rule numbers: ask it, do not ask it, put it on the stop-list, take it off), and the
        tables ``[severity]`` (rule number to severity) and ``[limits]``.

    Returns
    -------
    Profile

    Raises
    ------
    FieldError
        When the text is no TOML or a key, rule number or value is not known; the key is named.

    Examples
    --------
    >>> profile = profile_from_text('name = "Ours"' + chr(10) + 'drop = ["B63"]')
    >>> "B63" in profile.rules, "B62" in profile.rules
    (False, True)
    """
    try:
        given = tomllib.loads(text)
    except tomllib.TOMLDecodeError as refusal:
        raise _fault("", "text", text.strip()[:40], f"It cannot be read as TOML: {refusal}.") from None
    name = given.get("name")
    if not isinstance(name, str) or not name.strip():
        raise _fault("", "name", name, 'Every profile has a name, as in name = "Our county".')
    for key in given:
        if key not in _KEYS:
            raise _fault(name, key, given[key], f"A profile has no such key.{did_you_mean(key, _KEYS)}")
    base = _base(name, given.get("based_on"))
    return Profile(
        name.strip(),
        str(given.get("title", base.title)),
        str(given.get("source", "set by the site")),
        MappingProxyType(_rules(name, given, base.rules)),
        _limits(name, given.get("limits", {}), base.limits),
    )


def _fault(name: str, key: str, given: object, rule: str) -> FieldError:
    return FieldError("jurisdiction profile", key, given, rule, number=name, next_step="Mend the text and read it again.")


def _base(name: str, given: object) -> Profile:
    try:
        return profile_named(given if isinstance(given, str) else None)
    except UnknownRecord:
        raise _fault(name, "based_on", given, f"It is one of: {'; '.join(PROFILES)}.") from None


def _numbers(name: str, key: str, given: object) -> list[str]:
    known = (*RULES, *PROFILE_RULES)
    if not isinstance(given, list):
        raise _fault(name, key, given, 'It is a list of rule numbers, as in ["B35", "B63"].')
    for number in given:
        if number not in known:
            raise _fault(name, key, number, f"There is no such rule that the record can answer.{did_you_mean(str(number), known)}")
    return [str(number) for number in given]


def _rules(name: str, given: Mapping[str, Any], base: Mapping[str, Rule]) -> dict[str, Rule]:
    rules = dict(base)
    for number in _numbers(name, "add", given.get("add", [])):
        rules[number] = PROFILE_RULES.get(number) or RULES[number]
    for key, blocks in (("block", True), ("free", False)):
        for number in _numbers(name, key, given.get(key, [])):
            if number not in rules:
                raise _fault(name, key, number, "The profile does not ask this rule: add it first.")
            rules[number] = replace(rules[number], blocks=blocks)
    rules.update(_severities(name, given.get("severity", {}), rules))
    for number in _numbers(name, "drop", given.get("drop", [])):
        rules.pop(number, None)
    return dict(sorted(rules.items()))


def _severities(name: str, given: object, rules: Mapping[str, Rule]) -> dict[str, Rule]:
    words = [str(severity) for severity in Severity]
    if not isinstance(given, dict):
        raise _fault(name, "severity", given, f"It is a table from rule number to one of: {'; '.join(words)}.")
    changed = {}
    for number, word in given.items():
        if number not in rules:
            raise _fault(
                name, f"severity.{number}", word, f"The profile does not ask such a rule.{did_you_mean(number, list(rules))}"
            )
        if word not in words:
            raise _fault(name, f"severity.{number}", word, f"A severity is one of: {'; '.join(words)}.")
        changed[number] = replace(rules[number], severity=Severity(word))
    return changed


def _limits(name: str, given: object, base: Limits) -> Limits:
    if not isinstance(given, dict):
        raise _fault(name, "limits", given, "It is a table, as in [limits] and below it sterile_depth = 0.2.")
    for key, value in given.items():
        if key not in LIMIT_MEANINGS:
            raise _fault(name, f"limits.{key}", value, f"There is no such limit.{did_you_mean(key, list(LIMIT_MEANINGS))}")
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value) or value < 0:
            raise _fault(name, f"limits.{key}", value, f"It is a number, 0 or more: {LIMIT_MEANINGS[key][0]}.")
    return replace(base, **{str(key): float(value) for key, value in given.items()})
