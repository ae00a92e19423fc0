"""The close-out record and the day sheet, made when somebody asks, kept while nothing changes."""

from __future__ import annotations

import threading
from functools import lru_cache
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from lapwright.handover.making import made_now, make_paper
from lapwright.report.figures import Reader
from lapwright.store import Store
from lapwright.web.door import Guarded, store_of
from lapwright.web.shapes import Id, Reads

router = APIRouter(route_class=Guarded)

_ONE_AT_A_TIME = threading.Lock()  # in each worker; a large job fills a processor for a while
_PDF = {"application/pdf": {"schema": {"type": "string", "format": "binary"}}}
Day = Annotated[
    str | None, Query(pattern=r"^\d{4}-\d{2}-\d{2}$", description="of a day's sheet; else the job")
]


@router.get("/api/jobs/{job}/closeout", response_class=Response, responses={200: {"content": _PDF}})
def closeout(job: Id, request: Request, reader: Reads, day: Day = None) -> Response:
    """The PDF that ``lapwright closeout`` writes, not signed."""
    store = store_of(request)
    with _ONE_AT_A_TIME:
        content = _made(store, job, store.ledger.head(job).hash, day, reader)
    return Response(
        content,
        media_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{day or "closeout"}.pdf"',
            "Cache-Control": "no-store",
        },
    )


@lru_cache(maxsize=4)
def _made(store: Store, job: str, _head: str, day: str | None, reader: Reader) -> bytes:
    entries = list(store.ledger.since(job))
    return make_paper(entries, made_now(entries, reader, day=day), photos=store.photos.get).content
