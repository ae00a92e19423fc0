"""Two operators, machines or seams side by side: is there a difference at all?

Always two, each with its uncertainty, and "cannot tell" is an answer. There is no ranking
of more: sort a crew by its figures and luck decides who is last.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lapwright.errors import OutOfRange
from lapwright.proof.control import Stretch, centre_of

CONFIDENCE = 0.95  # -; two-sided; common practice, no source


@dataclass(frozen=True)
class Comparison:
    """The first against the second.

    Parameters
    ----------
    first, second : float
        Bad share, or voids per metre, of each.
    low, high : float
        Where the true difference (shares) or ratio (rates) may lie; ``inf`` is open.
    p : float
        Chance of counts at least so far apart if there were no difference. [-]
    is_apart : bool
        Whether no difference lies outside ``low`` to ``high``.
    """

    first: float
    second: float
    low: float
    high: float
    p: float
    is_apart: bool


def compare_rates(first: Stretch, second: Stretch, *, confidence: float = CONFIDENCE) -> Comparison:
    """Voids per metre of two: the ratio, first over second.

    Parameters
    ----------
    first, second : Stretch
        Voids found and seam probed by or behind each. [m]
    confidence : float
        Two-sided, between 0 and 1. [-]

    Returns
    -------
    Comparison
        Ratio; exact limits.

    Raises
    ------
    OutOfRange
        A size is not above zero.

    Notes
    -----
    Given the sum of both counts, the first is binomial (conditional test). Says nothing of
    why: sheet, weather and place are part of both.

    References
    ----------
    Przyborowski and Wilenski, Biometrika 31, 1940; Clopper and Pearson, Biometrika 26, 1934.

    Examples
    --------
    Three voids on 800 ft against one on 900 ft:

    >>> found = compare_rates(Stretch(3, 243.84), Stretch(1, 274.32))
    >>> found.is_apart, round(found.p, 2)
    (False, 0.54)
    """
    rates = centre_of([first]), centre_of([second])
    found = first.found + second.found
    if not found:
        return Comparison(*rates, 0.0, math.inf, 1.0, is_apart=False)
    from scipy.stats import binom, binomtest

    share = first.size / (first.size + second.size)
    interval = binomtest(first.found, found).proportion_ci(confidence, method="exact")
    low, high = (
        math.inf if end == 1 else end / (1 - end) * second.size / first.size
        for end in (interval.low, interval.high)
    )
    below = float(binom.cdf(first.found, found, share))
    above = float(binom.sf(first.found - 1, found, share))
    p = min(1.0, 2 * min(below, above))  # agrees with the limits, as the exact p of others may not
    return Comparison(*rates, low, high, p, is_apart=not low <= 1 <= high)


def compare_shares(
    first: Stretch, second: Stretch, *, confidence: float = CONFIDENCE
) -> Comparison:
    """Bad shares of two: the difference, first less second.

    Parameters
    ----------
    first, second : Stretch
        Bad strips and strips pulled of each.
    confidence : float
        Two-sided, between 0 and 1. [-]

    Returns
    -------
    Comparison
        Difference; limits by Newcombe's method 10, p by Fisher.

    Raises
    ------
    OutOfRange
        More bad strips than strips, or a size is not above zero.

    Notes
    -----
    The limits join Wilson's limits of each share; they cover at about their rate even for
    few strips, and stay within -1 to 1.

    References
    ----------
    Newcombe, Statistics in Medicine 17, 1998, 873-890, method 10; Fisher's exact test.

    Examples
    --------
    Two bad of 20 against none of 20:

    >>> found = compare_shares(Stretch(2, 20), Stretch(0, 20))
    >>> found.is_apart, round(found.low, 2), round(found.high, 2)
    (False, -0.08, 0.3)
    """
    shares = centre_of([first]), centre_of([second])
    for stretch in (first, second):
        if stretch.found > stretch.size:
            raise OutOfRange("bad", stretch.found, above=-1, below=stretch.size + 1)
    from scipy.stats import binomtest, fisher_exact

    one, two = (
        binomtest(each.found, round(each.size)).proportion_ci(confidence, method="wilson")
        for each in (first, second)
    )
    apart = shares[0] - shares[1]
    low = apart - math.hypot(shares[0] - one.low, two.high - shares[1])
    high = apart + math.hypot(one.high - shares[0], shares[1] - two.low)
    table = [[each.found, round(each.size) - each.found] for each in (first, second)]
    p = float(fisher_exact(table).pvalue)
    return Comparison(*shares, low, high, p, is_apart=not low <= 0 <= high)
