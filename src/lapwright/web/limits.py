"""What is read of a request at most, and what every answer says to browsers."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from lapwright.store.photos import LARGEST

MAX_FACTS = 2 * 2**20  # bytes; 1,000 facts of a usual size are 600 kB
MAX_BODY = 256 * 1024  # bytes, of anything else; about 1,500 strips, ten times a hard morning

_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
        "connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; "
        "form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}


def limit_of(path: str) -> int:
    """Most bytes that a request to a path may carry."""
    if path.startswith("/api/jobs/"):
        if "/photos/" in path:
            return LARGEST
        if path.endswith("/facts"):
            return MAX_FACTS
    return MAX_BODY


def safety(path: str) -> dict[str, str]:
    """Headers of every answer: nothing but our own files, and no answer of the API kept."""
    is_api = path.startswith("/api/")
    return {**_HEADERS, "Cache-Control": "no-store" if is_api else "no-cache"}


class Limited:
    """Stops reading a body at its limit; the framework's own limit answers in another shape."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, counting."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        most, size = limit_of(scope["path"]), 0

        async def counted() -> Message:
            nonlocal size
            message = await receive()
            size += len(message.get("body", b""))
            if size > most:
                raise HTTPException(413)
            return message

        await self.app(scope, counted, send)


class Headed:
    """Puts the headers of safety on every answer, also on one that failed."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, and its answer back with more headers."""

        async def headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in safety(scope["path"]).items():
                    headers.setdefault(name, value)
            await send(message)

        await self.app(scope, receive, headed if scope["type"] == "http" else send)
