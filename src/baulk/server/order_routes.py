"""The read-only JSON routes under /api/order: the order, and what is asked of it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request

from baulk.server.asking import PROBLEMS, ContextNamed, shown_to
from baulk.server.doubt_view import DoubtView, MissedView, doubt_view, missed_view
from baulk.server.order_view import OrderView, order_view
from baulk.server.phase_view import PhasePage, phase_page
from baulk.server.why_view import LikelyView, WhyView, likely_view, why_view
from baulk.work.order import LIKELY_SEED

__all__ = ["doubts", "likely", "missed", "order", "order_routes", "phases", "why"]


order_routes = APIRouter(prefix="/api/order", responses=PROBLEMS)


@order_routes.get("", summary="The order of the contexts")
def order(request: Request) -> OrderView:
    """Return the order with what in it needs a look."""
    return order_view(shown_to(request))


@order_routes.get("/why", summary="Why one context is later than another")
def why(request: Request, later: ContextNamed, earlier: ContextNamed) -> WhyView:
    """Return the chain of relations with where each was seen, or that there is none."""
    return why_view(shown_to(request), later, earlier)


@order_routes.get("/likely", summary="How often one context is earlier than another")
def likely(
    request: Request, one: ContextNamed, other: ContextNamed, seed: Annotated[int, Query(ge=0, lt=2**32)] = LIKELY_SEED
) -> LikelyView:  # fmt: skip
    """Return the share of the orders that the relations allow, with its standard error."""
    return likely_view(shown_to(request), one, other, seed)


@order_routes.get("/doubts", summary="What to doubt in each loop")
def doubts(request: Request) -> DoubtView:
    """Return each loop with the fewest relations to doubt."""
    return doubt_view(shown_to(request))


@order_routes.get("/missed", summary="Relations that seem missed or wrong")
def missed(request: Request) -> MissedView:
    """Return each with its evidence and how to settle it."""
    return missed_view(shown_to(request))


@order_routes.get("/phases", summary="The phase table, page by page")
def phases(
    request: Request,
    offset: Annotated[int, Query(ge=0, le=1_000_000_000)] = 0,
    limit: Annotated[int, Query(ge=1, le=500)] = 100,
    conflicts: bool = False,
) -> PhasePage:
    """Return a page of the phase table."""
    return phase_page(shown_to(request), offset=offset, limit=limit, conflicts=conflicts)
