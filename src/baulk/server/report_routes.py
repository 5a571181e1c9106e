"""The read-only routes under /api/report: the unit report to read and to keep."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from baulk.server.asking import PROBLEMS, shown_to
from baulk.server.report_view import FileForm, ReportView, report_file, report_view

__all__ = ["report", "report_routes", "report_to_keep"]

_MEDIA = {"html": "text/html; charset=utf-8", "pdf": "application/pdf"}

report_routes = APIRouter(prefix="/api/report", responses=PROBLEMS)


@report_routes.get("/{unit}", summary="The report of a unit, by its id or number")
def report(request: Request, unit: str, public: bool = True) -> ReportView:
    """Return the report chapter by chapter."""
    return report_view(shown_to(request), unit, public=public)


@report_routes.get("/{unit}/file.{form}", summary="The report of a unit as a file", response_class=Response)
def report_to_keep(request: Request, unit: str, form: FileForm, public: bool = True) -> Response:
    """Return the report as HTML or PDF, offered for saving."""
    name, content = report_file(shown_to(request), unit, form, public=public)
    headers = {"content-disposition": f'attachment; filename="{name}"', "cache-control": "no-store"}
    return Response(content, media_type=_MEDIA[form], headers=headers)
