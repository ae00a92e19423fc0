"""A set of strips against the job's rule."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from lapwright.errors import LapwrightError
from lapwright.proof.peel import Grade, Peeled, PeelTrace, weigh
from lapwright.proof.peelset import PeelRule, judge

WIDTH = 0.025  # m
LEAST = 6000.0  # N/m; 150 N on 25 mm
FOUR = PeelRule(LEAST, passing="four_of_five")


def strip(name: str, force: float, *, grade: Grade | None = None, slips: bool = False) -> Peeled:
    """A level pull of so many newton."""
    travel = np.linspace(0.0, 0.08, 321)
    pull = np.interp(travel, [0.0, 0.002, 0.079, 0.08], [0.0, force, force, 0.0])
    if slips:
        pull = np.where((travel > 0.04) & (travel < 0.045), 0.1 * force, pull)
    return weigh(PeelTrace(name, tuple(travel), tuple(pull), WIDTH, grade=grade))


def five(*forces: float) -> list[Peeled]:
    """Strips 1, 2, 3 ..."""
    return [strip(str(place), force) for place, force in enumerate(forces, start=1)]


# The four-of-five rule: at least 4 of 5 meet the value, the fifth at least 80 % of it. GRI-GM19,
# as its institute answered in a trade magazine of 1 August 2013.
@pytest.mark.parametrize(
    ("forces", "verdict"),
    [
        ((170, 170, 170, 170, 170), "pass"),
        ((170, 170, 170, 170, 125), "pass"),  # 83 %
        ((170, 170, 170, 170, 115), "fail"),  # 77 %
        ((170, 170, 170, 140, 140), "fail"),
        ((170, 170, 170, 170), "not_finished"),
        ((170, 170, 170, 170, 170, 125), "not_finished"),
    ],
)
def test_four_of_five(forces: tuple[float, ...], verdict: str) -> None:
    """Four of five meet the rule and the fifth reaches 80 % of it; six strips are not five."""
    assert judge(five(*forces), rule=FOUR).verdict == verdict


def test_every_strip_must_meet_the_rule_unless_said() -> None:
    """One strip at 83 % fails a set that four of five would pass."""
    pulled = judge(five(170, 170, 170, 170, 125), rule=PeelRule(LEAST))
    assert pulled.verdict == "fail"
    assert [each.state for each in pulled.strips][-1] == "near"


def test_too_few_strips_are_not_finished_and_a_short_one_fails_at_once() -> None:
    """Two good of three wanted wait; one short of two fails."""
    rule = PeelRule(LEAST, strips=3)
    assert judge(five(170, 170), rule=rule).verdict == "not_finished"
    assert judge(five(170, 100), rule=rule).verdict == "fail"


def test_without_a_clause_force_is_not_judged() -> None:
    """No clause, no verdict; but a weld that came apart fails all the same."""
    assert judge(five(170, 20), rule=PeelRule()).verdict == "no_rule"
    opened = [strip("1", 170, grade="cold")]
    assert judge(opened, rule=PeelRule()).verdict == "fail"


@pytest.mark.parametrize("grade", ["cold", "skin", "partial"])
def test_a_weld_that_came_apart_fails_at_any_force(grade: Any) -> None:
    """Force does not make it sound; film torn to the scrim is judged by its force."""
    pulled = judge([strip("1", 900, grade=grade)], rule=PeelRule(LEAST))
    assert (pulled.verdict, pulled.strips[0].state) == ("fail", "opened")
    assert {caution.code for caution in pulled.cautions} >= {"peel_opened"}
    assert judge([strip("1", 900, grade="full")], rule=PeelRule(LEAST)).verdict == "pass"


def test_a_slip_waits_for_a_person() -> None:
    """A strip that looks slipped is neither counted nor left out until somebody says which."""
    strips = [*five(170, 170), strip("3", 170, slips=True)]
    rule = PeelRule(LEAST)
    waiting = judge(strips, rule=rule)
    assert (waiting.verdict, waiting.strips[2].state) == ("look", "look")
    assert [c.data["strip"] for c in waiting.cautions if c.code == "peel_slip"] == ["3"]
    assert judge(strips, rule=rule, invalid=["3"]).verdict == "pass"
    kept = judge(strips, rule=rule, valid=["3"])
    assert kept.strips[2].state == "meets"
    assert "peel_slip" not in {caution.code for caution in kept.cautions}


def test_an_invalid_strip_counts_in_nothing() -> None:
    """Neither in the verdict nor in the statistics, whoever says so: person or file."""
    strips = five(170, 170, 20)
    pulled = judge(strips, rule=PeelRule(LEAST), invalid=["3"])
    assert pulled.verdict == "pass"
    assert pulled.mean == pytest.approx(pulled.strips[0].value)
    written = [*five(170, 170), strip("3", 20, grade="invalid")]
    assert judge(written, rule=PeelRule(LEAST)).verdict == "pass"


def test_statistics_of_a_set_by_hand() -> None:
    """Mean, spread and the 95 % limits of the mean: 4 strips, t = 3.182 of any table."""
    pulled = judge(five(160, 170, 180, 190), rule=PeelRule(LEAST))
    values = np.array([each.value for each in pulled.strips])
    assert pulled.mean == pytest.approx(values.mean())
    assert pulled.sd == pytest.approx(values.std(ddof=1))
    assert pulled.high is not None
    assert pulled.high - values.mean() == pytest.approx(3.182 * values.std(ddof=1) / 2, rel=1e-3)
    assert (pulled.lowest, pulled.highest) == (values.min(), values.max())
    alone = judge(five(170), rule=PeelRule(LEAST))
    assert (alone.mean, alone.low) == (None, None)


def test_a_strip_in_another_unit_is_doubted() -> None:
    """One strip 4.45 times the others was read in the other unit; spread of a real set is not."""
    mixed = judge(five(170, 175, 165, 170 * 4.448), rule=PeelRule(LEAST))
    assert [c.data["strip"] for c in mixed.cautions if c.code == "peel_unit"] == ["4"]
    real = judge(five(170, 200, 120, 240), rule=PeelRule(LEAST))
    assert "peel_unit" not in {caution.code for caution in real.cautions}


def test_the_figure_that_is_judged_can_be_chosen() -> None:
    """A strip that starts at 200 N and peels on at 100 N meets 150 N by its peak only."""
    travel = np.linspace(0.0, 0.06, 601)
    pull = np.interp(travel, [0, 0.002, 0.004, 0.059, 0.06], [0, 200, 100, 100, 0])
    one = [weigh(PeelTrace("1", tuple(travel), tuple(pull), WIDTH))]
    assert judge(one, rule=PeelRule(LEAST, figure="peak")).verdict == "pass"
    assert judge(one, rule=PeelRule(LEAST, figure="average")).verdict == "fail"


def test_names_must_be_known_and_single() -> None:
    """An unknown strip, one named twice, and one called both valid and invalid are refused."""
    with pytest.raises(LapwrightError, match="peel_no_such_strip"):
        judge(five(170), rule=FOUR, invalid=["9"])
    with pytest.raises(LapwrightError, match="peel_same_name"):
        judge([*five(170), strip("1", 160)], rule=FOUR)
    with pytest.raises(LapwrightError, match="peel_both_ways"):
        judge(five(170), rule=FOUR, invalid=["1"], valid=["1"])
