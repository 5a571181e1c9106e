"""Frames for the demo's photo register, drawn from its own record: invented pictures of an invented unit."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from baulk.ground.colour import srgb_of
from baulk.record import Context, Element, Outline, Photo, Position, SiteRecord, Unit, Wall, WallOutline

__all__ = ["draw_frame"]

_WIDTH, _HEIGHT = 1280, 960
_TURF, _SPOIL = "#5d6b3a", "#6d5b44"
_STONE = "#8d8a84"
Pixels = NDArray[np.uint8]


def draw_frame(record: SiteRecord, photo: Photo, rng: np.random.Generator) -> bytes:
    """Return one frame as a JPEG: the contexts that the register names, a scale, a north arrow and a board.

    Parameters
    ----------
    record : SiteRecord
        Where the outlines come from.
    photo : Photo
        The register's line.
    rng : numpy Generator
        For the grain of the soil.
    """
    walls = [wall for wall in record.all(Wall) if wall.face in (photo.walls or ())]
    ground = _wall_scene(record, walls[0], rng) if walls else _plan_scene(record, photo, rng)
    frame = ground.filter(ImageFilter.GaussianBlur(0.8))
    _board(frame, record, photo)
    out = io.BytesIO()
    frame.save(out, "JPEG", quality=82)
    return out.getvalue()


def _grain(image: Image.Image, rng: np.random.Generator, strength: float) -> Image.Image:
    coarse = rng.normal(0, strength, (_HEIGHT // 8, _WIDTH // 8))
    fine = rng.normal(0, strength * 0.6, (_HEIGHT, _WIDTH))
    noise = np.kron(coarse, np.ones((8, 8)))[:_HEIGHT, :_WIDTH] + fine
    pixels = np.asarray(image, dtype=np.float64) + noise[:, :, None]
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def _colour(record: SiteRecord, context: Context | None) -> str:
    if context is None:
        return _SPOIL
    fill = next(iter(record.pointing_at(Context, "fill_of", context.id)), None) if context.kind == "cut" else None
    munsell = (fill or context).colour_moist
    return (srgb_of(munsell) if munsell else None) or _STONE


def _plan_scene(record: SiteRecord, photo: Photo, rng: np.random.Generator) -> Image.Image:
    image = Image.new("RGB", (_WIDTH, _HEIGHT), _TURF)
    unit = record.get(Unit, photo.unit) or next(iter(record.all(Unit)))
    corners = unit.corners or (Position(0, 0), Position(1, 0), Position(1, 1), Position(0, 1))
    west, south = min(p.easting for p in corners), min(p.northing for p in corners)
    size = max(max(p.easting for p in corners) - west, max(p.northing for p in corners) - south)

    def place(p: Position) -> tuple[float, float]:
        return 240 + (p.easting - west) / size * 800, 880 - (p.northing - south) / size * 800

    draw = ImageDraw.Draw(image)
    draw.polygon([place(p) for p in corners], fill=_SPOIL)
    shown = [context for identity in photo.contexts or () if (context := record.get(Context, identity))]
    for context in sorted(shown, key=lambda found: -_area(record, found)):
        for outline in record.pointing_at(Outline, "context", context.id):
            draw.polygon([place(p) for p in outline.ring or ()], fill=_colour(record, context))
    image = _grain(image, rng, 9)
    _setts(ImageDraw.Draw(image), record, shown, place, rng)
    image = _tilt(image, photo)
    _scale(ImageDraw.Draw(image), (240, 915), 800 / size / record.metres)
    _north(ImageDraw.Draw(image))
    return image


def _area(record: SiteRecord, context: Context) -> float:
    rings = [outline.ring or () for outline in record.pointing_at(Outline, "context", context.id)]
    return sum(
        abs(sum(a.easting * b.northing - b.easting * a.northing for a, b in zip(r, r[1:] + r[:1], strict=True))) for r in rings
    )


def _setts(
    draw: ImageDraw.ImageDraw,
    record: SiteRecord,
    shown: Sequence[Context],
    place: Callable[[Position], tuple[float, float]],
    rng: np.random.Generator,
) -> None:
    for context in shown:
        for element in record.pointing_at(Element, "context", context.id):
            grey = int(rng.integers(112, 162))
            ring = [place(p) for p in element.ring or ()]
            if ring:
                draw.polygon(ring, fill=(grey, grey - 3, grey - 8), outline=(60, 52, 44))


def _wall_scene(record: SiteRecord, wall: Wall, rng: np.random.Generator) -> Image.Image:
    image = Image.new("RGB", (_WIDTH, _HEIGHT), "#b9c4cb")
    shapes = record.pointing_at(WallOutline, "wall", wall.id)
    rings = [(record.get(Context, shape.context), shape.ring or ()) for shape in shapes]
    top = max((p.northing for _, ring in rings for p in ring), default=1.0)
    length = max((p.easting for _, ring in rings for p in ring), default=1.0)

    def place(p: Position) -> tuple[float, float]:
        return 140 + p.easting / length * 1000, 230 + (top - p.northing) / length * 1000

    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 216, _WIDTH, 240), fill=_TURF)
    draw.rectangle((0, 240, _WIDTH, _HEIGHT), fill=_SPOIL)
    for context, ring in rings:
        if context and context.kind not in ("cut", "disturbance") and ring:
            draw.polygon([place(p) for p in ring], fill=_colour(record, context))
    image = _grain(image, rng, 8)
    _scale(ImageDraw.Draw(image), (140, 900), 1000 / length / record.metres)
    _north(ImageDraw.Draw(image))
    return image


def _tilt(image: Image.Image, photo: Photo) -> Image.Image:
    if photo.facing == "down":
        return image
    # the picture plane of a camera at the unit's edge: the far side is drawn in by a fifth
    inset, far = 0.12 * _WIDTH, 0.10 * _HEIGHT
    target = [(inset, far), (_WIDTH - inset, far), (_WIDTH, _HEIGHT), (0, _HEIGHT)]
    source = [(0, 0), (_WIDTH, 0), (_WIDTH, _HEIGHT), (0, _HEIGHT)]
    rows = []
    for (to_x, to_y), (from_x, from_y) in zip(target, source, strict=True):
        rows += [
            [to_x, to_y, 1, 0, 0, 0, -from_x * to_x, -from_x * to_y],
            [0, 0, 0, to_x, to_y, 1, -from_y * to_x, -from_y * to_y],
        ]
    numbers = np.linalg.solve(np.array(rows), np.array(source).reshape(8))
    return image.transform(
        image.size, Image.Transform.PERSPECTIVE, tuple(numbers), Image.Resampling.BICUBIC, fillcolor=(150, 165, 172)
    )


def _scale(draw: ImageDraw.ImageDraw, start: tuple[float, float], pixels_per_metre: float) -> None:
    left, base = start
    for part in range(5):
        box = (left + part * 0.2 * pixels_per_metre, base, left + (part + 1) * 0.2 * pixels_per_metre, base + 16)
        draw.rectangle(box, fill="#1c1c1c" if part % 2 else "#f2efe6", outline="#1c1c1c")


def _north(draw: ImageDraw.ImageDraw) -> None:
    draw.polygon([(1180, 90), (1158, 170), (1180, 154), (1202, 170)], fill="#f2efe6", outline="#1c1c1c")


def _board(frame: Image.Image, record: SiteRecord, photo: Photo) -> None:
    draw = ImageDraw.Draw(frame)
    draw.rectangle((28, 28, 388, 182), fill="#23282b", outline="#d9d4c5", width=3)
    font = ImageFont.load_default(26)
    numbers = ", ".join(record.label(identity) for identity in photo.contexts or ())
    lines = [
        f"{record.site.code}  {photo.number}",
        (numbers[:26] + "…") if len(numbers) > 27 else numbers,
        photo.day or "",
        "INVENTED EXAMPLE",
    ]
    for place, line in enumerate(lines):
        draw.text((46, 40 + place * 34), line, fill="#f2efe6", font=font)
