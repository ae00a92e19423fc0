"""Which jobs there are, which kinds of facts, and a whole job as one open archive."""

from __future__ import annotations

from tempfile import TemporaryFile
from typing import Any, BinaryIO, cast

from fastapi import APIRouter, Request
from fastapi.responses import Response, StreamingResponse
from pydantic import BaseModel
from starlette.background import BackgroundTask

from lapwright.errors import LapwrightError
from lapwright.record.fact import KINDS
from lapwright.record.ids import CREW_CHAIN
from lapwright.store import Store
from lapwright.store.archive import write_archive
from lapwright.web.access import MAY_RECORD, ROLES
from lapwright.web.door import Guarded, store_of
from lapwright.web.shapes import Id

router = APIRouter(route_class=Guarded)


class JobLine(BaseModel):
    """A job and the end of its chain; its name is null until its first fact has come."""

    job: str
    name: str | None
    seq: int
    hash: str


class Jobs(BaseModel):
    """All jobs of this store."""

    jobs: list[JobLine]


class FieldLine(BaseModel):
    """One field of a kind: what it holds, how much it is needed, words or units it may hold."""

    name: str
    type: str
    need: str
    among: list[str]


class KindLine(BaseModel):
    """One kind of fact and which roles record it."""

    kind: str
    fields: list[FieldLine]
    roles: list[str]


class Kinds(BaseModel):
    """Every kind of fact, for forms and checks."""

    kinds: list[KindLine]


@router.get("/api/jobs")
def jobs(request: Request) -> Jobs:
    """Jobs that have facts."""
    store = store_of(request)
    return Jobs(jobs=[_job(store, job) for job in store.ledger.jobs() if job != CREW_CHAIN])


def _job(store: Store, job: str) -> JobLine:
    head = store.ledger.head(job)
    return JobLine(job=job, name=store.ledger.name(job), seq=head.seq, hash=head.hash)


@router.get("/api/kinds")
def kinds() -> Kinds:
    """The kinds of facts and their fields, and who records them."""
    lines: list[dict[str, Any]] = [
        {
            "kind": kind.name,
            "fields": [
                {"name": one.name, "type": one.type, "need": one.need, "among": list(one.among)}
                for one in kind.fields
            ],
            "roles": [role for role in ROLES if kind.name in MAY_RECORD[role]],
        }
        for kind in KINDS.values()
    ]
    return Kinds.model_validate({"kinds": lines})


@router.get(
    "/api/jobs/{job}/archive",
    response_class=Response,
    responses={200: {"content": {"application/zip": {}}}},
)
def archive(job: Id, request: Request) -> Response:
    """The job whole: facts, tables, photos, in one zip that checks itself."""
    if job == CREW_CHAIN:
        raise LapwrightError("not_found")
    file = cast(BinaryIO, TemporaryFile())  # noqa: SIM115 (closed when it is sent)
    try:
        write_archive(store_of(request), job=job, file=file)
    except BaseException:
        file.close()
        raise
    file.seek(0)
    return StreamingResponse(
        file,
        media_type="application/zip",
        headers={"Content-Disposition": f'attachment; filename="lapwright-{job}.zip"'},
        background=BackgroundTask(file.close),
    )
