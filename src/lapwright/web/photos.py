"""Photos in and out, by the name that proves their content."""

from __future__ import annotations

import threading
from tempfile import TemporaryFile
from typing import IO

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response

from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.store.photos import image_type
from lapwright.web.door import Guarded, store_of
from lapwright.web.shapes import Id, Sha256

router = APIRouter(route_class=Guarded)

_ONE_IN_MEMORY = threading.Lock()  # in each worker; phones may send many at once
_PICTURE = {"schema": {"type": "string", "format": "binary"}}
_FILES = dict.fromkeys(("image/jpeg", "image/png", "image/webp"), _PICTURE)


@router.put(
    "/api/jobs/{job}/photos/{sha256}",
    status_code=204,
    openapi_extra={"requestBody": {"required": True, "content": {"image/jpeg": _PICTURE}}},
)
async def put(job: Id, sha256: Sha256, request: Request) -> None:  # noqa: ARG001 (the job is the door's)
    """Keep a picture whose SHA-256 is its address. Sending again is harmless."""
    store = store_of(request)
    with TemporaryFile() as file:
        async for part in request.stream():
            file.write(part)
        await run_in_threadpool(_keep, store, sha256, file)


def _keep(store: Store, sha256: str, file: IO[bytes]) -> None:
    with _ONE_IN_MEMORY:
        file.seek(0)
        content = file.read()
        if image_type(content) is None:  # a gauge's table comes over the desk, never over the air
            raise LapwrightError("photo_type")
        store.photos.put(sha256, content)


@router.get(
    "/api/jobs/{job}/photos/{sha256}",
    response_class=Response,
    responses={200: {"content": _FILES}},
)
def get(job: Id, sha256: Sha256, request: Request) -> Response:  # noqa: ARG001
    """The picture. It never changes, so it may be kept."""
    content = store_of(request).photos.get(sha256)
    if content is None or image_type(content) is None:
        raise LapwrightError("not_found")
    return Response(
        content,
        media_type=image_type(content),
        headers={"Cache-Control": "private, max-age=31536000, immutable"},
    )
