"""The read-only JSON routes under /api."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from pydantic import TypeAdapter

from baulk.server.asking import PROBLEMS, shown_to
from baulk.server.closing_view import ClosingView, closing_view
from baulk.server.drawing_answer import drawing_svg
from baulk.server.field_view import KindView, kind_views
from baulk.server.files import kept_file
from baulk.server.looking import viewer_now
from baulk.server.map_view import SiteMap, site_map
from baulk.server.record_view import Shown
from baulk.server.register_view import RegisterPage, register_page
from baulk.server.site_view import Caution, SiteView, UnitLine, cautions, site_view, unit_lines
from baulk.server.unit_view import RecordPage, UnitView, record_page, unit_view

__all__ = [
    "PAGE_LIMIT", "all_cautions", "api_routes", "closing", "drawing", "fields", "kept", "one_record", "one_unit",
    "register", "site", "units", "units_on_map",
]  # fmt: skip

PAGE_LIMIT = 500
"""Most records of one page of a register."""

_Ids = Annotated[Sequence[str], Query(max_length=100)]


_UNIT_LINES, _SITE_MAP = TypeAdapter(list[UnitLine]), TypeAdapter(SiteMap)

api_routes = APIRouter(prefix="/api", responses=PROBLEMS)


def _in_one_piece(shown: Shown, name: str, made: Callable[[], bytes]) -> Response:
    """Return a list of thousands as JSON, made once a revision."""
    if name not in shown.pieces:
        shown.pieces[name] = made()
    return Response(shown.pieces[name], media_type="application/json")


@api_routes.get("/site", summary="The site as a whole")
def site(request: Request) -> SiteView:
    """Return the site with its counts."""
    return site_view(shown_to(request))


@api_routes.get("/cautions", summary="Cautions of the trade, each for one place")
def all_cautions(request: Request) -> list[Caution]:
    """Return the cautions."""
    return list(cautions(viewer_now(request.app.state.viewer)))


@api_routes.get("/fields", summary="What is said of every field")
def fields(request: Request) -> list[KindView]:
    """Return the field reference."""
    return list(kind_views(viewer_now(request.app.state.viewer)))


@api_routes.get("/units", summary="The units", response_model=list[UnitLine])
def units(request: Request) -> Response:
    """Return every unit as a line of a list."""
    shown = shown_to(request)
    return _in_one_piece(shown, "units", lambda: _UNIT_LINES.dump_json(unit_lines(shown)))


@api_routes.get("/map", summary="The units and control points, as columns for a map", response_model=SiteMap)
def units_on_map(request: Request) -> Response:
    """Return where the units lie."""
    shown = shown_to(request)
    return _in_one_piece(shown, "map", lambda: _SITE_MAP.dump_json(site_map(shown)))


@api_routes.get("/unit/{unit}", summary="One unit, by id or number")
def one_unit(request: Request, unit: str) -> UnitView:
    """Return a unit with its contexts, walls and what else belongs to it."""
    return unit_view(shown_to(request), unit)


@api_routes.get("/record/{record}", summary="One record of any kind, by id")
def one_record(request: Request, record: str) -> RecordPage:
    """Return a record with its relations and all that points at it."""
    return record_page(shown_to(request), record)


@api_routes.get("/registers/{kind}", summary="One register, page by page")
def register(
    request: Request,
    kind: str,
    offset: Annotated[int, Query(ge=0, le=1_000_000_000)] = 0,
    limit: Annotated[int, Query(ge=1, le=PAGE_LIMIT)] = 100,
    find: Annotated[str, Query(max_length=200)] = "",
) -> RegisterPage:
    """Return a page of a register."""
    return register_page(shown_to(request), kind, offset=offset, limit=limit, find=find)


@api_routes.get("/closing/{unit}", summary="The closing check of a unit, by id or number")
def closing(request: Request, unit: str) -> ClosingView:
    """Return the closing check rule by rule."""
    return closing_view(shown_to(request), unit)


@api_routes.get(
    "/drawings/{name:path}.svg",
    summary="A drawing: site, order, plan-<unit number>, wall-<wall number>",
    response_class=Response,
    responses={200: {"content": {"image/svg+xml": {}}}},
)
def drawing(request: Request, name: str, opened: _Ids = (), unfold: _Ids = ()) -> Response:
    """Return a drawing as SVG; of the order with the folded boxes of some contexts opened, and some contexts out of any fold."""
    svg = drawing_svg(shown_to(request), name, tuple(opened), tuple(unfold))
    return Response(svg, media_type="image/svg+xml", headers={"cache-control": "no-store"})


@api_routes.get("/files/{sha}", summary="A kept file, by SHA-256", response_class=Response)
def kept(request: Request, sha: str) -> Response:
    """Return a photo or other file that a shown record names."""
    return kept_file(shown_to(request), sha)
