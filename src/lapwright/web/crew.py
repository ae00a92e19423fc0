"""The foreman's list: accounts, phones, invites."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

import segno
from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field

from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.web.access import Role
from lapwright.web.accounts import add_account, invite, revoke_phone
from lapwright.web.door import Guarded, caller_of, store_of
from lapwright.web.shapes import Id, Line

router = APIRouter(route_class=Guarded)


class AccountLine(BaseModel):
    """An account; without a password it comes in by invite."""

    account: str
    name: str
    role: Role
    password: bool
    made: datetime


class Accounts(BaseModel):
    """All accounts, oldest first."""

    accounts: list[AccountLine]


class NewAccount(BaseModel):
    """An account to make."""

    model_config = ConfigDict(extra="forbid")

    name: Line
    role: Role
    password: Annotated[str, Field(max_length=1000)] = ""


class Phone(BaseModel):
    """A phone or desk that came in at some time."""

    phone: str
    name: str
    account: str
    account_name: str
    joined: datetime
    revoked: datetime | None


class Phones(BaseModel):
    """All phones, oldest first, also those that were shut out."""

    phones: list[Phone]


class Ask(BaseModel):
    """Whom to invite."""

    model_config = ConfigDict(extra="forbid")

    name: Line
    role: Role


class Invited(BaseModel):
    """A link for one phone, once; ``qr`` is its picture (SVG)."""

    link: str
    qr: str
    expires: datetime


@router.get("/api/accounts")
def accounts(request: Request) -> Accounts:
    """Who may come in."""
    return Accounts(
        accounts=[
            AccountLine(
                account=one.id,
                name=one.name,
                role=one.role,  # type: ignore[arg-type]  # checked on the way in
                password=bool(one.hash),
                made=one.made,
            )
            for one in store_of(request).people.accounts()
        ]
    )


@router.post("/api/accounts", status_code=201)
def new_account(ask: NewAccount, request: Request) -> AccountLine:
    """A new account."""
    made = add_account(
        store_of(request), caller_of(request), ask.name, role=ask.role, password=ask.password
    )
    return AccountLine(
        account=made.id, name=made.name, role=ask.role, password=bool(made.hash), made=made.made
    )


@router.get("/api/phones")
def phones(request: Request) -> Phones:
    """Which phones came in, and for whom."""
    return Phones(phones=_phones(store_of(request)))


@router.post("/api/phones/{phone}/revoke")
def revoke(phone: Id, request: Request) -> Phones:
    """Shut a phone out, at once; what it recorded stays. Twice is as once."""
    store = store_of(request)
    device = store.people.device(phone)
    if device is None:
        raise LapwrightError("not_found")
    revoke_phone(store, caller_of(request), device)
    return Phones(phones=_phones(store))


def _phones(store: Store) -> list[Phone]:
    names = {account.id: account.name for account in store.people.accounts()}
    return [
        Phone(
            phone=device.id,
            name=device.name,
            account=device.account,
            account_name=names[device.account],
            joined=device.joined,
            revoked=device.revoked,
        )
        for device in store.people.devices()
    ]


@router.post("/api/invites", status_code=201)
def invites(ask: Ask, request: Request) -> Invited:
    """A link and its QR code for the next phone, short-lived and good for one."""
    if not request.app.state.door.login:
        raise LapwrightError("login_off")
    made = invite(store_of(request), caller_of(request), ask.name, role=ask.role)
    link = f"{request.base_url}join#{made.token}"
    picture = segno.make(link, error="m").svg_inline(scale=6, border=4, light="#fff")
    return Invited(link=link, qr=picture, expires=made.expires)
