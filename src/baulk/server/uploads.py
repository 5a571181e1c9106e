"""The routes under /api/uploads: a file comes in pieces, by the SHA-256 of its content, and goes on where it was broken off."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.concurrency import run_in_threadpool

from baulk.errors import StoreError
from baulk.server.asking import PROBLEMS
from baulk.server.sync_routes import bearer_of, office_of
from baulk.server.sync_view import FileHeld
from baulk.store import ArrivingFiles

__all__ = ["held", "put_piece", "upload_routes"]

_BYTES = Query(ge=0, le=2**53)

upload_routes = APIRouter(prefix="/api/uploads", responses=PROBLEMS)


def _arriving(request: Request) -> ArrivingFiles:
    bearer_of(request)
    office = office_of(request)
    if not office.writable:
        raise StoreError(f"This site can only be read here, so the file was not taken; it stays on the device. {office.why_not}")
    return office.arriving


@upload_routes.get("/{sha}", summary="How much of a file is here")
def held(request: Request, sha: str) -> FileHeld:
    """Return how much of a file is here."""
    return FileHeld.of(_arriving(request).held(sha))


@upload_routes.put(
    "/{sha}",
    summary="Send one piece of a file, raw",
    openapi_extra={"requestBody": {"content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}},
)
async def put_piece(request: Request, sha: str, offset: Annotated[int, _BYTES], size: Annotated[int, _BYTES]) -> FileHeld:
    """Keep one piece of a file."""
    arriving = await run_in_threadpool(_arriving, request)
    piece = await request.body()
    return FileHeld.of(await run_in_threadpool(arriving.put, sha, piece, offset, size))
