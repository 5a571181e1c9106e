"""The application: read-only JSON under /api, the built page at /."""

from __future__ import annotations

from collections.abc import Callable, Collection
from pathlib import Path
from threading import Lock

from fastapi import FastAPI

from baulk import __version__
from baulk.errors import InputError
from baulk.record import View
from baulk.server.guard import LOOPBACK_NAMES, Guard
from baulk.server.order_routes import order_routes
from baulk.server.page import STATIC, serve_page
from baulk.server.problems import answer_problems
from baulk.server.record_view import Shown
from baulk.server.routes import api_routes
from baulk.server.shape_routes import shape_routes
from baulk.server.study import StudySource

__all__ = ["create_app"]


def create_app(
    study_source: StudySource, *, view: View = View.CREW, names: Collection[str] = LOOPBACK_NAMES, static: Path = STATIC
) -> FastAPI:
    """Return the application that shows a site and changes nothing.

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

    Raises
    ------
    InputError
        When the view is the public one, which only the report gives.
    """
    if view is View.PUBLIC:
        raise InputError("The workbench has no public view. Give the public report instead: baulk report --public.")
    app = FastAPI(title="Baulk workbench", version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.viewer = view
    app.state.shown = _latest(study_source, view)
    app.include_router(api_routes)
    app.include_router(order_routes)
    app.include_router(shape_routes)
    answer_problems(app)
    serve_page(app, static)
    app.add_middleware(Guard, names=names)
    return app


def _latest(study_source: StudySource, view: View) -> Callable[[], Shown]:
    """Return what gives the study as it is shown, made anew only when the source gives another study."""
    lock = Lock()
    held: list[Shown] = []

    def shown() -> Shown:
        with lock:
            study = study_source()
            if not held or held[0].study is not study:
                held[:] = [Shown(study, view)]
            return held[0]

    return shown
