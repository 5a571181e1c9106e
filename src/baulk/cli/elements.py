"""`baulk elements`: how the laid pieces of a structure lie."""

from __future__ import annotations

from math import isfinite
from pathlib import Path

import click

from baulk.cli.brick import brick_size
from baulk.cli.options import as_json, emit, site_argument
from baulk.store import open_site
from baulk.work.elements import LaidElements, attitudes_in_words, laid_elements

__all__ = ["elements"]


@click.command()
@site_argument
@click.argument("context")
@click.option("--brick", type=brick_size, default=None, help="Size of a whole piece in millimetres; the mean on record by default.")
@click.option("--tolerance", type=float, default=0.08, show_default=True, help="Share of a side by which a face may differ.")
@as_json
def elements(site: Path, context: str, brick: tuple[float, float, float] | None, tolerance: float, json_out: bool) -> None:
    """Say how the laid pieces of the structure CONTEXT lie: axis, rows, what they turn round, what cuts them."""
    with open_site(site, read_only=True) as store:
        found = laid_elements(store.record(), context, brick=brick, tolerance=tolerance)
    emit(_answer(found), _words(found), json_out=json_out)


def _plain(value: float) -> float | None:
    return float(value) if isfinite(value) else None


def _answer(found: LaidElements) -> dict[str, object]:
    laying, place = found.laying, found.laying.place
    return {
        "context": found.context.number,
        "pieces": len(found.elements),
        "axis": {
            "mean": _plain(laying.axis.mean) if laying.axis.has_mean else None,
            "half_width": _plain(laying.axis.half_width),
            "length": laying.axis.length,
            "kappa": _plain(laying.axis.kappa),
            "p": laying.axis.p,
        },
        "attitudes": [None if laid is None else laid.attitude for laid in found.attitudes],
        "rows": [
            {
                "offset": float(laying.rows.offsets[row]),
                "pieces": int(laying.rows.counts[row]),
                "turn": None if along is None else _plain(along.turn),
                "degrees_per_metre": None if along is None else _plain(along.rate),
                "error": None if along is None else _plain(along.rate_error),
            }
            for row, along in enumerate(laying.along)
        ],
        "turning": {
            "turns": laying.turning.turns,
            "easting": None if place is None else place.easting,
            "northing": None if place is None else place.northing,
            "within": None if place is None else _plain(place.within),
            "says": laying.turning.words if place is None else place.words,
        },
        "cut_through": [
            {
                "cut": cut.cut,
                "pieces": list(cut.pieces),
                "crossed": list(cut.crossed),
                "edge": None if cut.edge is None else cut.edge.words,
            }
            for cut in found.cut_through
        ],
        "sizes": found.sizes.words,
        "notes": list(found.notes),
    }


def _words(found: LaidElements) -> str:
    laying = found.laying
    lines = [f"{len(found.elements)} pieces of {found.context.number}.", attitudes_in_words(found), laying.turning.words]
    lines += [laying.axis.words] if laying.place is None else [laying.place.words]
    parted = "" if laying.rows.clear else " (their parting is in doubt)"
    lines.append(f"{len(laying.rows.counts)} rows{parted}, {laying.rows.spacing:.3f} m apart:")
    for row, along in enumerate(laying.along):
        turn = "" if along is None else f", axis turns {along.turn:+.1f}° over {along.distance[-1]:.2f} m"
        lines.append(f"  {laying.rows.offsets[row]:+.3f} m: {laying.rows.counts[row]} pieces{turn}")
    for cut in found.cut_through:
        lines.append(f"Cut {cut.cut} ends {', '.join(cut.pieces) or 'none'}." + (f" {cut.edge.words}" if cut.edge else ""))
        if cut.crossed:
            lines.append(f"  Drawn across its edge though recorded whole: {', '.join(cut.crossed)}. Look at them again.")
    return "\n".join([*lines, f"Sizes: {found.sizes.words}", *found.notes])
