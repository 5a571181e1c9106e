"""The unit report as the page reads it: the same tree that HTML and PDF are set from."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from baulk.record import Unit, View
from baulk.report import Report, to_html, to_pdf
from baulk.report.tree import Caution, Figure, Heading, KeyValues, Listing, Paragraph, Placed, Table
from baulk.server.problems import NotForTheCrew
from baulk.server.record_view import Shown

__all__ = ["ReportChapter", "ReportPart", "ReportView", "report_file", "report_view"]

FileForm = Literal["html", "pdf"]


class ReportPart(BaseModel):
    """One node of a chapter; fields that its kind does not have are empty."""

    model_config = ConfigDict(json_schema_serialization_defaults_required=True)

    kind: Literal["heading", "paragraph", "list", "facts", "table", "figure", "caution"]
    number: str = Field("", description="Of a section, table or figure.")
    anchor: str = ""
    title: str = Field("", description="Heading, caption, the lead of a paragraph or the name of a caution.")
    text: str = ""
    level: int = 0
    head: list[str] = Field(default_factory=list)
    rows: list[list[str]] = Field(default_factory=list, description="Cells; of a list one cell a row.")
    numbers: list[int] = Field(default_factory=list, description="Columns of figures.")
    note: str = ""
    svg: str = ""
    alt: str = ""


class ReportChapter(BaseModel):
    """A chapter or an appendix."""

    number: str
    anchor: str
    title: str
    appendix: bool
    parts: list[ReportPart]


class ReportView(BaseModel):
    """A whole report."""

    title: str
    subtitle: str
    public: bool
    whole: bool = Field(description="Whether the full version may be asked for here too.")
    facts: list[list[str]]
    banners: list[str]
    notice: str
    chapters: list[ReportChapter]


def report_view(shown: Shown, unit: str, *, public: bool) -> ReportView:
    """Return the report of a unit, by id or number.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    NotForTheCrew
        When the full report is asked for where burials are withheld.
    """
    report = _report(shown, unit, public=public)
    return ReportView(
        title=report.cover.title, subtitle=report.cover.subtitle, public=public, whole=shown.viewer is View.RESTRICTED,
        facts=[list(fact) for fact in report.cover.facts], banners=list(report.cover.banners), notice=report.notice,
        chapters=[
            ReportChapter(
                number=placed.number, anchor=placed.anchor, title=placed.chapter.title, appendix=placed.chapter.appendix,
                parts=[_part(one) for one in placed.placed],
            )
            for placed in report.placed()
        ],
    )  # fmt: skip


def report_file(shown: Shown, unit: str, form: FileForm, *, public: bool) -> tuple[str, bytes]:
    """Return the file name and the bytes of the report of a unit.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    NotForTheCrew
        When the full report is asked for where burials are withheld.
    """
    report = _report(shown, unit, public=public)
    found = _unit(shown, unit)
    number = "".join(mark if mark.isalnum() and mark.isascii() else "-" for mark in found.number or found.id)
    name = f"unit-{number}-report{'-public' if public else ''}.{form}"
    return name, to_pdf(report) if form == "pdf" else to_html(report).encode("utf-8")


def _report(shown: Shown, unit: str, *, public: bool) -> Report:
    found = _unit(shown, unit)
    if not public and shown.viewer is not View.RESTRICTED:
        raise NotForTheCrew(
            "The full report tells of burials and exact places, and this workbench withholds them. Ask for the public version, "
            "or open the site with “baulk open SITE --restricted” where only those who may know can see the screen."
        )
    return shown.study.report(found.id, public=public)


def _unit(shown: Shown, unit: str) -> Unit:
    return shown.study.record.get(Unit, unit) or shown.study.record.numbered(Unit, unit)


def _part(placed: Placed) -> ReportPart:
    node = placed.node
    match node:
        case Heading(text, level):
            return ReportPart(kind="heading", number=placed.number, anchor=placed.anchor, title=text, level=level)
        case Paragraph(text, lead):
            return ReportPart(kind="paragraph", title=lead, text=text)
        case Listing(items):
            return ReportPart(kind="list", rows=[[item] for item in items])
        case KeyValues(rows):
            return ReportPart(kind="facts", rows=[list(row) for row in rows])
        case Caution(title, text, source):
            return ReportPart(kind="caution", title=title, text=text, note=source)
        case Table():
            return ReportPart(
                kind="table", number=placed.number, anchor=placed.anchor, title=node.caption, head=list(node.head),
                rows=[list(row) for row in node.rows], numbers=list(node.numbers), note=node.note,
            )  # fmt: skip
        case Figure():
            return ReportPart(
                kind="figure", number=placed.number, anchor=placed.anchor, title=node.caption, svg=node.svg, alt=node.alt
            )
