"""Run by ``test_kills.py``: sends facts to a store until somebody kills it.

``writer.py PLACE JOB`` reads lines "FIRST SEED". For each it forks a child, waits until
the child is gone and says "gone". The child says "child PID" and "open", sends facts numbered
from FIRST in batches of chance and says "kept FIRST LAST" after each receipt, never before.
"""

from __future__ import annotations

import os
import random
import sys

from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import uuid7
from lapwright.store import open_store
from lapwright.store.database import Database, store_url

NOW = "2026-05-04T13:06:00Z"
AT = "2026-05-04T07:05:00-06:00"
LARGEST_BATCH = 30


def say(line: str) -> None:
    """One line, whole, at once: a killed writer must not take it along."""
    os.write(1, f"{line}\n".encode())


def made(number: int, job: str) -> Fact:
    """The fact of a number, the same in every writer."""
    return read_fact({
        "id": uuid7(1_777_000_000_000 + number, number.to_bytes(10, "big")),
        "job": job, "kind": "event", "at": AT, "entered_at": AT, "by": "", "entered_by": "local",
        "device": "phone-1", "note": "x" * (number % 700),
        "body": {"trigger": f"t{number}", "machine": job, "operator": job, "answer": "happened"},
    })  # fmt: skip


def send(place: str, job: str, first: int, seed: int) -> None:
    """Batch after batch, without end."""
    chance = random.Random(seed)
    ledger = open_store(place, migrate=False).ledger
    say("open")
    while True:
        last = first + chance.randrange(LARGEST_BATCH)
        facts = [made(number, job) for number in range(first, last + 1)]
        receipts = ledger.append(job, facts, received_at=NOW)
        assert [receipt.id for receipt in receipts] == [fact.id for fact in facts]
        assert {receipt.status for receipt in receipts} <= {"kept", "had"}
        say(f"kept {first} {last}")
        first = last + 1


def main() -> None:
    """One child at a time, as many as asked."""
    place, job = sys.argv[1:]
    Database(store_url(place)).close()  # loads the driver once, connects to nothing
    for line in sys.stdin:
        first, seed = map(int, line.split())
        child = os.fork()
        if child == 0:
            say(f"child {os.getpid()}")
            send(place, job, first, seed)
        os.waitpid(child, 0)
        say("gone")


if __name__ == "__main__":
    main()
