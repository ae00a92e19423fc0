"""Shapes that several addresses share, checked before anything else looks at them."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Path, Query, Request
from pydantic import BaseModel, Field

from lapwright.report.figures import Reader
from lapwright.units import UnitSystem
from lapwright.words import Language

UUID = r"^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
MOST = 2**53 - 1  # beyond, other readers of JSON round

Id = Annotated[str, Path(pattern=UUID, description="UUID in small letters")]
Sha256 = Annotated[str, Path(pattern=r"^[0-9a-f]{64}$", description="of the file")]
Line = Annotated[str, Field(max_length=200, pattern=r"^[^\x00-\x1f\x7f-\x9f]*$")]


class ErrorBody(BaseModel):
    """What was refused; the places are null where none is meant."""

    code: str
    message: str
    row: int | None
    column: str | None
    field: str | None


class Refusal(BaseModel):
    """The one shape of everything that is refused."""

    error: ErrorBody


class End(BaseModel):
    """End of a job's chain."""

    seq: int
    hash: str


def language_of(request: Request) -> Language:
    """Language of a reader who did not say it."""
    return "es" if request.headers.get("accept-language", "").startswith("es") else "en"


def _reader(
    request: Request,
    units: Annotated[UnitSystem, Query(description="of the figures")] = "us",
    lang: Annotated[Language | None, Query(description="of the sentences")] = None,
) -> Reader:
    request.state.reader = (units, lang or language_of(request))
    return Reader(lang or language_of(request), units)


Reads = Annotated[Reader, Depends(_reader)]
