"""What the record says of how a structure was laid, of what, and on what."""

from __future__ import annotations

from baulk.reading.finding import Finding, cannot_tell
from baulk.reading.subject import Subject, mentions, numbers, share_rule

__all__ = [
    "bedding_beneath", "bonded_rubble", "cut_away", "in_construction_cut", "laid_dry", "old_mortar", "on_old_ground",
    "one_course", "pieces_upright", "soft_fired", "worn_tops",
]  # fmt: skip

_OLD_GROUND = ("old ground", "topsoil", "turf", "garden soil")
_BEDDING = ("floor make-up",)
_LOOK = "Record the laid pieces one by one"


def pieces_upright(subject: Subject) -> Finding:
    """Tell whether most pieces stand on edge or on end."""
    known = {"flat": False, "on edge": True, "on end": True}
    pieces = [(piece.id, known.get(piece.attitude or "")) for piece in subject.elements]
    if not any(shows is not None for _, shows in pieces):
        pieces = [(held.id, known.get(held.attitude or "")) for held in subject.structures]
    return share_rule("pieces_upright", pieces, "lie on edge or on end", f"{_LOOK}: flat, on edge or on end.")


def laid_dry(subject: Subject) -> Finding:
    """Tell whether most pieces were laid without a bonding agent."""
    known = {"none": True, "clinging remnant": True, "bedding": False}
    pieces = [(piece.id, known.get(piece.mortar or "")) for piece in subject.elements]
    if not any(shows is not None for _, shows in pieces):
        pieces = [
            (held.id, None if held.bonding_agent is None else held.bonding_agent == "none (dry)") for held in subject.structures
        ]
    return share_rule("laid_dry", pieces, "lie dry", f"{_LOOK} with the mortar on each; look into the joints.")


def old_mortar(subject: Subject) -> Finding:
    """Tell whether pieces bear a skin of old mortar from an earlier use."""
    known = {"none": False, "bedding": False, "clinging remnant": True}
    pieces = [(piece.id, known.get(piece.mortar or "")) for piece in subject.elements]
    test = "Lift or clean a dozen pieces and look at all faces for old mortar."
    return share_rule("old_mortar", pieces, "bear a skin of old mortar", test, one_is_enough=True)


def one_course(subject: Subject) -> Finding:
    """Tell whether the structure is one course high."""
    known = [held for held in subject.structures if held.courses]
    if not known:
        return cannot_tell(
            "one_course", "It is not recorded how many courses stand.", "Lift one piece and look for a course below it."
        )
    most = max(held.courses or 0 for held in known)
    records = tuple(held.id for held in known)
    return Finding("one_course", most == 1, f"{numbers(known)} stands {most} course{'' if most == 1 else 's'} high.", records)


def soft_fired(subject: Subject) -> Finding:
    """Tell whether most pieces are soft, low-fired brick; stone is not."""
    known = {"soft, low-fired": True, "medium": False, "hard": False, "over-fired": False, "not fired": False}
    pieces = [(piece.id, known.get(piece.firing or "")) for piece in subject.elements]
    if not any(shows is not None for _, shows in pieces):
        pieces = [(held.id, known.get(held.firing or "")) for held in subject.structures]
    return share_rule(
        "soft_fired", pieces, "are soft, low-fired brick", "Scratch and ring a dozen bricks; weigh three dry and soaked."
    )


def worn_tops(subject: Subject) -> Finding:
    """Tell whether upper faces are worn."""
    known = {"none": False, "worn": True, "polished": True, "rutted": True}
    pieces = [(piece.id, known.get(piece.wear or "")) for piece in subject.elements]
    if not any(shows is not None for _, shows in pieces):
        pieces = [(held.id, known.get(held.wear or "")) for held in subject.structures]
    return share_rule("worn_tops", pieces, "are worn on top", "Clean the upper faces and look at them in raking light.")


def on_old_ground(subject: Subject) -> Finding:
    """Tell whether an old ground surface lies sealed directly beneath, at most a bedding between."""
    rule, test = "on_old_ground", "Lift a strip of pieces, or look in the section at what lies under them."
    beneath = [
        (held, lower) for held in subject.structures for relation, lower in subject.beneath(held) if relation.how == "overlies"
    ]  # fmt: skip
    for held, lower in list(beneath):
        if lower.deposit_type in _BEDDING:
            beneath += [(held, lowest) for relation, lowest in subject.beneath(lower) if relation.how == "overlies"]
    ground = [(held, lower) for held, lower in beneath if lower.deposit_type in _OLD_GROUND]
    if ground:
        held, lower = ground[0]
        says = f"{lower.number} ({lower.deposit_type}) lies sealed directly beneath {held.number}."
        return Finding(rule, True, says, (held.id, lower.id))
    known = [pair for pair in beneath if pair[1].deposit_type is not None and pair[1].deposit_type not in _BEDDING]
    if not known:
        return cannot_tell(rule, "What lies directly beneath is not recorded by its kind.", test)
    says = (
        f"Beneath {numbers(held for held, _ in known[:1])} lies {known[0][1].number} ({known[0][1].deposit_type}), no old ground."
    )
    return Finding(rule, False, says, (known[0][0].id, known[0][1].id))


def in_construction_cut(subject: Subject) -> Finding:
    """Tell whether the structure stands in a cut made for it."""
    rule, test = "in_construction_cut", "Cut a narrow section across the edge, down to undisturbed soil, and look for a cut."
    for held in subject.structures:
        cut = subject.record.get(type(held), held.construction_cut)
        fills = [(relation, lower) for relation, lower in subject.beneath(held) if relation.how == "fills"]
        if cut is not None or fills:
            found = cut if cut is not None else fills[0][1]
            return Finding(rule, True, f"{held.number} stands in cut {found.number}.", (held.id, found.id))
    absent = [held for held in subject.structures if held.absences.get("construction_cut") in ("not visible", "not applicable")]
    if absent:
        says = f"No cut for {numbers(absent)} is to be seen."
        return Finding(rule, False, says, tuple(held.id for held in absent))
    return cannot_tell(rule, "It is not recorded whether it stands in a cut.", test)


def bonded_rubble(subject: Subject) -> Finding:
    """Tell whether bonded or mortared rubble lies on or against the structure."""
    rule = "bonded_rubble"
    about = [
        upper for held in subject.structures for relation, upper in subject.above(held) if relation.how in ("overlies", "abuts")
    ]  # fmt: skip
    if not about:
        test = "Record what lies on and against it, with its inclusions, before it is taken away."
        return cannot_tell(rule, "What lies on and against it is not recorded.", test)
    rubble = [
        held
        for held in about
        if held.texture in ("brick rubble", "stone rubble", "mortar")
        or held.deposit_type in ("demolition", "collapse")
        or mentions(held.inclusions, ("mortared", "bonded", "rubble", "frequent mortar", "abundant mortar"))
    ]
    records = tuple(held.id for held in (rubble or about))
    says = f"{numbers(rubble)} on or against it holds rubble." if rubble else f"No rubble is recorded in {numbers(about)} on it."
    return Finding(rule, bool(rubble), says, records)


def bedding_beneath(subject: Subject) -> Finding:
    """Tell whether a bedding of its own lies under the structure."""
    rule = "bedding_beneath"
    beneath = [lower for held in subject.structures for relation, lower in subject.beneath(held) if relation.how == "overlies"]
    if not beneath:
        return cannot_tell(rule, "What lies directly beneath is not recorded.", "Lift three pieces and record what they lie on.")
    bedding = [held for held in beneath if held.deposit_type in _BEDDING or mentions(held.title, ("bedding",))]
    says = f"{numbers(bedding)} beds it." if bedding else f"It lies on {numbers(beneath)} without a bedding of its own."
    return Finding(rule, bool(bedding), says, tuple(held.id for held in (bedding or beneath)))


def cut_away(subject: Subject) -> Finding:
    """Tell whether a later cut took part of it away."""
    cutting = [
        upper
        for held in (*subject.structures, *subject.cuts, *subject.deposits)
        for relation, upper in subject.above(held)
        if relation.how == "cuts"
    ]
    if cutting:
        return Finding("cut_away", True, f"It is cut by {numbers(cutting)}.", tuple(held.id for held in cutting))
    if not subject.contexts:
        return cannot_tell("cut_away", "The question names no context.", "Name the contexts that the question is about.")
    return Finding("cut_away", False, "No cut through it is recorded.", tuple(held.id for held in subject.contexts))
