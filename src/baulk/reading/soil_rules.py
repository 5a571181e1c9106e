"""What the record says of a deposit: its colour, its edges, what it holds, what seals it, and voids."""

from __future__ import annotations

from baulk.reading.finding import Finding, cannot_tell
from baulk.reading.subject import Subject, mentions, numbers
from baulk.record import Context

__all__ = [
    "building_rubble", "burnt_place", "dark_soil", "firm_top", "gradual_base", "mixed_lumps", "roots_in_fill", "sealed_above",
    "tip_lines", "void_near", "waste_held",
]  # fmt: skip

DARK_VALUE = 3.0
"""Munsell value (and chroma) at and below which a moist soil counts as dark (house value)."""


def _soils(subject: Subject) -> tuple[Context, ...]:
    return (*subject.deposits, *subject.fills)


def dark_soil(subject: Subject) -> Finding:
    """Tell whether the moist soil is dark: value and chroma of 3 or less."""
    known = [held for held in _soils(subject) if held.colour_moist]
    if not known:
        return cannot_tell("dark_soil", "No moist colour is recorded.", "Read the moist Munsell colour.")
    dark = []
    for held in known:
        value, _, chroma = (held.colour_moist or "").rpartition(" ")[2].partition("/")
        if float(value) <= DARK_VALUE and float(chroma) <= DARK_VALUE:
            dark.append(held)
    says = "; ".join(f"{held.number} is {held.colour_moist}" for held in known)
    return Finding("dark_soil", bool(dark), f"{says}.", tuple(held.id for held in (dark or known)))


def gradual_base(subject: Subject) -> Finding:
    """Tell whether the boundary to what lies below is gradual or diffuse."""
    known = [held for held in subject.deposits if held.boundary in ("sharp", "clear", "gradual", "diffuse")]
    if not known:
        test = "Clean a section through the boundary and measure over how many centimetres it changes."
        return cannot_tell("gradual_base", "The boundary below is not recorded.", test)
    says = "; ".join(f"the boundary below {held.number} is {held.boundary}" for held in known)
    seen = any(held.boundary in ("gradual", "diffuse") for held in known)
    return Finding("gradual_base", seen, f"{says[0].upper()}{says[1:]}.", tuple(held.id for held in known))


def sealed_above(subject: Subject) -> Finding:
    """Tell whether something lies over it: it is buried."""
    over = [upper for held in subject.contexts for relation, upper in subject.above(held) if relation.how == "overlies"]
    if over:
        return Finding("sealed_above", True, f"{numbers(over)} lies over it.", tuple(held.id for held in over))
    return cannot_tell("sealed_above", "Nothing is recorded as lying over it.", "Record what lay over it, from the sections.")


def _inclusions(
    rule: str, subject: Subject, words: tuple[str, ...], what: str, test: str, passed_over: tuple[str, ...]
) -> Finding:  # fmt: skip
    told = [held for held in _soils(subject) if held.inclusions or held.texture]
    seen = [held for held in told if mentions(held.texture, words) or mentions(_without(held.inclusions, passed_over), words)]
    if seen:
        return Finding(rule, True, f"{numbers(seen)} holds {what}.", tuple(held.id for held in seen))
    dug = [held for held in told if held.dug != 0]
    if not dug:
        return cannot_tell(rule, f"No {what} is recorded, and nothing was dug or told of its inclusions.", test)
    return Finding(rule, False, f"No {what} worth the name is recorded in {numbers(dug)}.", tuple(held.id for held in dug))


def _without(text: str | None, passed_over: tuple[str, ...]) -> str:
    """Return the inclusions without those that are told as too few."""
    return ", ".join(part for part in (text or "").split(",") if not mentions(part, passed_over))


def building_rubble(subject: Subject) -> Finding:
    """Tell whether it holds more than occasional brick, stone rubble or mortar."""
    words = ("brick", "mortar", "rubble", "tile", "plaster", "slate")
    return _inclusions(
        "building_rubble", subject, words, "building rubble", "Sort and weigh the rubble of ten litres.", ("rare", "occasional")
    )


def waste_held(subject: Subject) -> Finding:
    """Tell whether it holds more than rare refuse of house or trade."""
    words = ("glass", "clinker", "slag", "bone", "shell", "ceramic", "sherd", "crucible", "waste", "ash", "refuse")
    return _inclusions("waste_held", subject, words, "refuse", "Sieve and sort ten litres; count by kind.", ("rare",))


def _described(rule: str, subject: Subject, words: tuple[str, ...], what: str, test: str) -> Finding:
    told = [held for held in _soils(subject) if held.description]
    if not told:
        return cannot_tell(rule, "It is not described.", test)
    seen = [held for held in told if any(mentions(text, words) for text in (held.description, held.reasons, held.inclusions))]
    if seen:
        return Finding(rule, True, f"{numbers(seen)} is told to have {what}.", tuple(held.id for held in seen))
    return cannot_tell(rule, f"Nobody says whether {numbers(told)} has {what}.", test)


def mixed_lumps(subject: Subject) -> Finding:
    """Tell whether lumps of other soils stand in its record."""
    test = "Break a clean face and look for lumps of other soils."
    return _described("mixed_lumps", subject, ("mixed", "lump", "mottled", "clods"), "lumps of other soils", test)


def tip_lines(subject: Subject) -> Finding:
    """Tell whether tip lines stand in its record."""
    test = "Clean the section in raking light and look for tip lines."
    return _described("tip_lines", subject, ("tip line", "tip-line", "tipped", "lenses"), "tip lines or lenses", test)


def firm_top(subject: Subject) -> Finding:
    """Tell whether a trodden or compacted top stands in its record."""
    test = "Trowel the top clean over half a square metre and test how it yields against what lies below."
    return _described("firm_top", subject, ("trodden", "trampled", "compacted", "worn"), "a trodden top", test)


def roots_in_fill(subject: Subject) -> Finding:
    """Tell whether roots, bark or rotted wood stand in the record of its own soil."""
    words = ("root", "bark", "rotted", "rotten")
    return _described(
        "roots_in_fill", subject, words, "traces of roots or wood", "Half-section it and look for root voids and bark."
    )


def burnt_place(subject: Subject) -> Finding:
    """Tell whether the ground was burnt where it lies."""
    test = "Section it: reddened soil that fades downward was burnt in place."
    known = [held for held in _soils(subject) if held.formation is not None]
    burnt = [
        held
        for held in known
        if held.formation == "burnt" or mentions(held.description, ("reddened", "scorched", "burnt in place"))
    ]
    if burnt:
        return Finding("burnt_place", True, f"{numbers(burnt)} was burnt where it lies.", tuple(held.id for held in burnt))
    return cannot_tell("burnt_place", "No burning in place is recorded.", test)


def void_near(subject: Subject) -> Finding:
    """Tell whether a void, or a root that decayed, lies in, under or beside it: pieces may have sunk."""
    rule = "void_near"
    near = {held.id: held for held in (*subject.contexts, *subject.fills)}
    for held in tuple(near.values()):
        for _, lower in (*subject.beneath(held), *subject.above(held)):
            near.setdefault(lower.id, lower)
    beside = [
        other for held in tuple(near.values()) for relation, other in subject.above(held) if relation.how in ("cuts", "fills")
    ]
    near.update({held.id: held for held in beside})
    voids = [
        held
        for held in near.values()
        if held.disturbance_type in ("roots", "collapse")
        or held.timber_type == "root"
        or mentions(held.description, ("void", "root hole", "rotted"))
    ]
    if voids:
        says = f"{numbers(voids)} tells of a void or a decayed root: pieces beside it may have sunk."
        return Finding(rule, True, says, tuple(held.id for held in voids))
    return cannot_tell(
        rule, "No void is recorded in, under or beside it.", "Probe for voids under and beside it before levels are trusted."
    )
