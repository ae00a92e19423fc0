"""The service as ``lapwright serve`` runs it."""

from __future__ import annotations

from fastapi import FastAPI

from lapwright.store import Store
from lapwright.web.answers import answer_rows, example_rows
from lapwright.web.app import create_app
from lapwright.web.door import Door
from lapwright.words import say_error


def morning_app(store: Store | None = None, *, door: Door | None = None) -> FastAPI:
    """The page as ``lapwright serve`` runs it; without a store it keeps nothing."""
    return create_app(
        store=store,
        door=door,
        answer_rows=answer_rows,
        example_rows=example_rows,
        say_error=lambda error, units, lang: say_error(
            error.code, error.data, language=lang, units=units
        ),
    )
