"""The site as a whole, its units, and the cautions that go with the work."""

from __future__ import annotations

from pydantic import BaseModel, Field

from baulk.drawing.site import has_site_plan
from baulk.record import RESTRICTED_NOTICE, Context, Unit, View, Wall, kinds_for
from baulk.server.record_view import RecordLink, RecordView, Shown

__all__ = ["Caution", "KindCount", "SiteView", "UnitLine", "cautions", "site_view", "unit_lines"]


class KindCount(BaseModel):
    """How many records of a kind the site has, void ones left out."""

    kind: str
    title: str
    total: int


class SiteView(BaseModel):
    """The site."""

    record: RecordView | None = Field(description="None when no site is recorded yet.")
    revision: int
    length_unit: str = Field(description="m, ft or ft_us: what every length, level and co-ordinate is in.")
    metres: float = Field(description="How many metres one of the site's own lengths is.")
    invented: bool
    counts: list[KindCount]
    differences: int = Field(description="How many fields two people changed without sight of each other.")
    drawing: str = Field(description="Name of the site's plan; empty while nothing with a place is recorded.")
    notice: str = Field(description="What the page must say plainly of itself, as that it is restricted; empty for nothing.")


class UnitLine(BaseModel):
    """One unit in a list."""

    link: RecordLink
    opened: str | None
    closed: str | None
    contexts: int
    walls: int


class Caution(BaseModel):
    """A caution of the trade, shown where it matters; it never replaces a competent person or local law."""

    id: str
    place: str = Field(description="The place of the workbench that shows it.")
    says: str
    source: str


def site_view(shown: Shown) -> SiteView:
    """Return the site as a whole."""
    record = shown.record
    counts = []
    for name, kind in kinds_for(shown.viewer).items():
        total = record.count(kind)
        if total:
            counts.append(KindCount(kind=name, title=kind.TITLE, total=total))
    return SiteView(
        record=shown.view(record.site) if record.site.id else None,
        revision=record.revision,
        length_unit=record.length_unit.value,
        metres=record.metres,
        invented=bool(record.site.invented),
        counts=counts,
        differences=len(record.differences),
        drawing="site" if has_site_plan(shown.study.record, restricted=shown.viewer is View.RESTRICTED) else "",
        notice=RESTRICTED_NOTICE if shown.viewer is View.RESTRICTED else "",
    )


def unit_lines(shown: Shown) -> list[UnitLine]:
    """Return every unit, in natural order of number."""
    lines = []
    for unit in shown.record.all(Unit):
        link = shown.link(unit.id)
        if link is not None:
            contexts = shown.study.record.pointing_at(Context, "units", unit.id)
            walls = shown.record.pointing_at(Wall, "unit", unit.id)
            lines.append(UnitLine(link=link, opened=unit.opened, closed=unit.closed, contexts=len(contexts), walls=len(walls)))
    return lines


def cautions(viewer: View = View.CREW) -> tuple[Caution, ...]:
    """Return the cautions, each for one place."""
    told = f"{RESTRICTED_NOTICE}." if viewer is View.RESTRICTED else "Their records are withheld on these pages."
    return (
        Caution(
            id="remains",
            place="closing",
            says=f"Possible human remains: stop, cover, notify, leave in place. {told} "
            "Nothing here is legal advice; local law and licensed practice decide.",
            source="published state statutes and federal guidance",
        ),
        Caution(
            id="drawings",
            place="site",
            says="Places on this page are good for the record, not for setting out: measure from the control points.",
            source="common practice, no source",
        ),
    )
