"""The built page of the workbench, or the sentence that tells how to build it."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

__all__ = ["NOT_BUILT", "STATIC", "serve_page"]

STATIC = Path(__file__).with_name("static")

NOT_BUILT = (
    "This Baulk was installed without its workbench in the browser. Build it from a copy of the sources: "
    "unset BAULK_NO_WEB, then run “make setup” (or “pip install .”) and open the site again."
)


class _PageFiles(StaticFiles):
    """Files of the built page; those whose name carries their hash are kept by the browser, the page itself never."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        answer = await super().get_response(path, scope)
        lasting = path.startswith("assets/")
        answer.headers["cache-control"] = "public, max-age=31536000, immutable" if lasting else "no-cache"
        return answer


def serve_page(app: FastAPI, static: Path = STATIC) -> None:
    """Let `app` answer with the built page at / and its files beside it."""
    if (static / "index.html").is_file():
        app.mount("/", _PageFiles(directory=static, html=True), name="page")
        return

    @app.get("/", include_in_schema=False)
    def not_built() -> HTMLResponse:
        text = f"<!doctype html><html lang='en'><meta charset='utf-8'><title>Baulk</title><p>{NOT_BUILT}</p></html>"
        return HTMLResponse(text, status_code=501)
