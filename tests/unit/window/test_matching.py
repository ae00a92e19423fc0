"""Normal evidence in place of the exact likelihood of a day: what it must move is moved."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.pastdays import company

from lapwright.window.dayedges import BOTTOMS, TOPS, DayEdges, day_edges
from lapwright.window.matching import Matched
from lapwright.window.prior import Values

TURN = np.array([[1.0, 0.0], [1.0, 1.0]])  # bottom and width give bottom and top
CELL = (BOTTOMS[1] - BOTTOMS[0]) ** 2 / 12  # K2


def normal(mean: Values, sd: float, lattice: Values) -> Values:
    """Logarithm of a normal likelihood on the lattice, one row per day."""
    log = -0.5 * ((lattice - mean[:, None]) / sd) ** 2
    return np.asarray(log - log.max(axis=1, keepdims=True))


def days(bottoms: Values, tops: Values) -> DayEdges:
    """Days with profiles of both edges."""
    yes = np.ones(len(bottoms), dtype=bool)
    return DayEdges(bottoms.astype(np.float32), tops.astype(np.float32), yes, yes)


def others(
    mean: tuple[float, float], *sds: float, count: int, together: float = 0.0
) -> tuple[Values, Values]:
    """What all other days predict of (bottom, width), on each of so many days."""
    cross = together * sds[0] * sds[1]
    covariance = np.array([[sds[0] ** 2, cross], [cross, sds[1] ** 2]])
    return np.tile(mean, (count, 1)), np.tile(covariance, (count, 1, 1))


def renewed(edges: DayEdges, predicted: tuple[Values, Values], *, rounds: int = 1) -> Matched:
    """Evidence taken over whole, so many times over."""
    evidence = Matched.nothing(len(edges.bottom))
    for _ in range(rounds):
        evidence = evidence.renewed(edges, predicted, share=1.0)
    return evidence


def test_a_normal_likelihood_is_matched_exactly() -> None:
    """Where the likelihood is normal its evidence is its own precision and pull, at once."""
    at, tops = np.array([620.0, 650.0, 690.0]), np.array([800.0, 840.0, 900.0])
    edges = days(normal(at, 25.0, BOTTOMS), normal(tops, 40.0, TOPS))
    found = renewed(edges, others((640.0, 190.0), 45.0, 50.0, count=3, together=0.3))
    assert found.precision[:, 0] == pytest.approx(np.full(3, 1 / 25.0**2), rel=1e-4)
    assert found.precision[:, 1] == pytest.approx(np.full(3, 1 / 40.0**2), rel=1e-3)
    assert found.pull[:, 0] == pytest.approx(at / 25.0**2, rel=1e-4)
    assert found.pull[:, 1] == pytest.approx(tops / 40.0**2, rel=1e-3)


def test_evidence_on_edges_is_evidence_on_bottom_and_width() -> None:
    """What the top says it says of bottom plus width: T' P T and T' h, T giving the edges."""
    evidence = Matched(np.array([[0.002, 0.0007]]), np.array([[1.3, 0.6]]))
    turned = evidence.natural
    edge = np.diag(evidence.precision[0])
    assert turned.precision[0] == pytest.approx(TURN.T @ edge @ TURN)
    assert turned.pull[0] == pytest.approx(TURN.T @ evidence.pull[0])
    assert turned.precision[0, 0, 0] == pytest.approx(0.0027)
    assert turned.precision[0, 1] == pytest.approx([0.0007, 0.0007])


def test_nothing_seen_is_no_evidence() -> None:
    """Without pulls a day says nothing of the bottom, without a look nothing of the top."""
    at = np.array([620.0, 650.0, 690.0])
    edges = days(normal(at, 25.0, BOTTOMS), normal(at + 200, 40.0, TOPS))
    edges = replace(
        edges,
        has_bottom=np.array([True, False, False]),
        has_top=np.array([False, True, False]),
    )
    found = renewed(edges, others((640.0, 190.0), 45.0, 50.0, count=3), rounds=2)
    assert (found.precision > 0).tolist() == [[True, False], [False, True], [False, False]]
    assert (found.pull != 0).tolist() == [[True, False], [False, True], [False, False]]
    assert not Matched.nothing(3).natural.precision.any()


def exact(
    edges: DayEdges, predicted: tuple[Values, Values], day: int, free: int, held: Matched
) -> tuple[float, float]:
    """Mean and variance of one edge by a sum over both lattices, the other edge as held."""
    mean, covariance = TURN @ predicted[0][day], TURN @ predicted[1][day] @ TURN.T
    off = np.stack(np.meshgrid(BOTTOMS, TOPS, indexing="ij"), axis=-1) - mean
    log = -0.5 * np.einsum("bti,ij,btj->bt", off, np.linalg.inv(covariance), off)
    precision, pull = held.precision[day, 1 - free], held.pull[day, 1 - free]
    other = (BOTTOMS, TOPS)[1 - free]
    told = pull * other - 0.5 * precision * other**2
    profile = (edges.bottom, edges.top)[free][day]
    log = log + (profile[:, None] + told if free == 0 else profile + told[:, None])
    weight = np.exp(log - log.max())
    own = weight.sum(axis=1 - free) / weight.sum()
    lattice = (BOTTOMS, TOPS)[free]
    at = float(own @ lattice)
    return at, float(own @ (lattice - at) ** 2)


def test_the_day_ends_where_the_exact_likelihood_puts_it() -> None:
    """With its evidence a day has the mean and variance of a sum over the lattice: both edges."""
    edges = day_edges(company(np.random.default_rng(11), days=40).past)
    predicted = others((650.0, 185.0), 32.0, 35.0, count=40, together=-0.2)
    settled = renewed(edges, predicted, rounds=60)
    known = np.linalg.inv(TURN @ predicted[1] @ TURN.T)
    checked = 0
    for day in range(40):
        precision = known[day] + np.diag(settled.precision[day])
        covariance = np.linalg.inv(precision)
        mean = covariance @ (known[day] @ TURN @ predicted[0][day] + settled.pull[day])
        for edge in range(2):
            at, variance = exact(edges, predicted, day, edge, settled)
            if settled.precision[day, edge] > 0 and variance > 1.5 * CELL:
                assert mean[edge] == pytest.approx(at, abs=0.5)
                assert covariance[edge, edge] == pytest.approx(variance, rel=0.02)
                checked += 1
    assert checked > 60


def test_one_side_only_still_moves_the_day() -> None:
    """Full strips and nothing else have no summit; they draw the bottom down, as the sum says."""
    step = np.where(BOTTOMS <= 640.0, 0.0, -8.0)[None]
    edges = replace(days(step, np.zeros((1, len(TOPS)))), has_top=np.array([False]))
    predicted = others((650.0, 185.0), 30.0, 30.0, count=1)
    found = renewed(edges, predicted)
    precision = 1 / 30.0**2 + found.precision[0, 0]
    at, variance = exact(edges, predicted, 0, 0, Matched.nothing(1))
    assert (found.pull[0, 0] + 650.0 / 30.0**2) / precision == pytest.approx(at, abs=0.01)
    assert 1 / precision == pytest.approx(variance, rel=1e-3)
    assert at < 640.0


def test_evidence_is_never_negative() -> None:
    """A likelihood with two summits may widen a day; evidence then says where, not how surely."""
    summits = (normal(np.array([at]), 12.0, BOTTOMS) for at in (580.0, 710.0))
    two = np.logaddexp(*summits)
    edges = replace(days(two, np.zeros((1, len(TOPS)))), has_top=np.array([False]))
    predicted = others((650.0, 185.0), 40.0, 30.0, count=1)
    found = renewed(edges, predicted)
    at, variance = exact(edges, predicted, 0, 0, Matched.nothing(1))
    assert variance > 40.0**2
    assert found.precision[0, 0] == 0.0
    assert 650.0 + found.pull[0, 0] * 40.0**2 == pytest.approx(at, abs=0.5)


def test_a_needle_counts_as_one_cell_of_the_lattice() -> None:
    """Strips cannot place an edge better than the lattice holds it: a cell's variance stays."""
    needle = np.full((1, len(BOTTOMS)), -80.0)
    needle[0, 20] = 0.0
    edges = replace(days(needle, np.zeros((1, len(TOPS)))), has_top=np.array([False]))
    found = renewed(edges, others((650.0, 185.0), 30.0, 30.0, count=1))
    assert 1 / (found.precision[0, 0] + 1 / 30.0**2) == pytest.approx(CELL)
    mean = (found.pull[0, 0] + 650.0 / 30.0**2) * CELL
    assert mean == pytest.approx(BOTTOMS[20], abs=0.01)


def test_a_share_of_the_new_evidence_is_taken_over() -> None:
    """Half of the way from old to new, in precision and in pull."""
    edges = days(normal(np.array([650.0]), 25.0, BOTTOMS), normal(np.array([840.0]), 40.0, TOPS))
    predicted = others((640.0, 190.0), 45.0, 50.0, count=1)
    old = Matched(np.array([[0.004, 0.0]]), np.array([[2.0, 0.0]]))
    whole, half = (old.renewed(edges, predicted, share=share) for share in (1.0, 0.5))
    assert half.precision[0, 0] == pytest.approx((0.004 + whole.precision[0, 0]) / 2)
    assert half.pull[0, 0] == pytest.approx((2.0 + whole.pull[0, 0]) / 2)
    assert old.precision[0, 0] == 0.004  # what was there before is not touched
