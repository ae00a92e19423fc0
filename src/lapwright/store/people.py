"""Who may come in: accounts, their devices, open sessions, invites.

Passwords and tokens arrive as hashes and leave as hashes; what they are made with is the
business of ``web``. This is no record: rows change. What happened is told by ``access`` facts.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import Row, Table, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from lapwright.errors import LapwrightError
from lapwright.store.database import Database
from lapwright.store.tables import accounts, devices, invites, sessions, utc


@dataclass(frozen=True)
class Account:
    """Somebody who may come in. ``hash`` is of the password; empty: by invite only."""

    id: str
    name: str
    role: str
    hash: str
    made: datetime


@dataclass(frozen=True)
class Device:
    """A phone or desk that joined for an account."""

    id: str
    account: str
    name: str
    joined: datetime
    revoked: datetime | None = None


@dataclass(frozen=True)
class Session:
    """A device that is let in until a moment."""

    token_hash: str
    device: str
    expires: datetime
    csrf: str


@dataclass(frozen=True)
class Invite:
    """A link that lets one device join for an account, once, until a moment."""

    token_hash: str
    role: str
    account: str
    expires: datetime
    used: datetime | None = None


@dataclass(frozen=True)
class SignedIn:
    """A session that holds, with whose it is."""

    session: Session
    device: Device
    account: Account


One = TypeVar("One", Account, Device, Session, Invite)
_TABLES: dict[type, Table] = {
    Account: accounts, Device: devices, Session: sessions, Invite: invites
}  # fmt: skip
_MOMENTS = {"made", "joined", "revoked", "expires", "used"}


def _read(kind: type[One], row: Row[Any]) -> One:
    table = _TABLES[kind]
    values = {column.name: row._mapping[column] for column in table.columns}
    for name in _MOMENTS & values.keys():
        values[name] = values[name] and datetime.fromisoformat(values[name])
    return kind(**values)


def _written(one: One) -> dict[str, Any]:
    values = asdict(one)
    return {
        name: utc(value) if isinstance(value, datetime) else value for name, value in values.items()
    }


class People:
    """The tables of people.

    Parameters
    ----------
    database : Database
        Opened and migrated.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def add_account(self, account: Account) -> None:
        """A new account.

        Raises
        ------
        LapwrightError
            ``account_taken``: its id or name is in use.
        """
        try:
            self._add(account)
        except IntegrityError:
            raise LapwrightError("account_taken", name=account.name) from None

    def account(self, account_id: str) -> Account | None:
        """The account of an id."""
        return self._one(Account, id=account_id)

    def account_named(self, name: str) -> Account | None:
        """The account of a name."""
        return self._one(Account, name=name)

    def accounts(self) -> list[Account]:
        """All accounts, oldest first."""
        return sorted(self._all(Account), key=lambda one: (one.made, one.id))

    def set_hash(self, account_id: str, password_hash: str) -> bool:
        """Another password; False if there is no such account."""
        return self._change(accounts, {"id": account_id}, hash=password_hash)

    def set_role(self, account_id: str, role: str) -> bool:
        """Another role; False if there is no such account."""
        return self._change(accounts, {"id": account_id}, role=role)

    def add_device(self, device: Device) -> None:
        """A device that joins."""
        self._add(device)

    def device(self, device_id: str) -> Device | None:
        """The device of an id, also when revoked."""
        return self._one(Device, id=device_id)

    def devices(self) -> list[Device]:
        """All devices, also revoked ones, oldest first."""
        return sorted(self._all(Device), key=lambda one: (one.joined, one.id))

    def revoke(self, device_id: str, *, now: datetime) -> bool:
        """Shut a device out and end its sessions; False if not known or shut out already."""
        shut = (
            update(devices)
            .where(devices.c.id == device_id, devices.c.revoked.is_(None))
            .values(revoked=utc(now))
        )
        with self._database.writing() as connection:
            changed = connection.execute(shut).rowcount == 1
            connection.execute(delete(sessions).where(sessions.c.device == device_id))
        return changed

    def add_session(self, session: Session) -> None:
        """Let a device in."""
        self._add(session)

    def signed_in(self, token_hash: str, *, now: datetime) -> SignedIn | None:
        """Whose session this is; None when it ended or its device was revoked."""
        query = (
            select(sessions, devices, accounts)
            .join(devices, devices.c.id == sessions.c.device)
            .join(accounts, accounts.c.id == devices.c.account)
            .where(
                sessions.c.token_hash == token_hash,
                sessions.c.expires > utc(now),
                devices.c.revoked.is_(None),
            )
        )
        with self._database.reading() as connection:
            row = connection.execute(query).one_or_none()
        if row is None:
            return None
        return SignedIn(_read(Session, row), _read(Device, row), _read(Account, row))

    def prolong(self, token_hash: str, *, expires: datetime) -> bool:
        """Let a session run until another moment; False if it has ended."""
        return self._change(sessions, {"token_hash": token_hash}, expires=utc(expires))

    def end_session(self, token_hash: str) -> None:
        """Sign out."""
        with self._database.writing() as connection:
            connection.execute(delete(sessions).where(sessions.c.token_hash == token_hash))

    def end_sessions(self, account_id: str) -> None:
        """Sign an account out everywhere, as after another password."""
        its = select(devices.c.id).where(devices.c.account == account_id)
        with self._database.writing() as connection:
            connection.execute(delete(sessions).where(sessions.c.device.in_(its)))

    def sweep(self, *, now: datetime) -> None:
        """Forget sessions and invites that have run out."""
        with self._database.writing() as connection:
            for table in (sessions, invites):
                connection.execute(delete(table).where(table.c.expires <= utc(now)))

    def add_invite(self, invite: Invite) -> None:
        """A link that somebody will follow."""
        self._add(invite)

    def use_invite(self, token_hash: str, *, now: datetime) -> Invite | None:
        """The invite, used from now on; None when unknown, run out or used before.

        Of two that follow the same link at once, one gets in.
        """
        unused = (
            update(invites)
            .where(
                invites.c.token_hash == token_hash,
                invites.c.expires > utc(now),
                invites.c.used.is_(None),
            )
            .values(used=utc(now))
        )
        with self._database.writing() as connection:
            if connection.execute(unused).rowcount != 1:
                return None
            query = select(invites).where(invites.c.token_hash == token_hash)
            return _read(Invite, connection.execute(query).one())

    def _add(self, one: One) -> None:
        with self._database.writing() as connection:
            connection.execute(insert(_TABLES[type(one)]), _written(one))

    def _all(self, kind: type[One], **where: str) -> list[One]:
        with self._database.reading() as connection:
            rows = connection.execute(select(_TABLES[kind]).filter_by(**where)).all()
        return [_read(kind, row) for row in rows]

    def _one(self, kind: type[One], **where: str) -> One | None:
        return next(iter(self._all(kind, **where)), None)

    def _change(self, table: Table, where: dict[str, str], **values: str) -> bool:
        with self._database.writing() as connection:
            changed = connection.execute(update(table).filter_by(**where).values(**values))
        return changed.rowcount == 1
