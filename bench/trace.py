"""How long the trace of a big job takes: 100 miles of seam, 100,000 facts.

    python bench/trace.py --miles 100 --facts 100000

An invented job: seams of 400 ft in runs of 40 ft, probed, with voids that were repaired and
probed again; before each seam conditions and a test weld with two strips. Prints processor
seconds for the record, for what was due when, for the trace itself and for the day's page, the
best of three.
"""

from __future__ import annotations

import argparse
import random
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from lapwright.job.crewday import crew_day
from lapwright.job.testing import limits_of
from lapwright.job.welding import Welding
from lapwright.proof.suspect import suspicions
from lapwright.proof.trace import trace
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.roof.station import FOOT, Span

_SEAM, _RUN = 400, 40  # ft
_MILE = 5280  # ft
_REPEATS = 3


class _Job:
    """Facts of an invented job, one after the other by the clock."""

    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)
        self.now = datetime(2026, 5, 4, 12, tzinfo=UTC)
        self.count = 0

    def fact(self, kind: str, **body: Any) -> Fact:
        self.count += 1
        at = self.now.isoformat()
        name = f"{self.count:08x}-0000-7000-8000-000000000000"
        return Fact(name, "0" * 8, kind, at, at, "", "local", "bench", body)

    def wait(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)


def _feet(value: float) -> dict[str, str]:
    return {"typed": f"{value:.1f}", "unit": "ft", "how": "set"}


def _f(value: float) -> dict[str, str]:
    return {"typed": f"{value:.0f}", "unit": "f", "how": "measured"}


def facts(*, miles: float, seed: int) -> Iterator[Fact]:
    """Facts of the whole job."""
    job = _Job(seed)
    people = [job.fact("person", name=name, tasks=[]) for name in ("W", "P", "H")]
    lot = job.fact("lot", membrane="tpo", thickness={"typed": "60", "unit": "mil", "how": "set"},
                   colour="white", backing="reinforced", number="1")  # fmt: skip
    pairing = job.fact("pairing", upper=lot.id, lower=lot.id, aged=False)
    power = job.fact("power_setup", source="1", gauge="10 AWG", cord_length=_feet(100))
    machine = job.fact("machine", number="1", type="automatic", drive="ft_min")
    yield from (*people, lot, pairing, power, machine)
    chain = {"machine": machine.id, "operator": people[0].id, "power_setup": power.id,
             "pairing": pairing.id}  # fmt: skip
    setting = {"air": _f(860), "speed": {"typed": "10", "unit": "ft_min", "how": "set"}}
    for number in range(round(miles * _MILE / _SEAM)):
        conditions = job.fact(
            "conditions", ambient=_f(80), sheet=_f(90 + job.rng.uniform(-15, 15)), wind="light",
            sun="sun", substrate="foam", dry=True,
        )  # fmt: skip
        job.wait(1)
        weld = job.fact(
            "test_weld", number=str(number), conditions=conditions.id, **chain, **setting
        )
        strips = [job.fact("strip", of=weld.id, number=n, pull="full") for n in "12"]
        job.wait(10)
        decision = job.fact("decision", test_welds=[weld.id], accepted=True, **chain, **setting)
        yield from (conditions, weld, *strips, decision)
        yield from _seam(job, f"A-S{number:04d}", chain, decision, people)


def _seam(
    job: _Job, seam: str, chain: dict[str, str], decision: Fact, people: list[Fact]
) -> Iterator[Fact]:
    for start in range(0, _SEAM, _RUN):
        run = job.fact("run", seam=seam, station=_feet(start), decision=decision.id, **chain)
        job.wait(4)
        yield run
        yield job.fact("run_end", run=run.id, station=_feet(start + _RUN), reason="track")
    job.wait(25)
    for start in range(0, _SEAM, _RUN):
        yield job.fact("probe", seam=seam, start=_feet(start), end=_feet(start + _RUN),
                       prober=people[1].id, result="none")  # fmt: skip
    for _ in range(14):
        at = job.rng.uniform(0, _SEAM - 1)
        void = job.fact("defect", number="1", seam=seam, station=_feet(at), length=_feet(0.5),
                        type="wrinkle", found_by="probe")  # fmt: skip
        repair = job.fact("repair", defect=void.id, method="patch", operator=people[2].id)
        job.wait(2)
        yield from (void, repair)
        if job.rng.random() < 0.9:
            job.wait(22)
            yield job.fact("reprobe", repair=repair.id, prober=people[1].id, result="closed")


def _best(work: Callable[[], object]) -> float:
    times = []
    for _ in range(_REPEATS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    """Make the job and time each step."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--miles", type=float, default=100.0)
    parser.add_argument("--facts", type=int, default=100_000, help="Stop after so many.")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    made = [
        fact
        for fact, _ in zip(facts(miles=args.miles, seed=args.seed), range(args.facts), strict=False)
    ]
    rules = read_rule_book([])
    limits = limits_of(rules)
    record = Record(made)
    late = Welding(record, rules).late()
    names = dict.fromkeys(fact["seam"] for fact in made if fact.kind == "run")
    seams = {name: (Span(0.0, _SEAM * FOOT),) for name in names}
    found = trace(record, seams=seams, limits=limits, late=late)
    miles = sum(stretch.span.length for stretch in found) / FOOT / _MILE
    print(f"{len(made)} facts, {miles:.1f} miles of seam, {sum(1 for _ in found)} stretches")
    at = datetime.fromisoformat(made[-1].at)
    for name, work in (
        ("record", lambda: Record(made)),
        ("due when", lambda: Welding(record, rules).late()),
        ("trace", lambda: trace(record, seams=seams, limits=limits, late=late)),
        ("doubts", lambda: suspicions(record, limits)),
        ("crew day", lambda: crew_day(record, at=at, rules=rules)),
    ):
        print(f"{name:10} {_best(work):6.2f} s")


if __name__ == "__main__":
    main()
