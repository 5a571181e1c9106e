"""The order of a site as one sheet: latest on top, every deposit in its own soil colour, certainty as line quality."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from baulk.drawing.edges import notched
from baulk.drawing.labels import tag_form
from baulk.drawing.layered import Layout, Spacing, lay_out_layers
from baulk.drawing.look import CERTAINTY_LINES, LINES, appearance_of, context_title, line_for
from baulk.drawing.order_bands import band_shapes, phases_of
from baulk.drawing.order_folds import Folded, folded
from baulk.drawing.order_surety import certainty_word, chained, said_certainty, surest
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Area, Group, Line, Scene, Shape, Spot, Stroke, Text, rectangle
from baulk.drawing.sheet import MARGIN, Sheet, Title
from baulk.errors import shorten
from baulk.record import WITHHELD_WORD, Context, SiteRecord, withheld_contexts
from baulk.sequence.doubt import doubts_of
from baulk.sequence.from_record import ContextRelations
from baulk.sequence.order import Order
from baulk.sequence.reduction import reduce_relations
from baulk.sequence.relations import Relations, relations_of

__all__ = ["order_drawing"]

_HEIGHT, _LEAST_WIDTH, _SIDE, _SIDE_WITH_PHASES = 7.0, 11.0, 9.0, 26.0
_SPACING = Spacing(gap=3.5)
_A3 = 420.0
_RIM = Stroke("order box", 0.25)
_NUMBER, _FOLD_NUMBER, _DATE = 3.2, 2.5, 1.9


@dataclass(frozen=True, eq=False)
class _Shown:
    """The groups shown, renumbered, with the relations drawn between them."""

    groups: NDArray[np.int64]
    members: tuple[tuple[Context, ...], ...]
    later: NDArray[np.int64]
    earlier: NDArray[np.int64]
    certainty: NDArray[np.float64]
    """NaN where nobody said how sure a relation is."""
    redundant: int
    left_out: tuple[str, ...]
    folds: tuple[int, ...]
    """How many groups each box holds: 1, or more when it is folded."""


def order_drawing(
    record: SiteRecord, known: ContextRelations, order: Order, *, contexts: Sequence[str] | None = None, name: str = "order",
    start: Mapping[str, float] | None = None, fold_over: int | None = None, unfold: Collection[str] = (),
    opened: Sequence[str] = (), restricted: bool = False,
) -> Scene:  # fmt: skip
    """Return the order as a drawing.

    Parameters
    ----------
    record : SiteRecord
        Where numbers, colours and phases come from.
    known : ContextRelations
        The relations with the contexts that they stand for.
    order : Order
        What follows from them.
    contexts : sequence of str, optional
        Ids of the contexts to show; all when None. A chain that runs through contexts not shown is shown as one line.
    name : str
        Short name of the drawing.
    start : mapping of context id to number, optional
        Wished order from left to right, so that a drawing changes little when a context is added.
    fold_over : int, optional
        Boxes beyond which chains, contexts with the same above and below, and at last those with a single one above or below, are
        folded; None to fold nothing.
    unfold : collection of str
        Ids of contexts that are not to be folded; the rest of a chain on either side still is.
    opened : sequence of str
        Ids of contexts whose folded boxes are opened whole, one after the other, as a reader opens them. What is opened or not
        folded does not count towards `fold_over`, so the rest stays folded much as it was.
    restricted : bool
        True to show contexts of possible burials in full; else they keep their place, number and kind only.

    Notes
    -----
    Only needed relations are drawn; redundant ones are counted in a note and stay in the record. While a loop stands, the fewest
    and least certain relations whose doubt opens it are left out and named.
    """
    whole = _shown(record, known, order, contexts, frozenset() if restricted else withheld_contexts(record))
    shown = _fold(whole, fold_over, frozenset(unfold), opened)
    widths = np.array(
        [max(_LEAST_WIDTH, _label_width(members, fold)) for members, fold in zip(shown.members, shown.folds, strict=True)]
    )
    bands = phases_of(shown.members)
    wished = _wished(shown, start)
    layout = lay_out_layers(widths, _HEIGHT, shown.later, shown.earlier, bands=bands, start=wished, spacing=_SPACING)
    side = _SIDE_WITH_PHASES if bands.any() else _SIDE
    sheet = _sheet(record, layout, side)
    top = sheet.top + 6
    move = Spot(MARGIN + side, top)
    body = [
        *band_shapes(layout, bands, move, _HEIGHT, sheet),
        *_time_arrow(layout, move),
        *_lines(shown, layout, move, sheet),
        *(shape for place in range(len(shown.members)) for shape in _box(shown, place, layout, float(widths[place]), move, sheet)),
    ]
    _note(sheet, shown, record, known)
    described = (
        f"{len(whole.members)} contexts in {int(layout.row.max(initial=-1)) + 1} rows, latest on top, {len(shown.later)} relations."
    )
    return sheet.finish(name, body, top + layout.height + 4, scale=0.0, north=False, described=described)


def _shown(
    record: SiteRecord, known: ContextRelations, order: Order, contexts: Sequence[str] | None, hidden: frozenset[str]
) -> _Shown:  # fmt: skip
    relations, certainty, left_out = _acyclic(order, said_certainty(record, known, order))
    wanted = set(known.contexts if contexts is None else contexts)
    by_group: dict[int, list[Context]] = {}
    for place, identity in enumerate(known.contexts):
        context = record.get(Context, identity)
        if context is not None and identity in wanted:
            by_group.setdefault(int(order.merging.group[place]), []).append(_bare(context) if identity in hidden else context)
    relations, certainty = _through(relations, certainty, set(by_group))
    reduction = reduce_relations(relations)
    groups = np.array(sorted(by_group), dtype=np.int64)
    renumber = np.full(relations.count, -1, dtype=np.int64)
    renumber[groups] = np.arange(len(groups))
    kept = np.flatnonzero(reduction.kept & (renumber[relations.later] >= 0) & (renumber[relations.earlier] >= 0))
    return _Shown(
        groups, tuple(tuple(by_group[int(group)]) for group in groups),
        renumber[relations.later[kept]], renumber[relations.earlier[kept]], certainty[kept],
        len(reduction.redundant), left_out, (1,) * len(groups),
    )  # fmt: skip


def _fold(shown: _Shown, most: int | None, unfold: frozenset[str], opened: Sequence[str]) -> _Shown:
    """Return what is shown with parts of it folded."""
    bands = phases_of(shown.members).tolist()
    place_of = {member.id: place for place, members in enumerate(shown.members) for member in members}

    def fold(kept: frozenset[int]) -> Folded:
        beyond = None if most is None else most + len(kept)
        return folded(len(shown.members), shown.later, shown.earlier, shown.certainty, bands, beyond, kept)

    kept = frozenset(place_of[identity] for identity in unfold if identity in place_of)
    found = fold(kept)
    for place in (place_of[identity] for identity in opened if identity in place_of):
        if place not in kept:
            kept |= next(frozenset(box) for box in found.boxes if place in box)
            found = fold(kept)
    members = tuple(tuple(member for group in box for member in shown.members[group]) for box in found.boxes)
    folds = tuple(len(box) for box in found.boxes)
    return replace(shown, members=members, later=found.later, earlier=found.earlier, certainty=found.certainty, folds=folds)


def _acyclic(order: Order, certainty: NDArray[np.float64]) -> tuple[Relations, NDArray[np.float64], tuple[str, ...]]:
    """Return the relations without those that are doubted to open the loops, their certainty, and what was left out in words."""
    relations = order.relations
    if not order.loops:
        return relations, certainty, ()
    doubted = np.concatenate([doubt.relations for doubt in doubts_of(relations, order.loops)])
    words = tuple(f"{relations.name(int(relations.later[one]))} > {relations.name(int(relations.earlier[one]))}" for one in doubted)
    kept = np.ones(len(relations.later), dtype=bool)
    kept[doubted] = False
    return _only(relations, kept), certainty[kept], words


def _only(relations: Relations, kept: NDArray[np.bool_]) -> Relations:
    return Relations(
        relations.count, relations.later[kept], relations.earlier[kept], relations.certainty[kept], relations.sides[kept],
        np.zeros((0, 2), np.int32), relations.names,
    )  # fmt: skip


def _through(
    relations: Relations, certainty: NDArray[np.float64], shown: set[int]
) -> tuple[Relations, NDArray[np.float64]]:  # fmt: skip
    """Return the relations with every group that is not shown taken out and its neighbours joined, and their certainty."""
    hidden = [group for group in range(relations.count) if group not in shown]
    if not hidden:
        return relations, certainty
    above: dict[int, dict[int, float]] = {}
    below: dict[int, dict[int, float]] = {}
    for later, earlier, said in zip(relations.later.tolist(), relations.earlier.tolist(), certainty.tolist(), strict=True):
        below.setdefault(later, {})[earlier] = said
        above.setdefault(earlier, {})[later] = said
    for group in hidden:
        uppers, lowers = above.pop(group, {}), below.pop(group, {})
        for upper, first in uppers.items():
            below[upper].pop(group, None)
            for lower, second in lowers.items():
                joint = chained(first, second)
                joint = surest(joint, below[upper][lower]) if lower in below[upper] else joint
                below[upper][lower] = above.setdefault(lower, {})[upper] = joint
        for lower in lowers:
            above[lower].pop(group, None)
    joined = [(upper, lower, said) for upper, lowers in below.items() for lower, said in lowers.items()]
    made = relations_of(
        relations.count, np.array([row[0] for row in joined], np.int32), np.array([row[1] for row in joined], np.int32),
        sides=np.zeros(len(joined), np.uint8), names=relations.names,
    )  # fmt: skip
    return made, np.array([row[2] for row in joined], np.float64)


def _label(members: Sequence[Context], fold: int) -> str:
    """Return a box's words: its numbers, or how many contexts it holds and from which number to which."""
    if fold == 1:
        return _numbers(members)
    numbers = sorted((member.number or "no number" for member in members), key=_natural)
    return f"{len(members)} contexts, {numbers[0]}–{numbers[-1]}"


def _date(context: Context) -> str:
    """Return the provisional date of a context as its box shows it; empty when none is known."""
    begin, end = context.spot_begin, context.spot_end
    if begin is None and end is None:
        return ""
    if begin == end:
        return f"{begin}"
    return f"from {begin}" if end is None else f"to {end}" if begin is None else f"{begin}–{end}"


def _label_width(members: Sequence[Context], fold: int) -> float:
    """Return the width of a box for its words; those of a fold stand in two lines."""
    words = _label(members, fold)
    size = _NUMBER if fold == 1 else _FOLD_NUMBER
    widest = max(shown_width(line, size) for line in (words.split(", ") if fold > 1 else [words]))
    date = shown_width(_date(members[0]), _DATE) if fold == 1 else 0.0
    return max(widest + 4, date + 2)


def _natural(number: str) -> list[tuple[int, int, str]]:
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in re.split(r"([0-9]+)", number) if part]


def _bare(context: Context) -> Context:
    """Return a withheld context with number and kind only; the key says that its ground is withheld and not that it is blank."""
    return Context(id=context.id, number=context.number, kind=context.kind, absences={"colour_moist": WITHHELD_WORD})


def _numbers(members: Sequence[Context]) -> str:
    return " = ".join(member.number or "no number" for member in members)


def _wished(shown: _Shown, start: Mapping[str, float] | None) -> NDArray[np.int64] | None:
    if not start:
        return None
    known = np.array([min((start[one.id] for one in members if one.id in start), default=np.nan) for members in shown.members])
    wish = np.where(np.isnan(known), np.nanmean(known) if np.isfinite(known).any() else 0.0, known)
    for place in np.flatnonzero(np.isnan(known)):
        near = known[np.concatenate([shown.earlier[shown.later == place], shown.later[shown.earlier == place]])]
        if np.isfinite(near).any():
            wish[place] = np.nanmean(near)
    ranks = np.empty(len(wish), dtype=np.int64)
    ranks[np.argsort(wish, kind="stable")] = np.arange(len(wish))
    return ranks


def _sheet(record: SiteRecord, layout: Layout, side: float) -> Sheet:
    width = max(90.0, layout.width + 2 * MARGIN + side + 4)
    title = Title("Order: latest on top", (("Datum", "time runs down the page"), ("Relations", "only those that are needed")))
    return Sheet(record, width, title, 1.0)


def _time_arrow(layout: Layout, move: Spot) -> list[Shape]:
    left, top, foot = MARGIN + 2.0, move.down, move.down + layout.height
    if foot - top < 12:
        return []
    stroke = Stroke("time", 0.3)
    head = ((Spot(left - 1.0, foot - 2.2), Spot(left, foot), Spot(left + 1.0, foot - 2.2)),)
    words = (
        Text("later", Spot(left + 2, top + 2.5), 2.2, faint=True),
        Text("earlier", Spot(left + 2, foot), 2.2, faint=True),
    )
    return [
        Group(
            (Line(((Spot(left, top), Spot(left, foot)),), stroke), Line(head, stroke), *words),
            "Time runs down the page",
            role="time",
        )
    ]


def _lines(shown: _Shown, layout: Layout, move: Spot, sheet: Sheet) -> list[Shape]:
    by_line: dict[str, list[Shape]] = {}
    for relation, line in enumerate(layout.lines):
        quality = line_for(word := certainty_word(float(shown.certainty[relation])), CERTAINTY_LINES)
        spots = tuple(Spot(move.across + across, move.down + down) for across, down in line.tolist())
        later, earlier = (_label(shown.members[end], shown.folds[end]) for end in (shown.later[relation], shown.earlier[relation]))
        title = f"{later} is later than {earlier}{'' if word else ', how surely is not recorded'}"
        by_line.setdefault(quality, []).append(
            Group((Line((spots,), LINES[quality]),), title, role="relation", name=f"{later}>{earlier}")
        )
    for quality in by_line:
        sheet.key.line(quality)
    return [shape for shapes in by_line.values() for shape in shapes]


def _box(shown: _Shown, place: int, layout: Layout, width: float, move: Spot, sheet: Sheet) -> list[Shape]:
    """Return a context's box: soil colour and texture for a deposit, an open notched line for a cut."""
    members = shown.members[place]
    first = members[0]
    left, top = move.across + float(layout.left[place]), move.down + float(layout.top[place])
    if shown.folds[place] > 1:
        return [_fold_box(members, shown.folds[place], Spot(left, top), width)]
    look = appearance_of(first)
    shapes: list[Shape] = []
    if first.kind == "cut":
        sheet.key.cut_line()
        run = (Spot(left, top), Spot(left + 1.2, top + _HEIGHT), Spot(left + width - 1.2, top + _HEIGHT), Spot(left + width, top))
        shapes += [
            Area((rectangle(left + 1.2, top, width - 2.4, _HEIGHT),), fill="paper"),
            *notched(run, LINES["firm"], right=False),
        ]
    else:
        sheet.key.ground(look, first.number or "")
        box = rectangle(left, top, width, _HEIGHT)
        shapes.append(Area((box,), look.fill or "paper", look.texture, _RIM, look.light_texture))
        if tag_form(first.kind) == "structure":
            shapes.append(Area((rectangle(left + 0.7, top + 0.7, width - 1.4, _HEIGHT - 1.4),), stroke=Stroke("order inner", 0.15)))
    date = _date(first)
    down = _HEIGHT * 0.47 if date else _HEIGHT / 2 + _NUMBER * 0.35
    shapes.append(Text(_numbers(members), Spot(left + width / 2, top + down), _NUMBER, "middle", bold=True, halo=True))
    if date:
        shapes.append(Text(date, Spot(left + width / 2, top + _HEIGHT * 0.9), _DATE, "middle", halo=True))
    said = "; ".join(context_title(member, member.number or "") for member in members)
    return [Group(tuple(shapes), said, first.id, role=first.kind or "context", name=_numbers(members))]


def _fold_box(members: Sequence[Context], fold: int, corner: Spot, width: float) -> Group:
    """Return a folded part: one sheet upon another, without a soil of its own."""
    behind = rectangle(corner.across + 1.2, corner.down + 1.2, width - 1.2, _HEIGHT - 1.2)
    front = rectangle(corner.across, corner.down, width - 1.2, _HEIGHT - 1.2)
    middle = corner.across + (width - 1.2) / 2
    label = _label(members, fold)
    words = [
        Text(line, Spot(middle, corner.down + down), _FOLD_NUMBER, "middle", bold=bool(place))
        for place, (line, down) in enumerate(zip(label.split(", "), (2.5, 5.1), strict=True))
    ]
    shapes: tuple[Shape, ...] = (Area((behind,), "paper", stroke=_RIM), Area((front,), "paper", stroke=_RIM), *words)
    said = shorten(f"Folded: {label}: " + ", ".join(member.number or "no number" for member in members), 400)
    return Group(shapes, said, members[0].id, role="fold", name=label)


def _note(sheet: Sheet, shown: _Shown, record: SiteRecord, known: ContextRelations) -> None:
    if shown.left_out:
        sheet.notes.append(
            "Left out because they close a loop: "
            + "; ".join(shown.left_out)
            + ". The order cannot be trusted until this is mended."
        )
    folds = [len(members) for members, fold in zip(shown.members, shown.folds, strict=True) if fold > 1]
    if folds:
        boxes = f"{len(folds)} {'box' if len(folds) == 1 else 'boxes'}"
        kinds = "chains, those with the same above and below, and those with a single one above or below"
        sheet.notes.append(f"{sum(folds)} contexts are folded into {boxes}: {kinds}.")
    if sheet.width > _A3:
        sheet.notes.append(f"This sheet is {sheet.width:.0f} mm wide; an A3 sheet on its side is 420 mm.")
    if shown.redundant:
        sheet.notes.append(f"{shown.redundant} redundant relations are not drawn; others imply them. They stay in the record.")
    drawn = set(shown.later.tolist()) | set(shown.earlier.tolist())
    loose = [_numbers(members) for place, members in enumerate(shown.members) if place not in drawn]
    if loose:
        sheet.notes.append(
            f"Without any relation, so placed in the top row: {', '.join(loose[:12])}{' and more' if len(loose) > 12 else ''}."
        )
    if known.set_aside:
        sheet.notes.append(f"{len(known.set_aside)} relations name a context that is void or not on record and are not drawn.")
    if not record.all(Context):
        sheet.notes.append("No contexts are recorded yet.")
