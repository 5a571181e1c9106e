"""Rules on photographs."""

from __future__ import annotations

from baulk.closing.blank import listed, unanswered
from baulk.closing.facts import UnitFacts
from baulk.closing.rule import Answer, Rule, Severity, Verdict, ask_each, fails, passes, skips, unknown, verdict
from baulk.record import Context, Photo

__all__ = ["FACES", "RULES", "faces_of"]

FACES = ("north", "east", "south", "west")

_STAGES = ("before", "during", "after")
_FACINGS = frozenset(
    ("n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw", "down", "up", *FACES)
)


def faces_of(facts: UnitFacts) -> tuple[str, ...]:
    """Return the faces of the unit: all four of a four-cornered one, else those named anywhere; empty when nobody can tell."""
    if len(facts.unit.corners or ()) == 4:
        return FACES
    named = {wall.face for wall in facts.walls} | set(facts.unit.walls_with_layers or ())
    return tuple(face for face in FACES if face in named)


def _each_context(facts: UnitFacts) -> Verdict:
    return ask_each(facts.contexts, lambda context: _judge_context(facts, context))


def _judge_context(facts: UnitFacts, context: Context) -> Answer:
    if context.kind == "disturbance":
        return skips()
    name = facts.label(context.id)
    photos = facts.record.pointing_at(Photo, "contexts", context.id)
    if not photos:
        return fails(f"{name} has no photo")
    complete = [photo for photo in photos if photo.scale and photo.north and photo.board]
    if not complete:
        marks = [(photo.scale, photo.north, photo.board) for photo in photos]
        if any(False not in flags for flags in marks):
            return unknown(f"{name}: nobody says whether a photo has scale, north arrow and board")
        return fails(f"no photo of {name} has scale, north arrow and board")
    return _judge_stages(facts, context, photos) if context.kind == "cut" else passes()


def _judge_stages(facts: UnitFacts, cut: Context, photos: tuple[Photo, ...]) -> Answer:
    if facts.left_undug(cut):
        return passes()
    held = [*photos, *(photo for fill in facts.fills(cut.id) for photo in facts.record.pointing_at(Photo, "contexts", fill))]
    missing = [stage for stage in _STAGES if stage not in {photo.stage for photo in held}]
    if not missing:
        return passes()
    if any(photo.stage is None for photo in held):
        return unknown(f"{facts.label(cut.id)}: the stage of a photo is blank; none is marked {listed(missing)}")
    return fails(f"{facts.label(cut.id)} has no photo {listed(missing)} digging")


def _walls_and_base(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_walls(facts))])


def _judge_walls(facts: UnitFacts) -> Answer:
    faces = faces_of(facts)
    if not faces:
        return unknown("how many walls the unit has is not on record")
    shown = {face for photo in facts.photos for face in photo.walls or ()}
    missing = [f"{face} wall" for face in faces if face not in shown]
    if not any(photo.shows_base for photo in facts.photos):
        missing.append("base")
    return fails(f"no photo of the {listed(missing)}") if missing else passes()


def _location(facts: UnitFacts) -> Verdict:
    return verdict([((facts.unit.id,), _judge_location(facts))])


def _judge_location(facts: UnitFacts) -> Answer:
    stages = {photo.stage for photo in facts.photos if photo.kind == "location"}
    due = ["before"] + (["after"] if facts.backfill is not None and facts.backfill.day is not None else [])
    missing = [stage for stage in due if stage not in stages]
    if not missing:
        return passes()
    if None in stages or any(photo.kind is None for photo in facts.photos):
        return unknown(f"the kind or stage of a photo is blank; none is marked as a location shot {listed(missing)}")
    return fails(f"no location shot {listed(missing)}")


def _files(facts: UnitFacts) -> Verdict:
    return ask_each(facts.photos, _judge_file)


def _judge_file(photo: Photo) -> Answer:
    name = f"photo {photo.number or 'without a number'}"
    if photo.number is None or photo.file is None:
        return fails(f"{name} has no {listed(unanswered(photo, ('number', 'file')))}")
    if photo.in_focus is None:
        return unknown(f"{name}: nobody has opened it and looked")
    return passes() if photo.in_focus else fails(f"{name} is not sharp")


def _directions(facts: UnitFacts) -> Verdict:
    return ask_each(facts.photos, _judge_direction)


def _judge_direction(photo: Photo) -> Answer:
    name = f"photo {photo.number or 'without a number'}"
    wanting = unanswered(photo, ("facing", "subject"))
    if wanting:
        return fails(f"{name} has no {listed(wanting)}")
    if photo.facing is not None and photo.facing.lower() not in _FACINGS and not photo.facing.rstrip("°").isdecimal():
        return unknown(f"{name} faces “{photo.facing}”, which is no direction")
    return passes()


RULES = (
    Rule(
        "B46",
        "Every context has a photo with scale, north arrow and board; every feature before, during and after digging.",
        "It cannot be seen again.",
        Severity.LOST,
        "contexts",
        "Take the photo now, if only of what is left in the wall, and enter what is in it.",
        "published state guidance",
        _each_context,
    ),
    Rule(
        "B47",
        "Every wall of the unit is photographed square-on, and so is the base.",
        "The base photo is the least that is asked for.",
        Severity.LOST,
        "units",
        "Clean the wall or the base, photograph it square-on with scale and board, and name the wall in the register.",
        "published state guidance; published field report",
        _walls_and_base,
        blocks=True,
    ),
    Rule(
        "B48",
        "A location shot with a fixed background exists from before, and from after the surface was put back.",
        "It proves the place and the restoring of it.",
        Severity.LOST,
        "units",
        "Photograph the unit with a building or tree behind it.",
        "common practice, no source",
        _location,
    ),
    Rule(
        "B49",
        "Every line of the photo register has a number and a file that was opened and found sharp.",
        "A picture that does not open is no record.",
        Severity.LOST,
        "photos",
        "Open every file before the unit is filled in; take a bad one again.",
        "published photography guidance",
        _files,
    ),
    Rule(
        "B50",
        "Every photo says what it shows and which way it looks.",
        "Without it nobody knows later.",
        Severity.RECOVERABLE,
        "photos",
        "Fill in direction and subject while the unit is in sight.",
        "published state guidance",
        _directions,
    ),
)
