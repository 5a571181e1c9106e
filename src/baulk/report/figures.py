"""Figures of the report: caption, description and scale, and where on a page a drawing fits at its scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from baulk.record import Wall
from baulk.report.given import DrawnFigure
from baulk.report.redaction import PublicVersion
from baulk.report.shown import dates_read_out
from baulk.report.svg_text import described, read_svg, redacted_svg, size_in_mm, svg_text
from baulk.report.tree import Figure
from baulk.report.unit_scope import UnitScope

__all__ = ["DATES", "HEADED", "ORDER", "PLAN", "Fitted", "Sheet", "drawn_figure", "fitted", "public_figure", "wall_key"]

PLAN, ORDER, DATES = "plan", "order", "dates"
_WALL = "wall:"
_USUAL_SCALE = {PLAN: 20, _WALL: 10}


def wall_key(wall_id: str) -> str:
    """Return the name under which the figure of a wall is given."""
    return f"{_WALL}{wall_id}"


def drawn_figure(scope: UnitScope, name: str, given: DrawnFigure | str) -> Figure:
    """Return a figure of the report; a plain SVG text gets its caption from its own title and the scale usual for its kind.

    Raises
    ------
    FileError
        When it is no SVG drawing with a size.
    """
    svg = given if isinstance(given, str) else given.svg
    root = read_svg(svg)
    size_in_mm(root)
    for element in root.iter():
        element.text = dates_read_out(element.text) if element.text else element.text
    title, description = described(root)
    caption, alt, scale = title or name, description or title or name, _scale(scope, name)
    if isinstance(given, DrawnFigure):
        caption, alt, scale = given.caption or caption, given.alt or alt, given.scale
    return Figure(svg_text(root), caption.rstrip("."), alt, scale)


def _scale(scope: UnitScope, name: str) -> int | None:
    if name.startswith(_WALL):
        wall = scope.record.get(Wall, name.removeprefix(_WALL))
        return int(wall.scale) if wall and wall.scale and float(wall.scale).is_integer() else _USUAL_SCALE[_WALL]
    return _USUAL_SCALE.get(name)


def public_figure(figure: Figure, version: PublicVersion) -> Figure:
    """Return a figure without what a public version must not show."""
    root = read_svg(figure.svg)
    redacted_svg(root, version.hidden, version.mask.text)
    return replace(figure, svg=svg_text(root), caption=version.mask.text(figure.caption), alt=version.mask.text(figure.alt))


class Sheet(StrEnum):
    """The page that a figure stands on."""

    IN_TEXT = "in the text"
    A4_PORTRAIT = "A4 portrait"
    A4_LANDSCAPE = "A4 landscape"
    A3_PORTRAIT = "A3 portrait"
    A3_LANDSCAPE = "A3 landscape"


ROOM: dict[Sheet, tuple[float, float]] = {
    Sheet.IN_TEXT: (162.0, 200.0),
    Sheet.A4_PORTRAIT: (182.0, 212.0),
    Sheet.A4_LANDSCAPE: (269.0, 134.0),
    Sheet.A3_PORTRAIT: (269.0, 370.0),
    Sheet.A3_LANDSCAPE: (392.0, 221.0),
}
"""Width and height that a drawing may have, mm: the page without margins, running head, a caption and the headings above it.

On an A3 sheet of full height no heading stands above a drawing higher than `HEADED`."""

HEADED = 344.0


_HARDLY_SMALLER, _SMALLEST = 0.9, 0.6


@dataclass(frozen=True, slots=True)
class Fitted:
    """How a drawing is put on paper: its sheet, its printed size in mm, and the share of its own size (1 = as drawn)."""

    sheet: Sheet
    width: float
    height: float
    share: float


def fitted(width: float, height: float, *, keeps_scale: bool) -> Fitted:
    """Return the smallest sheet on which a drawing fits at its size, or how much smaller it must be on the largest.

    Parameters
    ----------
    width, height : float
        mm at print scale.
    keeps_scale : bool
        True for plans and walls: a larger sheet is taken before anything is made smaller. False for diagrams: they are made a
        tenth smaller to stand in the text; else they get the sheet on which they fit at their size, and only what fits on none is
        made smaller, down to 60 % before it gets the largest.

    Examples
    --------
    >>> fitted(120, 130, keeps_scale=True).sheet.value, fitted(230, 100, keeps_scale=True).sheet.value
    ('in the text', 'A4 landscape')
    """
    shares = {sheet: min(1.0, wide / width, high / height) for sheet, (wide, high) in ROOM.items()}
    whole = [sheet for sheet, share in shares.items() if share == 1.0]
    if not keeps_scale:
        in_text = shares[Sheet.IN_TEXT]
        small = [sheet for sheet, share in shares.items() if share >= _SMALLEST]
        whole = [Sheet.IN_TEXT] if in_text >= _HARDLY_SMALLER else whole or small
    if whole:
        share = shares[whole[0]]
        return Fitted(whole[0], width * share, height * share, share)
    sheet = max(ROOM, key=lambda sheet: min(ROOM[sheet][0] / width, ROOM[sheet][1] / height))
    share = min(ROOM[sheet][0] / width, ROOM[sheet][1] / height)
    return Fitted(sheet, width * share, height * share, share)
