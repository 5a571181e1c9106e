"""Answers sent compressed to whoever takes them so; kept files are sent as they are, since pictures are compressed already."""

from __future__ import annotations

from starlette.middleware.gzip import GZipMiddleware
from starlette.types import Receive, Scope, Send

__all__ = ["Compressed"]


class Compressed(GZipMiddleware):
    """Compresses text; leaves kept files and uploads alone."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""
        if scope["type"] == "http" and scope["path"].startswith(("/api/files/", "/api/thumbs/", "/api/uploads/")):
            await self.app(scope, receive, send)
            return
        await super().__call__(scope, receive, send)
