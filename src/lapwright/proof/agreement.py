"""How well people who graded the same strips agree: counts first, an index beside them.

Agreeing is not being right: two may share one mistake. And what two would agree on by luck
alone depends on the strips, so no index is read without its count and its limits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from lapwright.counts import bad_share_limit
from lapwright.errors import LapwrightError

CONFIDENCE = 0.95  # -; two-sided; common practice, no source
Basis = Literal["large_sample", "none_apart"]
Table = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Kappa:
    """Agreement beyond chance: 1 is all the same, 0 what luck alone gives.

    Parameters
    ----------
    value : float
        Index. [-]
    low, high : float
        Where the true index may lie. [-]
    basis : {"large_sample", "none_apart"}
        How the limits were found: by the large-sample standard error, or, where nobody
        differed and that error is nought, by what as many strips alike leave possible.
    """

    value: float
    low: float
    high: float
    basis: Basis

    @property
    def is_beyond_chance(self) -> bool:
        """Whether luck alone is ruled out; otherwise nobody can tell."""
        return self.low > 0


def confusion(pairs: Sequence[tuple[str, str]], grades: Sequence[str]) -> Table:
    """How often each grade of the first met each grade of the second.

    Parameters
    ----------
    pairs : sequence of tuple of str
        First and second grade of each strip.
    grades : sequence of str
        All grades that occur, in the order of rows and columns.

    Returns
    -------
    tuple of tuple of int
        A row for each grade of the first, a column for each of the second.

    Examples
    --------
    >>> confusion([("cold", "cold"), ("cold", "full")], ["cold", "full"])
    ((1, 1), (0, 0))
    """
    return tuple(tuple(pairs.count((row, column)) for column in grades) for row in grades)


def cohen(table: Table, *, weighted: bool = False, confidence: float = CONFIDENCE) -> Kappa | None:
    """Cohen's kappa of two graders.

    Parameters
    ----------
    table : tuple of tuple of int
        From :func:`confusion`, square.
    weighted : bool
        Grades are in order, and being two steps apart counts four times one step.
    confidence : float
        Two-sided, between 0 and 1. [-]

    Returns
    -------
    Kappa or None
        None when no strip was graded, or chance alone explains everything: both gave
        every strip one and the same grade.

    Raises
    ------
    LapwrightError
        ``bad_table``: not square, or of fewer than two grades.

    Notes
    -----
    kappa = 1 - disagreement / disagreement by chance, chance having the row and column
    totals. Limits: large-sample standard error, a rough guide below some 50 strips, cut at
    -1 and 1. Where no pair differs that error is nought; then the low limit is what as many
    alike strips leave possible (Clopper and Pearson), each slip weighed as the worst there is.

    References
    ----------
    Cohen, Educational and Psychological Measurement 20, 1960, 37-46; weights: Cohen,
    Psychological Bulletin 70, 1968; standard error: Fleiss, Cohen and Everitt,
    Psychological Bulletin 72, 1969, 323-327 (all from memory).

    Examples
    --------
    >>> found = cohen(((88, 14, 18), (10, 40, 10), (2, 6, 12)))
    >>> round(found.value, 2), found.is_beyond_chance
    (0.49, True)
    """
    counts = np.asarray(table, dtype=float)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1] or len(counts) < 2:
        raise LapwrightError("bad_table")
    strips = counts.sum()
    if not strips:
        return None
    steps = np.abs(np.subtract.outer(np.arange(len(counts)), np.arange(len(counts))))
    apart = (steps / (len(counts) - 1)) ** 2 if weighted else (steps > 0).astype(float)
    shares = counts / strips
    first, second = shares.sum(axis=1), shares.sum(axis=0)
    by_chance = float(first @ apart @ second)
    if by_chance == 0:
        return None
    seen = float((apart * shares).sum())
    value = 1.0 - seen / by_chance
    if seen == 0:
        possible = bad_share_limit(0, of=round(strips), confidence=(1 + confidence) / 2)
        return Kappa(1.0, max(-1.0, 1.0 - possible / by_chance), 1.0, "none_apart")
    weight = 1.0 - apart
    chance_of = (weight @ second)[:, None] + (weight.T @ first)[None, :]
    spread = (shares * (weight * by_chance - chance_of * seen) ** 2).sum()
    centre = (1 - seen) * (1 - by_chance) - 2 * (1 - by_chance) + (1 - seen)
    error = math.sqrt(max(0.0, spread - centre**2) / strips) / by_chance**2
    from scipy.special import ndtri

    reach = float(ndtri((1 + confidence) / 2)) * error
    return Kappa(value, max(-1.0, value - reach), min(1.0, value + reach), "large_sample")


def fleiss(counts: Sequence[Sequence[int]]) -> float | None:
    """Fleiss' kappa of several graders, who need not be the same people at each strip.

    Parameters
    ----------
    counts : sequence of sequence of int
        For each strip, how many gave each grade; the same number of graders everywhere.

    Returns
    -------
    float or None
        Index [-]; None when no strip was graded or all got one and the same grade.

    Raises
    ------
    LapwrightError
        ``bad_table``: unequal numbers of graders, or fewer than two.

    Notes
    -----
    No limits are given: with three or four graders of one crew no published formula was
    found good.

    References
    ----------
    Fleiss, Psychological Bulletin 76, 1971, 378-382.

    Examples
    --------
    Three graders, four strips; grades cold, partial, full:

    >>> round(fleiss([(3, 0, 0), (2, 1, 0), (0, 0, 3), (0, 1, 2)]), 2)
    0.47
    """
    if not counts:
        return None
    table = np.asarray(counts, dtype=float)
    graders = table.sum(axis=1)
    if table.ndim != 2 or np.any(graders != graders[0]) or graders[0] < 2:
        raise LapwrightError("bad_table")
    alike = ((table * (table - 1)).sum(axis=1) / (graders * (graders - 1))).mean()
    by_chance = ((table.sum(axis=0) / table.sum()) ** 2).sum()
    return None if by_chance == 1 else float((alike - by_chance) / (1 - by_chance))
