"""What the record says of a cut and of what fills it."""

from __future__ import annotations

from baulk.reading.finding import Finding, cannot_tell
from baulk.reading.subject import Subject, mentions, numbers
from baulk.record import Burial, Context

__all__ = [
    "bone_or_coffin", "drain_in_cut", "fill_texture_step", "flat_base", "mixed_fill", "nails_in_fill", "plan_long",
    "plan_rectangular", "plan_round", "pointed_base", "quick_backfill", "runs_east_west",
]  # fmt: skip

EAST_WEST_WITHIN = 30.0
"""Degrees from grid east-west within which a cut counts as lying east and west (house value)."""

_SHAPES = {
    "rectangular": ("rectangular", "sub-rectangular", "square"),
    "round": ("circular", "sub-circular", "oval"),
    "long": ("linear", "curvilinear"),
}
_BONE = "Do not dig to find out: stop, cover and notify."


def _plan(rule: str, subject: Subject, shapes: tuple[str, ...], words: str) -> Finding:
    known = [cut for cut in subject.cuts if cut.plan_shape not in (None, "not known")]
    if not known:
        return cannot_tell(
            rule, "The shape in plan is not recorded.", "Trowel the edge clean and plan the shape before digging on."
        )
    seen = any(cut.plan_shape in shapes for cut in known)
    says = "; ".join(f"{cut.number} is {cut.plan_shape} in plan" for cut in known)
    return Finding(rule, seen, f"{says}{'' if seen else f', not {words}'}.", tuple(cut.id for cut in known))


def plan_rectangular(subject: Subject) -> Finding:
    """Tell whether the cut is rectangular in plan."""
    return _plan("plan_rectangular", subject, _SHAPES["rectangular"], "rectangular")


def plan_round(subject: Subject) -> Finding:
    """Tell whether the cut is round or oval in plan."""
    return _plan("plan_round", subject, _SHAPES["round"], "round")


def plan_long(subject: Subject) -> Finding:
    """Tell whether the cut is linear in plan, or at least four times as long as wide."""
    found = _plan("plan_long", subject, _SHAPES["long"], "linear")
    if found.seen is False:
        long = [cut for cut in subject.cuts if cut.length and cut.width and cut.length >= 4 * cut.width]
        if long:
            says = f"{numbers(long)} is at least four times as long as wide."
            return Finding("plan_long", True, says, tuple(cut.id for cut in long))
    return found


def runs_east_west(subject: Subject) -> Finding:
    """Tell whether the long axis of the cut lies within thirty degrees of true east and west, if the grid's turn is known."""
    rule = "runs_east_west"
    known = [(cut, cut.orientation) for cut in subject.cuts if cut.orientation is not None]
    if not known:
        return cannot_tell(rule, "The orientation is not recorded.", "Measure the bearing of the long axis against the grid.")
    turned = subject.record.site.grid_rotation
    seen = any(abs((bearing + (turned or 0)) % 180 - 90) <= EAST_WEST_WITHIN for _, bearing in known)
    against = "grid north" if turned is None else f"grid north, which bears {turned:g}° from true north"
    says = "; ".join(f"the long axis of {cut.number} bears {bearing:g}° from {against}" for cut, bearing in known)
    return Finding(rule, seen, f"{says[0].upper()}{says[1:]}.", tuple(cut.id for cut, _ in known))


def _of_cut(rule: str, subject: Subject, field: str, shapes: tuple[str, ...], unknown: tuple[str, ...], test: str) -> Finding:
    known = [(cut, getattr(cut, field)) for cut in subject.cuts if getattr(cut, field) not in (None, *unknown)]
    if not known:
        return cannot_tell(rule, f"The {field.replace('_', ' ')} is not recorded.", test)
    seen = any(word in shapes for _, word in known)
    says = "; ".join(f"the {field.replace('_', ' ')} of {cut.number} is {word}" for cut, word in known)
    return Finding(rule, seen, f"{says[0].upper()}{says[1:]}.", tuple(cut.id for cut, _ in known))


def flat_base(subject: Subject) -> Finding:
    """Tell whether the base is flat."""
    return _of_cut("flat_base", subject, "base_shape", ("flat",), ("not reached",), "Half-section it and record the base.")


def pointed_base(subject: Subject) -> Finding:
    """Tell whether the base tapers to a point."""
    test = "Half-section it and record the base."
    return _of_cut("pointed_base", subject, "base_shape", ("tapered point", "V-shaped"), ("not reached",), test)


def mixed_fill(subject: Subject) -> Finding:
    """Tell whether the fill is mixed of the layers that were dug through: the words mixed, mottled or lumps stand in its record."""
    rule, test = "mixed_fill", "Trowel the fill clean, wet it, and record whether it is mixed of the layers round about."
    told = [fill for fill in subject.fills if fill.description or fill.inclusions or fill.told_apart_by]
    if not told:
        return cannot_tell(rule, "The fill is not described.", test)
    words = ("mixed", "mixture", "mottled", "lump", "clods", "redeposited")
    mixed = [
        fill for fill in told if any(mentions(text, words) for text in (fill.description, fill.inclusions, fill.told_apart_by))
    ]  # fmt: skip
    records = tuple(fill.id for fill in (mixed or told))
    return Finding(rule, bool(mixed), f"Fill {numbers(mixed or told)} is {'' if mixed else 'not '}told as mixed.", records)


def quick_backfill(subject: Subject) -> Finding:
    """Tell whether the cut was filled in at once rather than silting up."""
    rule, test = "quick_backfill", "Half-section it and look for lenses of silt or wash at the base and sides."
    known = [
        (fill, fill.deliberate == "deliberate" or fill.formation == "dumped")
        for fill in subject.fills
        if fill.deliberate in ("deliberate", "gradual") or fill.formation in ("dumped", "silted", "accumulated")
    ]
    if not known:
        return cannot_tell(rule, "It is not recorded whether it was filled at once or silted up.", test)
    slow = [fill for fill, quick in known if not quick]
    says = f"{numbers(slow)} gathered slowly." if slow else f"{numbers(fill for fill, _ in known)} was thrown in."
    return Finding(rule, not slow, says, tuple(fill.id for fill, _ in known))


def fill_texture_step(subject: Subject) -> Finding:
    """Tell whether the fill differs in texture from everything it is cut through."""
    rule = "fill_texture_step"
    known = [(fill, other) for fill, other in subject.fill_pairs if fill.texture and other.texture]
    if not known:
        test = "Feel the texture of the fill and of each layer it is cut through, side by side."
        return cannot_tell(rule, "The textures of the fill and of what it is cut through are not both recorded.", test)
    same = [(fill, other) for fill, other in known if fill.texture == other.texture]
    fill, other = (same or known)[0]
    says = f"Fill {fill.number} is {fill.texture}, {other.number} is {other.texture}."
    return Finding(rule, not same, says, (fill.id, other.id))


def drain_in_cut(subject: Subject) -> Finding:
    """Tell whether a drain or culvert was laid in the cut; that none is recorded tells nothing while the base is not seen."""
    rule = "drain_in_cut"
    laid = [
        (upper, cut)
        for cut in subject.cuts
        for relation, upper in subject.above(cut)
        if relation.how == "fills" and upper.structure_type in ("drain", "culvert")
    ]
    if laid:
        structure, cut = laid[0]
        return Finding(rule, True, f"Drain {structure.number} lies in {cut.number}.", (structure.id, cut.id))
    seen = [cut for cut in subject.cuts if cut.base_shape not in (None, "not reached") and cut.section_share in ("half", "full")]
    if not seen:
        return cannot_tell(rule, "Its base was not seen, and no drain in it is recorded.", "Expose half a metre of its base.")
    return Finding(rule, False, f"No drain lies in {numbers(seen)}.", tuple(cut.id for cut in seen))


def nails_in_fill(subject: Subject) -> Finding:
    """Tell whether nails lie in the fill."""
    rule = "nails_in_fill"
    nails = [find for find in subject.finds if mentions(find.object, ("nail", "coffin"))]
    told = [fill for fill in subject.fills if mentions(fill.inclusions, ("nail",)) or mentions(fill.description, ("nail",))]
    if nails or told:
        records = (*(find.id for find in nails), *(fill.id for fill in told))
        return Finding(rule, True, f"Nails are recorded in {numbers(told) if told else 'its finds'}.", records)
    dug = [fill for fill in subject.fills if fill.dug]
    if not dug:
        return cannot_tell(rule, "Nothing of the fill was dug, and no nail is recorded.", _BONE)
    return Finding(rule, False, f"No nail is recorded in {numbers(dug)}.", tuple(fill.id for fill in dug))


def bone_or_coffin(subject: Subject) -> Finding:
    """Tell whether human bone or coffin wood belongs to the cut; that none is seen is never an answer."""
    rule = "bone_or_coffin"
    about = {held.id for held in (*subject.cuts, *subject.fills)}
    bone = [find.id for find in subject.finds if find.material == "human bone" or mentions(find.object, ("coffin",))]
    wood = [
        held.id
        for held in subject.record.all(Context)
        if held.timber_type == "coffin" and about & {lower.id for _, lower in subject.beneath(held)}
    ]
    if bone or wood:
        return Finding(rule, True, "Human bone or a coffin is recorded.", (*bone, *wood))
    logged = [held.id for held in subject.record.all(Burial) if about & set(held.contexts or ())]
    note = " It stands in the burial log as a possible burial." if logged else ""
    return cannot_tell(rule, f"No bone and no coffin is recorded, which tells nothing where nothing was dug.{note}", _BONE)
