"""Search the best list of settings fixed in advance, for lapwright's own estimate.

Exchange: from an even list, replace one setting at a time by the candidate whose set
points are sound most often on a tuning sample; stop when no exchange helps. Success is
taken over changes of an ordinary half day: that smooths it, so that few sites suffice.
Prints the table that ``baselines.FIXED_DESIGNS`` holds.

    python bench/fixed_design.py --sites 120 --seed 7
"""

from __future__ import annotations

import argparse
import os
from functools import partial
from multiprocessing import get_context

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # the processes share the cores among themselves

import numpy as np
from ours import Model
from sites import COOLEST, FAMILIES, MACHINE_LIMIT, draw_sites, drift_draws, weld, weld_stream

from lapwright.units import from_si
from lapwright.window.setpoint import choose

CANDIDATES: tuple[float, ...] = tuple(np.arange(COOLEST, MACHINE_LIMIT, 75.0).tolist())
LEAST, MOST = 3, 7


def success(settings: tuple[float, ...], *, count: int, seed: int) -> float:
    """Mean share of the half day in which the set point of a base site is sound."""
    sites = draw_sites(FAMILIES["base"], count=count, seed=seed)
    points = []
    for index, site in enumerate(sites):
        model, rng = Model(), weld_stream(seed, index)
        for air in settings:
            model.observe(air, weld(site, air=air, rng=rng))
        point = choose(model.choice(), "steady")
        assert point is not None  # only "low" may find none
        points.append(from_si(point.air, "f"))
    shifts = drift_draws("mean_zero", count=50, seed=0)
    sound = [sites.is_sound(np.array(points) + shift) for shift in shifts]
    return float(np.mean(sound))


def exchange(welds: int, *, count: int, seed: int) -> tuple[tuple[float, ...], float]:
    """A list of ``welds`` settings that no single exchange improves, and its success."""
    score = partial(success, count=count, seed=seed)
    even = np.linspace(650.0, 1050.0, welds).round(-1)
    best = tuple(float(air) for air in even)
    reached = score(best)
    improved = True
    with get_context("fork").Pool() as pool:
        while improved:
            improved = False
            for place in range(welds):
                lists = [(*best[:place], air, *best[place + 1 :]) for air in CANDIDATES]
                scores = pool.map(score, lists)
                if max(scores) > reached:
                    reached, improved = max(scores), True
                    best = lists[int(np.argmax(scores))]
    return tuple(sorted(best)), reached


def main() -> None:
    """Search a list for each number of welds."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--sites", type=int, default=120)
    parser.add_argument("--seed", type=int, default=7)
    asked = parser.parse_args()
    for welds in range(LEAST, MOST + 1):
        settings, reached = exchange(welds, count=asked.sites, seed=asked.seed)
        print(f"{welds}: {settings}  # {reached:.3f} on the tuning sample", flush=True)


if __name__ == "__main__":
    main()
