"""Today at a glance: what was welded, what is open, unproved or missing, and why to test again."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, TypeVar

from lapwright.cautions import Caution
from lapwright.job.chances import Chances
from lapwright.job.checking import Backlog, Joint, backlog, defects, joints
from lapwright.job.planned import planned_joints, planned_seams
from lapwright.job.roofclock import day_at, roof_zone
from lapwright.job.rules import RuleBook
from lapwright.job.testing import limits_of
from lapwright.job.welding import Standing, Welding
from lapwright.proof.probing import Mended
from lapwright.proof.runs import Welded
from lapwright.proof.trace import State, Stretch, Trace, trace
from lapwright.record.fact import KINDS, Fact
from lapwright.record.replay import Record

_Thing = TypeVar("_Thing")
_CLOCK_OFF = timedelta(minutes=10)  # two phones may differ by less; our choice


@dataclass(frozen=True)
class Missing:
    """A field that is needed by sign-off and not known yet."""

    fact: Fact
    field: str


@dataclass(frozen=True)
class CrewDay:
    """One day of a job at one moment of it.

    Parameters
    ----------
    day : str
        As ``2026-05-04``.
    at : datetime
        The moment; facts after it do not count.
    standings : tuple of Standing
        Each machine at work, the newest first.
    runs : tuple of Welded
        Of the day.
    stretches : tuple of Stretch
        What the day's runs lie on, as it stands now.
    trace : Trace
        Of the whole job.
    backlog : Backlog
        Unprobed seam of the whole job.
    defects : tuple of Mended
        Open ones of the whole job, then the closed ones.
    joints : tuple of Joint
        T-joints of the whole job.
    unfinished : tuple of Fact
        Test welds of the day that have no verdict yet.
    missing : tuple of Missing
        What sign-off still needs of the day's facts.
    cautions : tuple of Caution
        Doubts about the record itself, and about rules that could not be read.
    """

    day: str
    at: datetime
    standings: tuple[Standing, ...]
    runs: tuple[Welded, ...]
    stretches: tuple[Stretch, ...]
    trace: Trace
    backlog: Backlog
    defects: tuple[Mended, ...]
    joints: tuple[Joint, ...]
    unfinished: tuple[Fact, ...]
    missing: tuple[Missing, ...]
    cautions: tuple[Caution, ...]

    @property
    def welded(self) -> float:
        """Seam that the day's runs lie on top of. [m]"""
        return sum(stretch.span.length for stretch in self.stretches)

    def length(self, state: State) -> float:
        """Seam of the day in a state. [m]"""
        return sum(each.span.length for each in self.stretches if state in each.states)

    @property
    def open_defects(self) -> tuple[Mended, ...]:
        """Defects that nothing closed."""
        return tuple(each for each in self.defects if each.is_open)

    @property
    def open_joints(self) -> tuple[Joint, ...]:
        """T-joints with something left to do."""
        return tuple(each for each in self.joints if each.why_open)

    @property
    def counts(self) -> dict[str, int]:
        """What is open at this moment, to be frozen in a sign-off; feet in whole millimetres."""
        lengths = {state: self.length(state) for state in _SIGNED}
        return {
            "welded_mm": round(1000 * self.welded),
            **{f"{state}_mm": round(1000 * length) for state, length in lengths.items()},
            "running": len(self.trace.running),
            "open_defects": len(self.open_defects),
            "open_joints": len(self.open_joints),
            "unfinished_test_welds": len(self.unfinished),
            "missing_fields": len(self.missing),
        }


_SIGNED: tuple[State, ...] = ("orphan", "stale", "set_aside", "unprobed")


def crew_day(
    record: Record,
    *,
    at: datetime,
    rules: RuleBook,
    day: str | None = None,
    chances: Chances | None = None,
) -> CrewDay:
    """One day as it stood at a moment.

    Parameters
    ----------
    record : Record
        All facts of the job.
    at : datetime
        The moment; a fact that happened later does not count. Aware.
    rules : RuleBook
        The job's, merged with the defaults.
    day : str, optional
        The roof's day at ``at`` unless said.
    chances : Chances, optional
        Of the same record: then a set point that is no longer sound enough asks for a test.

    Notes
    -----
    What is open is open for the whole job, whenever it was found; runs, feet and missing fields
    are the day's.
    """
    days = [day or day_at(at, roof_zone(as_of(record, at)))]
    (found,) = crew_days(record, at=at, rules=rules, days=days, chances=chances)
    return found


def crew_days(
    record: Record,
    *,
    at: datetime,
    rules: RuleBook,
    days: Sequence[str] | None = None,
    chances: Chances | None = None,
) -> tuple[CrewDay, ...]:
    """Several days of a job as they stand at one moment: what is the job's is worked out once.

    Parameters
    ----------
    record, at, rules, chances
        As for :func:`crew_day`.
    days : sequence of str, optional
        Every day with a fact unless said.
    """
    whole, record = record, as_of(record, at)
    welding = Welding(record, rules)
    found = traced(record, rules, welding=welding)
    by_day = _ByDay(record, welding, found)
    first = CrewDay(
        day="",
        at=at,
        standings=tuple(
            welding.standing(
                chain, at=at, p_sound=None if chances is None else chances.now(chain, at=at)
            )
            for chain in welding.current(at=at)
        ),
        runs=(),
        stretches=(),
        trace=found,
        backlog=backlog(found, at=at, rules=rules),
        defects=defects(record, rules=rules),
        joints=joints(record, planned=planned_joints(record)),
        unfinished=(),
        missing=(),
        cautions=(*rules.cautions, *_doubts(whole, record, found, at)),
    )
    named = sorted({fact.day for fact in record}) if days is None else days
    return tuple(replace(first, **by_day.of(day)) for day in named)


class _ByDay:
    """What is a day's own, of every day, in one pass."""

    def __init__(self, record: Record, welding: Welding, found: Trace) -> None:
        self._runs = _grouped(welding.runs, lambda run: run.run.day)
        self._stretches = _grouped(
            (each for each in found if each.run is not None), lambda each: _run_of(each).run.day
        )
        self._unfinished = _grouped(
            (
                weld
                for weld in record.all("test_weld")
                if welding.results.of(weld).verdict == "unfinished"
            ),
            lambda weld: weld.day,
        )
        self._missing = _grouped(_missing(record), lambda each: each.fact.day)

    def of(self, day: str) -> dict[str, Any]:
        """Fields of a day."""
        return {
            "day": day,
            "runs": self._runs.get(day, ()),
            "stretches": self._stretches.get(day, ()),
            "unfinished": self._unfinished.get(day, ()),
            "missing": self._missing.get(day, ()),
        }


def _run_of(stretch: Stretch) -> Welded:
    assert stretch.run is not None
    return stretch.run


def _grouped(
    things: Iterable[_Thing], key: Callable[[_Thing], str]
) -> dict[str, tuple[_Thing, ...]]:
    groups: dict[str, list[_Thing]] = {}
    for thing in things:
        groups.setdefault(key(thing), []).append(thing)
    return {name: tuple(group) for name, group in groups.items()}


def traced(record: Record, rules: RuleBook, *, welding: Welding | None = None) -> Trace:
    """Every foot of the planned and the welded seams, with what was due when.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    rules : RuleBook
        The job's, merged with the defaults.
    welding : Welding, optional
        Of the same record, where it is there already.
    """
    late = (welding or Welding(record, rules)).late()
    return trace(record, seams=planned_seams(record), limits=limits_of(rules), late=late)


def as_of(record: Record, at: datetime) -> Record:
    """The record without what happened later, corrections made later among it."""
    firsts = [held.first for held in record.held.values()]
    if all(fact.moment <= at for fact in firsts):
        return record
    later = {held.fact.id for held in record.held.values() if held.fact.moment > at}
    return Record(fact for fact in firsts if fact.id not in later)


def _missing(record: Record) -> Iterator[Missing]:
    """What sign-off needs of the facts and nobody has said yet."""
    for fact in record:
        for field in KINDS[fact.kind].fields:
            if field.need == "day" and fact[field.name] is None:
                yield Missing(fact, field.name)


def _doubts(whole: Record, now: Record, traced: Trace, at: datetime) -> Iterator[Caution]:
    ahead = sum(1 for fact in whole if fact.moment > at + _CLOCK_OFF)
    if ahead:
        yield Caution("facts_ahead", {"count": str(ahead)})
    if traced.beyond and now.all("plan"):
        yield Caution("seam_beyond_plan", {"seams": ", ".join(traced.beyond)})
