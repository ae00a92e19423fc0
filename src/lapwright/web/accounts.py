"""Accounts, phones and invites: each change made and told in the crew's own chain.

Shared by the page's service and the command line. Passwords are kept as argon2 hashes,
tokens as SHA-256 of 256 random bits; neither can be read back.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Any

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerifyMismatchError

from lapwright.errors import LapwrightError
from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import CREW_CHAIN, uuid7
from lapwright.store import Store
from lapwright.store.people import Account, Device, Invite
from lapwright.web.access import Caller, Role
from lapwright.web.door import hashed, new_secret

SHORTEST_PASSWORD = 10  # characters, our choice; tries are few, see tries.py
INVITE_LASTS = timedelta(minutes=15)  # the time it takes to hand a phone round
_HASHER = PasswordHasher()  # argon2id, the library's own settings


def new_id() -> str:
    """An id made by this server."""
    return uuid7(time.time_ns() // 1_000_000, secrets.token_bytes(10))


def note_access(
    store: Store, caller: Caller, what: str, *, account: str, now: datetime, **fields: str
) -> None:
    """Tell the crew's own chain who joined, left, was refused or revoked."""
    at = now.isoformat(timespec="milliseconds")
    fact: dict[str, Any] = {
        "id": new_id(),
        "job": CREW_CHAIN,
        "kind": "access",
        "at": at,
        "entered_at": at,
        "by": "",
        "entered_by": caller.account,
        "device": caller.device,
        "body": {"what": what, "account": account, **fields},
    }
    store.ledger.append(CREW_CHAIN, [read_fact(fact)], received_at=at)


def access_facts(store: Store, days: Sequence[str]) -> list[Fact]:
    """What the crew's own chain tells of some days, UTC."""
    return [fact for day in days for fact in store.ledger.facts_of_day(CREW_CHAIN, day)]


def add_account(
    store: Store, caller: Caller, name: str, *, role: Role, password: str = ""
) -> Account:
    """A new account; without a password it comes in by invite only.

    Raises
    ------
    LapwrightError
        ``account_taken``, ``account_name``, ``password_short``.
    """
    name = name.strip()
    if not name or not name.isprintable() or len(name) > 80:
        raise LapwrightError("account_name", field="name")
    now = datetime.now(UTC)
    account = Account(new_id(), name, role, _hash(password) if password else "", now)
    store.people.add_account(account)
    note_access(store, caller, "account_made", account=account.id, role=role, now=now)
    return account


def set_password(store: Store, caller: Caller, account: Account, password: str) -> None:
    """Another password; whoever was signed in with the old one is out.

    Raises
    ------
    LapwrightError
        ``password_short``.
    """
    store.people.set_hash(account.id, _hash(password))
    store.people.end_sessions(account.id)
    note_access(store, caller, "password_set", account=account.id, now=datetime.now(UTC))


def shut_out(store: Store, caller: Caller, account: Account) -> None:
    """No password, no phone: the account stays, with all that it recorded."""
    store.people.set_hash(account.id, "")
    for device in store.people.devices():
        if device.account == account.id and device.revoked is None:
            revoke_phone(store, caller, device)
    note_access(store, caller, "revoked", account=account.id, now=datetime.now(UTC))


def revoke_phone(store: Store, caller: Caller, device: Device) -> None:
    """Shut a phone out at once."""
    now = datetime.now(UTC)
    if store.people.revoke(device.id, now=now):
        note_access(store, caller, "revoked", account=device.account, phone=device.id, now=now)


@dataclass(frozen=True)
class Invitation:
    """What the foreman shows: the token once, and until when."""

    token: str
    expires: datetime


def invite(store: Store, caller: Caller, name: str, *, role: Role) -> Invitation:
    """A link for one phone, for a new account or one that is known.

    Raises
    ------
    LapwrightError
        ``account_role``: the account of that name has another role.
    """
    account = store.people.account_named(name.strip())
    if account is None:
        account = add_account(store, caller, name, role=role)
    elif account.role != role:
        raise LapwrightError("account_role", field="role", name=account.name, role=account.role)
    now = datetime.now(UTC)
    made = Invitation(new_secret(), now + INVITE_LASTS)
    store.people.sweep(now=now)
    store.people.add_invite(Invite(hashed(made.token), role, account.id, made.expires))
    note_access(store, caller, "invited", account=account.id, role=role, now=now)
    return made


def is_password(account: Account | None, password: str) -> bool:
    """Whether it fits; takes as long for an account that is not there."""
    known = account.hash if account is not None and account.hash else _nobodys()
    try:
        _HASHER.verify(known, password)
    except (VerifyMismatchError, InvalidHashError):
        return False
    return account is not None


@lru_cache(maxsize=1)
def _nobodys() -> str:
    return _HASHER.hash(new_secret())


def _hash(password: str) -> str:
    if len(password) < SHORTEST_PASSWORD:
        raise LapwrightError("password_short", field="password", least=SHORTEST_PASSWORD)
    return _HASHER.hash(password)
