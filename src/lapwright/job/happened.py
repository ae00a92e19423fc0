"""What happened to a machine since a test weld passed: said by the crew, or seen in the record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from lapwright.job.change import EVENTS, Event
from lapwright.proof.chains import Chains
from lapwright.proof.runs import Welded, by_seam, run_over
from lapwright.proof.verdicts import Results, is_trial
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record

_VOIDS = ("edge_void", "inner_void", "skip")
_MANY, _CLOSE = 3, 30.48  # voids; m between the outer two; as the note of rule voids_close says


@dataclass(frozen=True)
class Happening:
    """Something that asks for a test weld of one machine.

    Parameters
    ----------
    at : datetime
        When it happened.
    machine : str
        Id of the machine, as in a chain.
    event : str
        One of :data:`~lapwright.job.change.EVENTS`.
    fact : Fact
        Where it says so.
    """

    at: datetime
    machine: str
    event: Event
    fact: Fact


def happenings(
    record: Record, chains: Chains, results: Results, runs: Sequence[Welded]
) -> list[Happening]:
    """Events, lunch, failed strips and cuts, voids close together, in no order.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    chains, results, runs
        Of the same record.

    Notes
    -----
    A weld that only sought the window may fail; that happens every morning. A failed test weld
    counts from when it was welded, a cut and a void from when they were found.
    """
    found: list[Happening] = []

    def note(machine: str | None, event: Event, fact: Fact) -> None:
        found.append(Happening(fact.moment, chains.first(machine) or "", event, fact))

    events: dict[str, Event] = {event: event for event in EVENTS}
    for fact in record.all("event"):
        if fact["answer"] == "happened" and fact["trigger"] in events:
            note(fact["machine"], events[fact["trigger"]], fact)
    for run in runs:
        if run.end is not None and run.end["reason"] == "lunch":
            note(run.run["machine"], "lunch", run.end)
    for weld in record.all("test_weld"):
        if not is_trial(weld) and results.of(weld).verdict == "failed":
            note(weld["machine"], "failed_strip", weld)
    seams = by_seam(runs)
    for cut in record.all("cut"):
        under = _run_under(seams, cut)
        if under is not None and results.of(cut).verdict == "failed":
            note(under.run["machine"], "failed_cut", cut)
    for void, under in _close_voids(record, seams):
        note(under.run["machine"], "voids_close", void)
    return found


def _run_under(seams: dict[str, list[Welded]], fact: Fact) -> Welded | None:
    station = si(fact["station"])
    if station is None:
        return None
    return run_over(seams.get(fact["seam"], ()), station=station, at=fact.moment)


def _close_voids(record: Record, seams: dict[str, list[Welded]]) -> Iterator[tuple[Fact, Welded]]:
    """Each void that is the third of three close together in welds of one machine."""
    voids: dict[tuple[str, str], list[tuple[float, Fact, Welded]]] = {}
    for defect in record.all("defect"):
        under = _run_under(seams, defect) if defect["type"] in _VOIDS else None
        if under is not None:
            key = (defect["seam"], under.run["machine"])
            voids.setdefault(key, []).append((si(defect["station"]) or 0.0, defect, under))
    for found in voids.values():
        found.sort(key=lambda void: (void[0], void[1].id))
        for place in range(len(found) - _MANY + 1):
            close = found[place : place + _MANY]
            if close[-1][0] - close[0][0] <= _CLOSE:
                _, fact, under = max(close, key=lambda void: void[1].moment)
                yield fact, under


def stops(runs: Iterable[Welded], welds: Iterable[Fact]) -> list[tuple[datetime, datetime]]:
    """When one machine stood: from the end of a run to its next run or test weld."""
    runs = list(runs)
    ended = [(run.ended, True) for run in runs if run.end is not None]
    began = [(run.began, False) for run in runs] + [(weld.moment, False) for weld in welds]
    # An end and a beginning at one moment lose no time: the end comes first.
    marks = sorted(ended + began, key=lambda mark: (mark[0], not mark[1]))
    return [
        (before, after)
        for (before, stood), (after, _) in pairwise(marks)
        if stood and after > before
    ]
