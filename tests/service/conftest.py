"""Both real databases for the tests of the store: the same test runs on each.

One PostgreSQL serves all tests; each gets a database of its own. Without PostgreSQL its tests
are skipped with a word, and fail where CI is set: there nothing may be left out unseen.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from typing import Any

import psycopg
import pytest

from lapwright.record.fact import KINDS, Fact, read_fact
from lapwright.record.ids import uuid7
from lapwright.store import Store, open_store

ROOT = Path(__file__).resolve().parents[2]
NO_POSTGRES = 3  # exit status of scripts/postgres
_numbers = count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """Address of a running PostgreSQL, without the name of a database."""
    command = [sys.executable, str(ROOT / "scripts" / "postgres")]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as server:
        assert server.stdin
        assert server.stdout
        assert server.stderr
        port = server.stdout.readline().strip()
        if not port:
            said = server.stderr.read()
            if server.wait() == NO_POSTGRES and not os.environ.get("CI"):
                pytest.skip(said)
            pytest.fail(said, pytrace=False)
        yield f"postgresql://test@127.0.0.1:{port}"
        server.stdin.close()
        server.wait(timeout=30)


@pytest.fixture
def new_place(tmp_path: Path, request: pytest.FixtureRequest) -> Callable[[str], str]:
    """Makes an empty database of an engine and gives its address."""

    def make(engine: str) -> str:
        name = f"test_{os.getpid()}_{next(_numbers)}"
        if engine == "sqlite":
            return f"sqlite:///{tmp_path / name}.db"
        address: str = request.getfixturevalue("postgres")
        with psycopg.connect(f"{address}/test", autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}"'.encode())
        return f"{address}/{name}"

    return make


@pytest.fixture(params=["sqlite", "postgresql"])
def engine(request: pytest.FixtureRequest) -> str:
    """Each of the two databases in turn."""
    return str(request.param)


@pytest.fixture
def place(engine: str, new_place: Callable[[str], str]) -> str:
    """Address of an empty database."""
    return new_place(engine)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., Store]]:
    """Opens stores, each with its photos in the test's folder, and closes them."""
    stores: list[Store] = []

    def make(place: str, **options: Any) -> Store:
        options.setdefault("photos", tmp_path / f"photos-{place.rpartition('/')[2]}")
        stores.append(open_store(place, **options))
        return stores[-1]

    yield make
    for store in stores:
        store.close()


@pytest.fixture
def store(place: str, opened: Callable[..., Store]) -> Store:
    """An empty store."""
    return opened(place)


JOB = "01976d00-0000-7000-8000-00000000000a"


def made_id(number: int) -> str:
    """The id of the fact of a number."""
    return uuid7(1_777_000_000_000 + number, number.to_bytes(10, "big"))


def _fact(
    number: int = 1,
    kind: str = "t_joint",
    /,
    *,
    job: str = JOB,
    at: str = "2026-05-04T07:05:00-06:00",
    note: str = "",
    entered_by: str = "local",
    **body: Any,
) -> Fact:
    asked = {field.name: None for field in KINDS[kind].fields if field.need == "asked"}
    if kind == "t_joint":
        asked["number"] = f"A-T-{number}"
    return read_fact(
        {
            "id": made_id(number), "job": job, "kind": kind, "at": at, "entered_at": at, "by": "",
            "entered_by": entered_by, "device": "phone-1", "body": asked | body, "note": note,
        }
    )  # fmt: skip


@pytest.fixture(scope="session")
def fact() -> Callable[..., Fact]:
    """Builder of checked facts of one job: ``fact(3)``, ``fact(4, "photo", file=..., of=...)``."""
    return _fact
