"""Facts that somebody enters on this machine, from a file instead of a phone."""

from __future__ import annotations

import secrets
import time
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from lapwright.record.fact import read_fact
from lapwright.record.ids import uuid7
from lapwright.store import Store

_HERE = "local"  # account and device of who types on this machine


def keep_facts(opened: Store, *, job: str, facts: Sequence[tuple[str, dict[str, Any]]]) -> None:
    """Keep facts of one moment, each given by its kind and body.

    Raises
    ------
    LapwrightError
        As :func:`~lapwright.record.fact.read_fact`: a body that its kind cannot hold.
    """
    now = datetime.now().astimezone()
    at = now.isoformat(timespec="milliseconds")
    made = [
        read_fact(
            {
                "id": uuid7(time.time_ns() // 1_000_000, secrets.token_bytes(10)),
                "job": job,
                "kind": kind,
                "at": at,
                "entered_at": at,
                "by": "",
                "entered_by": _HERE,
                "device": _HERE,
                "body": body,
            }
        )
        for kind, body in facts
    ]
    opened.ledger.append(job, made, received_at=now.isoformat())
