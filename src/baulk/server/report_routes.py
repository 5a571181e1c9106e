"""The read-only routes under /api/report: the unit report to read and to keep."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request, Response

from baulk.server.problems import Problem
from baulk.server.record_view import Shown
from baulk.server.report_view import FileForm, ReportView, report_file, report_view

__all__ = ["report", "report_routes", "report_to_keep"]

_PROBLEMS: dict[int | str, dict[str, Any]] = {"4XX": {"model": Problem}, "5XX": {"model": Problem}}
_MEDIA = {"html": "text/html; charset=utf-8", "pdf": "application/pdf"}

report_routes = APIRouter(prefix="/api/report", responses=_PROBLEMS)


def _shown(request: Request) -> Shown:
    found = request.app.state.shown()
    assert isinstance(found, Shown)
    return found


@report_routes.get("/{unit}", summary="The report of a unit, by its id or number")
def report(request: Request, unit: str, public: bool = True) -> ReportView:
    """Return the report chapter by chapter."""
    return report_view(_shown(request), unit, public=public)


@report_routes.get("/{unit}/file.{form}", summary="The report of a unit as a file", response_class=Response)
def report_to_keep(request: Request, unit: str, form: FileForm, public: bool = True) -> Response:
    """Return the report as HTML or PDF, offered for saving."""
    name, content = report_file(_shown(request), unit, form, public=public)
    headers = {"content-disposition": f'attachment; filename="{name}"', "cache-control": "no-store"}
    return Response(content, media_type=_MEDIA[form], headers=headers)
