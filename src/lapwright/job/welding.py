"""Runs and stops on seams: what changed since the last pass, so that a test is due in time."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from lapwright.job.change import Event, Known, Trigger, due, out_of_service
from lapwright.job.happened import happenings, stops
from lapwright.job.roofclock import day_at, roof_zone
from lapwright.job.rules import ALWAYS_ON, RuleBook
from lapwright.job.situations import Situations
from lapwright.job.testing import limits_of
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.runs import Welded, welded_runs
from lapwright.proof.timeline import Timeline, Timelines
from lapwright.proof.trace import Late
from lapwright.proof.verdicts import Results, is_trial
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record

_ASK_FOR_A_TEST = ("halt", "due")  # urgencies
_BY_THE_CLOCK = ("time_since_pass", "cold_day")  # triggers that come due while a machine runs


@dataclass(frozen=True)
class Standing:
    """How one chain stands at one moment.

    Parameters
    ----------
    chain : Chain
        Who welds with what.
    at : datetime
        The moment.
    passed : Fact or None
        The last passing test weld that counts; None when there is none.
    known : Known
        What is known since.
    due : tuple of Trigger
        Why a test weld is due, most urgent first; questions and notices are among them.
    set_aside : tuple of (Trigger, Fact)
        Triggers that the foreman put off or overruled, with the fact that says so.
    is_machine_out, is_operator_out : bool
        Failed twice in a row, and not yet passed twice in a row again.
    """

    chain: Chain
    at: datetime
    passed: Fact | None
    known: Known
    due: tuple[Trigger, ...]
    set_aside: tuple[tuple[Trigger, Fact], ...]
    is_machine_out: bool
    is_operator_out: bool

    @property
    def test_again(self) -> Trigger | None:
        """The one reason to show: the most urgent that asks for a test now."""
        return next((t for t in self.due if t.urgency in _ASK_FOR_A_TEST), None)

    @property
    def asks(self) -> tuple[str, ...]:
        """What somebody must say before anybody knows that nothing changed."""
        return next((t.asks for t in self.due if t.name == "not_known"), ())


class Welding:
    """The runs of a record against the rules; each look at it is cheap.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    rules : RuleBook
        The job's, merged with the defaults.
    """

    def __init__(self, record: Record, rules: RuleBook) -> None:
        self.record, self.rules = record, rules
        self.chains = Chains(record)
        self.results = Results(record, limits_of(rules))
        self.runs = welded_runs(record)
        self.situations = Situations(record, self.chains)
        self._zone = roof_zone(record)
        self._happened = Timelines(
            happenings(record, self.chains, self.results, self.runs),
            key=lambda one: one.machine,
            moment=lambda one: one.at,
        )
        self._runs = Timelines(
            self.runs, key=lambda run: self._machine(run.run), moment=lambda run: run.began
        )
        welds = record.all("test_weld")
        passes = [weld for weld in welds if self.results.of(weld).verdict == "passed"]
        self._welds = self._sorted(welds, key=self._machine)
        self._passes = self._sorted(passes, key=self._machine)
        self._passes_of_chain = self._sorted(passes, key=self.chains.of)
        self._passes_of_day = self._sorted(passes, key=lambda f: (self._machine(f), f.day))
        self._decisions = self._sorted(record.all("decision"), key=self.chains.of)
        answers = [event for event in record.all("event") if event["answer"] != "happened"]
        self._answers = self._sorted(answers, key=self._machine)
        self._stops: dict[str, Timeline[tuple[datetime, datetime]]] = {}

    @staticmethod
    def _sorted(facts: Iterable[Fact], *, key: Callable[[Fact], Hashable]) -> Timelines[Fact]:
        return Timelines(facts, key=key, moment=lambda fact: fact.moment)

    def _machine(self, fact: Fact) -> str:
        return self.chains.first(fact["machine"]) or ""

    def current(self, *, at: datetime) -> tuple[Chain, ...]:
        """The chain of each machine at work on the day of ``at``, the newest first."""
        day = day_at(at, self._zone)
        newest: dict[str, tuple[datetime, Chain]] = {}
        for kind in ("test_weld", "decision", "run"):
            for fact in self.record.all(kind):
                if fact.day == day and fact.moment <= at:
                    chain, now = self.chains.of(fact), fact.moment
                    if chain.machine not in newest or newest[chain.machine][0] <= now:
                        newest[chain.machine] = (now, chain)
        return tuple(chain for _, chain in sorted(newest.values(), key=lambda c: c[0])[::-1])

    def standing(self, chain: Chain, *, at: datetime, p_sound: float | None = None) -> Standing:
        """How a chain stands: the last pass, the feet since, and why a test is due.

        Parameters
        ----------
        chain : Chain
            Who welds with what.
        at : datetime
            Later facts do not count. Aware.
        p_sound : float, optional
            P(sound) of the set point under present conditions. [-]

        Notes
        -----
        A chain without a pass of its own is held against the last pass of its machine, so
        that the reason says what changed (another operator, another cord) and not only that
        something did.
        """
        passed = self.last_pass(chain, at=at) or self._passes[chain.machine].last(at)
        known = self.known(chain, passed=passed, at=at, p_sound=p_sound)
        found = due(known, self.rules)
        aside = self._set_aside(chain, passed, at=at)
        return Standing(
            chain=chain,
            at=at,
            passed=passed,
            known=known,
            due=tuple(trigger for trigger in found if trigger.name not in aside),
            set_aside=tuple((t, aside[t.name]) for t in found if t.name in aside),
            is_machine_out=self._is_out("machine", chain.machine, at=at),
            is_operator_out=self._is_out("operator", chain.operator, at=at),
        )

    def last_pass(self, chain: Chain, *, at: datetime) -> Fact | None:
        """The newest passing test weld of the whole chain."""
        return self._passes_of_chain[chain].last(at)

    def _is_out(self, name: str, ref: str, *, at: datetime) -> bool:
        verdicts = [
            self.results.of(weld).verdict
            for weld in self.record.all("test_weld")
            if self.chains.first(weld[name]) == ref and weld.moment <= at and not is_trial(weld)
        ]
        passes = [verdict == "passed" for verdict in verdicts if verdict != "unfinished"]
        return out_of_service(passes, rules=self.rules)

    def known(
        self, chain: Chain, *, passed: Fact | None, at: datetime, p_sound: float | None = None
    ) -> Known:
        """What is known of a chain at a moment, since a passing test weld of its machine.

        Notes
        -----
        Feet that another chain welded with the same machine in between count too. How far a
        run has come is taken from its end by the clock; of one that has not ended nobody
        knows, and it counts for nothing yet.
        """
        since = None if passed is None else passed.moment
        runs = self._runs[chain.machine].between(since, at)
        pairing = runs[-1].run["pairing"] if runs else chain.pairing
        return Known(
            now=self.situations.now(chain, pairing=pairing, at=at),
            passed=None if passed is None else self.situations.of_weld(passed),
            events=tuple(self._events(chain, passed, at=at)),
            since_pass=None if since is None else (at - since).total_seconds(),
            welded=sum(abs(run.station_at(at) - run.first) for run in runs),
            longest_stop=self._longest_stop(chain, runs, since, at=at),
            speed=self._speed(chain, runs, at=at),
            tested_speeds=self._tested_speeds(chain, passed, at=at),
            p_sound=p_sound,
        )

    def _events(self, chain: Chain, passed: Fact | None, *, at: datetime) -> Iterator[Event]:
        since = None if passed is None else passed.moment
        if passed is not None and passed.day != day_at(at, self._zone):
            yield "shift_start"
        for one in self._happened[chain.machine].between(since, at):
            yield one.event
        between = self.situations.conditions.between(since, at)
        if any(fact["dry"] is False for fact in between):
            yield "wet"

    def _longest_stop(
        self, chain: Chain, runs: list[Welded], since: datetime | None, *, at: datetime
    ) -> float:
        """Longest time the machine stood; the last stop lasts as long as nothing follows it. [s]"""
        ended = [run.ended for run in runs if run.end is not None and run.ended <= at]
        if since is None or not ended:
            return 0.0
        stood = [
            (min(end, at) - begin).total_seconds()
            for begin, end in self._stops_of(chain.machine).between(since, at)
        ]
        is_running = any(run.end is None or run.ended > at for run in runs[-1:])
        last = 0.0 if is_running else (at - max(ended)).total_seconds()
        return max([last, *stood])

    def _stops_of(self, machine: str) -> Timeline[tuple[datetime, datetime]]:
        if machine not in self._stops:
            stood = stops(self._runs[machine], self._welds[machine])
            self._stops[machine] = Timeline(stood, moment=lambda stop: stop[0])
        return self._stops[machine]

    def _speed(self, chain: Chain, runs: list[Welded], *, at: datetime) -> float | None:
        """Speed of the newest run: as said of it, else as decided for it or for the chain. [m/s]"""
        run = runs[-1].run if runs else None
        said = None if run is None else si(run["speed"])
        if said is not None:
            return said
        decided = None if run is None else self.record.get(run["decision"])
        decision = decided or self._decisions[chain].last(at)
        return None if decision is None else si(decision["speed"])

    def _tested_speeds(
        self, chain: Chain, passed: Fact | None, *, at: datetime
    ) -> tuple[float, float] | None:
        """Slowest and fastest of the passing test welds on the day of the last one. [m/s]"""
        if passed is None:
            return None
        passes = self._passes_of_day[chain.machine, passed.day].between(None, at)
        said = [si(weld["measured_speed"] or weld["speed"]) for weld in passes]
        speeds = [speed for speed in said if speed is not None]
        return (min(speeds), max(speeds)) if speeds else None

    def _set_aside(self, chain: Chain, passed: Fact | None, *, at: datetime) -> dict[str, Fact]:
        """Triggers that were put off or overruled since the pass and have not come anew."""
        aside: dict[str, Fact] = {}
        since = None if passed is None else passed.moment
        for answer in self._answers[chain.machine].between(since, at):
            name, until = answer["trigger"], answer["until"]
            is_over = until is not None and datetime.fromisoformat(until) <= at
            if not is_over and name not in ALWAYS_ON:
                aside[name] = answer
        for one in self._happened[chain.machine].between(since, at):
            if one.event in aside and one.at > aside[one.event].moment:
                del aside[one.event]
        return aside

    # --- looking back -------------------------------------------------------------------------

    def late(self) -> dict[str, tuple[Late, ...]]:
        """Feet welded after a test weld was due, by the run's id.

        Notes
        -----
        A run whose chain never passed is not late: nothing stands behind it at all.
        """
        found = {run.run.id: tuple(self._late(run)) for run in self.runs}
        return {run: late for run, late in found.items() if late}

    def _late(self, run: Welded) -> Iterator[Late]:
        """The first moment at which a test was due; if all was set aside, the first after it."""
        chain = self.chains.of(run.run)
        passed = self.last_pass(chain, at=run.began)
        if passed is None:
            return
        is_told = False
        for at in self._moments_to_ask(run, chain, passed):
            known = self.known(chain, passed=passed, at=at)
            names = tuple(t.name for t in due(known, self.rules) if t.urgency in _ASK_FOR_A_TEST)
            aside = self._set_aside(chain, passed, at=at)
            open_ = tuple(name for name in names if name not in aside)
            if open_:
                yield Late(at, open_, is_set_aside=False)
                return
            if names and not is_told:
                yield Late(at, names, is_set_aside=True)
                is_told = True

    def _moments_to_ask(self, run: Welded, chain: Chain, passed: Fact) -> list[datetime]:
        """Moments of a run at which anything may come due, in order."""
        moments = {run.began}
        happened = self._happened[chain.machine].between(run.began, run.ended)
        moments |= {one.at for one in happened}
        read = self.situations.conditions.between(run.began, run.ended)
        moments |= {conditions.moment for conditions in read}
        for name in _BY_THE_CLOCK:
            limit = self.rules.limit(name)
            if limit is not None and math.isfinite(limit):
                moments.add(passed.moment + timedelta(seconds=limit))
        return sorted(moment for moment in moments if run.began <= moment <= run.ended)
