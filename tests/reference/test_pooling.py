"""The mixed model against published fits and against statsmodels, on data known without error."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm

from lapwright.window.pooling import Evidence, Group, Pooling, Solved, Start
from lapwright.window.prior import Values

KNOWN = 1.0  # K2; error of each value, part of what is left over
FLAT = 1e10  # K2; nothing known of the mean, so that the fit is one of restricted likelihood


def fitted(values: Values, *levels: list[int]) -> tuple[Values, Solved]:
    """Standard deviations of groups and of the rest, and the effects, of one column."""
    count = len(values)
    groups = tuple(Group(np.array(level), max(level) + 1) for level in levels)
    spread = np.full((len(levels) + 1, 2), float(np.var(values)))
    start = Start(np.array([[values.mean(), 0.0]]), np.full((1, 2), FLAT), spread, weight=0.0)
    pooling = Pooling(Group(np.zeros(count, dtype=int), 1), groups, start=start)
    precision = np.zeros((count, 2, 2))
    precision[:, 0, 0] = 1 / KNOWN
    pull = np.stack([values / KNOWN, np.zeros(count)], axis=1)
    evidence = Evidence(precision, pull)
    variance = pooling.seek(evidence, spread)
    left = [*variance[:-1, 0], variance[-1, 0] + KNOWN]
    return np.sqrt(left), pooling.solve(evidence, variance)


# Yield of dyestuff from six batches: Davies and Goldsmith, Statistical Methods in Research and
# Production, 4th ed. 1972, section 6.4, as in lme4 (values from memory). A balanced one-way
# layout, so that the variance components follow from the two mean squares, 11271.5 and 2451.25:
# batch (11271.5 - 2451.25) / 5 = 1764.05, rest 2451.25. Reached: 1e-4.
DYESTUFF = (
    1545, 1440, 1440, 1520, 1580, 1540, 1555, 1490, 1560, 1495, 1595, 1550, 1605, 1510, 1560,
    1445, 1440, 1595, 1465, 1545, 1595, 1630, 1515, 1635, 1625, 1520, 1455, 1450, 1480, 1445,
)  # fmt: skip


def test_dyestuff_comes_out_as_the_analysis_of_variance_has_it() -> None:
    """One group, balanced: restricted likelihood is the analysis of variance."""
    values = np.array(DYESTUFF, dtype=float)
    spread, solved = fitted(values, [place // 5 for place in range(30)])
    batches = values.reshape(6, 5)
    between = 5 * batches.mean(axis=1).var(ddof=1)
    within = batches.var(axis=1, ddof=1).mean()
    assert spread**2 == pytest.approx([(between - within) / 5, within], rel=1e-3)
    assert spread == pytest.approx([42.00, 49.51], abs=0.02)
    assert solved.effect[0, 0] == pytest.approx(1527.5, abs=1e-3)
    assert np.sqrt(solved.covariance[0, 0, 0, 0]) == pytest.approx(19.383, abs=0.01)


# Zone of inhibition, six samples of penicillin on each of 24 plates: Davies and Goldsmith 1972,
# section 6.6, as in lme4. Restricted likelihood by lme4, printed in a comparison of programs for
# crossed effects (J. M. Rosenberg, bookdown.org): plate 0.8467, sample 1.9316, rest 0.5499,
# mean 22.97 with standard error 0.8086. Reached: 1e-4.
PENICILLIN = (
    "272326232321 272326232321 252125242420 262325232320 252226222320 242225232219 "
    "242023212219 262226242421 242124222220 242124232219 262326242421 252226242420 "
    "262426242522 262326232320 262325242422 252225232320 252124232320 252224232319 "
    "242123212119 262326242421 252124222218 252225222220 242124222419 242124222118"
)


def test_penicillin_comes_out_as_published() -> None:
    """Two crossed groups: plates and samples part as in the published fit."""
    plates = PENICILLIN.split()
    values = [float(row[at : at + 2]) for row in plates for at in range(0, 12, 2)]
    plate = [place for place in range(24) for _ in range(6)]
    spread, solved = fitted(100 * np.array(values), plate, list(range(6)) * 24)
    assert spread / 100 == pytest.approx([0.8467, 1.9316, 0.5499], abs=2e-4)
    assert solved.effect[0, 0] / 100 == pytest.approx(22.97222, abs=1e-4)
    assert np.sqrt(solved.covariance[0, 0, 0, 0]) / 100 == pytest.approx(0.8086, abs=2e-4)


def test_unbalanced_crossed_groups_come_out_as_in_statsmodels() -> None:
    """Days strewn over pairings and machines: the same spreads, mean and effects as MixedLM."""
    rng = np.random.default_rng(5)
    pairing, machine = rng.integers(0, 7, 160), rng.integers(0, 9, 160)
    values = 650 + rng.normal(0, 20, 7)[pairing] + rng.normal(0, 12, 9)[machine]
    values = values + rng.normal(0, 15, 160)
    spread, solved = fitted(values, pairing.tolist(), machine.tolist())
    outside = sm.MixedLM.from_formula(
        "values ~ 1",
        groups=np.ones(160),
        vc_formula={"pairing": "0 + C(pairing)", "machine": "0 + C(machine)"},
        data=pd.DataFrame({"values": values, "pairing": pairing, "machine": machine}),
    ).fit(reml=True)
    named = dict(zip(outside.model.exog_vc.names, outside.vcomp, strict=True))
    expected = [named["pairing"], named["machine"], outside.scale]
    assert spread**2 == pytest.approx(expected, rel=2e-3)
    assert solved.effect[0, 0] == pytest.approx(outside.fe_params.iloc[0], abs=0.02)
    assert np.sqrt(solved.covariance[0, 0, 0, 0]) == pytest.approx(outside.bse_fe.iloc[0], rel=2e-3)
    theirs = outside.random_effects[1.0]
    ours = solved.effect[0, 1:17]
    assert ours == pytest.approx(_in_order(theirs, 7, 9), abs=0.05)


def test_twelve_months_are_found_beside_a_hundred_thousand_days() -> None:
    """Spreads of a large company are found in few steps, the rare ones too.

    Sought plainly the fit bends ten thousand times as much along days as along months, and a
    search of a few steps leaves the months where it took them up. Known here: the effects drawn.
    """
    rng = np.random.default_rng(11)
    days, months = 100_000, 12
    month = rng.integers(0, months, days)
    effect = rng.normal(0, 6.0, months)
    values = 650 + effect[month] + rng.normal(0, 12.0, days)
    variance = np.full((2, 2), 70.0**2)
    start = Start(np.array([[650.0, 0.0]]), np.full((1, 2), FLAT), variance, weight=4.0)
    level = Group(np.asarray(month, dtype=np.int64), months)
    pooling = Pooling(Group(np.zeros(days, dtype=int), 1), (level,), start=start)
    precision = np.zeros((days, 2, 2))
    precision[:, 0, 0] = 1 / KNOWN
    pull = np.stack([values / KNOWN, np.zeros(days)], axis=1)
    found = np.sqrt(pooling.seek(Evidence(precision, pull), variance, steps=12)[:, 0])
    # Four levels are guessed at 70 K, twelve are seen: the mode lies between, in closed form.
    told = np.sqrt((4 * 70.0**2 + 12 * effect.var()) / 16)
    assert found[0] == pytest.approx(told, rel=0.05)
    assert found[1] == pytest.approx(12.0, rel=0.01)


def _in_order(theirs: object, pairings: int, machines: int) -> list[float]:
    """Effects of statsmodels, pairings first."""
    return [theirs[f"pairing[C(pairing)[{n}]]"] for n in range(pairings)] + [  # type: ignore[index]
        theirs[f"machine[C(machine)[{n}]]"]  # type: ignore[index]
        for n in range(machines)
    ]
