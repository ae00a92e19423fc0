"""Each day foretold from the others: deletion, score and coverage against plain calculations."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import scipy.stats
from tests.pastdays import company

from lapwright.window.dayedges import BOTTOMS, TOPS, day_edges
from lapwright.window.history import Learnt, learn
from lapwright.window.leftout import LeftOut, left_out
from lapwright.window.matching import Matched
from lapwright.window.pastwelds import FAMILY_CODES
from lapwright.window.pooling import Evidence
from lapwright.window.prior import EARLIER_SHARE, FAMILIES, TAIL, WEAK_TAIL, Values


@pytest.fixture(scope="module")
def checked() -> list[tuple[Learnt, LeftOut]]:
    """Twelve companies that are what the model takes them for, learnt and checked."""
    learnt = [learn(company(np.random.default_rng(seed), days=120).past) for seed in range(12)]
    return [(each, left_out(each)) for each in learnt]


def test_leaving_a_day_out_is_learning_without_it() -> None:
    """At the same spreads and evidence, a day foretold in closed form is one that was deleted."""
    past = company(np.random.default_rng(2), days=15, counts=(3, 2, 2), looked=0.6).past
    learnt = learn(past)
    pooling = learnt.pooling
    evidence = Matched.nothing(15)
    for _ in range(12):
        others = pooling.solve(evidence.natural, learnt.variance).others
        evidence = evidence.renewed(day_edges(past), others, share=1.0)
    natural = evidence.natural
    mean, covariance = pooling.solve(natural, learnt.variance).others
    for day in range(15):
        without = Evidence(natural.precision.copy(), natural.pull.copy())
        without.precision[day], without.pull[day] = 0.0, 0.0
        solved = pooling.solve(without, learnt.variance)
        column = pooling.column[day]
        assert mean[day] == pytest.approx(solved.effect[:, column].sum(axis=1), abs=1e-6)
        doubt = sum(solved.covariance[:, a, :, b] for a in column for b in column)
        spread = pooling.spread(learnt.variance, column[None])[0]
        assert covariance[day] == pytest.approx(doubt + np.diag(spread), rel=1e-6, abs=1e-6)


def table(learnt: Learnt, day: int) -> tuple[Values, Values]:
    """Prior of one day as it is given out, and the weak start, over (bottom, top), cell by cell."""
    mean, covariance = (each[day] for each in learnt.solved.others)
    sd = np.sqrt(np.diag(covariance))
    family = FAMILIES[FAMILY_CODES[learnt.past.membrane[day]]]
    bottom, top = np.meshgrid(BOTTOMS, TOPS, indexing="ij")
    width, t = top - bottom, scipy.stats.t.pdf

    def part(at: Values, scale: Values, tail: float) -> Values:
        both = t((bottom - at[0]) / scale[0], tail) * t((width - at[1]) / scale[1], tail)
        both = np.where(width > 0, both, 0.0)
        return np.asarray(both / both.sum())

    weak = part(
        np.array([family.bottom, family.width]),
        np.array([family.bottom_scale, family.width_scale]),
        WEAK_TAIL,
    )
    return EARLIER_SHARE * part(mean, sd, TAIL) + (1 - EARLIER_SHARE) * weak, weak


def test_score_error_and_coverage_are_those_of_the_whole_table() -> None:
    """Day by day: likelier by how much, mean moved by how much, mass within the interval."""
    past = company(np.random.default_rng(5), days=30).past
    learnt = learn(replace(past, membrane=np.arange(30, dtype=np.int8) % 3))
    found = left_out(learnt)
    assert len(found.gain) == len(found.bottom.error) == len(found.top.covered) == 30
    for day in range(30):
        prior, weak = table(learnt, day)
        likely = np.exp(learnt.edges.bottom[day].astype(float))[:, None] * np.exp(
            learnt.edges.top[day].astype(float)
        )
        after = prior * likely
        assert found.gain[day] == pytest.approx(np.log(after.sum() / (weak * likely).sum()))
        after /= after.sum()
        for axis, lattice, edge in ((1, BOTTOMS, found.bottom), (0, TOPS, found.top)):
            foretold, own = prior.sum(axis=axis), after.sum(axis=axis)
            assert edge.error[day] == pytest.approx((own - foretold) @ lattice, abs=1e-6)
            assert edge.covered[day] == pytest.approx(within(foretold, own), abs=1e-9)


def within(foretold: Values, found: Values) -> float:
    """Mass of ``found`` between the 5 % and 95 % points of ``foretold``, cells taken as even."""
    borders = np.arange(len(foretold) + 1.0)
    ends = np.interp([0.05, 0.95], np.append(0.0, np.cumsum(foretold)), borders)
    low, high = np.interp(ends, borders, np.append(0.0, np.cumsum(found)))
    return float(high - low)


def test_what_was_learnt_is_worth_something(checked: list[tuple[Learnt, LeftOut]]) -> None:
    """In a company that is as the model takes it, every company's days gain on average."""
    gains = [found.gain.mean() for _, found in checked]
    assert min(gains) > 0.2
    assert np.mean(gains) > 0.4


def test_intervals_hold_the_edges_as_often_as_said(
    checked: list[tuple[Learnt, LeftOut]],
) -> None:
    """Nine in ten or a little more: the weak part and the tails make the prior a little wide."""
    for edge in ("bottom", "top"):
        covered = np.concatenate([getattr(found, edge).covered for _, found in checked])
        assert 0.9 <= covered.mean() < 0.98
        error = np.concatenate([getattr(found, edge).error for _, found in checked])
        assert abs(error.mean()) < 5  # K; days are not foretold too hot or too cold


def test_a_prior_that_is_wrong_shows(checked: list[tuple[Learnt, LeftOut]]) -> None:
    """Foretold 80 K off and too surely, days lose; the weak start keeps intervals from missing."""
    learnt, right = checked[0]
    mean, covariance = learnt.solved.others
    solved = replace(learnt.solved, others=(mean + np.array([80.0, 0.0]), covariance / 4))
    wrong = left_out(replace(learnt, solved=solved))
    assert wrong.gain.mean() < right.gain.mean() - 0.5
    assert wrong.bottom.error.mean() < -30
    assert wrong.bottom.covered.mean() < right.bottom.covered.mean() - 0.04


def test_only_days_that_say_something_are_judged() -> None:
    """Tops on days when somebody looked, bottoms on days with pulls, a score for either."""
    past = company(np.random.default_rng(6), days=60, looked=0.5).past
    unpulled = past.day < 10
    past = replace(past, **{name: np.where(unpulled, 0, getattr(past, name)).astype(np.int8)
                            for name in ("cold", "partial", "full")})  # fmt: skip
    learnt = learn(past)
    looked = np.array([past.looked[past.day == day].any() for day in range(60)])
    found = left_out(learnt)
    assert len(found.bottom.error) == len(found.bottom.covered) == 50
    assert len(found.top.error) == looked.sum()
    assert len(found.gain) == 50 + looked[:10].sum()
    assert 0 < looked[:10].sum() < 10


def test_without_a_day_there_is_nothing_to_judge() -> None:
    """No day: empty figures, no error."""
    past = company(np.random.default_rng(6), days=1).past
    none = replace(past, **{name: getattr(past, name)[:0] for name in past.__dataclass_fields__})
    found = left_out(learn(none))
    assert (len(found.gain), len(found.bottom.error), len(found.top.covered)) == (0, 0, 0)
