"""The report as PDF, set by typst in a folder of its own that holds nothing but the report."""

from __future__ import annotations

import json
import tempfile
from itertools import zip_longest
from pathlib import Path
from typing import Any

import typst

from baulk.errors import TypesettingError, shorten
from baulk.report.figures import HEADED, Fitted, Sheet, fitted
from baulk.report.setting import set_as_pdf
from baulk.report.svg_text import FONT, inline_svg, read_svg, size_in_mm, svg_text
from baulk.report.tree import (
    Caution,
    Figure,
    Heading,
    KeyValues,
    Listing,
    Node,
    Paragraph,
    Placed,
    PlacedChapter,
    Report,
    Table,
)
from baulk.report.typeset import LAYOUT

__all__ = ["to_pdf"]

_NEW_PAGE = ("1", "A")
_NO_GLYPH = "could not be displayed"
_MISSING_SIGNS = (
    "Some signs of this record are in no font at hand and are left out or shown as boxes here; the web version of the report "
    "has them."
)


def to_pdf(report: Report) -> bytes:
    """Return a report as a tagged PDF with embedded fonts.

    Parameters
    ----------
    report : Report

    Returns
    -------
    bytes
        PDF/A-2a. When the record holds signs that no shipped font has, the fonts of the machine are asked; when they have none
        either, the file is a plain tagged PDF and says on its cover what is missing.

    Raises
    ------
    TypesettingError
        When the page setter refuses the report.
    FileError
        When a figure is no SVG drawing.
    """
    with tempfile.TemporaryDirectory(prefix="baulk-report-") as made:
        folder = Path(made)
        data = _data(report, folder)
        (folder / "report.typ").write_text(LAYOUT, encoding="utf-8")
        for archival, system_fonts in ((True, False), (True, True), (False, True)):
            if not archival:
                data["cover"]["banners"].append(_MISSING_SIGNS)
            (folder / "report.json").write_text(json.dumps(data), encoding="utf-8")
            try:
                return set_as_pdf(folder / "report.typ", archival=archival, system_fonts=system_fonts)
            except typst.TypstError as refusal:
                if _NO_GLYPH not in str(refusal):
                    raise TypesettingError(
                        f"The report cannot be set as PDF: {shorten(refusal, 300)}. The web version holds the same report."
                    ) from refusal
    raise TypesettingError("The report cannot be set as PDF: no font has its signs. The web version holds the same report.")


def _data(report: Report, folder: Path) -> dict[str, Any]:
    cover = report.cover
    author = dict(cover.facts).get("Organisation", "")
    return {
        "title": f"{cover.title}: {cover.subtitle}",
        "author": author,
        "description": report.notice,
        "date": [int(part) for part in report.written.split("-")] if report.written else None,
        "font": FONT,
        "running": list(report.running),
        "notice": report.notice,
        "cover": {
            "title": cover.title,
            "subtitle": cover.subtitle,
            "facts": [list(row) for row in cover.facts],
            "banners": list(cover.banners),
        },
        "chapters": [_chapter(chapter, folder) for chapter in report.placed()],
    }


def _chapter(chapter: PlacedChapter, folder: Path) -> dict[str, Any]:
    word = "Appendix " if chapter.chapter.appendix else ""
    title = {"kind": "heading", "level": 1, "text": f"{word}{chapter.number}. {chapter.chapter.title}"}
    nodes = [title, *(_node(item, folder) for item in chapter.placed)]
    return {"breaks": chapter.number in _NEW_PAGE, "nodes": _with_their_headings(nodes)}


_MOST_ABOVE = 3
_LAST_LINES = ("Confidence.", "Not recorded.")
"""Leads of the lines that end a context; they do not stand alone at the head of a page."""
_ROWS_KEPT, _SIGNS_KEPT = 14, 1800
"""A table of so few rows and signs is never broken: it is far lower than a page."""


def _may_stand_above(node: dict[str, Any]) -> bool:
    return node["kind"] == "heading" or (node["kind"] == "paragraph" and len(node["text"]) < 300)


def _with_their_headings(nodes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Keep a paragraph with the facts or list after it, and headings with a figure that stands on a sheet of its own."""
    kept: list[dict[str, Any]] = []
    for node, after in zip_longest(nodes, nodes[1:]):
        if node["kind"] == "paragraph" and after:
            last_line = after["kind"] == "paragraph" and after["lead"] in _LAST_LINES
            node["keeps"] = (after["kind"] in ("facts", "listing", "table") or last_line) and _may_stand_above(node)
        if node["kind"] == "figure" and node["sheet"] != Sheet.IN_TEXT.value:
            above: list[dict[str, Any]] = []
            while node["height"] <= HEADED and kept and len(above) < _MOST_ABOVE and _may_stand_above(kept[-1]):
                above.insert(0, kept.pop())
            node["above"] = above
        kept.append(node)
    return kept


def _node(item: Placed, folder: Path) -> dict[str, Any]:
    node: Node = item.node
    if isinstance(node, Heading):
        number = f"{item.number} " if item.number else ""
        return {"kind": "heading", "level": node.level, "text": number + node.text}
    if isinstance(node, Paragraph):
        return {"kind": "paragraph", "lead": node.lead, "text": node.text}
    if isinstance(node, Listing):
        return {"kind": "listing", "items": list(node.items)}
    if isinstance(node, KeyValues):
        return {"kind": "facts", "rows": [list(row) for row in node.rows], "dense": node.dense}
    if isinstance(node, Caution):
        return {"kind": "caution", "title": node.title, "text": node.text, "source": node.source}
    return _table(node) if isinstance(node, Table) else _figure(node, item.anchor, folder)


def _table(node: Table) -> dict[str, Any]:
    return {
        "kind": "table",
        "caption": node.caption,
        "head": list(node.head),
        "rows": [list(row) for row in node.rows],
        "weights": list(node.weights or (1.0,) * len(node.head)),
        "numbers": list(node.numbers),
        "note": node.note,
        "whole": len(node.rows) <= _ROWS_KEPT and sum(len(cell) for row in node.rows for cell in row) <= _SIGNS_KEPT,
    }


def _figure(node: Figure, anchor: str, folder: Path) -> dict[str, Any]:
    root = read_svg(node.svg)
    width, height = size_in_mm(root)
    inline_svg(root, anchor, FONT)
    name = f"{anchor}.svg"
    (folder / name).write_text(svg_text(root), encoding="utf-8")
    place = fitted(width, height, keeps_scale=node.scale is not None)
    return {
        "kind": "figure",
        "file": name,
        "caption": f"{node.caption}.{_said_of_scale(node, place)}",
        "alt": node.alt,
        "width": place.width,
        "height": place.height,
        "sheet": place.sheet.value,
    }


def _said_of_scale(node: Figure, place: Fitted) -> str:
    if node.scale and place.share == 1:
        return f" Scale 1:{node.scale}."
    if node.scale:
        return f" Too large for A3: printed at {place.share * 100:.0f} % of 1:{node.scale}, not at scale."
    return f" Printed at {place.share * 100:.0f} % of its own size to fit the page." if place.share < 1 else ""
