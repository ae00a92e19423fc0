"""A phone on a job whose roof shows every state, and one on a job without a plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests import cast
from tests.browser.conftest import Crewed
from tests.browser.crew import Phone
from tests.browser.roof.states import every_state

from lapwright.readings.facts import read_facts
from lapwright.record.fact import Fact
from lapwright.store import open_store

WEEK = Path(__file__).parents[3] / "src" / "lapwright" / "examples" / "week.jsonl"
LOADED = "2026-06-01T12:00:00+00:00"


def facts_of(name: str) -> list[Fact]:
    """What the service holds before it starts."""
    return {"states": every_state, "week": lambda: read_facts(WEEK), "none": list}[name]()


@pytest.fixture
def crewed(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Crewed]:
    """The service on the roof in every state; with ``week`` on the bundled example."""
    facts = facts_of(getattr(request, "param", "states"))
    if facts:
        store = open_store(str(tmp_path / "lapwright.db"))
        receipts = store.ledger.append(cast.JOB, facts, received_at=LOADED)
        store.close()
        assert {receipt.status for receipt in receipts} == {"kept"}
    crewed = Crewed(tmp_path)
    yield crewed
    crewed.kill()


@pytest.fixture
def roof(phone: Callable[..., Phone]) -> Callable[..., Phone]:
    """A phone with the seam map before it, as the server traced it."""

    def opened(**more: object) -> Phone:
        found = phone(**more)
        found.open("#/map")
        found.page.locator(".map-view svg .roof-edge").first.wait_for()
        found.page.locator(".whose", has_text=found.say("map.as_of")).wait_for()
        return found

    return opened
