"""What a wall shows: grounds in their soil colour, contacts by how sure they are, cuts as notched lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import shapely

from baulk.drawing.edges import edge_runs, notched, signed_area
from baulk.drawing.key import Key
from baulk.drawing.look import CERTAINTY_LINES, appearance_of, context_title, line_for
from baulk.drawing.paper import Frame
from baulk.drawing.plan_ground import Laid
from baulk.drawing.scene import Area, Group, Line, Shape, Spot
from baulk.record import Contact, Context, SiteRecord, WallOutline

__all__ = ["contact_groups", "contact_runs", "face_groups", "laid_on_face"]

_Contact = tuple[Contact, tuple[Spot, ...]]
_PAINTED_LAST = {"fill": 1, "cut": 2}
"""What a face shows may overlap only where a fill was drawn over the whole of what it fills; a cut's line lies on top."""
_ON_CONTACT = 0.6
"""An edge whose middle lies within so many millimetres of a recorded contact is drawn by the contact and not again."""
_MOUTH = 0.7
"""A cut's edge that faces this much upwards (cosine) is its open mouth: a cut has no line there."""


def laid_on_face(record: SiteRecord, outlines: Sequence[WallOutline], frame: Frame) -> tuple[Laid, ...]:
    """Return the contexts of a face with their shapes on the sheet, cuts last; an outline without a context has a nameless one."""
    by_context: dict[str, list[WallOutline]] = {}
    for outline in outlines:
        by_context.setdefault(outline.context or outline.id, []).append(outline)
    laid = []
    for identity, found in by_context.items():
        context = record.get(Context, identity) or Context(id=identity)
        rings = tuple(frame.spots(outline.ring or ()) for outline in found)
        if context.kind == "cut":
            runs = [run for ring in rings for _, run in _open_runs(ring, ())]
            seen = shapely.unary_union([shapely.LineString(run) for run in runs])
        else:
            seen = shapely.unary_union([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
        laid.append(Laid(context, tuple(found), appearance_of(context), rings, seen))
    return tuple(sorted(laid, key=lambda one: _PAINTED_LAST.get(one.context.kind or "", 0)))


def contact_runs(contacts: Sequence[Contact], laid: Sequence[Laid], frame: Frame) -> tuple[_Contact, ...]:
    """Return contacts with their lines on the sheet.

    A contact that was recorded without a line but as less than firm takes the edge that its two contexts share, so that it does not
    look surer than it is.
    """
    by_context = {one.context.id: one for one in laid}
    found: list[_Contact] = []
    for contact in contacts:
        if contact.line:
            found.append((contact, frame.spots(contact.line)))
            continue
        later, earlier = by_context.get(contact.later), by_context.get(contact.earlier)
        if contact.certainty in ("probable", "doubtful") and later and earlier:
            found += [(contact, run) for run in _shared_edge(later, earlier)]
    return tuple(found)


def _shared_edge(later: Laid, earlier: Laid) -> list[tuple[Spot, ...]]:
    one, two = (shapely.unary_union([shapely.LinearRing(ring) for ring in laid.rings]) for laid in (later, earlier))
    shared = shapely.line_merge(one.intersection(two.buffer(_ON_CONTACT / 2)))
    parts = [part for part in shapely.get_parts(shared) if part.length > 2 * _ON_CONTACT]
    return [tuple(Spot(float(across), float(down)) for across, down in shapely.get_coordinates(part)) for part in parts]


def face_groups(laid: Sequence[Laid], contacts: Sequence[_Contact], key: Key) -> list[Shape]:
    """Return each context's ground with those of its edges that no contact draws."""
    lines = [shapely.LineString(run) for _, run in contacts]
    drawn_by_contacts = shapely.unary_union(lines).buffer(_ON_CONTACT) if lines else shapely.Polygon()
    shapely.prepare(drawn_by_contacts)
    grounds: list[Shape] = []
    edges: list[Shape] = []
    for one in laid:
        is_cut = one.context.kind == "cut"
        lines_of_it: list[Shape] = []
        for ring, outline in zip(one.rings, one.outlines, strict=True):
            kinds = [
                "contact" if drawn_by_contacts.contains(shapely.Point(_middle(ring, place))) else kind
                for place, kind in enumerate(_padded(outline.edges, len(ring)))
            ]
            lines_of_it += _edges(ring, kinds, key, is_cut=is_cut)
        title, record_id, role = context_title(one.context, one.number), one.context.id, one.context.kind or "context"
        if is_cut:
            edges.append(Group(tuple(lines_of_it), title, record_id, role, one.number))
            continue
        key.ground(one.look, one.number)
        area = Area(one.rings, one.look.fill or "paper", one.look.texture, None, one.look.light_texture)
        grounds.append(Group((area,), title, record_id, role, one.number))
        edges.append(Group(tuple(lines_of_it), record=record_id, role="edges", name=one.number))
    return [*grounds, *edges]


def _edges(ring: tuple[Spot, ...], kinds: Sequence[str | None], key: Key, *, is_cut: bool) -> list[Shape]:
    shapes: list[Shape] = []
    right = signed_area(ring) > 0
    for kind, run in _open_runs(ring, kinds) if is_cut else edge_runs(ring, kinds):
        if kind == "contact":
            continue
        name = line_for(kind)
        stroke = key.line(name)
        if is_cut and name not in ("cut away", "limit of excavation"):
            key.cut_line()
            shapes += notched(run, stroke, right=right)
        else:
            shapes.append(Line((run,), stroke, cased=True))
    return shapes


def _open_runs(ring: tuple[Spot, ...], kinds: Sequence[str | None]) -> list[tuple[str | None, tuple[Spot, ...]]]:
    """Return a cut's edges without its open mouth."""
    clockwise = signed_area(ring) > 0
    marked: list[str | None] = []
    for place, kind in enumerate(_padded(kinds, len(ring))):
        here, then = ring[place], ring[(place + 1) % len(ring)]
        length = ((then.across - here.across) ** 2 + (then.down - here.down) ** 2) ** 0.5 or 1.0
        upward = (then.across - here.across) / length * (1 if clockwise else -1)
        is_mouth = upward > _MOUTH and kind not in ("cut away", "limit of excavation", "contact")
        marked.append("mouth" if is_mouth else kind)
    return [(kind, run) for kind, run in edge_runs(ring, marked) if kind != "mouth"]


def contact_groups(record: SiteRecord, laid: Sequence[Laid], contacts: Sequence[_Contact], key: Key) -> list[Shape]:
    """Return contacts as lines of their certainty; a contact that cuts is notched on the side away from what it cuts."""
    by_context = {one.context.id: one for one in laid}
    shapes: list[Shape] = []
    for contact, run in contacts:
        stroke = key.line(line_for(contact.certainty, CERTAINTY_LINES))
        words = f"{record.label(contact.later)} {contact.how or 'meets'} {record.label(contact.earlier)}"
        title = f"Contact: {words}, {contact.certainty or 'certainty not recorded'}"
        if contact.how == "cuts":
            key.cut_line()
            parts: Iterable[Shape] = notched(run, stroke, right=_void_is_right(run, by_context.get(contact.earlier)))
        else:
            parts = (Line((run,), stroke, cased=True),)
        shapes.append(Group(tuple(parts), title, contact.id, "contact", contact.certainty or "not recorded"))
    return shapes


def _void_is_right(run: tuple[Spot, ...], cut_layer: Laid | None) -> bool:
    """Tell on which side of a cutting contact the cut lies: away from the layer that was cut, or above when that is not drawn."""
    votes = 0.0
    for here, then in pairwise(run):
        middle = ((here.across + then.across) / 2, (here.down + then.down) / 2)
        length = ((then.across - here.across) ** 2 + (then.down - here.down) ** 2) ** 0.5
        if length == 0:
            continue
        right = (-(then.down - here.down) / length, (then.across - here.across) / length)
        if cut_layer is None or cut_layer.seen.is_empty:
            votes -= right[1] * length
            continue
        beside = [shapely.Point(middle[0] + side * right[0], middle[1] + side * right[1]) for side in (1, -1)]
        votes += length * (int(cut_layer.seen.contains(beside[1])) - int(cut_layer.seen.contains(beside[0])))
    return votes > 0


def _padded(kinds: Sequence[str | None] | None, count: int) -> list[str | None]:
    given = list(kinds or ())[:count]
    return given + [None] * (count - len(given))


def _middle(ring: tuple[Spot, ...], place: int) -> tuple[float, float]:
    here, then = ring[place], ring[(place + 1) % len(ring)]
    return (here.across + then.across) / 2, (here.down + then.down) / 2
