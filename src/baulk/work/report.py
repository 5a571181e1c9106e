"""Write the unit report."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from baulk.errors import BaulkError
from baulk.record import Unit, View
from baulk.report import to_html, to_pdf
from baulk.work.give import write_new
from baulk.work.study import Study

__all__ = ["work_out_dates", "write_report"]


def write_report(
    study: Study, unit_id: str, folder: Path, *, public: bool = False, written: str | None = None
) -> tuple[Path, Path]:
    """Write the report of a unit as HTML and PDF, and return both paths.

    Parameters
    ----------
    study : Study
        The record and what follows from it.
    unit_id : str
        The unit.
    folder : Path
        Where the files go; an earlier report of the same name is written over, since it is made anew from the record.
    public : bool
        True for the public version.
    written : str, optional
        Day of writing for the cover.

    Raises
    ------
    UnknownRecord
        When there is no such unit.
    FileError
        When a file cannot be written.
    """
    report = study.report(unit_id, public=public, written=written)
    unit = study.record.get(Unit, unit_id)
    number = "".join(mark if mark.isalnum() else "-" for mark in (unit.number if unit and unit.number else unit_id))
    name = f"unit-{number}-report" + ("-public" if public else "")
    html = write_new(folder / f"{name}.html", to_html(report).encode("utf-8"))
    return html, write_new(folder / f"{name}.pdf", to_pdf(report))


def work_out_dates(study: Study, view: View) -> None:
    """Work out the chronology for the report of a viewer, with and without the absence of later finds.

    A refusal is kept and printed by the report in its own words.
    """
    dating = study.dating
    with suppress(BaulkError):
        dating.dated(view)
        dating.dated(view, dating.settings.without_absence())
