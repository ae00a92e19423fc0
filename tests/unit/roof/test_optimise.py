"""Optimising: never worse than the plain plan, by the job's own weights, told as it goes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely.geometry import Polygon, box

from lapwright.errors import OutOfRange
from lapwright.roof.layout import Layout
from lapwright.roof.optimise import SHIFTS, Weights, candidates, optimise
from lapwright.roof.outline import Opening, disc, outline
from lapwright.roof.plan import plan_area
from lapwright.roof.quantities import Quantities, add_up

LAYOUT = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
L_SHAPE = Polygon([(0, 0), (50, 0), (50, 11), (21, 11), (21, 33), (0, 33)])


@pytest.mark.parametrize(
    "weights",
    [
        Weights(),
        Weights(seam=1, t_joint=0, waste=0, cut=0, near=0),
        Weights(seam=0, t_joint=1, waste=0, cut=0, near=0),
        Weights(seam=0, t_joint=0, waste=1, cut=0, near=0),
    ],
)
def test_no_candidate_is_cheaper_than_the_winner(weights: Weights) -> None:
    """What wins costs no more than the plan as it stands, nor than any candidate."""
    roof = outline("A", L_SHAPE)
    won = weights.cost(add_up(optimise(roof, LAYOUT, weights=weights)))
    costs = [weights.cost(add_up(plan_area(roof, each))) for each in candidates(roof, LAYOUT)]
    assert won == pytest.approx(min(costs))
    assert len(set(costs)) > 1


def test_first_row_moves_laps_off_drains() -> None:
    """Drains lie on the laps of the plain plan; moving the first row clears every one."""
    drains = [Opening("drain", disc((x, 2.9), diameter=0.3, name="")) for x in (5, 15, 25)]
    roof = outline("A", box(0, 0, 28, 20), openings=drains)
    fixed = replace(LAYOUT, run=0.0)
    before, after = plan_area(roof, fixed), optimise(roof, fixed)
    assert add_up(before).near_length > 0
    assert add_up(after).near_length == 0
    assert after.layout.shift > 0
    assert after.run == 0.0  # a run that was said is kept


def test_rows_turn_where_that_saves_joints() -> None:
    """A roof of 29 x 31 m: along 29 m a roll reaches, along 31 every row needs an end lap."""
    roof = outline("A", box(0, 0, 29, 31))
    plain = add_up(plan_area(roof, LAYOUT))
    best = add_up(optimise(roof, LAYOUT))
    assert (plain.end_laps > 0, best.end_laps) == (True, 0)


def test_progress_is_told_for_every_candidate() -> None:
    """A bar that runs from the first to the last."""
    roof, told = outline("A", box(0, 0, 29, 31)), []
    optimise(roof, LAYOUT, progress=lambda done, of: told.append((done, of)))
    count = 1 + 2 * SHIFTS
    assert told == [(done, count) for done in range(1, count + 1)]


def test_every_run_tried_begins_on_the_low_side() -> None:
    """With the slope known no candidate lays laps against the water."""
    roof = outline("A", L_SHAPE)
    wet = replace(LAYOUT, flow=math.radians(60))
    runs = [each.run for each in candidates(roof, wet) if each.run is not None]
    assert len(set(runs)) >= 2
    assert all(math.sin(math.radians(60) - run) <= 1e-6 for run in runs)


def test_weights_are_metres_of_seam() -> None:
    """Each weight multiplies its own quantity."""
    found = Quantities(side_length=7.0, end_length=3.0, t_joints=2, roll_area=9.0, sheet_area=4.0,
                       sheets=1, half_sheets=1, near_length=5.0)  # fmt: skip
    cost = Weights(seam=1, t_joint=10, waste=100, cut=1000, near=10_000).cost(found)
    assert cost == pytest.approx(10 + 20 + 500 + 2000 + 50_000)


@pytest.mark.parametrize("name", ["seam", "t_joint", "waste", "cut", "near"])
def test_weight_below_zero_is_refused(name: str) -> None:
    """Nobody is paid for a T-joint."""
    with pytest.raises(OutOfRange):
        Weights(**{name: -1.0})
