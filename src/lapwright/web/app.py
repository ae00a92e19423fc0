"""The service: who answers where, behind one door, with one shape of refusal."""

from __future__ import annotations

import mimetypes
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.middleware.gzip import GZipMiddleware
from fastapi.responses import JSONResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from lapwright import __version__
from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.units import UnitSystem
from lapwright.web import crew, learn, papers, photos, reads, roof, sessions, standing, sync
from lapwright.web.door import Door
from lapwright.web.limits import Headed, Limited, safety
from lapwright.web.questions import AnswerRows, Row, questions
from lapwright.web.records import Records
from lapwright.web.shapes import Refusal, language_of
from lapwright.web.tries import WINDOW
from lapwright.words import Language

STATIC = Path(__file__).parent / "static"

_OF_STATUS = {404: "not_found", 405: "not_allowed", 413: "too_large"}
_STATUS = {
    "sign_in_needed": 401,
    "sign_in_wrong": 401,
    "not_for_role": 403,
    "csrf_missing": 403,
    "cross_site": 403,
    "wrong_host": 403,
    "invite_spent": 403,
    "not_found": 404,
    "job_unknown": 404,
    "login_off": 409,
    "account_taken": 409,
    "account_role": 409,
    "photo_too_large": 413,
    "too_many_tries": 429,
}  # what is not here was read and does not fit: 422


def create_app(
    *,
    answer_rows: AnswerRows,
    example_rows: Callable[[], list[Row]],
    say_error: Callable[[LapwrightError, UnitSystem, Language], str],
    store: Store | None = None,
    door: Door | None = None,
) -> FastAPI:
    """The page and its service as one ASGI application.

    Parameters
    ----------
    answer_rows, example_rows : callable
        Of the morning page, see :func:`lapwright.web.questions.questions`.
    say_error : callable
        ``(error, units, lang)`` to one sentence for the reader.
    store : Store, optional
        Where facts are kept; without one the service keeps nothing and has the morning
        page's addresses only.
    door : Door, optional
        How people come in; without login unless said.

    Returns
    -------
    fastapi.FastAPI
        Ready for a server. Between two requests it keeps nothing but what is in the store,
        so any number of it may serve one store.

    Notes
    -----
    Every failure answers ``{"error": {"code", "message", "row", "column", "field"}}``; the
    places are null when none is meant. The interactive description pages are off because
    they load scripts from elsewhere; the description itself is at ``/api/openapi.json``.
    """
    for suffix in (".js", ".mjs"):
        mimetypes.add_type("text/javascript", suffix)  # a system's table may say otherwise
    mimetypes.add_type("application/manifest+json", ".webmanifest")
    app = FastAPI(
        title="lapwright",
        version=__version__,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        responses={422: {"model": Refusal}, "4XX": {"model": Refusal}},
    )
    app.state.store, app.state.door = store, door or Door()
    app.add_middleware(Limited)
    app.include_router(questions(answer_rows=answer_rows, example_rows=example_rows))
    if store is not None:
        app.state.records = Records(store.ledger)
        for part in (sessions, crew, sync, reads, standing, roof, photos, papers, learn):
            app.include_router(part.router)
    _refuse_in_one_shape(app, say_error)
    app.mount("/", StaticFiles(directory=STATIC, html=True))
    app.add_middleware(GZipMiddleware, minimum_size=2000)  # what is secret is shorter
    app.add_middleware(Headed)
    return app


def _refuse_in_one_shape(
    app: FastAPI, say_error: Callable[[LapwrightError, UnitSystem, Language], str]
) -> None:
    def refuse(request: Request, error: LapwrightError, status: int) -> JSONResponse:
        reader: tuple[UnitSystem, Language] = ("us", language_of(request))
        units, lang = getattr(request.state, "reader", reader)
        body = {
            "code": error.code,
            "message": say_error(error, units, lang),
            "row": error.data.get("row"),
            "column": error.data.get("column"),
            "field": error.data.get("field"),
        }
        headers = safety(request.url.path)  # a broken request never passes the middleware
        if status == 429:
            headers["Retry-After"] = str(int(WINDOW.total_seconds()))
        return JSONResponse({"error": body}, status_code=status, headers=headers)

    @app.exception_handler(LapwrightError)
    async def unfit(request: Request, error: LapwrightError) -> JSONResponse:
        return refuse(request, error, _STATUS.get(error.code, 422))

    @app.exception_handler(RequestValidationError)
    async def misshapen(request: Request, error: RequestValidationError) -> JSONResponse:
        return refuse(request, LapwrightError("bad_request", **_place(error)), 422)

    @app.exception_handler(HTTPException)
    async def refused(request: Request, error: HTTPException) -> JSONResponse:
        code = _OF_STATUS.get(error.status_code, "bad_request")
        return refuse(request, LapwrightError(code), error.status_code)

    @app.exception_handler(Exception)
    async def broken(request: Request, _: Exception) -> JSONResponse:
        return refuse(request, LapwrightError("broken"), 500)


def _place(error: RequestValidationError) -> Mapping[str, Any]:
    """The place that a misshapen request names first, if it names any.

    Row objects are counted from 1, as ``readings`` counts them.
    """
    first = error.errors()[0]
    path: tuple[Any, ...] = () if first["type"] == "extra_forbidden" else first["loc"][1:]
    if len(path) >= 2 and path[0] == "rows":
        return {"row": int(path[1]) + 1, "column": str(path[2]) if len(path) > 2 else None}
    name = str(path[0]) if path and isinstance(path[0], str) else None
    return {"row": None, "column": name, "field": name}
