"""Coming in and going out: me, sign in, sign out, join with a link."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Annotated, cast

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from pydantic import BaseModel, ConfigDict, Field

from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.store.people import Account, Device, Session
from lapwright.web.access import Caller, Role
from lapwright.web.accounts import is_password, new_id, note_access
from lapwright.web.door import LASTS, Door, Guarded, caller_of, hashed, new_secret, store_of
from lapwright.web.shapes import Line
from lapwright.web.tries import UNKNOWN, one_try

router = APIRouter(route_class=Guarded)


_COOKIE_DAYS = 400  # as long as browsers allow; the store decides when a session ends


class Me(BaseModel):
    """Who the service takes the caller for; ``account`` is null without a session."""

    account: str | None
    name: str
    role: Role | None
    device: str
    login: bool
    csrf: str


class SignIn(BaseModel):
    """Name and password of an account, and what to call this phone or desk."""

    model_config = ConfigDict(extra="forbid")

    account: Line
    password: Annotated[str, Field(max_length=1000)]
    phone: Line = ""


class Join(BaseModel):
    """The token of an invite, and what to call this phone."""

    model_config = ConfigDict(extra="forbid")

    token: Line
    phone: Line = ""


@router.get("/", status_code=303, response_class=RedirectResponse)
def home() -> RedirectResponse:
    """To the field page; a window alone, without a record, is at /index.html."""
    return RedirectResponse("/field/", status_code=303)


@router.get("/join", status_code=303, response_class=RedirectResponse)
def join_page() -> RedirectResponse:
    """To the field page; the token behind the # never leaves the phone's browser."""
    return RedirectResponse("/field/?join", status_code=303)


@router.get("/api/me")
def me(request: Request) -> Me:
    """Who is signed in, and the token that changing requests repeat in X-CSRF."""
    return _me(request.app.state.door, request.state.caller)


@router.post("/api/sign-in")
def sign_in(ask: SignIn, request: Request, response: Response) -> Me:
    """A session for a name and a password."""
    store, now = _with_login(request), datetime.now(UTC)
    account = store.people.account_named(ask.account.strip())
    name = account.id if account else UNKNOWN
    with one_try(store, account=name, address=_address(request), now=now):
        if not is_password(account, ask.password) or account is None:
            _refuse(request, account=name, now=now)
            raise LapwrightError("sign_in_wrong")
    return _let_in(request, response, account, phone=ask.phone, what="signed_in")


@router.post("/api/join")
def join(ask: Join, request: Request, response: Response) -> Me:
    """A session for a phone that followed an invite; the invite is used up."""
    store, now = _with_login(request), datetime.now(UTC)
    with one_try(store, account=UNKNOWN, address=_address(request), now=now):
        used = store.people.use_invite(hashed(ask.token), now=now)
        account = store.people.account(used.account) if used else None
        if account is None:
            _refuse(request, account=UNKNOWN, now=now)
            raise LapwrightError("invite_spent")
    return _let_in(request, response, account, phone=ask.phone, what="joined")


@router.post("/api/sign-out")
def sign_out(request: Request, response: Response) -> Me:
    """End this session; what was recorded stays."""
    door: Door = request.app.state.door
    token = request.cookies.get(door.cookie)
    if token and door.login:
        store, caller = store_of(request), caller_of(request)
        store.people.end_session(hashed(token))
        note_access(
            store, caller, "signed_out", account=caller.account, phone=caller.device,
            now=datetime.now(UTC),
        )  # fmt: skip
    response.delete_cookie(door.cookie, secure=door.secure, httponly=True, samesite="strict")
    return _me(door, None if door.login else caller_of(request))


def _me(door: Door, caller: Caller | None) -> Me:
    if caller is None:
        return Me(account=None, name="", role=None, device="", login=door.login, csrf="")
    return Me(
        account=caller.account,
        name=caller.name,
        role=caller.role,
        device=caller.device,
        login=door.login,
        csrf=caller.csrf,
    )


def _with_login(request: Request) -> Store:
    if not request.app.state.door.login:
        raise LapwrightError("login_off")
    return store_of(request)


def _address(request: Request) -> str:
    return request.client.host if request.client else ""


def _refuse(request: Request, *, account: str, now: datetime) -> None:
    nobody = Caller("", "", "inspector", "")
    note_access(
        store_of(request), nobody, "sign_in_refused", account=account, address=_address(request),
        now=now,
    )  # fmt: skip


def _let_in(request: Request, response: Response, account: Account, *, phone: str, what: str) -> Me:
    """A session on a device of its own."""
    store, door, now = store_of(request), request.app.state.door, datetime.now(UTC)
    token, csrf = new_secret(), new_secret()
    device = Device(new_id(), account.id, phone.strip() or "-", now)
    caller = Caller(account.id, account.name, cast(Role, account.role), device.id, csrf)
    store.people.add_device(device)
    store.people.add_session(Session(hashed(token), device.id, now + LASTS, csrf))
    note_access(
        store, caller, what, account=account.id, phone=device.id, role=account.role, now=now
    )
    response.set_cookie(
        door.cookie, token, max_age=int(timedelta(days=_COOKIE_DAYS).total_seconds()),
        secure=door.secure, httponly=True, samesite="strict",
    )  # fmt: skip
    return _me(door, caller)
