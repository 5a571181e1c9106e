"""The report as a plain tree: chapters of headings, paragraphs, lists, tables, figures and cautions.

Nothing here knows how a page looks; `html` and `pdf` set the same tree. Text is plain text, never markup.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

__all__ = [
    "Caution", "Chapter", "Cover", "Figure", "Heading", "KeyValues", "Listing", "Node", "Paragraph", "Placed", "PlacedChapter",
    "Report", "Table",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a chapter; `level` 2 is a section, 3 a part of a section."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; `lead` stands before it in bold, as in *Reasons*."""

    text: str
    lead: str = ""


@dataclass(frozen=True, slots=True)
class Listing:
    """A list of short statements."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KeyValues:
    """Facts side by side: label and value; `dense` sets short ones two to a line."""

    rows: tuple[tuple[str, str], ...]
    dense: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A captioned table.

    Parameters
    ----------
    caption : str
    head : tuple of str
        Headings of the columns.
    rows : tuple of tuple of str
        Cells, as many as `head` in every row.
    weights : tuple of float
        Share of the width for each column; 0 means "as wide as its text"; empty for equal shares.
    numbers : tuple of int
        Columns of figures, counted from 0, set flush right.
    note : str
        Stands below the table.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    weights: tuple[float, ...] = ()
    numbers: tuple[int, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A captioned drawing.

    Parameters
    ----------
    svg : str
        The drawing, its width and height in mm at print scale.
    caption : str
    alt : str
        What the drawing shows, for who cannot see it.
    scale : int or None
        20 for 1:20: printed at exactly its size in mm, on a larger page if need be. None: may be made smaller to fit.
    """

    svg: str
    caption: str
    alt: str
    scale: int | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution with its source; it never decides."""

    title: str
    text: str
    source: str = ""


Node = Heading | Paragraph | Listing | KeyValues | Table | Figure | Caution


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter, or an appendix."""

    title: str
    parts: tuple[Node, ...]
    appendix: bool = False


@dataclass(frozen=True, slots=True)
class Cover:
    """The title page: title, subtitle, facts, and banners that must be seen first."""

    title: str
    subtitle: str
    facts: tuple[tuple[str, str], ...]
    banners: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """A node with its number and its anchor; both are empty for a node that has no number."""

    node: Node
    number: str = ""
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class PlacedChapter:
    """A chapter with its number (1, 2, … or A, B, …), its anchor and its placed nodes."""

    chapter: Chapter
    number: str
    anchor: str
    placed: tuple[Placed, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """A whole report.

    Parameters
    ----------
    cover : Cover
    chapters : tuple of Chapter
        Appendices last.
    running : tuple of str
        What stands at the head of every page: site code, unit.
    notice : str
        What stands at the foot of every page, such as that the data is invented; empty for none.
    written : str or None
        Day of writing, ISO 8601, for the file's own date; None: the day on which the file is made.
    """

    cover: Cover
    chapters: tuple[Chapter, ...]
    running: tuple[str, str]
    notice: str = ""
    written: str | None = None

    def placed(self) -> tuple[PlacedChapter, ...]:
        """Return the chapters with every number and anchor; figures and tables are counted through the whole report."""
        counts = {"figure": 0, "table": 0}
        return tuple(
            PlacedChapter(chapter, number, f"chapter-{number.lower()}", tuple(_place(chapter, number, counts)))
            for chapter, number in self._chapter_numbers()
        )

    def _chapter_numbers(self) -> Iterator[tuple[Chapter, str]]:
        main = appendices = 0
        for chapter in self.chapters:
            if chapter.appendix:
                appendices += 1
                yield chapter, _letters(appendices)
            else:
                main += 1
                yield chapter, str(main)


def _place(chapter: Chapter, number: str, counts: dict[str, int]) -> Iterator[Placed]:
    sections = 0
    for node in chapter.parts:
        if isinstance(node, Heading) and node.level == 2:
            sections += 1
            yield Placed(node, f"{number}.{sections}", f"section-{number.lower()}-{sections}")
        elif isinstance(node, Figure | Table):
            kind = "figure" if isinstance(node, Figure) else "table"
            counts[kind] += 1
            yield Placed(node, str(counts[kind]), f"{kind}-{counts[kind]}")
        else:
            yield Placed(node)


def _letters(place: int) -> str:
    """Return A, B, …, Z, AA for 1, 2, …, 26, 27."""
    letters = ""
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
