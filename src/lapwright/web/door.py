"""The door: whose request this is, whether it comes from our own page, and may it come in."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, cast
from urllib.parse import urlsplit

from fastapi import Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.routing import APIRoute

from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.web.access import EVERY, LOCAL, MAY_CALL, Caller, Role

CSRF_HEADER = "X-CSRF"
LASTS = timedelta(days=14)  # a session without a visit; a phone in use never runs out
_READS = frozenset({"GET", "HEAD"})
_THIS_MACHINE = frozenset({"localhost", "127.0.0.1", "::1"})


@dataclass(frozen=True)
class Door:
    """How people come in.

    Parameters
    ----------
    login : bool
        Accounts and sessions; without, whoever reaches the service is its one foreman.
    secure : bool
        Reached over TLS: the session's cookie travels nowhere else.
    """

    login: bool = False
    secure: bool = False

    @property
    def cookie(self) -> str:
        """Name of the session's cookie; the prefix lets no other host or plain page set it."""
        return "__Host-lapwright" if self.secure else "lapwright"


def new_secret() -> str:
    """A token nobody can guess, for a cookie or a link."""
    return secrets.token_urlsafe(32)


def hashed(token: str) -> str:
    """What the store keeps of a token: enough to know it again, too little to use it."""
    return hashlib.sha256(token.encode()).hexdigest()


class Guarded(APIRoute):
    """A route that reads nothing of a request before the caller is let in."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """The handler, behind the door."""
        inner = super().get_route_handler()

        async def handle(request: Request) -> Response:
            await admit(request, f"{request.method} {self.path_format}")
            return await inner(request)

        return handle


async def admit(request: Request, address: str) -> None:
    """Let a request in, with its caller in ``request.state.caller``, or refuse it.

    Raises
    ------
    LapwrightError
        ``wrong_host``, ``cross_site``, ``sign_in_needed``, ``not_for_role``,
        ``csrf_missing``.
    """
    door: Door = request.app.state.door
    changes = request.method not in _READS
    _check_origin(request, door, changes=changes)
    rights = MAY_CALL.get(address, frozenset())
    caller = await run_in_threadpool(_caller, request, door) if door.login else LOCAL
    request.state.caller = caller
    if caller is None:
        if "nobody" not in rights:
            raise LapwrightError("sign_in_needed")
        return
    if caller.role not in rights:
        raise LapwrightError("not_for_role", role=caller.role)
    if door.login and changes and rights <= EVERY:
        given = request.headers.get(CSRF_HEADER, "")
        if not secrets.compare_digest(given.encode(), caller.csrf.encode()):
            raise LapwrightError("csrf_missing")


def caller_of(request: Request) -> Caller:
    """Who is in; the door has seen to it that there is somebody."""
    return cast(Caller, request.state.caller)


def store_of(request: Request) -> Store:
    """Where this service keeps its facts."""
    return cast(Store, request.app.state.store)


def _check_origin(request: Request, door: Door, *, changes: bool) -> None:
    """Another site's page must not act through a browser that can reach us."""
    host = request.headers.get("host", "")
    if not door.login and urlsplit(f"//{host}").hostname not in _THIS_MACHINE:
        raise LapwrightError("wrong_host", host=host[:80])
    origin = request.headers.get("origin")
    if changes and origin is not None and urlsplit(origin).netloc != host:
        raise LapwrightError("cross_site", host=host[:80])


def _caller(request: Request, door: Door) -> Caller | None:
    token = request.cookies.get(door.cookie)
    if not token:
        return None
    people, now = store_of(request).people, datetime.now(UTC)
    found = people.signed_in(hashed(token), now=now)
    if found is None:
        return None
    if found.session.expires - now < LASTS / 2:
        people.prolong(found.session.token_hash, expires=now + LASTS)
    account = found.account
    role = cast(Role, account.role)
    return Caller(account.id, account.name, role, found.device.id, found.session.csrf)
