"""A scene as SVG text: one self-contained file that prints at its true scale.

No script, style sheet, font or link from outside; the same scene gives the same text. Ink, paper and faint lines carry classes
(``baulk-ink``, ``baulk-paper`` and so on) so that a dark page can restyle them; soil colours are written on the shapes and stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from baulk.drawing.safe_text import safe_words
from baulk.drawing.scene import Area, Group, Line, Mark, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.symbols import MARKS
from baulk.drawing.textures import TILE, texture_tile

__all__ = ["DARK_INK", "INK", "LIGHT_INK", "PAPER", "number_text", "slug", "to_svg"]

INK = "#1F1C18"
FAINT = "#77706A"
PAPER = "#FFFFFF"
DARK_INK = "#17130F"
"""Texture on light soil."""
LIGHT_INK = "#F4EDE2"
"""Texture on dark soil."""

FONTS = "Noto Sans, DejaVu Sans, Liberation Sans, Arial, Helvetica, sans-serif"


def to_svg(scene: Scene) -> str:
    """Return a scene as the text of an SVG file.

    Notes
    -----
    ``width`` and ``height`` are in millimetres and the view box has the same numbers, so a printout at 100 % is at scale.
    """
    name = slug(scene.name)
    described = f' aria-describedby="{name}-description"' if scene.description else ""
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number_text(scene.width)}mm" height="{number_text(scene.height)}mm"'
        f' viewBox="0 0 {number_text(scene.width)} {number_text(scene.height)}" class="baulk-drawing" role="img"'
        f' aria-labelledby="{name}-title"{described} font-family="{FONTS}">',
        f'<title id="{name}-title">{safe_words(scene.title)}</title>',
    ]
    if scene.description:
        lines.append(f'<desc id="{name}-description">{safe_words(scene.description, 2000)}</desc>')
    textures = sorted({(area.texture, area.light_texture, _is_bare(area)) for area in _areas(scene.shapes) if area.texture})
    if textures:
        lines.append("<defs>")
        lines.extend(_texture(name, *texture) for texture in textures)
        lines.append("</defs>")
    lines.append(f'<rect class="baulk-paper" width="100%" height="100%" fill="{PAPER}"/>')
    for shape in scene.shapes:
        lines.extend(_shape(shape, name))
    lines.append("</svg>")
    return "\n".join(lines) + "\n"


def number_text(value: float) -> str:
    """Return a length as SVG writes it: thousandths of a millimetre at most, no trailing noughts.

    Examples
    --------
    >>> number_text(50.0), number_text(-0.0001), number_text(1.23456)
    ('50', '0', '1.235')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def slug(text: str) -> str:
    """Return `text` as a plain word for an id or class: ASCII letters, digits and dashes.

    Examples
    --------
    >>> slug("limit of excavation")
    'limit-of-excavation'
    """
    plain = "".join(mark if mark.isascii() and mark.isalnum() else "-" for mark in text[:80])
    return "-".join(part for part in plain.split("-") if part) or "drawing"


def _areas(shapes: Iterable[Shape]) -> Iterator[Area]:
    for shape in shapes:
        if isinstance(shape, Area):
            yield shape
        elif isinstance(shape, Group):
            yield from _areas(shape.shapes)


def _is_bare(area: Area) -> bool:
    """Tell whether a texture stands on paper, whose colour a page may change, and not on soil."""
    return area.fill in (None, "paper")


def _texture_id(name: str, texture: str, *, light: bool, bare: bool) -> str:
    return f"{name}-{slug(texture)}{'-light' if light else ''}{'-bare' if bare else ''}"


def _texture(name: str, texture: str, light: bool, bare: bool) -> str:
    colour, ink_class = (INK, ' class="baulk-texture-ink"') if bare else (LIGHT_INK if light else DARK_INK, "")
    strokes, solids = texture_tile(texture)
    drawn = f'<path d="{strokes}" fill="none" stroke="{colour}" stroke-width="0.16" stroke-linecap="round"/>' if strokes else ""
    filled = f'<path d="{solids}" fill="{colour}"/>' if solids else ""
    return (
        f'<pattern id="{_texture_id(name, texture, light=light, bare=bare)}" width="{TILE}" height="{TILE}"'
        f' patternUnits="userSpaceOnUse"{ink_class}>{drawn}{filled}</pattern>'
    )


def _shape(shape: Shape, name: str) -> Iterator[str]:
    if isinstance(shape, Group):
        yield from _group(shape, name)
    elif isinstance(shape, Line):
        ring = "Z" if shape.closed else ""
        path = "".join(_path(part) + ring for part in shape.parts if len(part) > 1)
        if path and shape.cased:
            width = number_text(shape.stroke.width + 0.5)
            rim = f'stroke="{PAPER}" stroke-width="{width}" stroke-opacity="0.6"'
            yield f'<path class="baulk-casing" d="{path}" fill="none" {rim}/>'
        if path:
            yield f'<path d="{path}" fill="none"{_stroke(shape.stroke)}/>'
    elif isinstance(shape, Area):
        yield from _area(shape, name)
    elif isinstance(shape, Text):
        yield _text(shape)
    else:
        yield _mark(shape)


def _group(group: Group, name: str) -> Iterator[str]:
    facts = f' class="baulk-{slug(group.role)}"' if group.role else ""
    if group.name:
        facts += f' data-name="{safe_words(group.name)}"'
    if group.record:
        facts += f' data-record="{safe_words(group.record)}"'
    yield f"<g{facts}>"
    if group.title:
        yield f"<title>{safe_words(group.title)}</title>"
    for shape in group.shapes:
        yield from _shape(shape, name)
    yield "</g>"


def _area(area: Area, name: str) -> Iterator[str]:
    path = "".join(_path(ring) + "Z" for ring in area.rings)
    if area.fill == "paper":
        yield f'<path d="{path}" class="baulk-paper" fill="{PAPER}" fill-rule="evenodd"/>'
    elif area.fill:
        yield f'<path d="{path}" class="baulk-soil" fill="{safe_words(area.fill)}" fill-rule="evenodd"/>'
    if area.texture:
        pattern = _texture_id(name, area.texture, light=area.light_texture, bare=_is_bare(area))
        yield f'<path d="{path}" class="baulk-texture" fill="url(#{pattern})" fill-rule="evenodd"/>'
    if area.stroke:
        yield f'<path d="{path}" fill="none"{_stroke(area.stroke)}/>'


def _stroke(stroke: Stroke) -> str:
    dashes = f' stroke-dasharray="{" ".join(map(number_text, stroke.dashes))}"' if stroke.dashes else ""
    ends = ' stroke-linecap="round"' if stroke.round_ends else ""
    tone = "own" if stroke.colour else ("faint" if stroke.name.startswith("faint") else "ink")
    colour = stroke.colour or (FAINT if tone == "faint" else INK)
    return (
        f' class="baulk-{tone} baulk-line-{slug(stroke.name)}" stroke="{safe_words(colour)}"'
        f' stroke-width="{number_text(stroke.width)}" stroke-linejoin="round"{dashes}{ends}'
    )


def _text(text: Text) -> str:
    place = f'x="{number_text(text.spot.across)}" y="{number_text(text.spot.down)}"'
    turn = (
        f' transform="rotate({number_text(text.turn)} {number_text(text.spot.across)} {number_text(text.spot.down)})"'
        if text.turn
        else ""
    )
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    weight = ' font-weight="700"' if text.bold else ""
    rim = (
        f' stroke="{PAPER}" stroke-width="{number_text(text.size * 0.36)}" stroke-linejoin="round" paint-order="stroke"'
        if text.halo
        else ""
    )
    tone = "faint" if text.faint else "ink"
    kind = f"baulk-text baulk-text-{tone}" + (" baulk-halo" if text.halo else "")
    colour = FAINT if text.faint else INK
    return (
        f'<text class="{kind}" {place} font-size="{number_text(text.size)}" fill="{colour}"'
        f"{anchor}{weight}{rim}{turn}>{safe_words(text.words)}</text>"
    )


def _mark(mark: Mark) -> str:
    solid, open_lines = MARKS[mark.name]
    place = f"translate({number_text(mark.spot.across)} {number_text(mark.spot.down)})"
    turn = f" rotate({number_text(mark.turn)})" if mark.turn else ""
    rim = number_text(0.7 / mark.size)
    drawn = f'<path class="baulk-casing" d="{solid}{open_lines}" fill="none" stroke="{PAPER}" stroke-width="{rim}"/>'
    if solid:
        drawn += f'<path class="baulk-solid" d="{solid}" fill="{INK}"/>'
    if open_lines:
        width = number_text(0.22 / mark.size)
        drawn += f'<path class="baulk-ink" d="{open_lines}" fill="none" stroke="{INK}" stroke-width="{width}"/>'
    return (
        f'<g class="baulk-mark baulk-mark-{slug(mark.name)}" transform="{place}{turn} scale({number_text(mark.size)})">{drawn}</g>'
    )


def _path(spots: tuple[Spot, ...]) -> str:
    return "M" + "L".join(f"{number_text(spot.across)} {number_text(spot.down)}" for spot in spots)
