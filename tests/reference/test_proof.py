"""Limits, plans, charts and comparisons against published values."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from lapwright.proof.compare import compare_rates, compare_shares
from lapwright.proof.control import Stretch, centre_of, chart_points, smoothed_points
from lapwright.proof.cuts import cuts_needed
from lapwright.proof.runlength import run_length
from lapwright.proof.sampling import CutPlan, smallest_plan

with (Path(__file__).parent / "data" / "spc.csv").open(encoding="utf-8") as _file:
    _ROWS = list(csv.DictReader(_file))


def _set(name: str) -> list[Stretch]:
    return [
        Stretch(int(float(row["value"])), float(row["n"])) for row in _ROWS if row["set"] == name
    ]


# p chart, 30 samples of 50: centre 0.23133, limits 0.0524 and 0.4102, out 15 and 23.
# NIST/SEMATECH e-Handbook 6.3.3.2, quoted in public tests. Claimed 1e-4, reached 5e-5.


def test_p_chart_of_the_handbook() -> None:
    """Bad shares of even samples, three-sigma limits."""
    samples = _set("p")
    centre = centre_of(samples)
    points = chart_points(samples, kind="share", centre=centre, limits="sigma")
    assert centre == pytest.approx(347 / 1500, abs=1e-9)
    assert (points[0].low, points[0].high) == (
        pytest.approx(0.0524, abs=1e-4),
        pytest.approx(0.4102, abs=1e-4),
    )
    assert [k for k, point in enumerate(points, 1) if point.state == "out"] == [15, 23]


# c chart, 25 wafers: centre 16, limits 4 and 28, out 24. NIST/SEMATECH e-Handbook 6.3.3.1 through
# a public file of certified data. Exact. A c chart is a u chart whose sizes are all 1.


def test_c_chart_of_the_handbook() -> None:
    """Counts on even sizes, three-sigma limits."""
    wafers = _set("c")
    points = chart_points(wafers, kind="rate", centre=centre_of(wafers), limits="sigma")
    assert centre_of(wafers) == 16
    assert (points[0].low, points[0].high) == (4.0, 28.0)
    assert [k for k, point in enumerate(points, 1) if point.state == "out"] == [24]


# EWMA chart, weight 0.3, target 50, s 2.0539, width 3: the 20 means, limits 47.4115 and 52.5884,
# none out. NIST/SEMATECH e-Handbook 6.3.2.4. Claimed 0.005 for the means, 1e-4 for the limits.
_EWMA = [50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
         50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99]  # fmt: skip


def test_ewma_chart_of_the_handbook() -> None:
    """Means to two decimals; the limits have reached their final width after 20 values."""
    values = [float(row["value"]) for row in _ROWS if row["set"] == "ewma"]
    points = smoothed_points(values, [2.0539] * 20, centre=50.0, weight=0.3, width=3.0)
    assert [point.value for point in points] == pytest.approx(_EWMA, abs=0.0051)
    assert points[-1].high == pytest.approx(52.5884, abs=1.5e-4)
    assert points[-1].low == pytest.approx(47.4115, abs=1.5e-4)
    assert not [point for point in points if point.state == "out"]


# Average run lengths of EWMA charts with limits of final width, from the examples of the R package
# spc, which quotes: Lucas and Saccucci 1990, table 3 (three figures); Crowder 1987, table 1 (two
# decimals); a value for weight 0.25, width 3, shift 1 of a published manual, 1999. Reached 0.2 %.
_SHIFTS = [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5]


@pytest.mark.parametrize(
    ("weight", "width", "published"),
    [
        (0.5, 3.071, [500, 255, 88.8, 35.9, 17.5, 6.53, 3.63, 2.50, 1.93, 1.58, 1.34, 1.07]),
        (0.03, 2.437, [500, 76.7, 29.3, 17.6, 12.6, 8.07, 5.99, 4.80, 4.03, 3.49, 3.11, 2.55]),
    ],
)
def test_run_lengths_of_lucas_and_saccucci(
    weight: float, width: float, published: list[float]
) -> None:
    """False alarms and detection of a lasting shift, two designs."""
    found = [run_length(shift, weight=weight, width=width) for shift in _SHIFTS]
    assert found == pytest.approx(published, rel=4e-3)


@pytest.mark.parametrize(
    ("shift", "weight", "width", "published"),
    [
        (0.0, 0.5, 2.0, 26.45),
        (0.5, 0.5, 2.0, 11.89),
        (2.0, 0.5, 2.0, 1.94),
        (0.0, 0.05, 2.0, 127.53),
        (0.5, 0.05, 2.0, 18.97),
        (2.0, 0.05, 2.0, 4.04),
        (1.0, 0.25, 3.0, 11.154267016),
    ],
)
def test_run_lengths_of_crowder(
    shift: float, weight: float, width: float, published: float
) -> None:
    """Other designs, to the last figure published or 0.4 %."""
    assert run_length(shift, weight=weight, width=width) == pytest.approx(published, rel=4e-3)


# Limits that grow from the first value on ("variance adjusted"): Steiner 1999, table 2, weight
# 0.05, width 3, as quoted by the same package; his figures are approximations to one decimal. The
# chart itself is run on normal values, 4,000 times, seed 20260604. Reached -0.7, +2.8, +3.8 % with
# 200,000 runs.


@pytest.mark.parametrize(("shift", "published"), [(0.5, 32.5), (1.0, 9.0), (2.0, 2.8)])
def test_simulated_run_lengths_of_steiner(shift: float, published: float) -> None:
    """The chart as the crew sees it alarms when the published theory says."""
    rng = np.random.default_rng(20260604)
    most = round(10 * published)
    lengths = []
    for _ in range(4000):
        values = rng.normal(shift, 1.0, most).tolist()
        points = smoothed_points(values, [1.0] * most, centre=0.0, weight=0.05, width=3.0)
        lengths.append(next(k for k, point in enumerate(points, 1) if point.state == "out"))
    assert np.mean(lengths) == pytest.approx(published, rel=0.055)


# Operating curve of the plan 52, 3: NIST/SEMATECH e-Handbook 6.2.3.2, from memory; claimed three
# figures, its table is up to 0.001 off the binomial law.


@pytest.mark.parametrize(
    ("share", "accepts"),
    [(0.01, 0.998), (0.02, 0.980), (0.03, 0.930), (0.04, 0.845), (0.05, 0.739), (0.06, 0.620),
     (0.07, 0.502), (0.08, 0.394), (0.09, 0.300), (0.10, 0.223), (0.11, 0.162), (0.12, 0.115)],
)  # fmt: skip
def test_operating_curve_of_the_handbook(share: float, accepts: float) -> None:
    """Chance to accept at twelve bad shares."""
    assert CutPlan(52, 3).accepts(share) == pytest.approx(accepts, abs=1.1e-3)


# A course script on acceptance sampling (R): 15 cuts, none allowed, 5 % bad -> 0.46; 30, two
# allowed, 8 % -> 0.57; smallest plan for 5 % at 0.95 and 15 % at 0.20 -> 52, five allowed.
# Read in the script.


def test_plans_of_a_course() -> None:
    """Two points of two curves, and one plan found by another program."""
    assert CutPlan(15, 0).accepts(0.05) == pytest.approx(0.46, abs=0.005)
    assert CutPlan(30, 2).accepts(0.08) == pytest.approx(0.57, abs=0.005)
    assert smallest_plan(good=0.05, poor=0.15, good_risk=0.05, poor_risk=0.2) == CutPlan(52, 5)


# "Success run" sizes, none bad at 95 %: 59 for 5 %, 299 for 1 %, 29 for 10 % (28.4): the ordinary
# table of ln(0.05) / ln(1 - p), by hand.


@pytest.mark.parametrize(("share", "cuts"), [(0.10, 29), (0.05, 59), (0.01, 299), (0.001, 2995)])
def test_cuts_needed_of_the_usual_table(share: float, cuts: int) -> None:
    """Clean cuts that rule a share out."""
    assert cuts_needed(share) == cuts


# Difference of two shares, method 10 of Newcombe, Statistics in Medicine 17, 1998, table II: from
# memory; four decimals.


@pytest.mark.parametrize(
    ("first", "second", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
        ((0, 10), (0, 20), -0.1611, 0.2775),
        ((0, 10), (0, 10), -0.2775, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0),
    ],
)
def test_differences_of_newcombe(
    first: tuple[int, int], second: tuple[int, int], low: float, high: float
) -> None:
    """Limits of the difference, many and few, none and all."""
    found = compare_shares(Stretch(*first), Stretch(*second))
    assert (found.low, found.high) == (pytest.approx(low, abs=6e-5), pytest.approx(high, abs=6e-5))


# Exact ratio of two Poisson rates: 2 on 17877 against 9 on 16660, the example of the R package
# rateratio.test as quoted in the readme of a public port: p 0.05010649561, limits 0.02177406276
# and 1.00054910. Reached 1e-10.


def test_ratio_of_two_rates() -> None:
    """Limits and p of the conditional test."""
    found = compare_rates(Stretch(2, 17877), Stretch(9, 16660))
    assert found.p == pytest.approx(0.0501064956141, abs=1e-12)
    assert found.low == pytest.approx(0.0217740627591, abs=1e-12)
    assert found.high == pytest.approx(1.00054910449, abs=1e-10)
    assert not found.is_apart
