"""Laid pieces proposed on a rectified picture: a table of outlines that a person looks at, mends and takes in."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from baulk.errors import FileError, InputError, MeasureError, shorten
from baulk.exchange.number_columns import number_columns, row_names
from baulk.exchange.overlay import Drawn, overlay_png
from baulk.exchange.placed_picture import PlacedPicture, read_placed_picture
from baulk.exchange.table import read_table
from baulk.exchange.writers import writer_of
from baulk.ground.attitude import CANNOT_TELL
from baulk.ground.brick_size import size_statistics
from baulk.record import Context, Element, SiteRecord, build
from baulk.work.give import write_new
from baulk.work.piece_finder import Brick, PieceFinder, ProposedPiece
from baulk.work.rectify import picture_grid

__all__ = ["ProposedPieces", "RefusedPick", "piece_record", "pieces_under", "propose_pieces", "usual_size"]

Floats = NDArray[np.float64]

_SHARED = 0.2
"""Share of the smaller of two outlines from which they are one piece picked twice (house value)."""
_AROUND = 0.3
"""Metres shown round the picks."""
_NAMES = ("piece", "number", "point", "name", "pick")
_FILLED = {"flat": ("length", "width"), "on edge": ("length", "height"), "on end": ("width", "height")}
_COLUMNS = ("number", "context", "ring", "axis", "bearing", "attitude", "length", "width", "height", "notes")


@dataclass(frozen=True, slots=True, eq=False)
class RefusedPick:
    """A pick without a proposal: its name, its place in metres, and why."""

    name: str
    place: Floats
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class ProposedPieces:
    """What was proposed and refused, and the files written: the table, when there is anything in it, and the overlay."""

    context: Context
    pieces: tuple[ProposedPiece, ...]
    refused: tuple[RefusedPick, ...]
    cell: float
    grid: str
    files: tuple[Path, ...]


def propose_pieces(
    record: SiteRecord,
    picture_file: Path,
    picks_file: Path,
    number: str,
    folder: Path,
    *,
    largest: float = 0.45,
    stones: bool = False,
    brick: Brick | None = None,
) -> ProposedPieces:
    """Write the laid pieces proposed under picks as a table to take in, with the picture and the outlines over it.

    Parameters
    ----------
    record : SiteRecord
        The site, for its lengths, its numbers and its tie to a projected grid.
    picture_file, picks_file : Path
        A picture with its place, as `baulk rectify` writes it; a table with the columns easting and northing, in the site's own
        lengths, and, if wished, piece: a point inside each piece.
    number : str
        Number of the structure's context.
    folder : Path
        Where ``element.csv`` and ``element-proposed.png`` go; files of these names there are refused.
    largest : float
        Metres that a piece reaches from its pick at most.
    stones : bool
        True for stones of any shape: the hull of what was found in place of a rectangle.
    brick : tuple of three float or None
        Length, breadth and thickness of a whole piece in millimetres; the means on record when None.

    Raises
    ------
    FileError, InputError, MeasureError, MissingPart, TableError, UnknownRecord
        The picture, the picks, the context or the folder cannot be used. Nothing is written.

    Notes
    -----
    A pick is refused when its outline leaks, is small, shares its ground with that of an earlier pick, or when its confidence lies
    below `baulk.work.piece_finder.LEAST_CONFIDENCE`.
    """
    if not (np.isfinite(largest) and 0 < largest <= 5):
        raise InputError(f"A piece is said to reach {largest:g} m from its pick. Give metres above 0 and not above 5.")
    context = record.numbered(Context, number)
    table = read_table(picks_file)
    rule = "Picks are a table with the columns easting, northing and, if wished, piece: one point inside each piece."
    places = number_columns(table, ("easting", "northing"), rule) * record.metres
    if not len(places):
        raise InputError(f"{table.source} holds no pick. {rule}")
    names = _numbers(record, row_names(table, _NAMES), table.source)
    _refuse_files(folder)
    picture, to_site, grid = _placed(record, picture_file)
    finder = PieceFinder(picture.photo, to_site, largest, stones, brick or usual_size(record, context))
    pieces, refused = pieces_under(finder, names, places)
    overlay = _overlay(picture, to_site, pieces, refused)
    files = [write_new(folder / "element-proposed.png", overlay)]
    if pieces:
        files.insert(0, write_new(folder / "element.csv", _table(record, context, pieces, picture_file.name).encode("utf-8")))
    return ProposedPieces(context, pieces, refused, finder.cell, grid, tuple(files))


def _numbers(record: SiteRecord, names: tuple[str, ...], source: str) -> tuple[str, ...]:
    """Return the numbers of the pieces; a bare count is led by a P, and one that is on record already is refused."""
    named = tuple(f"P{name}" if name.isdigit() else name for name in names)
    held = {one.number for one in record.all(Element, void=True)}
    taken = [name for place, name in enumerate(named) if name in held or name in named[:place]]
    if taken:
        raise InputError(
            f"{source}: piece {', '.join(shorten(name, 20) for name in taken[:5])} is on record already, or stands twice. A number "
            "is never used again: give each pick a new one in the column piece."
        )
    return named


def _refuse_files(folder: Path) -> None:
    for name in ("element.csv", "element-proposed.png"):
        if (folder / name).exists():
            raise FileError(f"{name} is already there: nothing was written, so nothing is lost. Give another folder with --to.")


def usual_size(record: SiteRecord, context: Context) -> Brick | None:
    """Return the mean size of the structure's pieces on record; None where a side was never measured."""
    sizes = [
        [float("nan") if side is None else side for side in (one.length, one.width, one.height)]
        for one in record.pointing_at(Element, "context", context.id)
    ]
    mean = size_statistics(sizes).mean.tolist()
    return (mean[0], mean[1], mean[2]) if np.isfinite(mean).all() else None


def _placed(record: SiteRecord, path: Path) -> tuple[PlacedPicture, Floats, str]:
    """Return the picture, the way from its pixels to metres on the site grid, and that grid in words."""
    picture = read_placed_picture(path)
    if picture.epsg is None:
        return picture, picture.to_ground, f"site grid of {record.site.code or 'a site without a code'}, metres"
    epsg, tie, grid = picture_grid(record)
    if epsg != picture.epsg:
        raise InputError(
            f"{picture.photo.name} lies on EPSG:{picture.epsg}, to which this site is not tied. Give the PNG that was written "
            "beside it, which lies on the site grid, or enter where the stations lie on that grid."
        )
    return picture, np.linalg.inv(tie) @ picture.to_ground, grid


def pieces_under(
    finder: PieceFinder, names: Sequence[str], places: Floats
) -> tuple[tuple[ProposedPiece, ...], tuple[RefusedPick, ...]]:  # fmt: skip
    """Return the pieces found under picks, places of shape (n, 2) in metres, and the picks refused, each with its reason."""
    pieces: list[ProposedPiece] = []
    refused: list[RefusedPick] = []
    for name, place in zip(names, places, strict=True):
        try:
            pieces.append(finder.piece(name, place))
        except MeasureError as weak:
            refused.append(RefusedPick(name, place, str(weak)))
    kept, twice = _apart(pieces)
    place_of = dict(zip(names, places, strict=True))
    refused += [
        RefusedPick(one, place_of[one], f"It shares its ground with {other}: one piece picked twice.") for one, other in twice
    ]
    return tuple(kept), tuple(refused)


def _apart(pieces: list[ProposedPiece]) -> tuple[list[ProposedPiece], list[tuple[str, str]]]:
    """Return the pieces that stand apart, and those that lie on an earlier one with its number."""
    shapes = [shapely.Polygon(one.ring) for one in pieces]
    tree = shapely.STRtree(shapes)
    twice: dict[int, int] = {}
    for later, shape in enumerate(shapes):
        for earlier in sorted(tree.query(shape, "intersects").tolist()):
            other = shapes[earlier]
            if earlier < later and earlier not in twice and shape.intersection(other).area > _SHARED * min(shape.area, other.area):
                twice[later] = earlier
                break
    kept = [one for place, one in enumerate(pieces) if place not in twice]
    return kept, [(pieces[later].number, pieces[earlier].number) for later, earlier in twice.items()]


def _table(record: SiteRecord, context: Context, pieces: Sequence[ProposedPiece], picture: str) -> str:
    """Return the pieces in our own CSV form, as `baulk take` reads it."""
    writers = [writer_of(record, Element, column) for column in _COLUMNS]
    out = io.StringIO(newline="")
    rows = csv.writer(out, lineterminator="\r\n")
    rows.writerow(_COLUMNS)
    for one in pieces:
        element = piece_record(record, context, one, picture)
        rows.writerow([write(element) for write in writers])
    return out.getvalue()


def piece_record(record: SiteRecord, context: Context, piece: ProposedPiece, picture: str) -> Element:
    """Return a proposed piece as a record that a person has still to confirm; its id is its number."""
    ring = np.round(piece.ring / record.metres, 4)
    bearing = round(piece.bearing, 1)
    middle, half = piece.ring.mean(axis=0), piece.face[0] / 2000
    way = np.array([np.sin(np.radians(piece.bearing)), np.cos(np.radians(piece.bearing))])
    axis = np.round(np.array([middle - half * way, middle + half * way]) / record.metres, 4)
    sides = dict(zip(_FILLED.get(piece.attitude, ()), (round(side) for side in piece.face), strict=False))
    told = piece.attitude in _FILLED
    notes = (
        f"Status: proposed, to be confirmed. Edge finder on {shorten(picture, 60)}: confidence {piece.confidence:.2f} "
        f"(edge seen along {100 * piece.edge:.0f} % of the outline, {100 * piece.fills:.0f} % of it of one colour). "
        f"Visible face {piece.face[0]:.0f} × {piece.face[1]:.0f} mm."
    )
    square = not np.isfinite(piece.bearing)
    absences = {} if told else {"attitude": f"not done: {CANNOT_TELL}, {piece.why}"}
    if square:
        absences |= dict.fromkeys(("axis", "bearing"), "not done: as broad as long")
    values = {
        "id": piece.number, "number": piece.number, "context": context.id, "ring": ring.tolist(),
        "axis": None if square else axis.tolist(), "bearing": None if square else bearing, **sides,
        "attitude": piece.attitude if told else None, "notes": notes, "absences": absences,
    }  # fmt: skip
    return build(Element, values)


def _overlay(
    picture: PlacedPicture, to_site: Floats, pieces: Sequence[ProposedPiece], refused: Sequence[RefusedPick]
) -> bytes:  # fmt: skip
    """Return the picture about the picks with the outlines proposed, and a cross at each pick that was refused."""
    back = np.linalg.inv(to_site)
    things = [(one.number, one.ring) for one in pieces] + [(f"{one.name} refused", one.place[None]) for one in refused]
    drawn = [(name, (np.column_stack([spots, np.ones(len(spots))]) @ back.T)[:, :2]) for name, spots in things]
    columns, rows = picture.photo.stored_size
    margin = _AROUND / float(np.sqrt(abs(np.linalg.det(to_site[:2, :2]))))
    every = np.clip(np.concatenate([spots for _, spots in drawn]), 0, (columns - 1, rows - 1))
    left, top = np.maximum(0, every.min(axis=0) - margin).astype(int).tolist()
    right, bottom = np.minimum((columns, rows), every.max(axis=0) + margin + 1).astype(int).tolist()
    window = picture.photo.window(left, top, max(right, left + 1), max(bottom, top + 1))
    return overlay_png(window, [Drawn(name, spots - [left, top]) for name, spots in drawn])
