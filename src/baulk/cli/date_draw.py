"""`baulk date --draw`: the dates of all contexts, or the aids to the date of one, as SVG."""

from __future__ import annotations

from pathlib import Path

from baulk.drawing import to_svg
from baulk.record import View, withheld_from
from baulk.work.chronology_answers import DatedSite
from baulk.work.date_drawings import aids_scene, dates_scene
from baulk.work.dates import SiteDates
from baulk.work.give import write_new

__all__ = ["dates_svg", "draw_aids", "draw_dates"]


def dates_svg(found: SiteDates, dated: DatedSite | None, view: View) -> str:
    """Return the drawing of the dates: bounds, and ranges where a chronology was worked out."""
    bare = withheld_from(found.order.record, view).bare
    return to_svg(dates_scene(found, dated, withheld=bare, restricted=view is View.RESTRICTED))


def draw_dates(found: SiteDates, dated: DatedSite | None, path: Path, view: View) -> None:
    """Write the drawing of the dates."""
    write_new(path, dates_svg(found, dated, view).encode("utf-8"))


def draw_aids(found: SiteDates, number: str, path: Path, view: View) -> None:
    """Write the drawing of the aids to the date of one context."""
    write_new(path, to_svg(aids_scene(found, number, restricted=view is View.RESTRICTED)).encode("utf-8"))
