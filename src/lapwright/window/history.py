"""Past days -> what a new morning may expect: one belief learnt from all of them.

Sheets, machines, nozzles and months each move the edges; how much is learnt from the days
themselves, and each is drawn toward the family as long as little is known of it. What comes
out is an :class:`~lapwright.window.prior.Earlier`, which a prior mixes with the weak start.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lapwright.window.dayedges import BOTTOMS, DayEdges, day_edges
from lapwright.window.matching import Matched
from lapwright.window.pastwelds import FAMILY_CODES, UNKNOWN, PastWelds
from lapwright.window.pooling import Group, Pooling, Solved, Start, predicted
from lapwright.window.prior import FAMILIES, TAIL, Earlier, Values

Grouping = Literal["pairing", "machine", "nozzle", "month"]
GROUPINGS: tuple[Grouping, ...] = ("pairing", "machine", "nozzle", "month")
LEAST_DAYS = 3  # with strips, before a morning starts from them: fewer cannot be checked; ours
_MONTHS = 12
_MONTH_REACH = 1.0  # of the yearly round in which months resemble each other; 0.87 to the next

# K; spread between pairings, machines, nozzles, months and days, bottom and width. Assumed:
# two days differ by 40 F of bottom and 50 F of width, the rest as good as guessed.
_SPREADS = np.array([(20.0, 20.0), (15.0, 10.0), (10.0, 10.0), (8.0, 5.0), (15.7, 19.6)])
_SPREADS_WEIGHT = 4.0  # levels that these guesses count for; our choice
_ROUNDS = 12  # most rounds of evidence and spreads
_STEPS = 4  # of the search for spreads within a round
_SETTLED = 0.02  # -; change of a log variance that ends the rounds
_TAKEN = 0.8  # share of the new evidence taken over in a round, so that it settles


@dataclass(frozen=True, eq=False)
class Level:
    """What one pairing, machine, nozzle or month adds to the middle of its family.

    Parameters
    ----------
    by : {"pairing", "machine", "nozzle", "month"}
        Group it is of.
    key : int
        As in the columns; months from 1.
    days : int
        With strips.
    added, sd : ndarray, shape (2,)
        To bottom and width, and the doubt of it. [K]
    """

    by: Grouping
    key: int
    days: int
    added: Values
    sd: Values


@dataclass(frozen=True, eq=False)
class Learnt:
    """What past days teach.

    Parameters
    ----------
    past : PastWelds
        The days.
    edges : DayEdges
        What each of them says by itself.
    pooling : Pooling
        How they hang together.
    variance : ndarray, shape (groups + 1, 2)
        Between pairings, machines, nozzles, months and days. [K2]
    solved : Solved
        Effects, and each day as the others predict it.
    """

    past: PastWelds
    edges: DayEdges
    pooling: Pooling
    variance: Values
    solved: Solved

    @cached_property
    def days(self) -> NDArray[np.int64]:
        """Days with strips, and those of them on which somebody looked, by family: (2, 3)."""
        counted = [self.edges.has_bottom, self.edges.has_bottom & self.edges.has_top]
        return np.stack([np.bincount(self.past.membrane[which], minlength=3) for which in counted])

    def earlier_for(
        self,
        membrane: str,
        *,
        pairing: int = UNKNOWN,
        machine: int = UNKNOWN,
        nozzle: int = UNKNOWN,
        month: int = 0,
    ) -> Earlier | None:
        """What a new day may expect; None while fewer than three days of the family are known.

        Parameters
        ----------
        membrane : str
            Family code.
        pairing, machine, nozzle : int
            Keys as in the columns; one never seen, or :data:`UNKNOWN`, may be anything that
            pairings, machines, nozzles are.
        month : int
            1 to 12; 0 is not known.

        Returns
        -------
        Earlier or None
            Its ``day`` spreads hold only how much two days of the same differ.
        """
        family = FAMILY_CODES.index(membrane)
        if self.days[0, family] < LEAST_DAYS:
            return None
        mean, doubt, day = self.expected(
            family, {"pairing": pairing, "machine": machine, "nozzle": nozzle, "month": month - 1}
        )
        sd = np.sqrt(np.diag(doubt))
        return Earlier(
            bottom=float(np.clip(mean[0], BOTTOMS[0], BOTTOMS[-1])),
            bottom_sd=float(sd[0]),
            width=max(0.0, float(mean[1])),
            width_sd=float(sd[1]),
            bottom_day_sd=float(day[0]),
            width_day_sd=float(day[1]),
            freedom=TAIL,
        )

    def middle(self, membrane: str) -> tuple[Values, Values]:
        """Mean of (bottom, width) over all days of a family, and the doubt of it as sd. [K]"""
        mean, doubt, _ = self.expected(FAMILY_CODES.index(membrane), {}, average=True)
        return mean, np.sqrt(np.diag(doubt))

    def levels(self) -> Iterator[Level]:
        """Every level on which strips were pulled, group by group."""
        for name in GROUPINGS:
            key = getattr(self.past, name)
            counts = np.bincount(key[self.edges.has_bottom & (key >= 0)])
            for known in np.flatnonzero(counts):
                if name == "month" and known == 0:
                    continue
                added, sd = self.moved_by(name, int(known) - (name == "month"))
                yield Level(name, int(known), int(counts[known]), added, sd)

    def moved_by(self, name: Grouping, key: int) -> tuple[Values, Values]:
        """What one level adds to (bottom, width) of its family, and the doubt of it as sd. [K]"""
        at = self.pooling.part(GROUPINGS.index(name)).start + key
        own = self.solved.covariance[:, at, :, at]
        return self.solved.effect[:, at], np.sqrt(np.diag(own))

    def expected(
        self, family: int, level: dict[Grouping, int], *, average: bool = False
    ) -> tuple[Values, Values, Values]:
        """Mean of (bottom, width), its doubt, and the spread of a day about it. [K, K2, K]

        Parameters
        ----------
        family : int
            Place in :data:`FAMILY_CODES`.
        level : dict of str to int
            Levels that are known; months from 0.
        average : bool
            Of the groups not in ``level`` the middle one is meant, not any one.
        """
        column = np.full((1, len(GROUPINGS) + 1), self.pooling.levels - 1)
        column[0, 0] = self.pooling.part(-1).start + family
        doubt = np.zeros(2)
        for place, name in enumerate(GROUPINGS):
            own = self.pooling.part(place)
            key = level.get(name, -1)
            if 0 <= key < own.stop - own.start:
                column[0, place + 1] = own.start + key
            elif not (average and name not in level):
                doubt += self.variance[place]
        mean, of_mean = predicted(self.solved.effect, self.solved.covariance, column)
        return mean[0], of_mean[0] + np.diag(doubt), np.sqrt(self.variance[-1])


def learn(past: PastWelds) -> Learnt:
    """Everything that past test welds say of bottom and width on a day to come.

    Parameters
    ----------
    past : PastWelds
        Test welds of past days. The order of rows and days changes nothing.

    Returns
    -------
    Learnt

    Notes
    -----
    Bottom and width of a day are the family's mean plus what pairing, machine, nozzle and
    month add plus the day's own. Strips enter with their exact likelihood: each day's is
    replaced by the normal one that leaves the same mean and spread where all other days
    put it (expectation propagation). Spreads between levels are those of greatest posterior,
    drawn toward assumed ones that count for four levels. Months resemble their neighbours.

    References
    ----------
    Minka, Expectation propagation for approximate Bayesian inference, 2001; Gelman and
    Hill, Data Analysis Using Regression and Multilevel/Hierarchical Models, 2006, ch. 12
    (from memory).
    """
    edges, pooling = day_edges(past), _pooling(past)
    variance = pooling.start.variance
    evidence = Matched.nothing(len(past.month))
    for turn in range(_ROUNDS):
        solved = pooling.solve(evidence.natural, variance)
        evidence = evidence.renewed(edges, solved.others, share=_TAKEN if turn else 1.0)
        before, variance = variance, pooling.seek(evidence.natural, variance, steps=_STEPS)
        if turn and float(np.abs(np.log(variance / before)).max()) < _SETTLED:
            break
    return Learnt(past, edges, pooling, variance, pooling.solve(evidence.natural, variance))


def _pooling(past: PastWelds) -> Pooling:
    def group(key: NDArray[np.int32]) -> Group:
        return Group(key.astype(np.int64), int(key.max(initial=-1)) + 1)

    turn = np.pi * (np.arange(_MONTHS)[:, None] - np.arange(_MONTHS)) / _MONTHS
    alike = np.exp(-2 * (np.sin(turn) / _MONTH_REACH) ** 2)
    families = [FAMILIES[code] for code in FAMILY_CODES]
    groups = _SPREADS[:-1] ** 2
    scale = np.array([(family.bottom_scale, family.width_scale) for family in families])
    all_spread = 2 * scale**2  # K2; variance of Student's t with 4 degrees of freedom
    return Pooling(
        Group(past.membrane.astype(np.int64), len(FAMILY_CODES)),
        (
            group(past.pairing),
            group(past.machine),
            group(past.nozzle),
            Group(past.month.astype(np.int64) - 1, _MONTHS, alike),
        ),
        start=Start(
            mean=np.array([(family.bottom, family.width) for family in families]),
            mean_variance=all_spread - (_SPREADS**2).sum(axis=0),
            variance=np.vstack([groups, _SPREADS[-1:] ** 2]),
            weight=_SPREADS_WEIGHT,
        ),
    )
