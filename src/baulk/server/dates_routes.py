"""The read-only JSON routes under /api/dates: bounds, aids, and the chronology, which is worked out when somebody asks for it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from baulk.server.asking import PROBLEMS, SVG, ContextNamed, shown_to
from baulk.server.best_view import BestView, SensitivityView, best_view, varied_view
from baulk.server.chronology_view import AbsenceLine, BeforeView, ChronologyView, absence_view, before_view, chronology_view
from baulk.server.dates_drawing import aids_svg, dates_svg
from baulk.server.dates_view import DatesView, WhyDateView, dates_view, why_date_view
from baulk.server.spans_view import SpansView, WithinView, spans_view, within_view

__all__ = [
    "absence", "aids", "before", "best", "chronology", "dates", "dates_routes", "drawing", "sensitivity", "spans", "why", "within",
]  # fmt: skip

_Year = Annotated[int, Query(ge=-100_000, le=100_000, description="A calendar year; negative is BC.")]
_Span = Annotated[str, Query(min_length=1, max_length=500, description="“phase 2”, or contexts by number, joined by commas.")]


dates_routes = APIRouter(prefix="/api/dates", responses=PROBLEMS)


@dates_routes.get("", summary="The bounds of every context, page by page, and what contradicts")
def dates(
    request: Request,
    offset: Annotated[int, Query(ge=0, le=1_000_000_000)] = 0,
    limit: Annotated[int, Query(ge=1, le=500)] = 100,
) -> DatesView:
    """Return the bounds, latest context first."""
    return dates_view(shown_to(request), offset=offset, limit=limit)


@dates_routes.get("/why", summary="Why a context has its bounds, and what each aid says")
def why(request: Request, context: ContextNamed) -> WhyDateView:
    """Return the paths, what weakens them, and the aids side by side."""
    return why_date_view(shown_to(request), context)


@dates_routes.get("/chronology", summary="How far the chronology is, and its dates once they are there")
def chronology(request: Request, absence: bool = True, begin: bool = False) -> ChronologyView:
    """Return the dates of a chronology, begun when asked; with or without the absence of later finds."""
    return chronology_view(shown_to(request), absence=absence, begin=begin)


@dates_routes.get("/before", summary="Which of two contexts is earlier, by the chronology")
def before(request: Request, one: ContextNamed, other: ContextNamed) -> BeforeView:
    """Return the chance that the first is earlier, and the years between them."""
    return before_view(shown_to(request), one, other)


@dates_routes.get("/absence", summary="What the absence of later finds does to each date")
def absence(request: Request) -> list[AbsenceLine]:
    """Return each deposit's date with and without it, explained."""
    return absence_view(shown_to(request))


@dates_routes.get("/best", summary="What would date a context best, for its cost")
def best(request: Request, context: ContextNamed) -> BestView:
    """Return what could be done, by how much each would narrow the date."""
    return best_view(shown_to(request), context)


@dates_routes.get("/sensitivity", summary="How the dates move when what is supposed is varied")
def sensitivity(request: Request, begin: bool = False) -> SensitivityView:
    """Return the dates under each variation, with how far they moved, as far as they are there; begun when asked, then kept."""
    return varied_view(shown_to(request), begin=begin)


@dates_routes.get("/within", summary="How likely a context is of some years")
def within(request: Request, context: ContextNamed, begin: _Year, end: _Year) -> WithinView:
    """Return the chance, beside that by order and span alone."""
    return within_view(shown_to(request), context, begin, end)


@dates_routes.get("/spans", summary="How two phases, or two lots of contexts, stand to each other in time")
def spans(request: Request, one: _Span, other: _Span) -> SpansView:
    """Return the chance of each way in which they can stand."""
    return spans_view(shown_to(request), one, other)


@dates_routes.get("/drawing.svg", summary="The dates of the contexts as a drawing", response_class=Response, responses=SVG)
def drawing(request: Request, dated: bool = False, absence: bool = True) -> Response:
    """Return bounds, and with `dated` the ranges of the chronology once it is worked out."""
    svg = dates_svg(shown_to(request), dated=dated, absence=absence)
    return Response(svg, media_type="image/svg+xml", headers={"cache-control": "no-store"})


@dates_routes.get("/aids.svg", summary="The aids to the date of one context as a drawing", response_class=Response, responses=SVG)
def aids(request: Request, context: ContextNamed) -> Response:
    """Return all aids of a context over the same years."""
    return Response(aids_svg(shown_to(request), context), media_type="image/svg+xml", headers={"cache-control": "no-store"})
