"""The JSON routes under /api/sync: joining, pulling records, sending changes, asking for numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from baulk import __version__
from baulk.errors import StoreError
from baulk.record import View
from baulk.server.asking import PROBLEMS
from baulk.server.guard import READER
from baulk.server.looking import stricter
from baulk.server.sync_view import BlockAsked, BlockGiven, ChangesKept, ChangesSent, Hello, JoinAsked, Joined, RecordsPage
from baulk.server.tokens import Bearer, Gate
from baulk.work.office import SiteOffice
from baulk.work.pull import Asked

__all__ = ["bearer_of", "block", "changes", "hello", "join", "office_of", "records", "sync_routes"]


sync_routes = APIRouter(prefix="/api/sync", responses=PROBLEMS)


def office_of(request: Request) -> SiteOffice:
    """Return the office of the site that is served.

    Raises
    ------
    StoreError
        When it is served for looking only.
    """
    office = request.app.state.office
    if not isinstance(office, SiteOffice):
        raise StoreError("This site is only shown here, and takes no devices in. Serve it with “baulk open” to record.")
    return office


def bearer_of(request: Request) -> Bearer:
    """Return who asks, by the token in the request's head.

    Raises
    ------
    TokenMissing, TokenExpired, TokenWrong
        When there is none that is good.
    """
    return _gate(request).bearer(request.headers.get("authorization", ""))


def _gate(request: Request) -> Gate:
    gate = request.app.state.gate
    if not isinstance(gate, Gate):
        office_of(request)
        raise StoreError("This site takes no devices in: its folder cannot be written, so there is no key to sign tokens with.")
    return gate


def _view(request: Request, bearer: Bearer) -> View:
    return stricter(request.app.state.viewer, bearer.view)


@sync_routes.post("/join", summary="Join with the code on the server's screen")
def join(request: Request, response: Response, asked: JoinAsked) -> Joined:
    """Return a token for this device."""
    token, bearer = _gate(request).join(asked.code, asked.person, asked.device)
    response.set_cookie(
        READER, token, path="/api", httponly=True, samesite="strict", secure=request.url.scheme == "https",
        max_age=max(0, (bearer.expires - office_of(request).now()) // 1000),
    )  # fmt: skip
    return Joined(token=token, person=bearer.person, device=bearer.device, expires=bearer.expires)


@sync_routes.get("/hello", summary="The server, its clock and the revision of the site")
def hello(request: Request) -> Hello:
    """Return where the site stands."""
    bearer, office = bearer_of(request), office_of(request)
    record = office.study().record
    return Hello(
        site=record.site.id,
        code=record.site.code or "",
        name=record.site.name or "",
        revision=record.revision,
        now=office.now(),
        app=__version__,
        person=bearer.person,
        device=bearer.device,
        view=_view(request, bearer).value,
        length_unit=record.length_unit.value,
        metres=record.metres,
        writable=office.writable,
        notice=office.why_not,
    )


@sync_routes.get("/records", summary="Records touched since a revision", response_model_exclude_defaults=True)
def records(
    request: Request,
    after: Annotated[int, Query(ge=0, le=2**53)] = 0,
    unit: Annotated[Sequence[str], Query(max_length=500)] = (),
    page: Annotated[str, Query(max_length=200)] = "",
) -> RecordsPage:
    """Return a page of records."""
    bearer = bearer_of(request)
    asked = Asked(after, tuple(sorted(unit)), page, _view(request, bearer), bearer.device)
    return RecordsPage.of(office_of(request).pull(asked))


@sync_routes.post("/changes", summary="Send changes; each is on the server's disk when it is answered as kept")
def changes(request: Request, sent: ChangesSent) -> ChangesKept:
    """Keep changes."""
    bearer_of(request)
    return ChangesKept.of(office_of(request).push(sent.changes))


@sync_routes.post("/block", summary="Ask for the next block of numbers")
def block(request: Request, asked: BlockAsked) -> BlockGiven:
    """Hand out a block of numbers."""
    bearer = bearer_of(request)
    given = office_of(request).hand_out(asked.series, asked.size, bearer.person)
    return BlockGiven(id=given.id, series=given.series or "", first=given.first or 0, last=given.last or 0, person=bearer.person)
