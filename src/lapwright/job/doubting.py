"""How likely doubtful feet are bad, by the window of their morning and the sky they met."""

from __future__ import annotations

from dataclasses import dataclass

from lapwright.job.chances import Chances
from lapwright.job.rules import RuleBook
from lapwright.proof.runs import Welded
from lapwright.proof.suspect import SuspectSpan, Suspicion
from lapwright.record.replay import Record


@dataclass(frozen=True)
class Doubted:
    """Suspect feet and their chance.

    Parameters
    ----------
    suspect : SuspectSpan
        The feet.
    p_bad : float or None
        P(not sound) at the run's setting in the weather it met; None where setting, sheet or
        test welds are not known, or the weather lay beyond what the tests carry. [-]
    """

    suspect: SuspectSpan
    p_bad: float | None


def doubted(record: Record, suspicion: Suspicion, *, rules: RuleBook) -> tuple[Doubted, ...]:
    """Suspect feet with their chance of being bad, the worst first, unknown ones last.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    suspicion : Suspicion
        The doubt.
    rules : RuleBook
        The job's, merged with the defaults.

    Notes
    -----
    The chance is that of the window before the failure was known, so it ranks feet against each
    other and proves none of them sound.
    """
    chances = Chances(record, rules)
    found = [Doubted(each, _p_bad(chances, each.run)) for each in suspicion.spans]
    return tuple(sorted(found, key=lambda each: (each.p_bad is None, -(each.p_bad or 0.0))))


def _p_bad(chances: Chances, run: Welded) -> float | None:
    p_sound = chances.of_run(run)
    return None if p_sound is None else 1.0 - p_sound
