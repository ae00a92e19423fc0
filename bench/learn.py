"""How long a company takes to learn from all its test welds, and in how much memory.

python bench/learn.py                       # up to 1,000,000 strips; some minutes
python bench/learn.py --strips 10000000     # 18 million facts, 22 GB in the temporary folder

PostgreSQL is one of its own, from scripts/postgres, as it comes but for the memory that the join
asks for. The company is invented (bench/company.py), and its chains are not sealed. The store is
read and the belief learnt in a fresh process each time, whose memory is told; PostgreSQL's is not
in it. Last, days of jobs by chance are read, each with what stands behind it, as a phone asks for.
"""

from __future__ import annotations

import argparse
import multiprocessing
import resource
import shutil
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from random import Random
from statistics import median, quantiles
from tempfile import gettempdir
from time import perf_counter

import psycopg
from company import AT_ONCE, DAYS, FIRST, JOB_STRIPS, Company, job_id
from filling import pour, size
from store import ALWAYS, READS, postgres

from lapwright.job.pastwelds import past_welds
from lapwright.record.tested import TestedJobs
from lapwright.store import open_store
from lapwright.store.pastwelds import past_welds as batches_of
from lapwright.window.history import learn

SIZES = (10_000, 100_000, 1_000_000, 10_000_000)  # strips
A_STRIP = 3_000  # bytes of disk, with all that is said around it, and some to spare
SPREADS = ("pairings", "machines", "nozzles", "months", "days")


def fill(address: str, strips: int, seed: int) -> tuple[int, int, float]:
    """Jobs, facts and MB of a company with so many strips."""
    store = open_store(address, photos=Path(gettempdir()))
    company = Company(max(1, round(strips / JOB_STRIPS)), seed)
    pour(store, company.lines(), company.ends)
    megabytes = size(store) / 1e6
    store.close()
    return company.jobs, sum(company.ends.values()), megabytes


class Reading:
    """Batches of a store, and the time until each was there."""

    def __init__(self, address: str) -> None:
        self._store = open_store(address, photos=Path(gettempdir()), migrate=False)
        self.spent = 0.0

    def __iter__(self) -> Iterator[TestedJobs]:
        batches = batches_of(self._store.database)
        start = perf_counter()
        for batch in batches:
            self.spent += perf_counter() - start
            yield batch
            start = perf_counter()
        self.spent += perf_counter() - start


def learnt(address: str) -> tuple[str, str]:
    """What reading and learning took, as cells of the table; and what was found."""
    reading, start = Reading(address), perf_counter()
    past = past_welds(reading)
    read = perf_counter() - start
    start = perf_counter()
    found = learn(past.welds)
    took = perf_counter() - start
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    welds, days = len(past.welds.day), len(past.welds.month)
    cells = (
        f"{welds:,} | {days:,} | {reading.spent:.0f} | {read - reading.spent:.0f} | {took:.0f}"
        f" | {memory:.0f}"
    )
    spread = 1.8 * found.variance[:, 0] ** 0.5
    said = ", ".join(f"{name} {sd:.0f}" for name, sd in zip(SPREADS, spread, strict=True))
    return cells, f"left out: {past.left_out}; bottom moves between, F: {said}"


def day_view(address: str, jobs: int, chance: Random) -> tuple[float, float]:
    """Reading one day of one job with what stands behind it: median, 95th percentile. [ms]"""
    store, times = open_store(address, photos=Path(gettempdir()), migrate=False), []
    for _ in range(READS):
        number = chance.randrange(jobs)
        began = FIRST + timedelta(days=30 * (number // AT_ONCE))
        day = began + timedelta(days=chance.randrange(DAYS))
        start = perf_counter()
        found = store.ledger.facts_of_day(job_id(number), day.isoformat())
        store.ledger.facts_of_kinds(job_id(number), ALWAYS)
        times.append(1000 * (perf_counter() - start))
        assert len(found) > 1
    store.close()
    return median(times), quantiles(times, n=20)[-1]


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--strips", type=int, default=1_000_000, help="of the largest company")
    options.add_argument("--seed", type=int, default=20261125)
    asked = options.parse_args()
    if shutil.disk_usage(gettempdir()).free < A_STRIP * asked.strips:
        sys.exit(f"{gettempdir()} has not the {A_STRIP * asked.strips / 1e9:.0f} GB this may take")

    print("| strips | jobs | facts | GB | filled, s | welds that count | days | read, s |", end="")
    print(" columns, s | learnt, s | MB | day view, ms: median, p95 |")
    print("|" + "---|" * 12)
    said = []
    with (
        postgres() as address,
        multiprocessing.get_context("spawn").Pool(1, maxtasksperchild=1) as one,
    ):
        for strips in SIZES:
            if strips <= asked.strips:
                place = f"{address.rpartition('/')[0]}/strips{strips}"
                with psycopg.connect(address, autocommit=True) as connection:
                    connection.execute(f"CREATE DATABASE strips{strips}".encode())
                start = perf_counter()
                jobs, facts, megabytes = fill(place, strips, asked.seed)
                filled = perf_counter() - start
                cells, found = one.apply(learnt, (place,))
                said.append(f"{strips:,}: {found}")
                print(f"| {strips:,} | {jobs:,} | {facts:,} | {megabytes / 1000:.2f}", end="")
                middle, slow = day_view(place, jobs, Random(asked.seed))
                print(f" | {filled:.0f} | {cells} | {middle:.1f}, {slow:.1f} |", flush=True)
                with psycopg.connect(address, autocommit=True) as connection:
                    connection.execute(f"DROP DATABASE strips{strips}".encode())
    print("\nChains were not sealed. Of each company:", *said, sep="\n")


if __name__ == "__main__":
    main()
