"""How many cuts to take, and what such a plan lets through: plans and operating curves."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import bdtr

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.proof.control import Kind, high_count


@dataclass(frozen=True)
class CutPlan:
    """Take so many cuts, accept the seam with no more than so many bad.

    Parameters
    ----------
    taken, allowed : int
        Cuts, and bad ones at which the seam is still accepted.
    places : int, optional
        All places there are, when they can be counted; else the seam is taken for endless.
    """

    taken: int
    allowed: int
    places: int | None = None

    def accepts(self, share: float) -> float:
        """Chance that the plan accepts seam with this bad share: one point of its curve.

        Parameters
        ----------
        share : float
            Bad share, 0 to 1; with ``places`` rounded to whole places. [-]

        Returns
        -------
        float
            Binomial, with ``places`` hypergeometric. [-]

        Raises
        ------
        OutOfRange
            ``share`` is not within 0 to 1.

        Notes
        -----
        Takes places for chosen at random. Welds fail in stretches: see
        :func:`hit_chance` for what even spacing finds of one.

        References
        ----------
        NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.

        Examples
        --------
        >>> round(CutPlan(52, 3).accepts(0.05), 3)
        0.738
        """
        if not 0 <= share <= 1:
            raise OutOfRange("share", share, above=0.0, below=1.0)
        return _chance(self, share if self.places is None else share * self.places)


def smallest_plan(
    *,
    good: float,
    poor: float,
    good_risk: float = 0.05,
    poor_risk: float = 0.1,
    places: int | None = None,
) -> CutPlan:
    """Fewest cuts that accept good seam and refuse poor seam, each but for a risk.

    Parameters
    ----------
    good, poor : float
        Bad shares of seam that should pass and of seam that should not, good below poor. [-]
    good_risk, poor_risk : float
        Chance to refuse good seam and to accept poor seam; the defaults are common practice,
        no source. [-]
    places : int, optional
        All places there are, when they can be counted.

    Returns
    -------
    CutPlan

    Raises
    ------
    LapwrightError
        ``good_not_below_poor``; ``too_few_places`` when both shares round to the same
        number of bad places.
    OutOfRange
        A share or risk is not between 0 and 1.

    Notes
    -----
    For each number of bad ones allowed, the fewest cuts that guard against poor seam; the
    first that also spares good seam.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2.

    Examples
    --------
    >>> smallest_plan(good=0.01, poor=0.1)
    CutPlan(taken=52, allowed=2, places=None)
    """
    for value in (good, poor, good_risk, poor_risk):
        if not 0 < value < 1:
            raise OutOfRange("share", value, above=0.0, below=1.0)
    if good >= poor:
        raise LapwrightError("good_not_below_poor", good=good, poor=poor)
    spared, guarded = good, poor
    if places is not None:  # whole places, as the curve of the plan rounds them
        spared, guarded = round(good * places), round(poor * places)
        if spared == guarded:
            raise LapwrightError("too_few_places", places=places)
    allowed = 0
    plan = _guarding(allowed, guarded, poor_risk, places)
    while plan is None or _chance(plan, spared) < 1 - good_risk:
        allowed += 1
        plan = _guarding(allowed, guarded, poor_risk, places)
    return plan


def _chance(plan: CutPlan, bad: float) -> float:
    """Chance to accept; ``bad`` is a share, or with places a number of them."""
    if plan.places is None:
        return float(bdtr(plan.allowed, plan.taken, bad))
    from scipy.stats import hypergeom

    return float(hypergeom.cdf(plan.allowed, plan.places, round(bad), plan.taken))


def _guarding(allowed: int, poor: float, risk: float, places: int | None) -> CutPlan | None:
    """Fewest cuts that accept poor seam at the risk at most; None if all places are too few."""
    most = math.inf if places is None else places
    low, high = allowed, allowed + 1
    while high < most and _chance(CutPlan(high, allowed, places), poor) > risk:
        low, high = high, int(min(2 * high, most))
    if high > most or _chance(CutPlan(high, allowed, places), poor) > risk:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        is_weak = _chance(CutPlan(middle, allowed, places), poor) > risk
        low, high = (middle, high) if is_weak else (low, middle)
    return CutPlan(high, allowed, places)


def hit_chance(stretch: float, *, spacing: float) -> float:
    """Chance that cuts at even spacing from a random start hit one bad stretch.

    Parameters
    ----------
    stretch, spacing : float
        Length of the bad stretch, and from one cut to the next, both above zero. [m]

    Returns
    -------
    float
        At most 1. [-]

    Raises
    ------
    OutOfRange
        A length is not above zero.

    Notes
    -----
    A stretch near the end of a seam is hit less often.

    References
    ----------
    Geometry: exact.

    Examples
    --------
    A cut every 500 ft and 50 ft of bad seam:

    >>> round(hit_chance(15.24, spacing=152.4), 2)
    0.1
    """
    for length in (stretch, spacing):
        if not length > 0:
            raise OutOfRange("seam", length, above=0.0)
    return min(1.0, stretch / spacing)


def even_places(length: float, *, spacing: float, first: float) -> tuple[float, ...]:
    """Stations of cuts at fixed spacing.

    Parameters
    ----------
    length : float
        Of the seam, above zero. [m]
    spacing : float
        From one cut to the next, above zero. [m]
    first : float
        Station of the first cut, drawn by lot between 0 and ``spacing``: whoever knows the
        place beforehand welds it with care. [m]

    Returns
    -------
    tuple of float
        Perhaps none. [m]

    Raises
    ------
    OutOfRange
        ``spacing`` is not above zero, or ``first`` not within 0 to ``spacing``.

    Notes
    -----
    Fixed spacing misses what repeats at the same spacing.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> even_places(100.0, spacing=40.0, first=15.0)
    (15.0, 55.0, 95.0)
    """
    if not spacing > 0:
        raise OutOfRange("seam", spacing, above=0.0)
    if not 0 <= first <= spacing:
        raise OutOfRange("seam", first, above=0.0, below=spacing)
    return tuple(float(place) for place in np.arange(first, length, spacing))


@dataclass(frozen=True)
class SpacingRule:
    """After each batch of cuts the spacing is widened, kept or tightened.

    Parameters
    ----------
    batch : int
        Cuts that are judged together.
    widen_at_most : int
        Bad ones up to which the next batch may be spaced wider; -1 is never.
    tighten_above : int
        Bad ones beyond which it must be spaced closer.
    """

    batch: int
    widen_at_most: int
    tighten_above: int

    def chances(self, share: float) -> tuple[float, float, float]:
        """Chance to widen, keep and tighten at a bad share: the rule's operating curve.

        Parameters
        ----------
        share : float
            Bad share, 0 to 1. [-]

        Returns
        -------
        tuple of float
            Together 1. [-]

        Notes
        -----
        Binomial, as :meth:`CutPlan.accepts`.

        References
        ----------
        Exact.

        Examples
        --------
        >>> [round(chance, 2) for chance in SpacingRule(20, 0, 2).chances(0.05)]
        [0.36, 0.57, 0.08]
        """
        widen = float(bdtr(self.widen_at_most, self.batch, share)) if self.widen_at_most >= 0 else 0
        tighten = 1 - float(bdtr(self.tighten_above, self.batch, share))
        return widen, 1 - widen - tighten, tighten


def attributes_rule(
    batch: int, *, good: float, poor: float, good_risk: float = 0.05, poor_risk: float = 0.1
) -> SpacingRule:
    """Spacing by attributes: poor seam rarely earns wider cuts, good seam rarely closer ones.

    Parameters
    ----------
    batch : int
        Cuts judged together, 1 or more.
    good, poor : float
        Bad shares, good below poor. [-]
    good_risk, poor_risk : float
        Chance to tighten on good seam, and to widen on poor seam. [-]

    Returns
    -------
    SpacingRule
        Never widens if the batch is too small to tell.

    Raises
    ------
    LapwrightError
        ``good_not_below_poor``.

    Notes
    -----
    Counts of bad ones are whole, so the risks stay below what was asked.

    References
    ----------
    That the lining trade varies its cut spacing by attributes: from memory; the rule here
    is our own.

    Examples
    --------
    >>> attributes_rule(20, good=0.02, poor=0.15)
    SpacingRule(batch=20, widen_at_most=0, tighten_above=2)
    """
    if not 0 < good < poor < 1:
        raise LapwrightError("good_not_below_poor", good=good, poor=poor)
    counts = np.arange(batch + 1)
    widen = int((bdtr(counts, batch, poor) <= poor_risk).sum()) - 1
    tighten = int((1 - bdtr(counts, batch, good) > good_risk).sum())
    return SpacingRule(batch, min(widen, tighten), tighten)


def chart_rule(batch: int, *, expected: float) -> SpacingRule:
    """Spacing by control chart: closer above the upper limit, wider at or below the centre.

    Parameters
    ----------
    batch : int
        Cuts judged together, 1 or more.
    expected : float
        Bad share the crew has shown so far, between 0 and 1. [-]

    Returns
    -------
    SpacingRule

    Raises
    ------
    OutOfRange
        ``expected`` is not between 0 and 1.

    Notes
    -----
    Guards against change, not against a bad start: a crew that always had one bad in five
    keeps its spacing.

    References
    ----------
    That the lining trade varies its cut spacing by control chart: from memory; the rule
    here is our own.

    Examples
    --------
    >>> chart_rule(20, expected=0.04)
    SpacingRule(batch=20, widen_at_most=0, tighten_above=4)
    """
    if not 0 < expected < 1:
        raise OutOfRange("share", expected, above=0.0, below=1.0)
    kind: Kind = "share"
    return SpacingRule(
        batch, math.floor(expected * batch), high_count(expected, size=batch, kind=kind)
    )
