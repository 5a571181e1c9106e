"""`baulk propose`: laid pieces picked on a rectified picture, with outlines for a person to confirm."""

from __future__ import annotations

from collections.abc import Sized
from pathlib import Path

import click

from baulk.cli.brick import brick_size
from baulk.cli.options import as_json, emit, path_name, site_argument, step
from baulk.store import open_site
from baulk.work.propose import ProposedPieces, propose_pieces

__all__ = ["propose"]


@click.command()
@site_argument
@click.argument("picture", type=path_name)
@click.argument("picks", type=path_name, metavar="PICKS.csv")
@click.option("--context", "number", required=True, help="Number of the structure that the pieces belong to.")
@click.option("--to", "folder", type=path_name, default=Path(), help="Folder for the table and the picture with the outlines.")
@click.option("--largest", type=float, default=0.45, show_default=True, help="Metres that a piece reaches from its pick at most.")
@click.option("--stones", is_flag=True, help="Stones of any shape: do not make rectangles of them.")
@click.option("--brick", type=brick_size, default=None, help="Size of a whole piece in millimetres; the mean on record by default.")
@as_json
@click.pass_context
def propose(
    ctx: click.Context, site: Path, picture: Path, picks: Path, number: str, folder: Path, largest: float, stones: bool,
    brick: tuple[float, float, float] | None, json_out: bool,
) -> None:  # fmt: skip
    """Propose the outlines of the pieces under PICKS.csv (easting, northing and, if wished, piece) on a rectified PICTURE.

    Nothing is taken into the site: look at the picture written, mend or delete rows of element.csv, then take that table in.
    """
    with open_site(site, read_only=True) as store:
        record = store.record()
    step(f"Looking for pieces on {picture.name}")
    found = propose_pieces(record, picture, picks, number, folder, largest=largest, stones=stones, brick=brick)
    emit(_answer(found), _words(found), json_out=json_out)
    if found.refused:
        ctx.exit(1)


def _answer(found: ProposedPieces) -> dict[str, object]:
    return {
        "context": found.context.number,
        "grid": found.grid,
        "cell": found.cell,
        "proposed": [
            {
                "piece": one.number,
                "confidence": one.confidence,
                "edge_seen": one.edge,
                "of_one_colour": one.fills,
                "face_mm": list(one.face),
                "bearing": one.bearing if one.bearing == one.bearing else None,
                "attitude": one.attitude,
                "says": one.why,
            }
            for one in found.pieces
        ],
        "refused": [
            {"pick": one.name, "easting_m": float(one.place[0]), "northing_m": float(one.place[1]), "says": one.why}
            for one in found.refused
        ],
        "files": [str(file) for file in found.files],
    }


def _counted(found: ProposedPieces) -> tuple[tuple[Sized, str], ...]:
    return (found.pieces, "piece"), (found.refused, "pick")


def _words(found: ProposedPieces) -> str:
    pieces, picks = (f"{len(held)} {word}{'' if len(held) == 1 else 's'}" for held, word in _counted(found))
    lines = [f"{pieces} of {found.context.number} proposed, {picks} refused."]
    if found.pieces:
        lines.append("  piece       confidence  face mm      bearing  attitude")
    for one in found.pieces:
        bearing = f"{one.bearing:7.1f}" if one.bearing == one.bearing else "      –"
        face = f"{one.face[0]:.0f} × {one.face[1]:.0f}"
        lines.append(f"  {one.number[:10]:<10} {one.confidence:>11.2f}  {face:<11} {bearing}  {one.attitude}")
    lines += [f"  {one.name}: {one.why}" for one in found.refused]
    lines += [f"Wrote {file}" for file in found.files]
    if found.pieces:
        table, picture = found.files[0], found.files[1].name
        lines.append(f"None is taken in yet: look at {picture}, mend or delete rows, then `baulk take SITE {table}`.")
    return "\n".join(lines)
