"""One word for where the morning stands: the first that applies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from lapwright.window.setpoint import SetPoint
from lapwright.window.strips import TestWeld
from lapwright.window.verdict import Standing, verdict

Build = Callable[..., TestWeld]
GOOD = SetPoint(740.0, 0.05, 0.95, 0.93, 60.0, 90.0, 0.02, 0.02)
POOR = replace(GOOD, p_sound=0.7)


@pytest.fixture
def standing(weld: Build) -> Standing:
    """Three welds, both edges seen, set point not good enough."""
    welds = (weld(1, 700, "cpf"), weld(2, 850, "fff"), weld(3, 1100, "fff", "signs"))
    return Standing(welds, True, 0.8, 0.1, POOR, False, False, 0.9)


def test_not_known_yet_is_what_is_left(standing: Standing) -> None:
    """Nothing special: not known yet."""
    assert verdict(standing) == "not_known_yet"
    assert verdict(replace(standing, set_point=None)) == "not_known_yet"


def test_nothing_tested_comes_first(standing: Standing) -> None:
    """Without a weld nothing else is said."""
    assert verdict(replace(standing, welds=(), near=False, certified=True)) == "no_test_weld"


def test_too_far_beats_any_result(standing: Standing) -> None:
    """What was tested too far away is no result here, however good."""
    assert verdict(replace(standing, near=False, certified=True)) == "test_again"


@pytest.mark.parametrize(
    ("field", "limit", "beyond", "code"),
    [("p_beyond", 0.9, 0.899, "saturated"), ("p_window", 0.1, 0.101, "no_window")],
)
def test_no_way_is_said_at_its_limit_after_three_welds(
    standing: Standing, field: str, limit: float, beyond: float, code: str
) -> None:
    """Saturated from 0.9 and no window up to 0.1, never before the third weld."""
    assert verdict(replace(standing, **{field: limit})) == code
    assert verdict(replace(standing, **{field: beyond})) == "not_known_yet"
    two = replace(standing, welds=standing.welds[:2], **{field: limit})
    assert verdict(two) == "not_known_yet"


def test_a_weak_machine_explains_a_missing_window(standing: Standing) -> None:
    """When both apply the machine is named."""
    assert verdict(replace(standing, p_beyond=1.0, p_window=0.0)) == "saturated"


def test_certified_stands_before_what_is_missing(standing: Standing) -> None:
    """A certified set point is certified although the bottom was never seen."""
    assert verdict(replace(standing, set_point=GOOD, certified=True)) == "certified"


def test_confirm_when_only_the_weld_is_missing(standing: Standing) -> None:
    """Good enough but not confirmed: confirm, from the level asked for."""
    assert verdict(replace(standing, set_point=GOOD)) == "confirm"
    assert verdict(replace(standing, set_point=GOOD, level=0.95)) == "confirm"
    assert verdict(replace(standing, set_point=GOOD, level=0.96)) == "not_known_yet"


def test_not_looked_beats_confirm(standing: Standing, weld: Build) -> None:
    """Nobody looked at any weld: the top is unknown; one look lifts that."""
    blind = (weld(1, 700, "cpf", None), weld(2, 850, "fff", None))
    assert verdict(replace(standing, welds=blind, set_point=GOOD)) == "top_unknown"
    seen = (*blind, weld(3, 860, "f", "none"))
    assert verdict(replace(standing, welds=seen, set_point=GOOD)) == "confirm"


def test_none_passed_and_none_failed(standing: Standing, weld: Build) -> None:
    """No full strip at all, or nothing but full strips, each has its word."""
    failed = (weld(1, 700, "cpc"), weld(2, 750, "ppp"))
    passed = (weld(1, 700, "fff"), weld(2, 750, "fff"))
    unread = (weld(1, 700, "sss"),)
    nearly = (weld(1, 700, "ffp"), weld(2, 750, "fff"))
    assert verdict(replace(standing, welds=failed)) == "none_passed"
    assert verdict(replace(standing, welds=unread)) == "none_passed"
    assert verdict(replace(standing, welds=passed)) == "no_bottom"
    assert verdict(replace(standing, welds=nearly)) == "not_known_yet"
    assert verdict(replace(standing, welds=passed, set_point=GOOD)) == "confirm"


def test_an_odd_weld_holds_the_certificate_back(standing: Standing) -> None:
    """Until it is repeated nothing is certified; a machine too weak is said all the same."""
    odd = replace(standing, is_odd=True, certified=True)
    assert verdict(odd) == "repeat"
    assert verdict(replace(odd, welds=3 * tuple(standing.welds)[:1], p_beyond=0.95)) == "saturated"
