"""The window as a decision carries it, and whether working it out again gives the same."""

from __future__ import annotations

from dataclasses import dataclass

from lapwright.errors import LapwrightError
from lapwright.job.morning import Morning
from lapwright.window.answer import Question, Verdict
from lapwright.window.edges import Edge

SAME = 0.06  # K; figures are kept to a tenth of a degree, so half of one may be lost


@dataclass(frozen=True)
class Decided:
    """What was known of the window when a set point was decided.

    Parameters
    ----------
    verdict : str
        Of that moment.
    bottom, top : Edge
        Air temperature with 90 % interval. [K]
    p_sound : float or None
        Of the set point that was offered. [-]
    version : str
        Release of lapwright that worked it out; empty when not known.
    question : Question or None
        All that the answer depended on; None where it was not kept whole, as by a phone that
        weighed the strips itself.
    """

    verdict: Verdict
    bottom: Edge
    top: Edge
    p_sound: float | None
    version: str
    question: Question | None


def replayed(decided: Decided) -> Morning | None:
    """The kept question worked out again; None where it gives another answer than was kept.

    Parameters
    ----------
    decided : Decided
        With its question.
    """
    if decided.question is None:
        return None
    try:
        morning = Morning(decided.question)
    except LapwrightError:
        return None
    answer = morning.answer()
    is_same = answer.verdict == decided.verdict and all(
        _near(getattr(now, part), getattr(then, part))
        for now, then in ((answer.bottom, decided.bottom), (answer.top, decided.top))
        for part in ("low", "mid", "high")
    )
    return morning if is_same else None


def _near(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= SAME
