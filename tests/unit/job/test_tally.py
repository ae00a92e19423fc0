"""The crew's counts over the days."""

from __future__ import annotations

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.tally import ENOUGH, Day, tally


def day(number: int, voids: int, *, operator: str = "Ana", bad: int = 0, strips: int = 6) -> Day:
    """A day with 300 m probed."""
    return Day(f"d{number}", operator, "W1", voids, 300.0, bad, strips)


STEADY = [day(k, 3) for k in range(10)]


def test_one_chart_for_voids_and_one_for_strips() -> None:
    """All days together, voids first; a kind that nobody counted has no chart."""
    assert [chart.kind for chart in tally(STEADY).charts] == ["rate", "share"]
    no_strips = [day(k, 3, strips=0) for k in range(4)]
    assert [chart.kind for chart in tally(no_strips).charts] == ["rate"]


def test_each_person_is_held_against_their_own_measure() -> None:
    """By operator, one with twice the voids of the other is not out for that."""
    days = [day(k, 2 + 2 * (k % 2), operator="AB"[k % 2]) for k in range(12)]
    charts = [chart for chart in tally(days, by="operator").charts if chart.kind == "rate"]
    assert [chart.who for chart in charts] == ["A", "B"]
    assert charts[1].centre == pytest.approx(2 * charts[0].centre)
    assert not charts[0].out
    assert not charts[1].out


def test_a_lasting_change_hides_in_its_own_measure() -> None:
    """Half the days worse: against the first half they are out, against all days less so."""
    days = [day(k, 3 if k < 8 else 8) for k in range(14)]
    against_first = tally(days, base=8).charts[0]
    against_all = tally(days).charts[0]
    assert against_first.early in ("d8", "d9")
    assert len(against_first.out) > len(against_all.out)
    assert against_first.out[0] in ("d8", "d9", "d10")


def test_early_warning_is_over_when_work_is_steady_again() -> None:
    """Only the warning in which the last days stand counts, and better work is none."""
    days = [day(k, voids) for k, voids in enumerate([3, 3, 3, 3, 9, 9, 3, 1, 1, 2, 2, 3])]
    chart = tally(days, base=4).charts[0]
    assert "watch" in {point.state for point in chart.smoothed} or chart.out
    assert chart.early is None
    better = tally([day(k, 12 if k < 4 else 1) for k in range(12)], base=4).charts[0]
    assert better.early is None
    assert better.out


def test_alarms_are_foretold() -> None:
    """The chart says how long it runs between false alarms and until it sees twice the voids."""
    chart = tally(STEADY).charts[0]
    assert chart.false_alarm is not None
    assert chart.doubled is not None
    assert chart.false_alarm > 250 > 10 > chart.doubled
    strips = tally(STEADY).charts[1]
    assert (strips.false_alarm, strips.doubled) == (None, None)


def test_a_measure_without_any_find_is_no_measure() -> None:
    """If the first days held nothing, all days are the measure, or one bad strip would be out."""
    days = [day(k, 3, bad=int(k == 7)) for k in range(10)]
    strips = tally(days, base=4).charts[1]
    assert strips.centre == pytest.approx(1 / 60)
    assert not strips.out


def test_few_finds_are_said() -> None:
    """Below 25 finds the measure is called rough, above it is not."""
    few = {caution.code for caution in tally(STEADY, base=3).cautions}
    assert few == {"not_why", "few_found"}
    many = [day(k, ENOUGH, strips=0) for k in range(3)]
    assert {caution.code for caution in tally(many).cautions} == {"not_why"}


def test_two_are_compared_by_voids_and_by_strips() -> None:
    """The pair sums each one's days, by name of operator or machine."""
    days = [*STEADY, *(day(10 + k, 9, operator="Ben") for k in range(10))]
    rate, share = tally(days, compare=("Ben", "Ana")).pairs
    assert rate.comparison.first == pytest.approx(3 * rate.comparison.second)
    assert rate.comparison.is_apart
    assert not share.comparison.is_apart
    with pytest.raises(LapwrightError, match="tally_no_such") as caught:
        tally(days, compare=("Ben", "Eva"))
    assert caught.value.data["known"] == "Ana, W1, Ben"


def test_nothing_counted_is_refused() -> None:
    """A file without a day, or with days on which nothing was looked at, has no chart."""
    for days in ([], [Day("d", "Ana", "W1", 0, 0.0, 0, 0)]):
        with pytest.raises(LapwrightError, match="no_stretches"):
            tally(days)
