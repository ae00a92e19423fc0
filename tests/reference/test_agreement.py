"""Agreement of graders against the examples that the inventors of the indices printed."""

from __future__ import annotations

import pytest

from lapwright.proof.agreement import cohen, fleiss


def test_cohen_1960_second_table() -> None:
    """Two hundred patients, three diagnoses, two judges: kappa 0.492."""
    # Cohen, Educational and Psychological Measurement 20, 1960, 37-46: agreement seen 0.70,
    # by chance 0.41, kappa 0.492 (counts from memory). Reached: 0.49153.
    found = cohen(((88, 14, 18), (10, 40, 10), (2, 6, 12)))
    assert found is not None
    assert found.value == pytest.approx(0.492, abs=5e-4)


def test_cohen_1960_first_table() -> None:
    """Less agreement than luck gives: kappa -0.09."""
    # Same paper, table 1, proportions of 100: seen 0.29, by chance 0.35, kappa -0.09 (from
    # memory). Reached: -0.0923.
    found = cohen(((25, 13, 12), (12, 2, 16), (3, 15, 2)))
    assert found is not None
    assert found.value == pytest.approx(-0.09, abs=5e-3)
    assert not found.is_beyond_chance


def test_fleiss_cohen_everitt_1969_standard_error() -> None:
    """The large-sample error of kappa 0.429 on two hundred subjects is 0.054."""
    # Fleiss, Cohen and Everitt, Psychological Bulletin 72, 1969, 323-327: proportions .53 .05
    # .02 / .11 .14 .05 / .01 .06 .03, kappa .429, variance .002885 (from memory).
    # Reached: 0.42857, 0.05374.
    found = cohen(((106, 10, 4), (22, 28, 10), (2, 12, 6)))
    assert found is not None
    assert found.value == pytest.approx(0.429, abs=5e-4)
    assert (found.high - found.low) / 2 / 1.959964 == pytest.approx(0.002885**0.5, abs=2e-4)


# Fleiss, Psychological Bulletin 76, 1971, table 1: thirty patients, six psychiatrists each;
# depression, personality disorder, schizophrenia, neurosis, other. Counts as statsmodels'
# own tests carry them (SEEN there, the paper itself was not at hand).
DIAGNOSES = [
    (0, 0, 0, 6, 0), (0, 3, 0, 0, 3), (0, 1, 4, 0, 1), (0, 0, 0, 0, 6), (0, 3, 0, 3, 0),
    (2, 0, 4, 0, 0), (0, 0, 4, 0, 2), (2, 0, 3, 1, 0), (2, 0, 0, 4, 0), (0, 0, 0, 0, 6),
    (1, 0, 0, 5, 0), (1, 1, 0, 4, 0), (0, 3, 3, 0, 0), (1, 0, 0, 5, 0), (0, 2, 0, 3, 1),
    (0, 0, 5, 0, 1), (3, 0, 0, 1, 2), (5, 1, 0, 0, 0), (0, 2, 0, 4, 0), (1, 0, 2, 0, 3),
    (0, 0, 0, 0, 6), (0, 1, 0, 5, 0), (0, 2, 0, 1, 3), (2, 0, 0, 4, 0), (1, 0, 0, 4, 1),
    (0, 5, 0, 1, 0), (4, 0, 0, 0, 2), (0, 2, 0, 4, 0), (1, 0, 5, 0, 0), (0, 0, 0, 0, 6),
]  # fmt: skip


def test_fleiss_1971_psychiatric_diagnoses() -> None:
    """Thirty patients, six psychiatrists: kappa 0.430."""
    # Printed: column totals 26, 26, 30, 55, 43 of 180, kappa 0.430. Reached: 0.43024.
    assert [sum(column) for column in zip(*DIAGNOSES, strict=True)] == [26, 26, 30, 55, 43]
    assert fleiss(DIAGNOSES) == pytest.approx(0.430, abs=5e-4)


def test_the_commonly_printed_fourteen_raters() -> None:
    """Ten subjects, fourteen raters, five categories: kappa 0.210."""
    # Commonly printed worked example of Fleiss' kappa (from memory). Reached: 0.20993.
    ratings = [
        (0, 0, 0, 0, 14), (0, 2, 6, 4, 2), (0, 0, 3, 5, 6), (0, 3, 9, 2, 0), (2, 2, 8, 1, 1),
        (7, 7, 0, 0, 0), (3, 2, 6, 3, 0), (2, 5, 3, 2, 2), (6, 5, 2, 1, 0), (0, 2, 2, 3, 7),
    ]  # fmt: skip
    assert fleiss(ratings) == pytest.approx(0.210, abs=5e-4)


def test_quadratic_weights_of_two_raters() -> None:
    """Twenty subjects on a scale of six: kappa with squared weights 0.2520, plain -0.0063."""
    # Ratings 2 and 3 of the "anxiety" example of R's package irr, whose printed results
    # statsmodels' tests carry (SEEN there). The level that neither used is left out there too.
    second = [3, 6, 4, 6, 2, 4, 2, 4, 3, 3, 2, 3, 3, 3, 2, 2, 1, 3, 3, 4]
    third = [2, 1, 4, 4, 3, 2, 1, 6, 1, 1, 1, 2, 3, 3, 1, 1, 3, 3, 2, 2]
    levels = (1, 2, 3, 4, 6)
    table = tuple(
        tuple(
            sum((a, b) == (row, column) for a, b in zip(second, third, strict=True))
            for column in levels
        )
        for row in levels
    )
    plain, weighted = cohen(table), cohen(table, weighted=True)
    assert plain is not None
    assert weighted is not None
    assert plain.value == pytest.approx(-0.006289308, abs=1e-8)
    assert weighted.value == pytest.approx(0.2520325, abs=1e-7)
