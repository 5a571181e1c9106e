"""Cautions for a unit: sides, way out, spoil, inspection, and human remains."""

from __future__ import annotations

from dataclasses import dataclass

from baulk.closing.thresholds import (
    EGRESS_DEPTH,
    ENGINEER_DEPTH,
    PROTECTION_DEPTH,
    REACH_OF_EGRESS,
    RULE_OF_THUMB_DEPTH,
    SPOIL_DISTANCE,
    egress_needed,
    engineer_needed,
    protection_needed,
)
from baulk.errors import UnknownRecord
from baulk.quantities import INTERNATIONAL_FOOT, LengthUnit
from baulk.record import Burial, Context, DayEntry, Find, SiteRecord, Unit

__all__ = ["DEFER", "Caution", "cautions", "remains_caution"]

DEFER = "Defer to your competent person and local code. This is a caution and no legal advice."
"""Stands once wherever cautions are shown."""

_CODE = "29 CFR 1926"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Parameters
    ----------
    topic : str
        Cave-in, egress, spoil, inspection, engineer or human remains.
    says : str
        What to mind, with numbers in metres and feet, the site's own first.
    source : str
        Where it comes from.
    records : tuple of str
        Ids of the records that raise it.
    restricted : bool
        Whether it is left out of public outputs.
    """

    topic: str
    says: str
    source: str
    records: tuple[str, ...] = ()
    restricted: bool = False


def cautions(record: SiteRecord, unit_id: str) -> tuple[Caution, ...]:
    """Return the cautions for a unit, human remains first.

    Parameters
    ----------
    record : SiteRecord
    unit_id : str
        Id of the unit. Its greatest depth is the largest of the depths given for the unit and on its diary days; while none is
        given the cautions that hang on depth are all shown.

    Returns
    -------
    tuple of Caution
        Never empty: no depth and no soil clears a unit.

    Raises
    ------
    UnknownRecord
        When the record has no such unit.
    """
    unit = record.get(Unit, unit_id)
    if unit is None:
        raise UnknownRecord("unit", unit_id, [known.number or known.id for known in record.all(Unit)])
    depth, both = _depth(record, unit), _Lengths(record.length_unit)
    return (*_remains(record, unit), *_sides(unit, depth, both), *_way_out(unit, depth, both), *_always(unit, both))


def _depth(record: SiteRecord, unit: Unit) -> float | None:
    days = record.pointing_at(DayEntry, "unit", unit.id)
    given = [unit.depth, *(unit.depth_by_day or ()), *(day.depth for day in days)]
    held = [depth * record.metres for depth in given if depth is not None]
    return max(held, default=None)


class _Lengths:
    """Writes a length in metres and in feet, the site's own first."""

    def __init__(self, own: LengthUnit) -> None:
        self._feet_first = own is not LengthUnit.METRE

    def __call__(self, metres: float, places: int = 2) -> str:
        """Return the length both ways."""
        metric, feet = f"{metres:.{places}f} m", f"{metres / INTERNATIONAL_FOOT:.1f} ft"
        return f"{feet} ({metric})" if self._feet_first else f"{metric} ({feet})"


def _sides(unit: Unit, depth: float | None, both: _Lengths) -> tuple[Caution, ...]:
    ground = (
        "All ground here was dug, filled or walked on before: it is never taken for stable (never Type A), however firm it looks."
    )
    records = (unit.id,)
    found = []
    if depth is None:
        says = f"The depth of the unit is not on record. From {both(PROTECTION_DEPTH)} the sides must be protected. {ground}"
    elif protection_needed(depth):
        says = (
            f"The unit is {both(depth)} deep; from {both(PROTECTION_DEPTH)} the sides must be sloped, shored or shielded unless "
            f"the unit is cut wholly in stable rock. {ground}"
        )
    else:
        says = (
            f"The unit is {both(depth)} deep. Less than {both(PROTECTION_DEPTH)} is not safe by itself: a competent person must "
            f"look for signs of a cave-in. {ground}"
        )
    found.append(Caution("cave-in", says, f"{_CODE}.652(a)(1); disturbed ground: Appendix A, from memory", records))
    if depth is None or depth >= RULE_OF_THUMB_DEPTH:
        says = (
            f"No ground can be relied on to stand unsupported. {both(RULE_OF_THUMB_DEPTH, 1)} is a rule of thumb and no legal line."
        )
        found.append(Caution("cave-in", says, "British health and safety guidance", records))
    if depth is not None and engineer_needed(depth):
        says = f"The unit is {both(depth)} deep; below {both(ENGINEER_DEPTH)} a registered engineer designs the protection."
        found.append(Caution("engineer", says, f"{_CODE} Subpart P, Appendices B and F", records))
    return tuple(found)


def _way_out(unit: Unit, depth: float | None, both: _Lengths) -> tuple[Caution, ...]:
    if depth is not None and not egress_needed(depth):
        return ()
    says = (
        f"From {both(EGRESS_DEPTH)} of depth a ladder, stair or ramp stands within {both(REACH_OF_EGRESS)} of everyone in the "
        "unit. The rule speaks of trenches; take it as asked for in a square unit too."
    )
    return (Caution("egress", says, f"{_CODE}.651(c)(2)", (unit.id,)),)


def _always(unit: Unit, both: _Lengths) -> tuple[Caution, ...]:
    return (
        Caution(
            "spoil",
            f"Keep spoil, tools and buckets at least {both(SPOIL_DISTANCE)} from the edge, or hold them back.",
            f"{_CODE}.651(j)(2)",
            (unit.id,),
        ),
        Caution(
            "inspection",
            "A competent person inspects the unit every day before work, and again after rain or whatever adds to the danger.",
            f"{_CODE}.651(k)(1)",
            (unit.id,),
        ),
    )


def _remains(record: SiteRecord, unit: Unit) -> tuple[Caution, ...]:
    contexts = record.pointing_at(Context, "units", unit.id)
    held = [burial.id for context in contexts for burial in record.pointing_at(Burial, "contexts", context.id)]
    bone = [
        find.id for context in contexts for find in record.pointing_at(Find, "context", context.id) if find.material == "human bone"
    ]
    shaped = [
        context.id for context in contexts if context.kind == "cut" and (context.cut_function == "grave" or _grave_like(context))
    ]
    records = tuple(dict.fromkeys([*held, *bone, *shaped]))
    return (remains_caution(record, records),) if records else ()


def remains_caution(record: SiteRecord, records: tuple[str, ...]) -> Caution:
    """Return the caution that possible human remains call for: stop, cover, notify, leave in place.

    Parameters
    ----------
    record : SiteRecord
        Gives the distance set for the site.
    records : tuple of str
        Ids of the records that raise it.
    """
    radius = record.site.stop_radius
    where = (
        f"within {_distance(record, radius)}, as set for this site"
        if radius is not None
        else "nearby; set the distance for your site"
    )
    says = (
        f"Possible human remains: stop work {where}, cover, secure, and notify the coroner or medical examiner and the state "
        "archaeologist or other authority at once. Leave in place; do not dig to prove it. Do more only with written authority."
    )
    return Caution(
        "human remains",
        says,
        "published state statutes and federal guidance; likeness of a cut to a grave: our judgement, no source",
        records,
        restricted=True,
    )


def _distance(record: SiteRecord, radius: float) -> str:
    """Return a distance as the site set it, in metres beside it where it was set in feet."""
    metric = f"{radius * record.metres:.0f} m"
    return metric if record.length_unit is LengthUnit.METRE else f"{radius:.0f} ft ({metric})"


def _grave_like(context: Context) -> bool:
    """Tell whether a cut is two to three times as long as wide and lies within 30 degrees of east–west on the grid."""
    if not context.length or not context.width or context.orientation is None:
        return False
    long, short = max(context.length, context.width), min(context.length, context.width)
    return 2.0 <= long / short <= 3.0 and abs(context.orientation % 180.0 - 90.0) <= 30.0
