"""What clean cuts, strips and probed feet prove, by exact one-sided limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.optimize import brentq

from lapwright.counts import CONFIDENCE, bad_share_limit, rate_limit
from lapwright.errors import LapwrightError, OutOfRange


@dataclass(frozen=True)
class Group:
    """Seam that belongs together: one seam, machine, operator, or hand against automatic.

    Parameters
    ----------
    name : str
        As the crew calls it.
    taken, bad : int
        Cuts or strips pulled, and the bad ones among them.
    length : float
        Seam the group stands for, above zero. [m]
    """

    name: str
    taken: int
    bad: int
    length: float


def bad_places_limit(bad: int, *, of: int, places: int, confidence: float = CONFIDENCE) -> int:
    """Bad ones that may still be among a known number of places, looked-at ones included.

    Parameters
    ----------
    bad, of : int
        Bad ones, and all that were looked at.
    places : int
        All there are, for example the T-joints of a roof.
    confidence : float
        One-sided, between 0 and 1. [-]

    Returns
    -------
    int
        Exact upper limit.

    Raises
    ------
    OutOfRange
        ``bad`` is not within 0 to ``of``, or ``of`` is more than ``places``.

    Notes
    -----
    Places looked at are not looked at twice (hypergeometric), so the limit falls to
    ``bad`` once all have been seen; the limit of :func:`lapwright.counts.bad_share_limit`
    never does.

    References
    ----------
    Inverting the exact test; Wright, Exact Confidence Bounds when Sampling from Small
    Finite Universes, 1991, from memory.

    Examples
    --------
    20 clean of 272 T-joints, then all of them:

    >>> bad_places_limit(0, of=20, places=272), bad_places_limit(0, of=272, places=272)
    (36, 0)
    """
    from scipy.stats import hypergeom

    if not 0 <= bad <= of:
        raise OutOfRange("bad", bad, above=-1, below=of + 1)
    if of > places:
        raise LapwrightError("more_than_places", taken=of, places=places)
    low, high = bad, places - (of - bad)
    while low < high:  # the chance to see so few falls as more are bad
        middle = (low + high + 1) // 2
        if hypergeom.cdf(bad, places, middle, of) > 1 - confidence:
            low = middle
        else:
            high = middle - 1
    return low


def bad_seam_limit(groups: Sequence[Group], *, confidence: float = CONFIDENCE) -> float:
    """Share of all seam that may be bad, from groups that were looked at unequally.

    Parameters
    ----------
    groups : sequence of Group
        At least one; a group never looked at may be bad throughout.
    confidence : float
        One-sided, between 0 and 1; of the whole, not of each group. [-]

    Returns
    -------
    float
        Upper limit. [-]

    Raises
    ------
    LapwrightError
        ``no_groups``.
    OutOfRange
        A length is not above zero, or more bad than taken.

    Notes
    -----
    With nothing bad the limit is exact: the largest bad share under which seeing nothing
    bad is still as likely as 1 - ``confidence``. With bad ones each group bears an equal part of
    the risk to be wrong (Bonferroni), which is on the safe side. Both together keep the
    risk: wherever a group's own limit fails, it fails with no bad cut too. Pooling the
    counts of groups cut at unequal rates would not keep it.

    References
    ----------
    Buehler, Journal of the American Statistical Association 52, 1957, from memory.

    Examples
    --------
    Twice 10 clean cuts from halves of a roof prove as much as 20; 20 from one half do not:

    >>> even = [Group("A", 10, 0, 100.0), Group("B", 10, 0, 100.0)]
    >>> lame = [Group("A", 20, 0, 100.0), Group("B", 0, 0, 100.0)]
    >>> round(bad_seam_limit(even), 3), round(bad_seam_limit(lame), 3)
    (0.139, 0.57)
    """
    if not groups:
        raise LapwrightError("no_groups")
    for group in groups:
        if not group.length > 0:
            raise OutOfRange("seam", group.length, above=0.0)
    whole = sum(group.length for group in groups)
    if any(group.bad for group in groups):
        part = 1 - (1 - confidence) / len(groups)
        return sum(
            group.length / whole * bad_share_limit(group.bad, of=group.taken, confidence=part)
            for group in groups
        )
    return _all_clean(groups, whole, confidence)


def _all_clean(groups: Sequence[Group], whole: float, confidence: float) -> float:
    # Most bad seam for a given chance to see nothing bad: in each group the sound share is
    # min(1, c taken / length) with one c for all (Lagrange), and c makes up the chance.
    unseen = sum(group.length for group in groups if not group.taken) / whole
    rates = [(group.taken, group.taken / group.length) for group in groups if group.taken]
    if not rates:
        return 1.0

    def surplus(log_c: float) -> float:
        chance = sum(taken * min(0.0, log_c + math.log(rate)) for taken, rate in rates)
        return chance - math.log(1 - confidence)

    top = -math.log(min(rate for _, rate in rates))  # here every share is sound
    # One cut in one group has its root at the end of the bracket: leave rounding some room.
    low = math.log(1 - confidence) - math.log(max(rate for _, rate in rates)) - 1.0
    log_c = brentq(surplus, low, top)
    bad = sum(
        group.length / whole * (1 - min(1.0, math.exp(log_c) * group.taken / group.length))
        for group in groups
        if group.taken
    )
    return float(unseen + bad)


def void_rate_limit(
    found: int, *, length: float, noticed: float = 1.0, confidence: float = CONFIDENCE
) -> float:
    """Voids per metre that a probed seam may still have held before repair.

    Parameters
    ----------
    found : int
        Voids found.
    length : float
        Seam probed, above zero. [m]
    noticed : float
        Share of voids that the prober notices, above 0 and up to 1; nobody knows it without
        blind trials, so ask. [-]
    confidence : float
        One-sided, between 0 and 1. [-]

    Returns
    -------
    float
        Upper limit. [1/m]

    Raises
    ------
    OutOfRange
        ``noticed`` is outside its range; or as :func:`lapwright.counts.rate_limit`.

    Notes
    -----
    Says nothing of bond: a lip can be shut and the weld false. Cuts and probing are two
    answers and are never added up.

    References
    ----------
    A random share of a Poisson count is a Poisson count: exact.

    Examples
    --------
    5,000 ft without a void; the same if one void in five is missed:

    >>> round(void_rate_limit(0, length=1524.0) * 304.8, 2)
    0.6
    >>> round(void_rate_limit(0, length=1524.0, noticed=0.8) * 304.8, 2)
    0.75
    """
    if not 0 < noticed <= 1:
        raise OutOfRange("noticed", noticed, above=0.0, below=1.0)
    return rate_limit(found, length=length, confidence=confidence) / noticed


def cuts_needed(share: float, *, allowed: int = 0, confidence: float = CONFIDENCE) -> int:
    """Cuts to take so that no more than ``allowed`` bad ones prove a share.

    Parameters
    ----------
    share : float
        Bad share to be ruled out, between 0 and 1. [-]
    allowed : int
        Bad ones that may be among them.
    confidence : float
        One-sided, between 0 and 1. [-]

    Returns
    -------
    int

    Raises
    ------
    OutOfRange
        ``share`` is not between 0 and 1.

    Notes
    -----
    The inverse of :func:`lapwright.counts.bad_share_limit`.

    References
    ----------
    Clopper and Pearson, Biometrika 26, 1934.

    Examples
    --------
    >>> cuts_needed(0.05), cuts_needed(0.01)
    (59, 299)
    """
    if not 0 < share < 1:
        raise OutOfRange("share", share, above=0.0, below=1.0)
    enough = allowed + 1
    while bad_share_limit(allowed, of=enough, confidence=confidence) > share:
        enough *= 2
    low, high = enough // 2, enough
    while high - low > 1:
        middle = (low + high) // 2
        if bad_share_limit(min(allowed, middle), of=middle, confidence=confidence) > share:
            low = middle
        else:
            high = middle
    return high
