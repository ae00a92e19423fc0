"""P(sound) of a set point in force, by the window behind it and the sheet read since."""

from __future__ import annotations

from datetime import datetime

from lapwright.errors import LapwrightError
from lapwright.job.morning import Morning
from lapwright.job.rules import RuleBook
from lapwright.job.situations import Situations
from lapwright.job.testing import ask
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.runs import Welded
from lapwright.proof.timeline import Timelines
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record


class Chances:
    """Chances of the settings of a record; the window behind each decision is worked out once.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    rules : RuleBook
        The job's, merged with the defaults.
    """

    def __init__(self, record: Record, rules: RuleBook) -> None:
        self._record, self._rules, self._chains = record, rules, Chains(record)
        self._situations = Situations(record, self._chains)
        self._mornings: dict[str, Morning | None] = {}
        self._decisions = Timelines(
            record.all("decision"), key=self._chains.of, moment=lambda fact: fact.moment
        )

    def of_run(self, run: Welded) -> float | None:
        """P(sound) of a run's setting at the sheet read before it.

        None where setting, sheet or test welds are not known, or the sheet lay beyond what the
        tests carry. [-]
        """
        decision = self._record.get(run.run["decision"])
        return None if decision is None else self._chance(decision, run.run, at=run.began)

    def now(self, chain: Chain, *, at: datetime) -> float | None:
        """P(sound) of the set point in force at the sheet read last; None as for a run. [-]"""
        decision = self._decisions[chain].last(at)
        return None if decision is None else self._chance(decision, decision, at=at)

    def _chance(self, decision: Fact, setting: Fact, *, at: datetime) -> float | None:
        conditions = self._situations.conditions_at(at)
        sheet = None if conditions is None else si(conditions["sheet"])
        said = [(si(setting[name]), si(decision[name])) for name in ("air", "speed")]
        air, speed = (decided if own is None else own for own, decided in said)
        if air is None or speed is None or sheet is None:
            return None
        morning = self._morning(decision)
        tested = None if morning is None else morning.soundness.tested
        if morning is None or tested is None or not tested.reaches(speed=speed, sheet=sheet):
            return None
        return float(morning.soundness.at(air, speed=speed, sheet=sheet))

    def _morning(self, decision: Fact) -> Morning | None:
        """The window as the decision saw it; None when its facts make no question."""
        if decision.id not in self._mornings:
            chain, at = self._chains.of(decision), decision.moment
            try:
                asked = ask(self._record, chain, at=at, rules=self._rules)
                self._mornings[decision.id] = Morning(asked.question)
            except LapwrightError:
                self._mornings[decision.id] = None
        return self._mornings[decision.id]
