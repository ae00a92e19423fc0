"""A builder of small facts for the tests of the record."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from lapwright.record.fact import KINDS, Fact, read_fact
from lapwright.record.ids import uuid7

JOB = "01976d00-0000-7000-8000-00000000000a"


def _plain(number: int = 1, kind: str = "t_joint", /, **fields: Any) -> dict[str, Any]:
    common = {
        "id": uuid7(1_777_000_000_000 + number, number.to_bytes(10, "big")), "job": JOB,
        "kind": kind, "at": "2026-05-04T07:05:00-06:00",
        "entered_at": "2026-05-04T07:06:00-06:00", "by": "", "entered_by": "local",
        "device": "phone-1", "note": "",
    }  # fmt: skip
    body = {field.name: None for field in KINDS[kind].fields if field.need == "asked"}
    if kind == "t_joint":
        body["number"] = str(number)
    common |= {name: fields.pop(name) for name in list(fields) if name in common}
    return {**common, "body": body | fields}


@pytest.fixture(scope="session")
def plain() -> Callable[..., dict[str, Any]]:
    """Builder of facts as they travel: ``plain(3, "photo", file=..., note=...)``."""
    return _plain


@pytest.fixture(scope="session")
def fact() -> Callable[..., Fact]:
    """Builder of checked facts, as ``plain``."""
    return lambda *place, **fields: read_fact(_plain(*place, **fields))
