"""What stands before every request: the page is answered on this machine only and takes nothing from elsewhere."""

from __future__ import annotations

from collections.abc import Collection

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from baulk.server.problems import problem_answer

__all__ = ["LOOPBACK_NAMES", "Guard"]

LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")

_POLICY = "; ".join([
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' data:",
    "font-src 'self'",
    "connect-src 'self'",
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
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """Refuses a request for another host's name, and adds the headers that keep the page to itself.

    A page of another site can make a browser send requests to this machine under a name of its own; the name in the Host header
    gives it away.
    """

    def __init__(self, app: ASGIApp, names: Collection[str] = LOOPBACK_NAMES) -> None:
        self.app, self.names = app, frozenset(names)

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

        host = Headers(scope=scope).get("host", "")
        if _name_of(host) not in self.names:
            refusal = problem_answer(
                421, "host", "This workbench answers only under the address it was opened with, such as http://127.0.0.1."
            )
            await refusal(scope, receive, send_guarded)
            return
        await self.app(scope, receive, send_guarded)


def _name_of(host: str) -> str:
    """Return a Host header without its port."""
    name, colon, port = host.rpartition(":")
    return name.lower() if colon and port.isdecimal() else host.lower()
