"""Questions about cuts and probing, answered by counting: what is proved, what to take."""

from __future__ import annotations

from dataclasses import dataclass

from lapwright.cautions import Caution
from lapwright.counts import CONFIDENCE, bad_share_limit
from lapwright.proof.cuts import (
    Group,
    bad_places_limit,
    bad_seam_limit,
    cuts_needed,
    void_rate_limit,
)
from lapwright.proof.sampling import CutPlan, hit_chance, smallest_plan

STRETCH = 15.24  # m; 50 ft, as the reach of a cluster of voids; our choice
_TARGETS = (0.10, 0.05, 0.01)  # bad shares that "cuts needed" is told for
_CURVE = (0.01, 0.02, 0.05, 0.10, 0.20, 0.30)  # bad shares at which a plan is shown


@dataclass(frozen=True)
class Asked:
    """Questions; what is None or empty is not asked.

    Parameters
    ----------
    taken, bad, places : int, optional
        Looked at, bad ones among them, and all there are.
    groups : tuple of Group
        Seam looked at unequally.
    probed, voids, noticed : float, int, float
        Seam probed [m], voids found on it, share of voids that the prober notices.
    good, poor : float, optional
        Bad shares that a plan is to tell apart.
    spacing, stretch : float, optional
        From one cut to the next, and length of a bad stretch. [m]
    sure : float
        One-sided confidence.
    """

    taken: int | None = None
    bad: int = 0
    places: int | None = None
    groups: tuple[Group, ...] = ()
    probed: float | None = None
    voids: int = 0
    noticed: float = 1.0
    good: float | None = None
    poor: float | None = None
    spacing: float | None = None
    stretch: float = STRETCH
    sure: float = CONFIDENCE


@dataclass(frozen=True)
class Answers:
    """What counting says, question by question; None where not asked.

    Parameters
    ----------
    asked : Asked
        The questions.
    share, places : float, int, optional
        Bad share still possible; with all places known, how many of them.
    needed : tuple of (float, int)
        For a bad share, the cuts that rule it out when none is bad.
    groups : tuple of (Group, float)
        Each with the bad share still possible in it alone.
    seam : float, optional
        Bad share still possible of all groups together.
    rate : float, optional
        Voids still possible. [1/m]
    plan : CutPlan, optional
        Fewest cuts.
    curve : tuple of (float, float)
        For a bad share, the chance that the plan accepts.
    hit : float, optional
        Chance that spaced cuts hit the bad stretch.
    cautions : tuple of Caution
        What counting does not say.
    """

    asked: Asked
    share: float | None
    places: int | None
    needed: tuple[tuple[float, int], ...]
    groups: tuple[tuple[Group, float], ...]
    seam: float | None
    rate: float | None
    plan: CutPlan | None
    curve: tuple[tuple[float, float], ...]
    hit: float | None
    cautions: tuple[Caution, ...]


def prove(asked: Asked) -> Answers:
    """Answers to all that is asked.

    Raises
    ------
    LapwrightError, OutOfRange
        As the functions of ``proof.cuts`` and ``proof.sampling``: counts that cannot be,
        shares the wrong way round.

    Notes
    -----
    Cuts and probing stay two answers: a probe finds open lips, a cut finds bond.
    """
    share = places = None
    needed: tuple[tuple[float, int], ...] = ()
    if asked.taken is not None and asked.places is not None:
        places = bad_places_limit(
            asked.bad, of=asked.taken, places=asked.places, confidence=asked.sure
        )
    elif asked.taken is not None:
        share = bad_share_limit(asked.bad, of=asked.taken, confidence=asked.sure)
        needed = tuple((each, cuts_needed(each, confidence=asked.sure)) for each in _TARGETS)
    plan = None
    if asked.good is not None and asked.poor is not None:
        plan = smallest_plan(good=asked.good, poor=asked.poor, places=asked.places)
    return Answers(
        asked=asked,
        share=share,
        places=places,
        needed=needed,
        groups=tuple(
            (group, bad_share_limit(group.bad, of=group.taken, confidence=asked.sure))
            for group in asked.groups
        ),
        seam=bad_seam_limit(asked.groups, confidence=asked.sure) if asked.groups else None,
        rate=None if asked.probed is None else _rate(asked, asked.probed),
        plan=plan,
        curve=() if plan is None else _curve(plan, asked),
        hit=None if asked.spacing is None else hit_chance(asked.stretch, spacing=asked.spacing),
        cautions=_cautions(asked),
    )


def _rate(asked: Asked, probed: float) -> float:
    return void_rate_limit(asked.voids, length=probed, noticed=asked.noticed, confidence=asked.sure)


def _curve(plan: CutPlan, asked: Asked) -> tuple[tuple[float, float], ...]:
    shares = {*_CURVE, asked.good, asked.poor}
    return tuple((share, plan.accepts(share)) for share in sorted(s for s in shares if s))


def _cautions(asked: Asked) -> tuple[Caution, ...]:
    counts = asked.taken is not None or bool(asked.groups) or asked.good is not None
    takes = asked.good is not None or asked.spacing is not None
    codes = {
        "counts_in_stretches": counts,
        "probing_is_not_bond": asked.probed is not None,
        "cuts_hurt": takes,
    }
    return tuple(Caution(code) for code, holds in codes.items() if holds)
