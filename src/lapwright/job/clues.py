"""What the record makes likely: voids at equal spacing, from an hour on, of one person.

A pattern counts only where chance alone would seldom make it. The chances are simple ones,
over feet, and welds fail in stretches: they rank causes and prove none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median
from typing import Any, Literal

from lapwright.job.planned import planned_joints_at
from lapwright.job.rules import RuleBook
from lapwright.job.welding import Welding
from lapwright.proof.runs import Welded, by_seam, run_over
from lapwright.proof.verdicts import is_trial
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.roof.station import FOOT

ClueName = Literal[
    "even_spacing", "since_time", "one_operator", "one_machine", "at_t_joints", "at_starts",
    "heat_signs", "pull", "evenness", "defect_type", "volts_low", "wet", "aged", "concrete",
    "wind", "changed_before",
]  # fmt: skip

_SELDOM = 0.05  # chance above which a pattern says nothing
_FEWEST = 3  # defects that make a pattern
_VOIDS = ("edge_void", "inner_void", "skip", "step_void", "roller_mark")
_EVEN = 0.1  # of the spacing by which a gap may differ from a whole number of spacings
_FEWEST_GAPS = 3
_AT_START = 3 * FOOT  # m; "the first 2-3 ft of each run"
_AT_JOINT = FOOT  # m
_BEFORE = timedelta(minutes=30)  # a change this long before the first void may have made it


@dataclass(frozen=True)
class Clue:
    """Something in the record that speaks for a cause.

    Parameters
    ----------
    name : str
        One of :data:`ClueName`.
    of : str
        What it is about: a grade, a defect, a trigger; empty otherwise.
    data : dict
        SI values and texts that its sentence names.
    """

    name: ClueName
    of: str = ""
    data: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class _Found:
    """A void and the run it lies in."""

    defect: Fact
    run: Welded
    station: float

    @property
    def welded(self) -> datetime:
        return self.run.welded_at(self.station)


def clues(record: Record, rules: RuleBook, *, day: str | None = None) -> tuple[Clue, ...]:
    """Every clue in the facts of a job, or of one day.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    rules : RuleBook
        For the volts that a cord may take.
    day : str, optional
        Only what was welded on this day.
    """
    welding = Welding(record, rules)
    runs = [run for run in welding.runs if run.span is not None and day in (None, run.run.day)]
    seams = by_seam(runs)
    voids = list(_voids(record, seams))
    found = [
        *_spacing(voids),
        *_since(voids, runs, welding),
        *_of_one(voids, runs, record, "operator", "one_operator"),
        *_of_one(voids, runs, record, "machine", "one_machine"),
        *_near(voids, runs, "at_starts", _starts(seams), _AT_START),
        *_near(voids, runs, "at_t_joints", planned_joints_at(record), _AT_JOINT),
        *_graded(record, day),
        *_set_up(record, rules, day),
    ]
    return tuple({(clue.name, clue.of): clue for clue in found}.values())


def _voids(record: Record, seams: dict[str, list[Welded]]) -> Iterator[_Found]:
    for defect in record.all("defect"):
        station = si(defect["station"]) or 0.0
        run = run_over(seams.get(defect["seam"], ()), station=station, at=defect.moment)
        if run is not None and defect["type"] in _VOIDS:
            yield _Found(defect, run, station)


def _spacing(voids: Sequence[_Found]) -> Iterator[Clue]:
    """Gaps on one seam that are whole numbers of one spacing: the roller's way round."""
    for seam in dict.fromkeys(void.run.seam for void in voids):
        stations = sorted(void.station for void in voids if void.run.seam == seam)
        gaps = [b - a for a, b in pairwise(stations) if b > a]
        if len(gaps) < _FEWEST_GAPS:
            continue
        least = min(gaps)
        step = median(gap / max(round(gap / least), 1) for gap in gaps)
        if all(abs(gap / step - round(gap / step)) <= _EVEN for gap in gaps):
            yield Clue("even_spacing", data={"seam": seam, "length": step})


def _since(voids: Sequence[_Found], runs: Sequence[Welded], welding: Welding) -> Iterator[Clue]:
    """Voids only from a moment on, with too much sound seam before it to be chance."""
    if len(voids) < _FEWEST:
        return
    first = min(void.welded for void in voids)
    whole = sum(run.length for run in runs)
    after = sum(abs(run.last - run.station_at(first)) for run in runs if run.ended > first)
    if whole <= 0 or (after / whole) ** (len(voids) - 1) > _SELDOM:
        return  # the first void marks the moment, the others bear it out
    yield Clue("since_time", data={"time": f"{first:%H:%M}"})
    for name, at in _changes(welding):
        if first - _BEFORE <= at <= first:
            yield Clue("changed_before", of=name, data={"time": f"{at:%H:%M}"})


def _changes(welding: Welding) -> Iterator[tuple[str, datetime]]:
    record = welding.record
    for fact in record.all("power_setup"):
        yield "power", fact.moment
    for fact in record.all("event"):
        if fact["answer"] == "happened":
            yield str(fact["trigger"]), fact.moment
    for before, now in pairwise(record.all("conditions")):
        for name in ("wind", "sun", "substrate"):
            if None not in (before[name], now[name]) and before[name] != now[name]:
                yield name, now.moment


def _of_one(
    voids: Sequence[_Found], runs: Sequence[Welded], record: Record, part: str, name: ClueName
) -> Iterator[Clue]:
    """All voids in the feet of one person or machine, though others welded as well."""
    owners = {void.run.run[part] for void in voids}
    own = sum(run.length for run in runs if run.run[part] in owners)
    whole = sum(run.length for run in runs)
    if len(owners) == 1 and len(voids) >= _FEWEST and (own / whole) ** len(voids) <= _SELDOM:
        fact = record.get(next(iter(owners)))
        told = "?" if fact is None else fact["name"] or fact["number"]
        yield Clue(name, data={part: str(told)})


def _starts(seams: dict[str, list[Welded]]) -> dict[str, list[float]]:
    return {seam: [run.first for run in runs] for seam, runs in seams.items()}


def _near(
    voids: Sequence[_Found],
    runs: Sequence[Welded],
    name: ClueName,
    places: dict[str, list[float]],
    reach: float,
) -> Iterator[Clue]:
    """More voids near certain places than seam near them would have by chance."""
    near = [
        void
        for void in voids
        if any(abs(void.station - at) <= reach for at in places.get(void.run.seam, ()))
    ]
    whole = sum(run.length for run in runs)
    if len(near) < _FEWEST or whole <= 0:
        return
    share = min(1.0, sum(2 * reach * len(at) for at in places.values()) / whole)
    n, k = len(voids), len(near)
    chance = sum(math.comb(n, i) * share**i * (1 - share) ** (n - i) for i in range(k, n + 1))
    if chance <= _SELDOM:
        yield Clue(name, data={"near": str(k), "of": str(n)})


def _graded(record: Record, day: str | None) -> Iterator[Clue]:
    """What strips, hot looks and defects say; a search for the window goes astray on purpose."""
    trials = {weld.id for weld in record.all("test_weld") if is_trial(weld)}
    for strip in record.all("strip"):
        if day in (None, strip.day) and strip["of"] not in trials:
            yield Clue("pull", of=strip["pull"])
            if strip["evenness"] is not None:
                yield Clue("evenness", of=strip["evenness"])
    for look in record.all("hot_look"):
        if day in (None, look.day) and look["test_weld"] not in trials:
            for sign in ("smoke", "scorch", "glaze", "bubbles"):
                if look[sign]:
                    yield Clue("heat_signs")
    for defect in record.all("defect"):
        if day in (None, defect.day):
            yield Clue("defect_type", of=defect["type"])


def _set_up(record: Record, rules: RuleBook, day: str | None) -> Iterator[Clue]:
    for power in record.all("power_setup"):
        open_, under = si(power["volts_open"]), si(power["volts"])
        if open_ and under is not None and day in (None, power.day):
            lost = (open_ - under) / open_
            if lost > rules["volts_lost"].value:
                yield Clue("volts_low", data={"volts": under, "drop_share": lost})
    for read in record.all("conditions"):
        if day in (None, read.day):
            if read["dry"] is False:
                yield Clue("wet")
            if read["substrate"] == "concrete":
                yield Clue("concrete")
            if read["wind"] in ("breezy", "strong"):
                yield Clue("wind", of=read["wind"])
    if any(pairing["aged"] for pairing in record.all("pairing")):
        yield Clue("aged")
