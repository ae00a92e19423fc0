"""What clean cuts and probed feet prove."""

from __future__ import annotations

import math

import pytest

from lapwright.counts import bad_share_limit
from lapwright.errors import LapwrightError, OutOfRange
from lapwright.proof.cuts import (
    Group,
    bad_places_limit,
    bad_seam_limit,
    cuts_needed,
    void_rate_limit,
)


def _chance_of_so_few(bad: int, of: int, places: int, truly_bad: int) -> float:
    """Chance to find at most ``bad``, by counting the ways."""
    ways = sum(
        math.comb(truly_bad, k) * math.comb(places - truly_bad, of - k) for k in range(bad + 1)
    )
    return ways / math.comb(places, of)


@pytest.mark.parametrize(("bad", "of", "places"), [(0, 20, 272), (1, 20, 272), (2, 30, 60)])
def test_known_places_are_counted_exactly(bad: int, of: int, places: int) -> None:
    """The limit is the last number of bad places that such a count does not rule out."""
    limit = bad_places_limit(bad, of=of, places=places)
    assert _chance_of_so_few(bad, of, places, limit) > 0.05
    assert _chance_of_so_few(bad, of, places, limit + 1) <= 0.05


def test_all_places_seen_leaves_nothing_open() -> None:
    """When every place was looked at, only the bad ones found are bad."""
    assert bad_places_limit(3, of=50, places=50) == 3


def test_known_places_prove_a_little_more_than_endless_seam() -> None:
    """Not looking twice at a place helps; with very many places it no longer matters."""
    assert bad_places_limit(0, of=20, places=60) / 60 < bad_share_limit(0, of=20)
    many = bad_places_limit(0, of=20, places=1_000_000) / 1_000_000
    assert many == pytest.approx(bad_share_limit(0, of=20), abs=1e-4)


def test_more_cannot_be_looked_at_than_there_are() -> None:
    """61 looked at of 60 places is a slip, and so is more bad than looked at."""
    with pytest.raises(LapwrightError, match="more_than_places"):
        bad_places_limit(0, of=61, places=60)
    with pytest.raises(OutOfRange):
        bad_places_limit(5, of=4, places=60)


def test_groups_cut_evenly_prove_what_one_count_proves() -> None:
    """Clean cuts in proportion to length are as good as one random sample."""
    groups = [Group("A", 6, 0, 300.0), Group("B", 14, 0, 700.0)]
    assert bad_seam_limit(groups) == pytest.approx(bad_share_limit(0, of=20), rel=1e-9)


def test_uneven_clean_cuts_are_judged_at_the_worst_split() -> None:
    """No split of bad seam that the cuts allow at 5 % is worse than the limit, and one meets it."""
    groups = [Group("A", 20, 0, 500.0), Group("B", 5, 0, 500.0)]
    worst = 0.0
    for step in range(1, 4000):
        first = step / 4000
        # B may be as bad as still lets all cuts be clean with a chance of 5 %.
        left = 0.05 / (1 - first) ** 20
        second = 1 - left ** (1 / 5) if left < 1 else 0.0
        if left <= 1:
            worst = max(worst, 0.5 * first + 0.5 * second)
    assert bad_seam_limit(groups) == pytest.approx(worst, abs=2e-4)


def test_a_group_never_cut_may_be_bad_throughout() -> None:
    """No number of cuts elsewhere speaks for it."""
    groups = [Group("A", 500, 0, 750.0), Group("B", 0, 0, 250.0)]
    assert 0.25 < bad_seam_limit(groups) < 0.26
    assert bad_seam_limit([Group("B", 0, 0, 250.0)]) == 1.0


def test_with_bad_cuts_groups_share_the_risk() -> None:
    """Two groups are each bounded at 97.5 % and weighed by length; pooling would claim more."""
    groups = [Group("A", 10, 1, 100.0), Group("B", 10, 0, 300.0)]
    each = [bad_share_limit(bad, of=10, confidence=0.975) for bad in (1, 0)]
    assert bad_seam_limit(groups) == pytest.approx(0.25 * each[0] + 0.75 * each[1])


def test_groups_need_length_and_company() -> None:
    """No group, or one without length, is refused."""
    with pytest.raises(LapwrightError, match="no_groups"):
        bad_seam_limit([])
    with pytest.raises(OutOfRange):
        bad_seam_limit([Group("A", 1, 0, 0.0)])


def test_a_prober_who_misses_proves_less() -> None:
    """Noticing half the voids doubles what may be there; none, or more than all, is refused."""
    sharp, dull = (void_rate_limit(1, length=100.0, noticed=share) for share in (1.0, 0.5))
    assert dull == pytest.approx(2 * sharp)
    for noticed in (0.0, 1.1):
        with pytest.raises(OutOfRange):
            void_rate_limit(0, length=100.0, noticed=noticed)


@pytest.mark.parametrize("allowed", [0, 1, 3])
def test_cuts_needed_are_the_fewest(allowed: int) -> None:
    """So many cuts rule the share out, one fewer does not."""
    needed = cuts_needed(0.07, allowed=allowed)
    assert bad_share_limit(allowed, of=needed) <= 0.07 < bad_share_limit(allowed, of=needed - 1)


def test_a_share_lies_between_none_and_all() -> None:
    """No number of cuts rules out a share of nothing."""
    for share in (0.0, 1.0):
        with pytest.raises(OutOfRange):
            cuts_needed(share)
