"""The page's service: static files, the bundled morning, one answer, one error shape."""

from __future__ import annotations

import mimetypes
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Annotated, Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from fastapi.staticfiles import StaticFiles
from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from lapwright import __version__
from lapwright.errors import LapwrightError
from lapwright.readings.columns import OVERHEAT_WORDS, PULL_WORDS, plain
from lapwright.readings.rows import rows_of_text
from lapwright.readings.strips import read_welds
from lapwright.readings.text import decode
from lapwright.units import UnitSystem
from lapwright.words import Language

Cell = str | float | None
Row = dict[str, Cell]

STATIC = Path(__file__).parent / "static"
MAX_BODY = 256 * 1024  # bytes; about 1,500 strips, ten times a hard morning
MAX_ROWS = 1000

_GRADES = ("pull", "overheat")
_CODES = {404: "not_found", 405: "not_allowed", 413: "too_large"}
_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        "connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; "
        "frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
}


class Ask(BaseModel):
    """What the page asks: the rows as they would stand in the file, the start, this moment."""

    model_config = ConfigDict(extra="forbid")

    rows: Annotated[list[Row], Field(max_length=MAX_ROWS)]
    start: Row = {}
    now: Row = {}
    units: UnitSystem = "us"
    lang: Language = "en"


class _Limited:
    """Stops reading a body at its limit; the framework's own limit answers in another shape."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        size = 0

        async def counted() -> Message:
            nonlocal size
            message = await receive()
            size += len(message.get("body", b""))
            if size > MAX_BODY:
                raise HTTPException(413)
            return message

        await self.app(scope, counted, send)


def create_app(
    *,
    answer_rows: Callable[[list[Row], Row, Row, UnitSystem, Language], dict[str, Any]],
    example_rows: Callable[[], list[Row]],
    say_error: Callable[[LapwrightError, UnitSystem, Language], str],
) -> FastAPI:
    """The page and its service as one ASGI application.

    Parameters
    ----------
    answer_rows : callable
        ``(rows, start, now, units, lang)`` to one answer, ready for JSON. Rows and start
        carry the columns of the test-weld file, ``now`` what was said of this moment;
        raises LapwrightError when they do not fit.
    example_rows : callable
        Rows of the bundled, invented morning.
    say_error : callable
        ``(error, units, lang)`` to one sentence for the reader.

    Returns
    -------
    fastapi.FastAPI
        Ready for a server. It keeps nothing between two requests.

    Notes
    -----
    Every failure answers ``{"error": {"code", "message", "row", "column"}}``; row and
    column are null when no place in the rows is meant. The interactive description pages
    are off because they load scripts from elsewhere; the description itself is at
    ``/api/openapi.json``.
    """
    mimetypes.add_type("text/javascript", ".js")  # a system's table may say otherwise
    app = FastAPI(
        title="lapwright",
        version=__version__,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
    )
    app.add_middleware(_Limited)

    @app.middleware("http")
    async def guard(
        request: Request, call_next: Callable[[Request], Awaitable[Response]]
    ) -> Response:
        response = await call_next(request)
        response.headers.update(_HEADERS)
        is_api = request.url.path.startswith("/api/")
        response.headers["Cache-Control"] = "no-store" if is_api else "no-cache"
        return response

    @app.get("/api/example")
    def example() -> dict[str, list[Row]]:
        return {"rows": example_rows()}

    @app.post("/api/rows")
    async def rows(request: Request, name: str = "-") -> dict[str, list[Row]]:
        return {"rows": _rows_of_file(await request.body(), name=name)}

    @app.post("/api/window")
    def window(ask: Ask, request: Request) -> dict[str, Any]:
        request.state.reader = (ask.units, ask.lang)
        return answer_rows(ask.rows, ask.start, ask.now, ask.units, ask.lang)

    def refuse(request: Request, error: LapwrightError, status: int) -> JSONResponse:
        reader: tuple[UnitSystem, Language] = ("us", _language(request))
        units, lang = getattr(request.state, "reader", reader)
        body = {
            "code": error.code,
            "message": say_error(error, units, lang),
            "row": error.data.get("row"),
            "column": error.data.get("column"),
        }
        headers = {"Cache-Control": "no-store"}  # a broken request never reaches the guard
        return JSONResponse({"error": body}, status_code=status, headers=headers)

    @app.exception_handler(LapwrightError)
    async def unfit(request: Request, error: LapwrightError) -> JSONResponse:
        return refuse(request, error, 422)

    @app.exception_handler(RequestValidationError)
    async def misshapen(request: Request, error: RequestValidationError) -> JSONResponse:
        return refuse(request, LapwrightError("bad_request", **_place(error)), 422)

    @app.exception_handler(HTTPException)
    async def refused(request: Request, error: HTTPException) -> JSONResponse:
        code = _CODES.get(error.status_code, "bad_request")
        return refuse(request, LapwrightError(code), error.status_code)

    @app.exception_handler(Exception)
    async def broken(request: Request, _: Exception) -> JSONResponse:
        return refuse(request, LapwrightError("broken"), 500)

    app.mount("/", StaticFiles(directory=STATIC, html=True))
    return app


def _rows_of_file(content: bytes, *, name: str) -> list[Row]:
    """Rows of a strip file for the page: numbers as typed, grades as their codes."""
    read_welds(content, name=name)  # every check, before a row is shown
    codes = {plain(word): code for word, code in (PULL_WORDS | OVERHEAT_WORDS).items()}
    return [
        {column: codes.get(plain(cell), cell) if column in _GRADES else cell
         for column, cell in row.cells.items()}
        for row in rows_of_text(decode(content, file=name), file=name)
    ]  # fmt: skip


def _language(request: Request) -> Language:
    """Language of a reader whose request could not be read."""
    return "es" if request.headers.get("accept-language", "").startswith("es") else "en"


def _place(error: RequestValidationError) -> dict[str, Any]:
    """Row and column that a misshapen request names first, if it names any.

    Row objects are counted from 1, as ``readings`` counts them.
    """
    path = error.errors()[0]["loc"][1:]
    if len(path) >= 2 and path[0] == "rows":
        return {"row": int(path[1]) + 1, "column": str(path[2]) if len(path) > 2 else None}
    return {"row": None, "column": str(path[0]) if path and path[0] in Ask.model_fields else None}
