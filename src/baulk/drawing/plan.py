"""The plan of a unit: what lies where, as seen from above, earliest beneath latest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from baulk.drawing.labels import Places, tag_form, tag_size
from baulk.drawing.look import BURIAL
from baulk.drawing.paper import Frame, Letters, millimetres_per, unit_word
from baulk.drawing.plan_choice import Choice, choose, in_order, outlined
from baulk.drawing.plan_ground import Laid, context_group, label_spots, laid_in_order
from baulk.drawing.plan_points import corner_groups, point_groups, points_on, wall_groups
from baulk.drawing.scene import Group, Line, Scene, Shape, Spot
from baulk.drawing.sheet import MARGIN, RESTRICTED_WARNING, Sheet, Title, days_text, joined, withheld_notes
from baulk.errors import InputError, UnknownRecord, shorten
from baulk.record import Burial, Context, Drawing, Outline, Position, SiteRecord, Unit, Wall, natural_number, withheld_contexts

__all__ = ["plan_drawing", "sequence_of_plans"]

_NARROWEST = 118.0


def plan_drawing(
    record: SiteRecord,
    unit_id: str,
    *,
    scale: float = 20,
    contexts: Sequence[str] | None = None,
    order: Sequence[str] | None = None,
    sheet: Drawing | None = None,
    restricted: bool = False,
    public: bool = False,
) -> Scene:
    """Return the plan of a unit.

    Parameters
    ----------
    record, unit_id
        The site's record and the id of the unit.
    scale
        20 for 1:20.
    contexts
        Ids of the contexts to draw; None for every context of the unit that has an outline, less the layers over the whole unit
        that would hide the features; the drawing says which.
    order
        Ids of contexts, earliest first; contexts not in it lie beneath the others. None: the lowest number is taken as latest,
        and the drawing says so.
    sheet
        The sheet of the drawing register that this is: its title block then names that sheet alone. None: every sheet that holds
        an outline which is drawn.
    restricted
        True to draw burials and what would give one away; the sheet then says that it is restricted.
    public
        True to write no grid position and no person's name.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    InputError
        When neither the unit's corners nor an outline in it are on record.
    MeasureError
        When the scale cannot be used.
    """
    unit = _unit(record, unit_id)
    chosen = choose(record, unit, contexts, order, restricted=restricted)
    frame, width = _frame(record, unit, chosen, scale)
    title = _title(record, unit, chosen, scale, only=sheet, public=public)
    paper = Sheet(record, width, title, frame.millimetres)
    frame = replace(frame, top=paper.top + 5.6 * paper.letters.small)
    laid = laid_in_order(chosen.drawn, frame)
    body: list[Shape] = [
        *(context_group(one, frame, paper.key, record) for one in laid if one.is_seen),
        *_limit(unit, frame, paper),
        *_burial_groups(chosen.burials, frame, paper),
        *wall_groups(record.pointing_at(Wall, "unit", unit.id), frame, paper.key, paper.letters),
        *corner_groups(unit, frame, paper.key, paper.letters, public=public),
        *_labelled(laid, frame, paper, chosen.hidden_finds),
    ]
    paper.notes += [
        *_order_notes(laid, order, chosen),
        *_gap_notes(record, unit, chosen),
        *withheld_notes(chosen.withheld, chosen.giving_away),
    ]
    bottom = frame.top + frame.height + 5.4 * paper.letters.small
    name = f"plan {unit.number or unit.id}" + (f" {' '.join(one.number for one in laid)}" if chosen.picked else "")
    return paper.finish(name, body, bottom, scale=scale, north=True, described=_described(laid))


def sequence_of_plans(
    record: SiteRecord,
    unit_id: str,
    *,
    scale: float = 20,
    order: Sequence[str] | None = None,
    restricted: bool = False,
    public: bool = False,
) -> tuple[Scene, ...]:
    """Return one plan for each context of a unit that has an outline, latest first; see `plan_drawing`."""
    unit = _unit(record, unit_id)
    hidden = frozenset[str]() if restricted else withheld_contexts(record)
    drawn = in_order([pair for pair in outlined(record, unit, None) if pair[0].id not in hidden], order)
    return tuple(
        plan_drawing(record, unit_id, scale=scale, contexts=(context.id,), order=order, restricted=restricted, public=public)
        for context, _ in reversed(drawn)
    )


def _unit(record: SiteRecord, unit_id: str) -> Unit:
    unit = record.get(Unit, unit_id)
    if unit is None:
        raise UnknownRecord("unit", unit_id, [found.number or found.id for found in record.all(Unit)])
    return unit


def _frame(record: SiteRecord, unit: Unit, chosen: Choice, scale: float) -> tuple[Frame, float]:
    spots: list[Position] = [*(unit.corners or ())]
    spots += [spot for _, outlines in chosen.drawn for outline in outlines for spot in outline.ring or ()]
    spots += [spot for burial in chosen.burials for spot in burial.ring or ()]
    if not spots:
        raise InputError(
            f"Unit {shorten(unit.number or unit.id)} has neither corners nor an outline on record: a plan needs a place on the "
            "site grid. Enter the unit's corners, then draw again."
        )
    west, east = min(spot.easting for spot in spots), max(spot.easting for spot in spots)
    south, north = min(spot.northing for spot in spots), max(spot.northing for spot in spots)
    millimetres = millimetres_per(record.length_unit, scale)
    inner = (east - west) * millimetres
    width = max(_NARROWEST, inner + 2 * MARGIN)
    for _ in range(3):  # the side margins hold letters whose size depends on the width
        width = max(_NARROWEST, inner + 2 * (MARGIN + 4.2 * Letters.for_width(width).small))
    return Frame((width - inner) / 2, 0.0, west, north, east - west, north - south, millimetres), width


def _title(record: SiteRecord, unit: Unit, chosen: Choice, scale: float, *, only: Drawing | None, public: bool) -> Title:
    ids = dict.fromkeys(outline.drawing for _, outlines in chosen.drawn for outline in outlines)
    known = [only] if only else [sheet for sheet in (record.get(Drawing, identity) for identity in ids) if sheet is not None]
    sheets: list[str] = sorted((sheet.number or "?" for sheet in known), key=natural_number)
    people: tuple[tuple[str, str | None], ...] = (
        ("Drawn by", joined(sheet.drawn_by for sheet in known)),
        ("Checked by", joined(sheet.checked_by for sheet in known)),
    )
    numbers = [context.number or "?" for context, _ in chosen.drawn]
    listed = ", ".join(numbers[:4]) + (" and more" if len(numbers) > 4 else "")
    what = f"context{'s' if len(numbers) > 1 else ''} {listed or 'not drawn'}" if chosen.picked else "plan"
    what = f"{only.kind or 'plan'} {only.number or 'without a number'}" if only is not None else what
    heading = f"Unit {shorten(unit.number or '?', 20)}: {shorten(what, 60)}"
    facts = (
        ("Scale", f"1:{scale:g} on paper"),
        ("Lengths and levels in", "metres" if unit_word(record.length_unit) == "m" else "feet and tenths"),
        ("Datum", record.site.vertical_datum),
        ("Drawing", joined(sheets)),
        *(() if public else people),
        ("Date", days_text(sheet.drawn_on for sheet in known)),
    )
    return Title(heading, facts, RESTRICTED_WARNING if chosen.held else "")


def _limit(unit: Unit, frame: Frame, sheet: Sheet) -> list[Shape]:
    if not unit.corners:
        return []
    ring = frame.spots(unit.corners)
    line = Line((ring,), sheet.key.line("limit of excavation"), closed=True)
    return [Group((line,), f"Limit of unit {unit.number or '?'}", unit.id, "unit")]


def _burial_groups(burials: Sequence[Burial], frame: Frame, sheet: Sheet) -> list[Shape]:
    return [
        Group(
            (Line((frame.spots(burial.ring),), sheet.key.other_line(BURIAL, "possible burial, restricted"), closed=True),),
            "Possible burial",
            burial.id,
            "burial",
        )
        for burial in burials
        if burial.ring
    ]


def _labelled(laid: Sequence[Laid], frame: Frame, sheet: Sheet, hidden_finds: frozenset[str]) -> list[Shape]:
    """Return numbers on every context that is seen, then levels, finds and samples beside their signs."""
    places, letters = Places(), sheet.letters
    shapes: list[Shape] = []
    points = points_on(laid, frame, sheet.record, hidden_finds)
    for spot, _, _, _, _ in points:
        places.take(Spot(spot.across, spot.down - 0.15 * letters.small), 1.3 * letters.small, 1.3 * letters.small)
    crowded: list[str] = []
    for one in sorted(laid, key=lambda one: one.seen.area):
        if not one.is_seen:
            continue
        width, height = tag_size(one.number, letters.number)
        centre = places.take_first(label_spots(one, width, height), width, height)
        if centre is None:
            crowded.append(one.number)
        else:
            shapes.append(sheet.key.tag(one.number, tag_form(one.context.kind), centre, letters.number))
    if crowded:
        sheet.notes.append(f"Numbers that found no room: {', '.join(sorted(crowded))}.")
    drawn, left_out = point_groups(points, places, sheet.key, letters)
    if left_out:
        sheet.notes.append(f"{left_out} {'value' if left_out == 1 else 'values'} found no room beside the sign; see the registers.")
    return [*drawn, *shapes]


def _order_notes(laid: Sequence[Laid], order: Sequence[str] | None, chosen: Choice) -> list[str]:
    notes = []
    if chosen.taken_off:
        listed = ", ".join(reversed(chosen.taken_off))
        notes.append(f"Lay over the whole unit and are taken off to show the features: {listed}.")
    covered = [one.number for one in laid if not one.is_seen]
    if covered:
        notes.append(f"Beneath later contexts and not seen here: {', '.join(sorted(covered))}.")
    if order is None and len(laid) > 1:
        notes.append("No order was given: the context of the lowest number is drawn as the latest.")
    return notes


def _gap_notes(record: SiteRecord, unit: Unit, chosen: Choice) -> list[str]:
    """Return what to say of the unit's contexts that have no outline in plan."""
    if chosen.picked:
        return []
    of_unit = [context for context in record.pointing_at(Context, "units", unit.id) if context.id not in chosen.hidden]
    bare = [context.number or "?" for context in of_unit if not _has_outline(record, context)]
    if not bare:
        return []
    return [f"No outline in plan on record: {', '.join(bare[:24])}{' and more' if len(bare) > 24 else ''}."]


def _has_outline(record: SiteRecord, context: Context) -> bool:
    return any(outline.ring for outline in record.pointing_at(Outline, "context", context.id))


def _described(laid: Sequence[Laid]) -> str:
    seen = [f"{one.number} ({one.context.kind or 'kind not recorded'})" for one in reversed(laid) if one.is_seen]
    return f"Seen from above, latest first: {', '.join(seen)}." if seen else "No context is drawn."
