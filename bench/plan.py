"""How long a roof of 1,000,000 sq ft with 200 openings takes to plan and to optimise.

python bench/plan.py --repeats 5
"""

from __future__ import annotations

import argparse
import os
import random
from statistics import median
from time import perf_counter

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # one core

from shapely.geometry import box

from lapwright.job.plan import Crew, plan_roof
from lapwright.roof.layout import Layout
from lapwright.roof.optimise import Weights, candidates
from lapwright.roof.outline import Opening, Outline, disc, outline, ring

FOOT = 0.3048  # m
SIDE, OPENINGS = 1000.0, 200  # ft; count
PLAN_LIMIT, OPTIMISE_LIMIT = 10.0, 60.0  # s; set before the first run


def main() -> None:
    """Time both and print one Markdown table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--seed", type=int, default=20261125)
    chosen = parser.parse_args()
    roof = draw_roof(chosen.seed)
    layout = Layout(
        width=10 * FOOT, roll=100 * FOOT, lap=0.5 * FOOT, end_lap=0.5 * FOOT, half_rows=2
    )
    plain = [_timed(roof, layout, None) for _ in range(chosen.repeats)]
    told: list[int] = []
    best = _timed(roof, layout, Weights(), told)
    tried = len(list(candidates(roof, layout)))
    assert told == list(range(1, tried + 1)), "progress is told for every candidate"
    print(f"seed {chosen.seed}: 1,000,000 sq ft, {OPENINGS} curbs, pipes and drains")
    print("| step | time | limit |\n|---|---|---|")
    print(f"| plan, median of {chosen.repeats} | {median(plain):.2f} s | {PLAN_LIMIT:.0f} s |")
    print(f"| optimise, {tried} layouts | {best:.1f} s | {OPTIMISE_LIMIT:.0f} s |")


def draw_roof(seed: int) -> Outline:
    """A square roof with openings in places drawn by chance."""
    draw = random.Random(seed)
    openings: list[Opening] = []
    while len(openings) < OPENINGS:
        x, y = (draw.uniform(10, SIDE - 20) * FOOT for _ in range(2))
        kind = draw.choice(("curb", "pipe", "drain"))
        shape = box(x, y, x + 2.0, y + 1.5) if kind == "curb" else disc(
            (x, y), diameter=0.2, name=kind
        )  # fmt: skip
        if all(shape.distance(other.shape) > 1.0 for other in openings):
            openings.append(Opening(kind, shape))
    corners = [(0, 0), (SIDE * FOOT, 0), (SIDE * FOOT, SIDE * FOOT), (0, SIDE * FOOT)]
    return outline("A", ring(corners, name="A"), openings=openings)


def _timed(
    roof: Outline, layout: Layout, weights: Weights | None, told: list[int] | None = None
) -> float:
    def tell(_area: str, done: int, _of: int) -> None:
        if told is not None:
            told.append(done)

    start = perf_counter()
    plan_roof([roof], [layout], crew=Crew(reach=30.0), weights=weights, progress=tell)
    return perf_counter() - start


if __name__ == "__main__":
    main()
