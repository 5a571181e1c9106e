"""What stands before every request: whose name it came under, from where, how large it is, and who asks."""

from __future__ import annotations

from collections.abc import Collection
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from baulk.errors import BaulkError
from baulk.record import View
from baulk.server.looking import looking_as, stricter
from baulk.server.problems import problem_answer, refusal_of
from baulk.server.tokens import Gate, TokenMissing

__all__ = ["LARGEST_BODY", "LOOPBACK_NAMES", "READER", "Guard"]

LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")

LARGEST_BODY = 8_000_000
"""Bytes of one request; a piece of a file has half of it."""

READER = "baulk_reader"
"""The cookie by which a browser on the network reads pictures: it opens reading only, never a change."""

_POLICY = "; ".join([
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' data: blob:",
    "font-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
])  # fmt: skip
_HEADERS = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), microphone=(self), geolocation=()",
}
_WITHOUT_TOKEN = ("/api/sync/join",)
_READING = ("GET", "HEAD")


class Guard:
    """Refuses a request under another host's name, from another host's page, too large, or from the network without a token.

    A page of another site can make a browser send requests to this machine; the names in the Host and Origin headers give it away.

    Parameters
    ----------
    app : ASGI application
        What answers a request that passes.
    names : collection of str
        Host names under which the page may be asked for.
    gate : Gate, optional
        Reads tokens.
    view : View
        What the server was opened for; no token shows more.
    network : bool
        Whether others than this machine may ask; they need a token for everything under /api.
    """

    def __init__(
        self,
        app: ASGIApp,
        names: Collection[str] = LOOPBACK_NAMES,
        gate: Gate | None = None,
        view: View = View.CREW,
        *,
        network: bool = False,
    ) -> None:
        self.app, self.names, self.gate, self.view, self.network = app, frozenset(names), gate, view, network

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        headers = Headers(scope=scope)
        refusal = self._refusal(scope, headers)
        if refusal is not None:
            await refusal(scope, receive, send_guarded)
            return
        try:
            view = self._viewer(scope, headers)
        except BaulkError as error:
            await refusal_of(error)(scope, receive, send_guarded)
            return
        with looking_as(view):
            await self.app(scope, _counted(receive), send_guarded)

    def _refusal(self, scope: Scope, headers: Headers) -> Response | None:
        if _name_of(headers.get("host", "")) not in self.names:
            return problem_answer(
                421, "host", "This workbench answers only under the address it was opened with, such as http://127.0.0.1."
            )
        if scope["path"].startswith("/api/") and not self._own_page(headers):
            return problem_answer(
                403, "origin", "A page of another address asked, so nothing was told or changed. Ask from the workbench's own page."
            )
        length = headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > 15 or int(length) > LARGEST_BODY:
            return problem_answer(413, "too_large", _TOO_LARGE)
        return None

    def _own_page(self, headers: Headers) -> bool:
        """Tell whether a request comes from our own page, or from no page at all."""
        origin = headers.get("origin")
        if origin is None:
            return headers.get("sec-fetch-site", "none") in ("none", "same-origin")
        _, _, host = origin.partition("://")
        return host.lower() == headers.get("host", "").lower()

    def _viewer(self, scope: Scope, headers: Headers) -> View:
        """Return what the asker may see.

        Raises
        ------
        TokenMissing, TokenExpired, TokenWrong
            When a token is needed and there is none, or it is not good.
        """
        path = scope["path"]
        given = headers.get("authorization")
        if self.gate is not None and given and path.startswith("/api/") and path not in _WITHOUT_TOKEN:
            return stricter(self.view, self.gate.bearer(given).view)
        if not self.network or _is_this_machine(scope) or not path.startswith("/api/") or path in _WITHOUT_TOKEN:
            return self.view
        if self.gate is None:
            raise TokenMissing("This site takes no devices in: it can only be read on the machine that serves it.")
        cookie = _cookie(headers) if scope["method"] in _READING else ""
        bearer = self.gate.holder(cookie) if cookie else self.gate.bearer("")
        return stricter(self.view, bearer.view)


_TOO_LARGE = (
    f"More than {LARGEST_BODY / 1e6:.0f} MB were sent at once, so nothing of it was taken. Send changes in smaller batches and "
    "files in pieces."
)


def _counted(receive: Receive) -> Receive:
    """Return what passes a request's body on until it grows too large; one that does not say its length is counted."""
    taken = 0

    async def counting() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST_BODY:
            raise HTTPException(413, _TOO_LARGE)
        return message

    return counting


def _cookie(headers: Headers) -> str:
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(READER)
    except CookieError:
        return ""
    return found.value if found else ""


def _is_this_machine(scope: Scope) -> bool:
    client = scope.get("client")
    try:
        return client is not None and ip_address(client[0]).is_loopback
    except ValueError:
        return False


def _name_of(host: str) -> str:
    """Return a Host header without its port."""
    name, colon, port = host.rpartition(":")
    return name.lower() if colon and port.isdecimal() else host.lower()
