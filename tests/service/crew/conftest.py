"""A crew of one of each role, all signed in, and a real server that they talk to."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime, timedelta
from threading import Thread
from typing import Any

import httpx
import pytest
import uvicorn
from fastapi import FastAPI

from lapwright.record.fact import KINDS
from lapwright.record.ids import uuid7
from lapwright.record.kinds import Field
from lapwright.store import Store
from lapwright.store.people import Account, Device, Session
from lapwright.web.access import ROLES
from lapwright.web.door import Door, hashed
from lapwright.web.morning import morning_app

JOB = "01976d00-0000-7000-8000-00000000000a"
HASH = "a" * 64
AT = "2026-05-04T07:05:00-06:00"


def made_id(number: int) -> str:
    """An id like a phone makes one."""
    return uuid7(1_777_000_000_000 + number, number.to_bytes(10, "big"))


@contextmanager
def served(app: FastAPI) -> Iterator[str]:
    """Address of a real server on a port of its own."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        config = uvicorn.Config(
            app, log_level="critical", lifespan="off", timeout_graceful_shutdown=1
        )
        server = uvicorn.Server(config)
        thread = Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        server.should_exit = True
        thread.join()


def _value(field: Field) -> Any:
    """Something that the field may hold."""
    held: dict[str, Any] = {
        "text": "1",
        "flag": True,
        "count": 1,
        "time": AT,
        "date": "2026-05-04",
        "ref": made_id(999),
        "refs": [made_id(999)],
        "sha256": HASH,
        "json": {},
    }
    if field.type == "measure":
        return {"typed": "1", "unit": field.among[0], "how": "set"}
    if field.type == "word":
        return field.among[0]
    return [field.among[0]] if field.type == "words" else held[field.type]


def whole(
    number: int, kind: str = "t_joint", /, *, job: str = JOB, **changes: Any
) -> dict[str, Any]:
    """A fact of a kind as it travels, with as little in it as the kind allows."""
    body: dict[str, Any] = {
        field.name: _value(field) if field.need == "must" else None
        for field in KINDS[kind].fields
        if field.need in ("must", "asked")
    }
    return {
        "id": made_id(number), "job": job, "kind": kind, "at": AT, "entered_at": AT, "by": "",
        "entered_by": "local", "device": "phone-1", "body": body | changes, "note": "",
    }  # fmt: skip


@pytest.fixture(scope="session")
def raw() -> Callable[..., dict[str, Any]]:
    """Builder of facts as they travel: ``raw(3, "probe", result="none")``."""
    return whole


class Crew:
    """Five people with a phone each, and somebody whom nobody knows."""

    served = staticmethod(served)

    def __init__(self, store: Store, stack: ExitStack) -> None:
        self.store, self._stack = store, stack
        self.app = morning_app(store, door=Door(login=True))
        self.address = stack.enter_context(served(self.app))
        self.phones = {role: made_id(100 + place) for place, role in enumerate(ROLES)}
        now = datetime.now(UTC)
        for role in ROLES:
            store.people.add_account(Account(self.account(role), f"The {role}", role, "", now))
            store.people.add_device(Device(self.phones[role], self.account(role), "phone", now))
            store.people.add_session(
                Session(hashed(role), self.phones[role], now + timedelta(days=1), f"csrf-{role}")
            )

    @staticmethod
    def account(role: str) -> str:
        """Id of the account of a role."""
        return made_id(200 + ROLES.index(role))  # type: ignore[arg-type]

    def client(self, role: str = "nobody") -> httpx.Client:
        """A client that is signed in as that role."""
        client = httpx.Client(base_url=self.address, timeout=60, trust_env=False)
        if role != "nobody":
            client.cookies.set("lapwright", role)
            client.headers["X-CSRF"] = f"csrf-{role}"
        return self._stack.enter_context(client)

    def fact(
        self, role: str, number: int, kind: str = "t_joint", /, **changes: Any
    ) -> dict[str, Any]:
        """A fact that this role's phone recorded."""
        made = whole(number, kind, **changes)
        return made | {"entered_by": self.account(role), "device": self.phones[role]}


def facts_of(client: httpx.Client, job: str = JOB, **query: Any) -> Any:
    """The chain of a job, as a client sees it."""
    return client.get(f"/api/jobs/{job}/facts", params=query).json()


def send(client: httpx.Client, *facts: Any, job: str = JOB) -> Any:
    """Send facts; the answer, which is always whole."""
    response = client.post(f"/api/jobs/{job}/facts", json={"facts": facts})
    assert response.status_code == 200, response.text
    return response.json()


@pytest.fixture(scope="session")
def tell() -> Callable[..., Any]:
    """Send facts: ``tell(client, fact, fact)`` gives receipts and the head."""
    return send


@pytest.fixture(scope="session")
def seen() -> Callable[..., Any]:
    """Entries that a client gets: ``seen(client, after=3)``."""
    return facts_of


@pytest.fixture
def crew(store: Store) -> Iterator[Crew]:
    """The crew of a server with accounts, on each database in turn."""
    with ExitStack() as stack:
        yield Crew(store, stack)


@pytest.fixture
def alone(store: Store) -> Iterator[httpx.Client]:
    """A client of a server that serves one machine, without login."""
    with (
        served(morning_app(store)) as address,
        httpx.Client(base_url=address, timeout=60, trust_env=False) as client,
    ):
        yield client
