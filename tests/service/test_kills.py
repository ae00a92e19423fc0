"""Writers killed at any moment: what was acknowledged is there, and the chain is whole.

The process is killed with -9 and the machine goes on: this proves commits and receipts, not
that a disk keeps what it says it wrote. ``LAPWRIGHT_KILLS=1000`` makes it the full count.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from lapwright.record.ledger import Head
from lapwright.store import Store
from lapwright.store.check import check_job

KILLS = int(os.environ.get("LAPWRIGHT_KILLS", "100"))  # of each engine
SEED = 20261125
LONGEST = 0.06  # seconds that a writer lives once it may write; a batch takes milliseconds
CHECK_EACH = 50  # kills between two readings of the whole chain
JOB = "01976d00-0000-7000-8000-00000000000a"
WRITER = Path(__file__).with_name("writer.py")


def _killed(writer: subprocess.Popen[str], first: int, seed: int, lives: float) -> int:
    """Let one writer live that long; the last number it acknowledged, or the one before first."""
    assert writer.stdin
    assert writer.stdout
    writer.stdin.write(f"{first} {seed}\n")
    writer.stdin.flush()
    word, child = writer.stdout.readline().split()
    assert word == "child"
    assert writer.stdout.readline() == "open\n"
    time.sleep(lives)
    os.kill(int(child), signal.SIGKILL)
    last = first - 1
    while (line := writer.stdout.readline().split()) != ["gone"]:
        assert line[0] == "kept", line
        assert int(line[1]) == last + 1
        last = int(line[2])
    return last


def test_killed_writers_lose_nothing_they_acknowledged(
    place: str, opened: Callable[..., Store]
) -> None:
    """After each kill the chain reaches every acknowledged fact; sent again, none is doubled."""
    store = opened(place)
    chance = random.Random(SEED)
    last, lost_receipts = 0, 0
    command = [sys.executable, str(WRITER), place, JOB]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as writer:
        for kill in range(1, KILLS + 1):
            last = _killed(writer, last + 1, kill, chance.uniform(0, LONGEST))
            head = store.ledger.head(JOB)
            assert head.seq >= last, f"kill {kill}: an acknowledged fact is gone"
            lost_receipts += head.seq > last  # kept, but killed before it could say so
            if kill % CHECK_EACH == 0 or kill == KILLS:
                _whole(store, head)
        assert writer.stdin
        writer.stdin.close()
    assert last > 0, "every writer was killed before its first receipt"
    print(f"{KILLS} kills, {last} acknowledged, {lost_receipts} times kept without a receipt")


def _whole(store: Store, head: Head) -> None:
    """Every entry seals the one before, and the facts are the numbers from 1, each once."""
    end = check_job(store, JOB).head.seq  # a database may still finish what the dead one asked
    assert end >= head.seq
    facts = store.ledger.facts_of_kinds(JOB, ["event"])[:end]
    assert [fact["trigger"] for fact in facts] == [f"t{number}" for number in range(1, end + 1)]
