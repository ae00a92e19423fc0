"""Targets set before the benchmark was run, and how far they were reached."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from scores import (
    Figure,
    Results,
    coverage,
    false_certificates,
    sound_if_certified,
    success,
    unsound_ratio,
)

OURS, POLICY = "lapwright", "steady"


@dataclass(frozen=True)
class Target:
    """A bound that a figure must reach, and the better one it aims at."""

    what: str
    must: float
    aim: float
    figure: Callable[[Results], Figure]
    at_most: bool = False

    def row(self, results: Results) -> str | None:
        """Line of the table; None when the runs it needs are missing."""
        try:
            found = self.figure(results)
        except LookupError:  # too few methods, families or welds were run
            return None
        gap = self.must - found.value if self.at_most else found.value - self.must
        if np.isnan(gap):
            reached = "nothing to judge"
        elif gap >= 0:
            missed = self.aim - found.value if self.at_most else found.value - self.aim
            reached = "reached, aim too" if missed >= 0 else "reached"
        else:
            reached = f"**missed by {-gap:.3f}**"
        sense = "<=" if self.at_most else ">="
        return (
            f"| {self.what} | {sense} {self.must:g} | {self.aim:g} "
            f"| {found.value:.3f} +- {found.error:.3f} | {reached} |"
        )


def _success(family: str, welds: int, method: str = OURS) -> Callable[[Results], Figure]:
    return lambda results: success(results, family, method, POLICY, welds)


def _ahead_of(rival: str, welds: int) -> Callable[[Results], Figure]:
    """Success after ``welds`` chosen welds less that of a 7-weld ladder on the same sites."""

    def figure(results: Results) -> Figure:
        ours = success(results, "base", OURS, POLICY, welds)
        theirs = success(results, "base", rival, "own", 7)
        return Figure(ours.value - theirs.value, float(np.hypot(ours.error, theirs.error)))

    return figure


def _coverage(family: str, edge: str, welds: int) -> Callable[[Results], Figure]:
    return lambda results: coverage(results, family, OURS, edge, welds)


def _sound(family: str) -> Callable[[Results], Figure]:
    return lambda results: sound_if_certified(results, family)


def _false(family: str) -> Callable[[Results], Figure]:
    return lambda results: false_certificates(results, family)


TARGETS: list[Target] = [
    Target("success base @3", 0.96, 0.975, _success("base", 3)),
    Target("success base @4", 0.972, 0.985, _success("base", 4)),
    Target("success base @5", 0.98, 0.99, _success("base", 5)),
    Target("4 welds less strict 7-weld ladder", 0.0, 0.02, _ahead_of("ladder strict", 4)),
    Target("4 welds less lenient 7-weld ladder", 0.0, 0.01, _ahead_of("ladder lenient", 4)),
    Target("3 welds less lenient 7-weld ladder", -0.01, 0.0, _ahead_of("ladder lenient", 3)),
    Target("success base @1, history right", 0.96, 0.97, _success("base", 1, "history right")),
    Target("success narrow @4", 0.84, 0.87, _success("narrow", 4)),
    Target("success narrow @7", 0.895, 0.92, _success("narrow", 7)),
    Target("success overdispersed @4", 0.965, 0.975, _success("overdispersed", 4)),
    Target("success both @4", 0.895, 0.92, _success("both", 4)),
    *(
        Target(f"coverage {edge} {family} @{welds}", least, 0.88, _coverage(family, edge, welds))
        for (family, least), edge, welds in product(
            (("base", 0.88), ("overdispersed", 0.85), ("heavy-tailed", 0.85), ("both", 0.85)),
            ("bottom", "top"),
            (4, 5),
        )
    ),
    *(
        Target(f"coverage {edge} base @{welds}", 0.97, 0.95, _coverage("base", edge, welds), True)
        for edge, welds in product(("bottom", "top"), (4, 5))
    ),
    Target("sound if certified, base", 0.98, 0.99, _sound("base")),
    Target("sound if certified, overdispersed", 0.98, 0.99, _sound("overdispersed")),
    Target("sound if certified, narrow", 0.97, 0.985, _sound("narrow")),
    Target("sound if certified, heavy-tailed", 0.97, 0.985, _sound("heavy-tailed")),
    Target("sound if certified, both", 0.94, 0.96, _sound("both")),
    Target("sound if certified, saturated", 0.89, 0.95, _sound("saturated")),
    Target("false certificates, no window", 0.01, 0.0, _false("no window"), True),
    Target("false certificates, saturated", 0.02, 0.01, _false("saturated"), True),
    Target(
        "unsound share, cold drift forecast / middle, @4", 0.60, 0.50,
        lambda r: unsound_ratio(r, "base", OURS, ("forecast", "middle"), 4, "cold"), True,
    ),
    Target(
        "unsound share, cold drift forecast / middle, @7", 0.55, 0.50,
        lambda r: unsound_ratio(r, "base", OURS, ("forecast", "middle"), 7, "cold"), True,
    ),
    Target(
        "unsound share, drift of mean zero, steady / middle, @4", 1.0, 0.95,
        lambda r: unsound_ratio(r, "base", OURS, ("steady", "middle"), 4, "mean_zero"), True,
    ),
    Target(
        "success at 1.4 x speed @5", 0.94, 0.96,
        lambda r: success(r, "base", "1.4 x speed", "moved", 5),
    ),
]  # fmt: skip
