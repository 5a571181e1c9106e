"""The report as one self-contained HTML page: no script, no link to anywhere else, readable on a phone and in print."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from html import escape
from typing import Any

from baulk.report.page_style import PAGE_STYLE
from baulk.report.svg_text import inline_svg, read_svg, svg_text
from baulk.report.tree import (
    Caution,
    Cover,
    Figure,
    Heading,
    KeyValues,
    Listing,
    Paragraph,
    Placed,
    PlacedChapter,
    Report,
    Table,
)

__all__ = ["to_html"]

_FORBIDDEN = {place: " " for place in range(32) if place not in (9, 10, 13)}


def to_html(report: Report) -> str:
    """Return a report as HTML 5.

    Parameters
    ----------
    report : Report

    Returns
    -------
    str
        All text is escaped; drawings stand in the page as SVG.
    """
    placed = report.placed()
    cover = report.cover
    lines = [
        "<!DOCTYPE html>",
        '<html lang="en-GB">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{_safe(f'{cover.title}: {cover.subtitle}')}</title>",
        f"<style>{PAGE_STYLE}</style>",
        "</head>",
        "<body>",
        '<a class="skip" href="#report">To the report</a>',
        *_cover(cover),
        *_contents(placed),
        '<main id="report">',
    ]
    for chapter in placed:
        lines.extend(_chapter(chapter))
    lines += ["</main>", f"<footer><p>{_safe(' · '.join(part for part in (*report.running, report.notice) if part))}</p></footer>"]
    lines += ["</body>", "</html>"]
    return "\n".join(lines) + "\n"


def _safe(text: str) -> str:
    return escape(text.translate(_FORBIDDEN), quote=True)


def _cover(cover: Cover) -> Iterator[str]:
    yield "<header>"
    yield from (f'<p class="banner" role="note">{_safe(words)}</p>' for words in cover.banners)
    yield f"<h1>{_safe(cover.title)}</h1>"
    yield f'<p class="subtitle">{_safe(cover.subtitle)}</p>'
    yield from _key_values(cover.facts)
    yield "</header>"


def _contents(placed: tuple[PlacedChapter, ...]) -> Iterator[str]:
    yield '<nav aria-label="Contents">'
    yield "<h2>Contents</h2>"
    yield '<ol class="contents">'
    for chapter in placed:
        yield f'<li><a href="#{chapter.anchor}">{_safe(_numbered(chapter))}</a></li>'
    yield "</ol>"
    for title, kind in (("Figures", Figure), ("Tables", Table)):
        found = [item for chapter in placed for item in chapter.placed if isinstance(item.node, kind)]
        if found:
            yield f"<details><summary>{title} ({len(found)})</summary>"
            yield '<ol class="contents">'
            for item in found:
                yield f'<li><a href="#{item.anchor}">{title[:-1]} {item.number}. {_safe(_caption(item))}</a></li>'
            yield "</ol></details>"
    yield "</nav>"


def _numbered(chapter: PlacedChapter) -> str:
    word = "Appendix " if chapter.chapter.appendix else ""
    return f"{word}{chapter.number}. {chapter.chapter.title}"


def _caption(item: Placed) -> str:
    return item.node.caption if isinstance(item.node, Figure | Table) else ""


def _chapter(chapter: PlacedChapter) -> Iterator[str]:
    yield f'<section aria-labelledby="{chapter.anchor}">'
    yield f'<h2 id="{chapter.anchor}">{_safe(_numbered(chapter))}</h2>'
    deepest = 2
    for item in chapter.placed:
        if isinstance(item.node, Heading):
            deepest = min(item.node.level + 1, deepest + 1)
            yield _heading(item, deepest)
        else:
            yield from _SETTERS[type(item.node)](item)
    yield "</section>"


def _heading(item: Placed, level: int) -> str:
    """Return a heading at a level that skips none; one without a number is marked as an entry."""
    node: Any = item.node
    marks = f' id="{item.anchor}"' if item.anchor else ' class="entry"'
    return f"<h{level}{marks}>{_safe(f'{item.number} {node.text}'.strip())}</h{level}>"


def _paragraph(item: Placed) -> Iterator[str]:
    node: Any = item.node
    lead = f"<b>{_safe(node.lead)}</b> " if node.lead else ""
    yield f"<p>{lead}{_safe(node.text)}</p>"


def _listing(item: Placed) -> Iterator[str]:
    node: Any = item.node
    yield "<ul>"
    yield from (f"<li>{_safe(words)}</li>" for words in node.items)
    yield "</ul>"


def _facts(item: Placed) -> Iterator[str]:
    node: Any = item.node
    yield from _key_values(node.rows, dense=node.dense)


def _key_values(rows: tuple[tuple[str, str], ...], *, dense: bool = False) -> Iterator[str]:
    yield '<dl class="dense">' if dense else "<dl>"
    yield from (f"<div><dt>{_safe(label)}</dt><dd>{_safe(value)}</dd></div>" for label, value in rows)
    yield "</dl>"


def _table(item: Placed) -> Iterator[str]:
    node: Any = item.node
    label = f"Table {item.number}. {node.caption}"
    yield f'<div class="wide" role="region" tabindex="0" aria-label="{_safe(label)}">'
    yield f'<table id="{item.anchor}"><caption>{_safe(label)}</caption>'
    yield "<thead><tr>" + "".join(_head_cell(node, place, words) for place, words in enumerate(node.head)) + "</tr></thead>"
    yield "<tbody>"
    for row in node.rows:
        yield "<tr>" + "".join(_cell(node, place, words) for place, words in enumerate(row)) + "</tr>"
    yield "</tbody></table></div>"
    if node.note:
        yield f'<p class="note">{_safe(node.note)}</p>'


def _head_cell(node: Table, place: int, words: str) -> str:
    figures = ' class="figures"' if place in node.numbers else ""
    return f'<th scope="col"{figures}>{_safe(words)}</th>'


def _cell(node: Table, place: int, words: str) -> str:
    if place == 0:
        return f'<th scope="row">{_safe(words)}</th>'
    figures = ' class="figures"' if place in node.numbers else ""
    return f"<td{figures}>{_safe(words)}</td>"


def _figure(item: Placed) -> Iterator[str]:
    node: Any = item.node
    root = read_svg(node.svg)
    inline_svg(root, item.anchor)
    root.set("role", "img")
    root.attrib.pop("aria-labelledby", None)
    root.set("aria-label", node.alt)
    yield f'<figure id="{item.anchor}"><div class="wide" tabindex="0" role="region" aria-label="{_safe(f"Figure {item.number}")}">'
    yield svg_text(root)
    scale = f" Drawn at 1:{node.scale}; print at 100 % to keep the scale." if node.scale else ""
    yield f"</div><figcaption>Figure {item.number}. {_safe(node.caption)}.{scale}</figcaption></figure>"


def _caution(item: Placed) -> Iterator[str]:
    node: Any = item.node
    source = f' <span class="source">Source: {_safe(node.source)}.</span>' if node.source else ""
    yield f'<aside class="caution" aria-label="Caution"><h3>{_safe(node.title)}</h3><p>{_safe(node.text)}{source}</p></aside>'


_SETTERS: dict[type, Callable[[Placed], Iterator[str]]] = {
    Paragraph: _paragraph, Listing: _listing, KeyValues: _facts, Table: _table, Figure: _figure,
    Caution: _caution,
}  # fmt: skip
