"""How fast facts are kept and a day is read, on both databases.

python bench/store.py                     # up to 1,000,000 facts in PostgreSQL; some minutes
python bench/store.py --facts 10000000    # the full count; an hour

Both databases wait for the disk at each commit, as they do for a crew. PostgreSQL is one of
its own, from scripts/postgres.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

from sqlalchemy import text

from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import uuid7
from lapwright.record.setup import SETUP
from lapwright.store import Store, open_store
from lapwright.store.check import check_job

ROOT = Path(__file__).resolve().parents[1]
NOW = "2026-05-04T13:06:00Z"
BATCHES = (1, 100, 1_000)
SIZES = (10_000, 100_000, 1_000_000, 10_000_000)  # facts in the store when a day is read
JOB_FACTS = 2_000  # one job, twenty days of a hundred facts
DAYS = 20
READS = 400  # days read at each size, of jobs by chance
ALWAYS = [kind.name for kind in SETUP] + ["correction"]  # read beside a day, to replay it


@contextmanager
def postgres() -> Iterator[str]:
    """Address of a running PostgreSQL that waits for the disk."""
    command = [sys.executable, str(ROOT / "scripts" / "postgres"), "--durable"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as server:
        assert server.stdin
        assert server.stdout
        yield f"postgresql://test@127.0.0.1:{server.stdout.readline().strip()}/test"
        server.stdin.close()


def job_of(number: int) -> str:
    """The id of a job."""
    return uuid7(1_777_000_000_000, number.to_bytes(10, "big"))


def made(number: int, job: str) -> Fact:
    """A run, as large as most facts are (about 600 bytes of JSON)."""
    day = 1 + number % JOB_FACTS * DAYS // JOB_FACTS
    at = f"2026-05-{day:02d}T{7 + number % 10:02d}:05:00-06:00"
    feet = {"typed": str(number % 400), "unit": "ft", "how": "measured"}
    return read_fact({
        "id": uuid7(1_777_000_000_000 + number, number.to_bytes(10, "big")), "job": job,
        "kind": "run" if number % JOB_FACTS else "job", "at": at, "entered_at": at, "by": job,
        "entered_by": job, "device": job, "note": "",
        "body": {
            "seam": f"A-S{number % 300:03d}", "station": feet, "machine": job, "operator": job,
            "power_setup": job, "pairing": job, "decision": job,
            "air": {"typed": "860", "unit": "f", "how": "set"},
            "speed": {"typed": "10", "unit": "ft_min", "how": "set"},
        } if number % JOB_FACTS else {"name": "Invented roof", "invented": True},
    })  # fmt: skip


def kept_per_second(store: Store, batch: int, *, seconds: float, first: int) -> float:
    """Facts sealed, kept and acknowledged a second, by one writer."""
    job, spent, kept = job_of(first), 0.0, 0
    while spent < seconds:
        facts = [made(first + kept + number, job) for number in range(batch)]
        start = perf_counter()
        store.ledger.append(job, facts, received_at=NOW)
        spent += perf_counter() - start
        kept += batch
    return kept / spent


def fill(store: Store, jobs: range) -> None:
    """Whole jobs, each in two batches."""
    for number in jobs:
        job = job_of(number)
        facts = [made(number * JOB_FACTS + place, job) for place in range(JOB_FACTS)]
        for start in range(0, JOB_FACTS, 1_000):
            store.ledger.append(job, facts[start : start + 1_000], received_at=NOW)


def day_view(store: Store, jobs: int, chance: Random) -> tuple[float, float]:
    """Reading one day of one job with what stands behind it: median, 95th percentile. [ms]"""
    times = []
    for _ in range(READS):
        job, day = job_of(chance.randrange(jobs)), f"2026-05-{1 + chance.randrange(DAYS):02d}"
        start = perf_counter()
        found = store.ledger.facts_of_day(job, day)
        store.ledger.facts_of_kinds(job, ALWAYS)
        times.append(1000 * (perf_counter() - start))
        assert len(found) == JOB_FACTS // DAYS
    return median(times), quantiles(times, n=20)[-1]


def in_the_database(store: Store, jobs: int, chance: Random) -> float:
    """Median that PostgreSQL itself needs for the facts of a day, by its own clock. [ms]"""
    asked = text(
        "EXPLAIN (ANALYZE, FORMAT JSON)"
        " SELECT * FROM facts WHERE job = :job AND day = :day ORDER BY seq"
    )
    times = []
    with store.database.reading() as connection:
        for _ in range(READS):
            where = {"job": job_of(chance.randrange(jobs)), "day": "2026-05-07"}
            times.append(connection.scalar(asked, where)[0]["Execution Time"])
    return median(times)


def resident() -> float:
    """Most memory this process has held. [MB]"""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print both tables."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--facts", type=int, default=1_000_000, help="largest store to read from")
    options.add_argument("--seconds", type=float, default=3.0, help="of writing for each rate")
    options.add_argument("--seed", type=int, default=20261125)
    asked = options.parse_args()

    with TemporaryDirectory() as folder, postgres() as address:
        print("| facts/s, batch of | " + " | ".join(map(str, BATCHES)) + " |\n|---|---|---|---|")
        for name, place in (("SQLite", f"{folder}/a.db"), ("PostgreSQL", address)):
            store = open_store(place, photos=Path(folder))
            rates = [
                kept_per_second(store, batch, seconds=asked.seconds, first=10**9 + 10**8 * place)
                for place, batch in enumerate(BATCHES)
            ]
            print(f"| {name} | " + " | ".join(f"{rate:,.0f}" for rate in rates) + " |", flush=True)
            store.close()

        print("\n| facts in PostgreSQL | jobs | day view, ms: median, p95, in the database | MB |")
        print("|---|---|---|---|")
        store = open_store(address, photos=Path(folder))
        jobs, chance = 0, Random(asked.seed)
        for size in SIZES:
            if size <= asked.facts:
                fill(store, range(jobs, size // JOB_FACTS))
                jobs = size // JOB_FACTS
                middle, p95 = day_view(store, jobs, chance)
                inside = in_the_database(store, jobs, chance)
                times = f"{middle:.1f}, {p95:.1f}, {inside:.2f}"
                print(f"| {size:,} | {jobs:,} | {times} | {resident():.0f} |", flush=True)
        start = perf_counter()
        longest = job_of(10**9 + 10**8 * 2)
        entries = check_job(store, longest).head.seq
        print(f"\nA chain of {entries:,} entries verified in {perf_counter() - start:.1f} s,")
        print(f"most memory {resident():.0f} MB")
        store.close()


if __name__ == "__main__":
    main()
