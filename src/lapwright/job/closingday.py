"""One day for its paper: each chain with test welds, set points and runs; then all other facts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lapwright.job.crewday import CrewDay
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.runs import Welded
from lapwright.proof.verdicts import Limits, Result, Results
from lapwright.record.fact import Fact
from lapwright.record.replay import Record, by_field


@dataclass(frozen=True)
class Tested:
    """A test weld or a cut, and what its strips and looks say.

    Parameters
    ----------
    fact : Fact
        The test weld or cut.
    result : Result
        Its verdict.
    strips : tuple of Fact
        All that were graded, second looks among them, by number.
    looks : tuple of Fact
        At it while hot.
    pulls : tuple of Fact
        Traces of a force gauge, of its strips.
    """

    fact: Fact
    result: Result
    strips: tuple[Fact, ...]
    looks: tuple[Fact, ...]
    pulls: tuple[Fact, ...]


class Tester:
    """Test welds and cuts of a record with all that hangs on them.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    limits : Limits
        What the rules ask of strips.
    """

    def __init__(self, record: Record, limits: Limits) -> None:
        self._results = Results(record, limits)
        self._strips = by_field(record.all("strip"), "of")
        self._pulls = by_field(record.all("peel_trace"), "strip")

    def of(self, weld: Fact) -> Tested:
        """A test weld or a cut."""
        strips = sorted(
            self._strips.get(weld.id, ()), key=lambda one: (len(one["number"]), one["number"])
        )
        return Tested(
            fact=weld,
            result=self._results.of(weld),
            strips=tuple(strips),
            looks=tuple(self._results.looks(weld)),
            pulls=tuple(pull for strip in strips for pull in self._pulls.get(strip.id, ())),
        )


@dataclass(frozen=True)
class ChainDay:
    """What one machine, operator, power and pairing did on one day.

    Parameters
    ----------
    chain : Chain
        Who welded with what.
    tested : tuple of Tested
        Test welds, by time.
    decisions : tuple of Fact
        Set points, by time.
    runs : tuple of Welded
        On the roof, by time.
    """

    chain: Chain
    tested: tuple[Tested, ...]
    decisions: tuple[Fact, ...]
    runs: tuple[Welded, ...]

    @property
    def length(self) -> float:
        """Seam run over, what a later run covers counted too. [m]"""
        return sum(run.length for run in self.runs)


@dataclass(frozen=True)
class ClosedDay:
    """One day.

    Parameters
    ----------
    work : CrewDay
        Its feet, and what lacks.
    chains : tuple of ChainDay
        In the order they began.
    cuts : tuple of Tested
        Taken that day.
    facts : mapping
        All facts of the day by kind, by time.
    """

    work: CrewDay
    chains: tuple[ChainDay, ...]
    cuts: tuple[Tested, ...]
    facts: Mapping[str, tuple[Fact, ...]]

    def all(self, kind: str) -> tuple[Fact, ...]:
        """The day's facts of a kind."""
        return self.facts.get(kind, ())


def closed_days(record: Record, works: Sequence[CrewDay], tester: Tester) -> tuple[ClosedDay, ...]:
    """Days with what each chain did.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    works : sequence of CrewDay
        The days.
    tester : Tester
        Of the same record.
    """
    chains = Chains(record)
    facts: dict[str, dict[str, list[Fact]]] = {work.day: {} for work in works}
    for fact in sorted(record, key=lambda one: (one.moment, one.id)):
        if fact.day in facts:
            facts[fact.day].setdefault(fact.kind, []).append(fact)
    return tuple(
        ClosedDay(
            work=work,
            chains=tuple(_chain_days(work, facts[work.day], chains, tester)),
            cuts=tuple(tester.of(cut) for cut in facts[work.day].get("cut", ())),
            facts={kind: tuple(found) for kind, found in facts[work.day].items()},
        )
        for work in works
    )


def _chain_days(
    work: CrewDay, facts: Mapping[str, Sequence[Fact]], chains: Chains, tester: Tester
) -> Iterable[ChainDay]:
    found: dict[Chain, tuple[list[Tested], list[Fact], list[Welded]]] = {}
    for weld in facts.get("test_weld", ()):
        found.setdefault(chains.of(weld), ([], [], []))[0].append(tester.of(weld))
    for decision in facts.get("decision", ()):
        found.setdefault(chains.of(decision), ([], [], []))[1].append(decision)
    for run in work.runs:
        found.setdefault(chains.of(run.run), ([], [], []))[2].append(run)
    for chain, (tested, decisions, runs) in found.items():
        yield ChainDay(chain, tuple(tested), tuple(decisions), tuple(runs))
