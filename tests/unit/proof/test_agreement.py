"""Agreement of graders: counts, limits, and where an index says nothing."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.inter_rater import cohens_kappa, fleiss_kappa

from lapwright.errors import LapwrightError
from lapwright.proof.agreement import cohen, confusion, fleiss

GRADES = ("cold", "partial", "full")


def _table(rng: np.random.Generator, size: int) -> tuple[tuple[int, ...], ...]:
    counts = rng.integers(0, 9, (size, size)) + 4 * np.eye(size, dtype=int)
    return tuple(tuple(int(count) for count in row) for row in counts)


def test_a_table_has_the_first_in_rows() -> None:
    """Rows are the first grader's, columns the second's, in the order of the grades."""
    pairs = [("cold", "partial"), ("full", "full"), ("full", "full"), ("partial", "cold")]
    assert confusion(pairs, GRADES) == ((0, 1, 0), (1, 0, 0), (0, 0, 2))


@pytest.mark.parametrize("weighted", [False, True])
@pytest.mark.parametrize("size", [2, 3, 5])
def test_kappa_and_its_limits_are_those_of_an_oracle(size: int, weighted: bool) -> None:
    """Value and large-sample limits agree with statsmodels, plain and with quadratic weights."""
    rng = np.random.default_rng(20)
    for _ in range(20):
        table = _table(rng, size)
        found = cohen(table, weighted=weighted)
        oracle = cohens_kappa(np.array(table), wt="quadratic" if weighted else None)
        assert found is not None
        assert found.value == pytest.approx(oracle.kappa, abs=1e-12)
        assert found.low == pytest.approx(max(-1.0, oracle.kappa_low), abs=1e-9)
        assert found.high == pytest.approx(min(1.0, oracle.kappa_upp), abs=1e-9)


def test_fleiss_kappa_is_that_of_an_oracle() -> None:
    """The index of several graders agrees with statsmodels on tables drawn at random."""
    rng = np.random.default_rng(21)
    for graders in (2, 3, 6):
        counts = rng.multinomial(graders, [0.2, 0.3, 0.5], size=25)
        assert fleiss(counts.tolist()) == pytest.approx(fleiss_kappa(counts), abs=1e-12)


def test_weights_forgive_a_near_miss() -> None:
    """Cold for partial counts a quarter of cold for full: 1 step of 2, squared."""
    near, far = ((8, 2, 0), (0, 8, 0), (0, 0, 8)), ((8, 0, 2), (0, 8, 0), (0, 0, 8))
    (near_weighed, far_weighed), (near_plain, far_plain) = (
        [found.value for table in (near, far) if (found := cohen(table, weighted=weighted))]
        for weighted in (True, False)
    )
    assert near_weighed > far_weighed + 0.1
    assert near_plain == pytest.approx(far_plain, abs=0.02)


def test_nobody_apart_does_not_prove_one() -> None:
    """Twenty strips alike leave a slip possible: 1 - 0.025^(1/20) of the strips, by hand."""
    found = cohen(((10, 0), (0, 10)))
    assert found is not None
    slip = 1 - 0.025 ** (1 / 20)
    assert (found.value, found.high, found.basis) == (1.0, 1.0, "none_apart")
    assert found.low == pytest.approx(1 - slip / 0.5)
    assert found.is_beyond_chance


def test_few_alike_cannot_be_told_from_luck() -> None:
    """Three strips alike rule luck out no more than three tosses of a coin do."""
    found = cohen(((2, 0), (0, 1)))
    assert found is not None
    assert not found.is_beyond_chance


def test_one_grade_for_all_says_nothing() -> None:
    """Where chance alone explains everything there is no index."""
    assert cohen(((12, 0), (0, 0))) is None
    assert fleiss([(3, 0), (3, 0)]) is None
    assert cohen(((0, 0), (0, 0))) is None
    assert fleiss([]) is None


@pytest.mark.parametrize("table", [((1,),), ((1, 2), (3, 4), (5, 6))], ids=["one", "oblong"])
def test_what_is_no_table_is_refused(table: tuple[tuple[int, ...], ...]) -> None:
    """Not square, or of one grade only: refused, never computed."""
    with pytest.raises(LapwrightError) as caught:
        cohen(table)
    assert caught.value.code == "bad_table"


@pytest.mark.parametrize("counts", [[(2, 0), (2, 1)], [(1, 0), (0, 1)]], ids=["unequal", "single"])
def test_unequal_or_single_graders_are_refused(counts: list[tuple[int, int]]) -> None:
    """Fleiss' formula holds for equal numbers of graders, two at least."""
    with pytest.raises(LapwrightError) as caught:
        fleiss(counts)
    assert caught.value.code == "bad_table"
