"""Questions about cuts and their answers."""

from __future__ import annotations

from lapwright.counts import bad_share_limit
from lapwright.job.proving import Asked, prove
from lapwright.proof.cuts import Group


def _codes(asked: Asked) -> list[str]:
    return [caution.code for caution in prove(asked).cautions]


def test_only_what_is_asked_is_answered() -> None:
    """Each question fills its own answer and leaves the others open."""
    answers = prove(Asked(taken=20))
    assert answers.share == bad_share_limit(0, of=20)
    assert [cuts for _, cuts in answers.needed] == [29, 59, 299]
    assert (answers.places, answers.seam, answers.rate, answers.plan, answers.hit) == (None,) * 5
    assert prove(Asked(probed=304.8)).share is None


def test_counted_places_are_answered_in_places() -> None:
    """Twenty clean T-joints of 272 leave 36 open."""
    answers = prove(Asked(taken=20, places=272))
    assert (answers.places, answers.share) == (36, None)


def test_sureness_is_passed_on() -> None:
    """At 90 % every limit is lower than at 95 %."""
    groups = (Group("A", 5, 0, 100.0), Group("B", 5, 0, 50.0))
    asked = {"taken": 20, "groups": groups, "probed": 100.0}
    sure, less = prove(Asked(**asked)), prove(Asked(**asked, sure=0.9))
    for one, other in ((sure.share, less.share), (sure.seam, less.seam), (sure.rate, less.rate)):
        assert one is not None
        assert other is not None
        assert other < one
    assert less.groups[0][1] < sure.groups[0][1]


def test_curve_shows_the_shares_asked_for() -> None:
    """Good and poor stand in the curve of their plan, in order, and keep their risks."""
    answers = prove(Asked(good=0.013, poor=0.12))
    curve = dict(answers.curve)
    assert list(curve) == sorted(curve)
    assert curve[0.013] >= 0.95
    assert curve[0.12] <= 0.1


def test_each_answer_says_what_it_does_not_say() -> None:
    """Counts come with the doubt about stretches, probing with bond, plans with their holes."""
    assert _codes(Asked(taken=3)) == ["counts_in_stretches"]
    assert _codes(Asked(probed=10.0)) == ["probing_is_not_bond"]
    assert _codes(Asked(good=0.01, poor=0.1)) == ["counts_in_stretches", "cuts_hurt"]
    assert _codes(Asked(spacing=100.0)) == ["cuts_hurt"]
