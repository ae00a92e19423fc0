"""The morning page's three questions: the example, a strip file as rows, one answer."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field

from lapwright.readings.columns import OVERHEAT_WORDS, PULL_WORDS, plain
from lapwright.readings.rows import rows_of_text
from lapwright.readings.strips import read_welds
from lapwright.readings.text import decode
from lapwright.units import UnitSystem
from lapwright.web.door import Guarded
from lapwright.words import Language

Cell = str | float | None
Row = dict[str, Cell]
AnswerRows = Callable[[list[Row], Row, Row, UnitSystem, Language], dict[str, Any]]

MAX_ROWS = 1000
_GRADES = ("pull", "overheat")


class Question(BaseModel):
    """What the page asks: the rows as they would stand in the file, the start, this moment."""

    model_config = ConfigDict(extra="forbid")

    rows: Annotated[list[Row], Field(max_length=MAX_ROWS)]
    start: Row = {}
    now: Row = {}
    units: UnitSystem = "us"
    lang: Language = "en"


class Rows(BaseModel):
    """Rows as they would stand in a strip file."""

    rows: list[Row]


def questions(*, answer_rows: AnswerRows, example_rows: Callable[[], list[Row]]) -> APIRouter:
    """The addresses of the morning page.

    Parameters
    ----------
    answer_rows : callable
        ``(rows, start, now, units, lang)`` to one answer, ready for JSON. Rows and start
        carry the columns of the test-weld file, ``now`` what was said of this moment;
        raises LapwrightError when they do not fit.
    example_rows : callable
        Rows of the bundled, invented morning.
    """
    router = APIRouter(route_class=Guarded)

    @router.get("/api/example")
    def example() -> Rows:
        """The invented morning."""
        return Rows(rows=example_rows())

    @router.post(
        "/api/rows",
        openapi_extra={
            "requestBody": {
                "required": True,
                "content": {"text/csv": {"schema": {"type": "string", "format": "binary"}}},
            }
        },
    )
    async def rows(request: Request, name: str = "-") -> Rows:
        """A strip file, checked and turned into rows."""
        return Rows(rows=_rows_of_file(await request.body(), name=name))

    @router.post("/api/window")
    def window(ask: Question, request: Request) -> dict[str, Any]:
        """Window, set point and next test weld for the rows."""
        request.state.reader = (ask.units, ask.lang)
        return answer_rows(ask.rows, ask.start, ask.now, ask.units, ask.lang)

    return router


def _rows_of_file(content: bytes, *, name: str) -> list[Row]:
    """Rows of a strip file for the page: numbers as typed, grades as their codes."""
    read_welds(content, name=name)  # every check, before a row is shown
    codes = {plain(word): code for word, code in (PULL_WORDS | OVERHEAT_WORDS).items()}
    return [
        {column: codes.get(plain(cell), cell) if column in _GRADES else cell
         for column, cell in row.cells.items()}
        for row in rows_of_text(decode(content, file=name), file=name)
    ]  # fmt: skip
