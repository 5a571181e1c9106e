"""The sheet round a drawing: heading, north, scale bar, key, notes and title block."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import cos, radians, sin

from baulk.drawing.key import Key
from baulk.drawing.paper import Letters, round_step, unit_word
from baulk.drawing.safe_text import shown_width, wrapped
from baulk.drawing.scene import Area, Group, Line, Mark, Scene, Shape, Spot, Stroke, Text, rectangle
from baulk.errors import shorten
from baulk.quantities import LengthUnit
from baulk.record import Site, SiteRecord

__all__ = ["MARGIN", "RESTRICTED_WARNING", "Sheet", "Title", "days_text", "joined", "north_arrow", "scale_bar", "withheld_notes"]

MARGIN = 5.0
RESTRICTED_WARNING = "RESTRICTED: shows records that are not for the public"
_HAIR = Stroke("frame", 0.2)
_FAINT = Stroke("faint frame", 0.15)
_NOT_SAID = "not recorded"


@dataclass(frozen=True, slots=True)
class Title:
    """What the title block says.

    Parameters
    ----------
    heading
        What is drawn, as in ``Unit 1: plan``.
    facts
        Label and value of each line; a blank value is shown as not recorded.
    warning
        Shown in bold, as for a sheet that holds restricted records; empty for none.
    """

    heading: str
    facts: tuple[tuple[str, str | None], ...]
    warning: str = ""


@dataclass
class Sheet:
    """One sheet while it is made: its width, title, millimetres to one of the site's lengths, key and notes."""

    record: SiteRecord
    width: float
    title: Title
    millimetres: float
    key: Key = field(default_factory=Key)
    notes: list[str] = field(default_factory=list)

    @property
    def letters(self) -> Letters:
        """Heights of letters for this width."""
        return Letters.for_width(self.width)

    @property
    def top(self) -> float:
        """Millimetres down to where the drawing begins, under the heading."""
        letters = self.letters
        lines = len(self._headings()) + (1 if self.title.warning else 0)
        return MARGIN + letters.heading * 1.25 + 1.6 * letters.plain * lines

    def finish(self, name: str, body: Sequence[Shape], bottom: float, *, scale: float, north: bool, described: str) -> Scene:
        """Return the whole sheet, given the drawing's shapes and where they end; without a scale there is no scale bar."""
        letters, inner = self.letters, self.width - 2 * MARGIN
        shapes: list[Shape] = [*self._heading_shapes(), Group(tuple(body), role="drawing")]
        down = bottom + letters.plain
        row = 7.0 * letters.small if north else 4.2 * letters.small if scale else 0.0
        if scale:
            shapes.append(scale_bar(Spot(MARGIN, down + row / 2), inner * 0.55, self.millimetres, self.record.length_unit, letters))
        if north:
            shapes.append(north_arrow(Spot(self.width - MARGIN - 6 * letters.small, down + row / 2), self.record.site, letters))
        down += row + letters.small
        key, high = self.key.drawn(MARGIN, down, inner, letters)
        shapes += key
        down += high + (letters.plain if high else 0)
        notes, down = self._note_shapes(down)
        block, down = self._block(down)
        shapes += [*notes, *block]
        return Scene(name, self._spoken(), self.width, down + MARGIN, tuple(shapes), scale, described, tuple(self.notes))

    def _headings(self) -> tuple[str, ...]:
        site = self.record.site
        named = " · ".join(shorten(part, 60) for part in (site.code, site.name) if part) or "site without a name"
        return tuple(wrapped(named + (" · invented example" if site.invented else ""), self.letters.plain, self.width - 2 * MARGIN))

    def _spoken(self) -> str:
        return f"{self.title.heading}, {' '.join(self._headings())}"

    def _heading_shapes(self) -> list[Shape]:
        letters = self.letters
        down = MARGIN + letters.heading * 0.85
        size = min(
            letters.heading,
            letters.heading * (self.width - 2 * MARGIN) / max(1.0, shown_width(self.title.heading, letters.heading)),
        )
        shapes: list[Shape] = [Text(self.title.heading, Spot(MARGIN, down), size, bold=True)]
        for line in self._headings():
            down += 1.6 * letters.plain
            shapes.append(Text(line, Spot(MARGIN, down), letters.plain))
        if self.title.warning:
            down += 1.6 * letters.plain
            shapes.append(Text(self.title.warning, Spot(MARGIN, down), letters.plain, bold=True))
        return [Group(tuple(shapes), role="heading")]

    def _note_shapes(self, down: float) -> tuple[list[Shape], float]:
        letters = self.letters
        lines = [line for note in self.notes for line in wrapped(note, letters.small, self.width - 2 * MARGIN)]
        shapes: list[Shape] = []
        for line in lines:
            down += 1.45 * letters.small
            shapes.append(Text(line, Spot(MARGIN, down), letters.small))
        return ([Group(tuple(shapes), role="notes")] if shapes else []), down + (letters.plain if shapes else 0)

    def _block(self, down: float) -> tuple[list[Shape], float]:
        """Return the title block's facts in two columns inside a rule, and where it ends."""
        letters, inner = self.letters, self.width - 2 * MARGIN
        half = (inner - 3 * letters.small) / 2
        row = 1.55 * letters.small
        facts = [
            (wrapped(f"{label}: {shorten(value, 160) if value else _NOT_SAID}", letters.small, half), not value)
            for label, value in self.title.facts
        ]
        first = -(-len(facts) // 2)
        deepest = down
        shapes: list[Shape] = []
        for column, held in enumerate((facts[:first], facts[first:])):
            left, line_down = MARGIN + letters.small + column * (half + letters.small), down + letters.small * 0.4
            for lines, blank in held:
                for place, line in enumerate(lines):
                    line_down += row
                    spot = Spot(left + (1.2 * letters.small if place else 0), line_down)
                    shapes.append(Text(line, spot, letters.small, faint=blank))
            deepest = max(deepest, line_down)
        high = deepest - down + 0.9 * letters.small
        shapes.insert(0, Area((rectangle(MARGIN, down, inner, high),), stroke=_HAIR))
        return [Group(tuple(shapes), role="title-block")], down + high


def scale_bar(start: Spot, room: float, millimetres: float, unit: LengthUnit, letters: Letters) -> Group:
    """Return a scale bar in the site's own quantity, not longer than `room`, of two to five equal parts.

    Parameters
    ----------
    start
        Left end of the bar's lower edge.
    millimetres
        Millimetres on paper to one of the site's lengths.
    """
    step = round_step(room / millimetres, 5)
    parts = max(1, min(5, int(room / millimetres / step + 1e-9)))
    high = 0.75 * letters.small
    shapes: list[Shape] = []
    for place in range(parts):
        left = start.across + place * step * millimetres
        box = rectangle(left, start.down, step * millimetres, high / 2)
        shapes.append(Area((box,), stroke=_HAIR))
        filled = rectangle(left, start.down + (high / 2 if place % 2 else 0), step * millimetres, high / 2)
        shapes.append(
            Line(
                ((Spot(left, filled[0].down + high / 4), Spot(left + step * millimetres, filled[0].down + high / 4)),),
                Stroke("scale bar", high / 2),
            )
        )
    whole = rectangle(start.across, start.down, parts * step * millimetres, high)
    shapes.append(Area((whole,), stroke=_HAIR))
    for place in range(parts + 1):
        words = f"{place * step:g}" + (f" {unit_word(unit)}" if place == parts else "")
        shapes.append(
            Text(
                words,
                Spot(start.across + place * step * millimetres, start.down - 0.5 * letters.small),
                letters.small,
                "middle" if place else "start",
            )
        )
    length = f"{parts * step:g} {unit_word(unit)}"
    return Group(tuple(shapes), f"Scale bar, {length} long", role="scale-bar", name=length)


def north_arrow(centre: Spot, site: Site, letters: Letters) -> Group:
    """Return grid north, up the sheet, and true north beside it when the grid's rotation is on record.

    Notes
    -----
    `Site.grid_rotation` is the bearing of grid north clockwise from true north, so true north lies as far the other way.
    """
    reach = 2.6 * letters.small
    shapes: list[Shape] = [
        Mark("grid north", centre, reach),
        Text("grid N", Spot(centre.across, centre.down + reach + 1.1 * letters.small), letters.small, "middle"),
    ]
    if site.grid_rotation is None:
        words = "Grid north up the sheet; true north not recorded"
    else:
        turn = -site.grid_rotation % 360
        words = f"Grid north up the sheet; true north at {turn:g} degrees from it"
        foot = Spot(centre.across + 2.6 * letters.small, centre.down)
        tip = Spot(foot.across + reach * sin(radians(turn)), foot.down - reach * cos(radians(turn)))
        shapes.append(Mark("true north", foot, reach, turn))
        side = "start" if sin(radians(turn)) >= 0 or abs(sin(radians(turn))) < 0.05 else "middle"
        shapes.append(
            Text(
                "true N",
                Spot(tip.across + (0.5 * letters.small if side == "start" else 0), tip.down - 0.3 * letters.small),
                letters.small,
                side,
            )
        )
    return Group(tuple(shapes), words, role="north")


def joined(parts: Iterable[str | None]) -> str | None:
    """Return the different parts in order, joined by commas; None when all are blank."""
    kept = list(dict.fromkeys(part for part in parts if part))
    return ", ".join(kept) or None


def withheld_notes(withheld: int, giving_away: int) -> list[str]:
    """Return what a sheet says of records left out of it, and of shapes that would show these."""
    notes = []
    if withheld:
        notes.append(f"{withheld} restricted {'record' if withheld == 1 else 'records'} not drawn.")
    if giving_away:
        notes.append(f"{giving_away} further {'outline' if giving_away == 1 else 'outlines'} not drawn in this version.")
    return notes


def days_text(days: Iterable[str | None]) -> str | None:
    """Return one day, or the first and the last of several; None when all are blank.

    Examples
    --------
    >>> days_text(["2026-05-19", None, "2026-05-11"])
    '2026-05-11 to 2026-05-19'
    """
    known = sorted(day for day in days if day)
    if not known:
        return None
    return known[0] if known[0] == known[-1] else f"{known[0]} to {known[-1]}"
