"""The methods that lapwright is measured against.

The ladder is common practice; the others are the strongest simple rivals: a list of
settings fixed in advance, two staircases, and questplus with one instance per edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from functools import lru_cache

import numpy as np
from methods import Estimate, Interval, Strips, full_strips, signs_seen
from questplus import QuestPlus  # type: ignore[import-untyped]
from sites import COOLEST, MACHINE_LIMIT, Values

# Found by bench/fixed_design.py (120 sites, seed 7) for lapwright's own estimate; F, by number
# of welds. A coarse search: better lists exist, at 6 and 7 welds even rungs are one.
FIXED_DESIGNS: dict[int, tuple[float, ...]] = {
    3: (675.0, 825.0, 1050.0),
    4: (600.0, 675.0, 900.0, 1050.0),
    5: (600.0, 675.0, 900.0, 1050.0, 1125.0),
    6: (675.0, 750.0, 825.0, 890.0, 900.0, 1050.0),
    7: (600.0, 750.0, 850.0, 900.0, 920.0, 975.0, 1125.0),
}


class FixedList:
    """Settings decided before the first weld; no answer of its own."""

    def __init__(self, settings: Sequence[float]) -> None:
        self.settings = settings
        self.seen: list[tuple[float, int, int]] = []  # air, full strips, strips with signs

    def suggest(self) -> float:
        return float(self.settings[len(self.seen)])

    def observe(self, air: float, strips: Strips) -> None:
        self.seen.append((air, full_strips(strips), signs_seen(strips)))

    def estimate(self) -> Estimate:
        return Estimate({})


class Ladder(FixedList):
    """Evenly spaced rungs; set point in the middle of those that pass.

    A rung passes with ``least_full`` strips full and ``most_signs`` strips with signs.
    If none passes, the rung with most full strips less signs, the coolest of equals.
    """

    def __init__(self, rungs: int, *, least_full: int, most_signs: int) -> None:
        super().__init__(list(np.linspace(COOLEST, MACHINE_LIMIT, rungs)))
        self.least_full, self.most_signs = least_full, most_signs

    def estimate(self) -> Estimate:
        passing = [
            air
            for air, full, signs in self.seen
            if full >= self.least_full and signs <= self.most_signs
        ]
        if passing:
            return Estimate({"own": (min(passing) + max(passing)) / 2})
        return Estimate({"own": max(self.seen, key=lambda rung: rung[1] - rung[2])[0]})


class UpAndDown:
    """Two staircases in turn, one per edge; edge = mean of the levels after the first.

    The bottom's goes up after a weld that is not full and down after a full one; the
    top's goes down after signs and up after none; at least 2 of 3 strips decide. Starts
    are the centres of practice. The mean includes the level that would come next, as
    usual for short up-and-down runs (Brownlee, Hodges and Rosenblatt, 1953, from memory).
    Set point: middle of both means.
    """

    STEP = 100.0  # F; best of 50, 80 and 100 on a tuning sample: the rival at its best
    STARTS = (700.0, 1030.0)

    def __init__(self) -> None:
        self.levels: tuple[list[float], list[float]] = ([self.STARTS[0]], [self.STARTS[1]])
        self.turn = 0

    def suggest(self) -> float:
        return self.levels[self.turn][-1]

    def observe(self, air: float, strips: Strips) -> None:  # noqa: ARG002 - levels know the air
        hit = (full_strips(strips), signs_seen(strips))[self.turn] >= 2
        level = self.levels[self.turn][-1] + (-self.STEP if hit else self.STEP)
        self.levels[self.turn].append(float(np.clip(level, COOLEST, MACHINE_LIMIT)))
        self.turn = 1 - self.turn

    def estimate(self) -> Estimate:
        bottom, top = (float(np.mean(levels[1:] or levels)) for levels in self.levels)
        return Estimate(
            {"own": (bottom + top) / 2}, (np.nan, bottom, np.nan), (np.nan, top, np.nan)
        )


@lru_cache(maxsize=2)
def _questplus_template(edge: str) -> QuestPlus:
    """One edge as a normal ogive; same weak belief and spreads as lapwright's, no weld effect."""
    lattice = np.arange(300.0, 1301.0, 10.0) if edge == "bottom" else np.arange(400.0, 1901.0, 10.0)
    spread = np.array([15.0, 22.0, 32.0, 45.0, 65.0])
    return QuestPlus(
        stim_domain={"intensity": np.arange(COOLEST, MACHINE_LIMIT, 10.0)},
        param_domain={
            "mean": lattice,
            "sd": spread,
            "lower_asymptote": [0.03],
            "lapse_rate": [0.03],
        },
        outcome_domain={"response": ["yes", "no"]},
        prior={"mean": _edge_prior(edge, lattice), "sd": [0.1, 0.25, 0.3, 0.25, 0.1]},
        func="norm_cdf",
        stim_scale="linear",
    )


def _edge_prior(edge: str, lattice: Values) -> Values:
    """Weak belief about one edge alone, in F: Student t, 4 degrees of freedom."""
    bottom = np.arange(300.0, 1301.0, 10.0)
    weight = _student4((bottom - 700.0) / 90.0)
    if edge == "top":  # bottom plus a gap above zero
        gap = lattice[:, None] - bottom[None, :]
        weight = np.where(gap > 0, _student4((gap - 330.0) / 110.0), 0.0) @ weight
    return np.asarray(weight / weight.sum())


def _student4(z: Values) -> Values:
    return np.asarray((1 + z**2 / 4) ** -2.5)


class QuestPlusPair:
    """questplus, one instance per edge; they suggest in turn and both learn from each weld.

    Every strip is a trial of its own: questplus knows of no effect that the strips of
    one weld share. Set point: middle of both posterior means.
    """

    def __init__(self) -> None:
        self.edges = tuple(copy(_questplus_template(edge)) for edge in ("bottom", "top"))
        for edge in self.edges:
            edge.stim_history, edge.resp_history = [], []
        self.turn = 0

    def suggest(self) -> float:
        return float(self.edges[self.turn].next_stim["intensity"])

    def observe(self, air: float, strips: Strips) -> None:
        for strip in strips:
            answers = (strip.pull == "full", strip.overheat == "signs")
            for edge, yes in zip(self.edges, answers, strict=True):
                edge.update(stim={"intensity": air}, outcome={"response": "yes" if yes else "no"})
        self.turn = 1 - self.turn

    def estimate(self) -> Estimate:
        bottom, top = (self._interval(edge) for edge in self.edges)
        return Estimate({"own": (bottom[1] + top[1]) / 2}, bottom, top)

    @staticmethod
    def _interval(edge: QuestPlus) -> Interval:
        lattice, mass = edge.param_domain["mean"], edge.marginal_posterior["mean"]
        ends = np.interp((0.05, 0.95), np.cumsum(mass), lattice + 5.0)
        return float(ends[0]), float(lattice @ mass), float(ends[1])
