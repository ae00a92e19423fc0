"""Facts in, receipts out; entries out, as soon as there are any."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, ConfigDict, Field

from lapwright.errors import LapwrightError
from lapwright.record.chain import Entry
from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import CREW_CHAIN
from lapwright.record.ledger import Head, Receipt
from lapwright.report.figures import Reader
from lapwright.store import Store
from lapwright.web.access import (
    LOCAL,
    MAY_SEE_ACCESS,
    Caller,
    check_correction,
    check_role,
    may_correct_all,
)
from lapwright.web.door import Guarded, admit, caller_of, store_of
from lapwright.web.shapes import MOST, End, Id, Reads
from lapwright.words import say_error

router = APIRouter(route_class=Guarded)

MOST_FACTS = 1000  # in one batch
LONGEST_WAIT = 25.0  # s; proxies give up on silent connections at 30 to 60
_LOOK_AGAIN = 0.4  # s between two looks at the store; several workers share nothing else


class Batch(BaseModel):
    """Facts as they travel; each is checked on its own."""

    model_config = ConfigDict(extra="forbid")

    facts: Annotated[list[Any], Field(max_length=MOST_FACTS)]


class ReceiptLine(BaseModel):
    """What became of a fact; a refused one stays on the phone."""

    id: str
    status: Literal["kept", "had", "refused"]
    seq: int | None
    code: str
    field: str
    message: str


class Receipts(BaseModel):
    """One receipt per fact, in the order they were sent, and the end of the chain."""

    receipts: list[ReceiptLine]
    head: End


class Entries(BaseModel):
    """Entries after a place in the chain, and its end."""

    entries: list[dict[str, Any]]
    head: End


@router.post("/api/jobs/{job}/facts")
def take(job: Id, batch: Batch, request: Request, reader: Reads) -> Receipts:
    """Keep facts. Sending again is harmless: the answer is then "had"."""
    store, caller = store_of(request), caller_of(request)
    if job == CREW_CHAIN:
        raise LapwrightError("not_for_role", role=caller.role)
    devices = {one.id for one in store.people.devices() if one.account == caller.account}
    read = [_read(raw, caller, devices) for raw in batch.facts]
    _check_corrections(job, read, caller, store)
    good = [one for one in read if isinstance(one, Fact)]
    now = datetime.now(UTC).isoformat(timespec="milliseconds")
    kept = iter(store.ledger.append(job, good, received_at=now) if good else ())
    receipts = [
        _line(next(kept), None, reader) if isinstance(one, Fact) else _line(*one, reader)
        for one in read
    ]
    head = store.ledger.head(job)
    return Receipts(receipts=receipts, head=End(seq=head.seq, hash=head.hash))


Refused = tuple[Receipt, LapwrightError]


def _read(raw: Any, caller: Caller, devices: set[str]) -> Fact | Refused:
    """The fact, if it is one and its sender may record it."""
    try:
        fact = read_fact(raw)
        _check_author(fact, caller, devices)
        check_role(caller, fact)
    except LapwrightError as error:
        return _refused(str(raw.get("id", ""))[:40] if isinstance(raw, dict) else "", error)
    return fact


def _refused(fact_id: str, error: LapwrightError) -> Refused:
    field = str(error.data.get("field") or "")
    return Receipt(fact_id, "refused", code=error.code, field=field), error


def _check_author(fact: Fact, caller: Caller, devices: set[str]) -> None:
    """Nobody signs for another: the account is the session's, the device one of its own.

    An account that had to join again still sends what its earlier device holds.
    """
    if fact.entered_by != caller.account:
        raise LapwrightError("fact_author", field="entered_by")
    if caller != LOCAL and fact.device not in devices:
        raise LapwrightError("fact_author", field="device")


def _check_corrections(job: str, read: list[Fact | Refused], caller: Caller, store: Store) -> None:
    """Refuse, in place, corrections that reach further than their sender's role."""
    if may_correct_all(caller) or not any(_is_correction(one) for one in read):
        return
    targets = [one["of"] for one in read if isinstance(one, Fact) and one.kind == "correction"]
    known = {fact.id: fact for fact in store.ledger.facts_with_ids(job, targets)}
    for place, one in enumerate(read):
        if not isinstance(one, Fact):
            continue
        if one.kind == "correction":
            try:
                check_correction(caller, one, known.get(one["of"]))
            except LapwrightError as error:
                read[place] = _refused(one.id, error)
        known.setdefault(one.id, one)


def _is_correction(one: Fact | Refused) -> bool:
    return isinstance(one, Fact) and one.kind == "correction"


def _line(receipt: Receipt, error: LapwrightError | None, reader: Reader) -> ReceiptLine:
    message = ""
    if receipt.status == "refused":
        named = error.data if error else {"field": receipt.field}
        message = say_error(receipt.code, named, language=reader.language, units=reader.units)
    return ReceiptLine(**asdict(receipt), message=message)


@router.get("/api/jobs/{job}/facts", response_model=Entries)
async def give(
    job: Id,
    request: Request,
    after: Annotated[int, Query(ge=0, le=MOST)] = 0,
    limit: Annotated[int, Query(ge=1, le=MOST_FACTS)] = MOST_FACTS,
    wait: Annotated[float, Query(ge=0, le=LONGEST_WAIT, description="s")] = 0,
) -> Response:
    """Entries after a place in the chain; with ``wait`` the answer comes when there is one."""
    store, caller = store_of(request), caller_of(request)
    if job == CREW_CHAIN and caller.role not in MAY_SEE_ACCESS:
        raise LapwrightError("not_for_role", role=caller.role)
    until = time.monotonic() + wait
    head = await run_in_threadpool(store.ledger.head, job)
    while head.seq <= after and time.monotonic() < until:
        await asyncio.sleep(_LOOK_AGAIN)
        if await request.is_disconnected():
            break
        head = await run_in_threadpool(store.ledger.head, job)
    if wait:  # a phone shut out while it waited gets nothing more
        await admit(request, "GET /api/jobs/{job}/facts")
    entries = await run_in_threadpool(store.ledger.since, job, after, limit=limit)
    return await run_in_threadpool(_entries, entries, head)


def _entries(entries: Sequence[Entry], head: Head) -> Response:
    """Made here and not by the framework, which would check a thousand facts again."""
    return JSONResponse(
        {
            "entries": [entry.plain() for entry in entries],
            "head": {"seq": head.seq, "hash": head.hash},
        }
    )
