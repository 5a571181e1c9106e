"""The application: JSON under /api, the built page at /."""

from __future__ import annotations

from collections.abc import Callable, Collection
from pathlib import Path
from threading import Lock

from fastapi import FastAPI

from baulk import __version__
from baulk.errors import InputError
from baulk.record import View
from baulk.server.compressed import Compressed
from baulk.server.dates_routes import dates_routes
from baulk.server.guard import LOOPBACK_NAMES, Guard
from baulk.server.looking import viewer_now
from baulk.server.order_routes import order_routes
from baulk.server.page import STATIC, serve_page
from baulk.server.photo_routes import photo_routes
from baulk.server.problems import answer_problems
from baulk.server.readings_routes import readings_routes
from baulk.server.record_view import Shown
from baulk.server.report_routes import report_routes
from baulk.server.routes import api_routes
from baulk.server.shape_routes import shape_routes
from baulk.server.study import StudySource
from baulk.server.sync_routes import sync_routes
from baulk.server.thumbs import thumb_routes
from baulk.server.tokens import Gate
from baulk.server.uploads import upload_routes
from baulk.work.office import SiteOffice

__all__ = ["create_app"]


def create_app(
    study_source: StudySource,
    *,
    view: View = View.CREW,
    names: Collection[str] = LOOPBACK_NAMES,
    static: Path = STATIC,
    office: SiteOffice | None = None,
    gate: Gate | None = None,
    network: bool = False,
) -> FastAPI:
    """Return the application that shows a site, and takes changes in when it has an office and a gate.

    Parameters
    ----------
    study_source : callable
        Gives the study of the site as it stands now; asked once a request, one request at a time.
    view : View
        Who looks: the crew, or who may know of burials. The record is never served to the public.
    names : collection of str
        Host names under which the page may be asked for.
    static : Path
        Folder of the built page.
    office : SiteOffice, optional
        Keeps what devices send; without it the site is only shown.
    gate : Gate, optional
        Gives out the tokens that devices send with.
    network : bool
        Whether others than this machine may ask; they need a token for everything under /api.

    Raises
    ------
    InputError
        When the view is the public one, which only the report gives.
    """
    if view is View.PUBLIC:
        raise InputError("The workbench has no public view. Give the public report instead: baulk report --public.")
    app = FastAPI(title="Baulk workbench", version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.viewer, app.state.office, app.state.gate = view, office, gate
    app.state.shown = _latest(study_source, view)
    app.include_router(api_routes)
    app.include_router(order_routes)
    app.include_router(dates_routes)
    app.include_router(shape_routes)
    app.include_router(photo_routes)
    app.include_router(thumb_routes)
    app.include_router(sync_routes)
    app.include_router(upload_routes)
    app.include_router(report_routes)
    app.include_router(readings_routes)
    answer_problems(app)
    serve_page(app, static)
    app.add_middleware(Compressed, minimum_size=2_000, compresslevel=5)
    app.add_middleware(Guard, names=names, gate=gate, view=view, network=network)
    return app


def _latest(study_source: StudySource, view: View) -> Callable[[], Shown]:
    """Return what gives the study as who asks may see it, made anew only when the source gives another study."""
    lock = Lock()
    held: dict[View, Shown] = {}

    def shown() -> Shown:
        with lock:
            study, viewer = study_source(), viewer_now(view)
            if viewer not in held or held[viewer].study is not study:
                held[viewer] = Shown(study, viewer)
            return held[viewer]

    return shown
