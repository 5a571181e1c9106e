"""The key: what a sheet uses, and nothing else.

A drawing asks the key for every line, sign, ground and tag that it draws; what was asked for is what the key shows.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from baulk.drawing.edges import notched
from baulk.drawing.labels import number_tag
from baulk.drawing.look import LINE_WORDS, LINES, Appearance
from baulk.drawing.paper import Letters
from baulk.drawing.safe_text import shown_width
from baulk.drawing.scene import Area, Group, Line, Mark, Shape, Spot, Stroke, Text, rectangle
from baulk.drawing.symbols import MARKS
from baulk.record import natural_number

__all__ = ["Key"]

_SAMPLE = 10.0
_CUT_WORDS = "cut; notches point down its slope"
_TAG_WORDS = {"deposit": "number of a layer or fill", "cut": "number of a cut", "structure": "number of a structure or surface"}
_RIM = Stroke("swatch", 0.2)


@dataclass
class Key:
    """What one sheet uses, gathered while it is drawn."""

    _lines: dict[str, str] = field(default_factory=dict)
    _marks: dict[str, str] = field(default_factory=dict)
    _grounds: dict[tuple[str, str | None, str], tuple[Appearance, list[str]]] = field(default_factory=dict)
    _tags: set[str] = field(default_factory=set)
    _others: dict[str, tuple[Stroke, str]] = field(default_factory=dict)
    _shades: dict[str, str] = field(default_factory=dict)
    _cuts: bool = False

    def line(self, name: str) -> Stroke:
        """Return the stroke for a quality of line."""
        self._lines[name] = LINE_WORDS[name]
        return LINES[name]

    def other_line(self, stroke: Stroke, words: str) -> Stroke:
        """Return `stroke`, noted with what it stands for."""
        self._others[stroke.name] = (stroke, words)
        return stroke

    def cut_line(self) -> None:
        """Note that a notched line is used."""
        self._cuts = True

    def mark(self, name: str, spot: Spot, size: float, words: str = "") -> Mark:
        """Return a sign at its place."""
        self._marks[name] = words or name
        return Mark(name, spot, size)

    def ground(self, look: Appearance, number: str) -> None:
        """Note the ground of a context of that number; a cut has none."""
        numbers = self._grounds.setdefault((look.says, look.fill, look.texture), (look, []))[1]
        if number not in numbers:
            numbers.append(number)

    def shade(self, fill: str, words: str) -> str:
        """Return the fill of a step of shading, noted with what it stands for; the key keeps the order in which they came."""
        self._shades[fill] = words
        return fill

    def tag(self, number: str, form: str, centre: Spot, size: float) -> Group:
        """Return a number tag at its place."""
        self._tags.add(form)
        return number_tag(number, form, centre, size)

    def drawn(self, left: float, top: float, width: float, letters: Letters) -> tuple[tuple[Shape, ...], float]:
        """Return the key as shapes, and how high it is."""
        entries = self._entries(letters)
        if not entries:
            return (), 0.0
        row = 2.15 * letters.small
        words_wide = max(shown_width(words, letters.small) for _, words, _ in entries)
        columns = max(1, min(3, int(width // (_SAMPLE + 2.5 + min(words_wide, width)))))
        rows = -(-len(entries) // columns)
        shapes: list[Shape] = [Text("Key", Spot(left, top + letters.plain), letters.plain, bold=True)]
        start = top + 2.0 * letters.plain
        for place, (name, words, sample) in enumerate(entries):
            corner = Spot(left + (place // rows) * width / columns, start + (place % rows) * row)
            label = Text(words, Spot(corner.across + _SAMPLE + 1.6, corner.down + row * 0.62), letters.small)
            shapes.append(Group((*_moved(sample, corner, row), label), role="key-entry", name=name))
        return (Group(tuple(shapes), role="key"),), start - top + rows * row

    def _entries(self, letters: Letters) -> list[tuple[str, str, _Sample]]:
        entries: list[tuple[str, str, _Sample]] = []
        by_number = sorted(self._grounds.values(), key=lambda held: natural_number(held[1][0]))
        for look, numbers in by_number:
            numbers.sort(key=natural_number)
            listed = ", ".join(numbers[:6]) + (f" and {len(numbers) - 6} more" if len(numbers) > 6 else "")
            entries.append((f"ground: {look.says}", f"{listed}: {look.says}", _Sample(look=look)))
        entries += [
            (f"shade: {words}", words, _Sample(look=Appearance(fill, "", light_texture=False, says=words)))
            for fill, words in self._shades.items()
        ]
        if self._cuts:
            entries.append(("cut", _CUT_WORDS, _Sample(stroke=LINES["firm"], notches=True)))
        entries += [(f"line: {name}", self._lines[name], _Sample(stroke=LINES[name])) for name in LINES if name in self._lines]
        entries += [(f"line: {name}", words, _Sample(stroke=stroke)) for name, (stroke, words) in sorted(self._others.items())]
        entries += [(f"mark: {name}", self._marks[name], _Sample(mark=name)) for name in MARKS if name in self._marks]
        entries += [
            (f"tag: {form}", words, _Sample(tag=form, size=letters.small))
            for form, words in _TAG_WORDS.items()
            if form in self._tags
        ]
        return entries


@dataclass(frozen=True, slots=True)
class _Sample:
    look: Appearance | None = None
    stroke: Stroke | None = None
    notches: bool = False
    mark: str = ""
    tag: str = ""
    size: float = 2.0


def _moved(sample: _Sample, corner: Spot, row: float) -> tuple[Shape, ...]:
    """Return a sample drawn in the row whose top left corner is given."""
    middle = corner.down + row * 0.45
    if sample.look is not None:
        box = rectangle(corner.across, corner.down + row * 0.08, _SAMPLE, row * 0.78)
        return (Area((box,), sample.look.fill, sample.look.texture, _RIM, sample.look.light_texture),)
    ends = (Spot(corner.across, middle), Spot(corner.across + _SAMPLE, middle))
    if sample.stroke is not None:
        return notched(ends, sample.stroke, right=True) if sample.notches else (Line((ends,), sample.stroke),)
    centre = Spot(corner.across + _SAMPLE / 2, middle)
    if sample.mark:
        low = 0.3 * row if sample.mark.startswith("level") else 0.0
        return (Mark(sample.mark, Spot(centre.across, centre.down + low), row * 0.62),)
    return (number_tag("0", sample.tag, centre, sample.size),)
