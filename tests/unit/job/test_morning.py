"""A morning worked out: special outcomes, next weld, what is said beside them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.morning import Morning, find_window
from lapwright.units import from_si, to_si
from lapwright.window.answer import Answer, Question
from lapwright.window.drift import Drift
from lapwright.window.edges import Edge
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
TEN = to_si(10, "ft_min")


def find(*welds: TestWeld, **stated: Any) -> Answer:
    """Answer to some welds."""
    return find_window(Question(welds, **stated))


def codes(answer: Answer) -> list[str]:
    """Codes of the cautions, in order."""
    return [caution.code for caution in answer.cautions]


# --- before the first weld ----------------------------------------------------------------------


def test_no_weld_yet_is_a_start_only() -> None:
    """Nothing tested: no edges, no certificate, a first weld not above the expected bottom."""
    answer = find(ambient=to_si(80, "f"))
    assert answer.verdict == "no_test_weld"
    assert answer.bottom == answer.top == Edge(None, None, None)
    assert not answer.certified
    assert (answer.next.reason, answer.next.done) == ("first", False)
    assert 600 <= from_si(answer.next.air, "f") <= 730
    assert answer.fastest is None


def test_without_weld_and_weather_nothing_can_be_asked() -> None:
    """Somebody must say how warm it is."""
    with pytest.raises(LapwrightError) as caught:
        find()
    assert caught.value.code == "conditions_missing"


def test_air_and_sheet_stand_in_for_each_other() -> None:
    """Only one known: the other is taken as alike. Speed starts by the common rule."""
    only_air, only_sheet = find(ambient=300.0).conditions, find(sheet=310.0).conditions
    assert (only_air.sheet, only_sheet.ambient) == (300.0, 310.0)
    assert only_air.speed == pytest.approx(TEN)  # 80 F over 10, plus 2
    assert find(ambient=230.0).conditions.speed == pytest.approx(TEN / 20)  # never standing still


def test_conditions_are_those_of_the_latest_weld_unless_stated(weld: Build) -> None:
    """Latest by number; what is stated wins."""
    welds = (weld(2, 800, "fff", speed=9, sheet=90, ambient=70), weld(1, 750, "fff"))
    here = find(*welds).conditions
    assert (here.speed, here.sheet, here.ambient) == (
        welds[0].speed, welds[0].sheet, welds[0].ambient,
    )  # fmt: skip
    stated = find(*welds, speed=0.05, sheet=300.0, ambient=290.0).conditions
    assert (stated.speed, stated.sheet, stated.ambient) == (0.05, 300.0, 290.0)


# --- set point and certificate ------------------------------------------------------------------


def test_confirm_asks_for_the_set_point_itself(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Level reached, no clean weld near: the next weld is the set point; then certified."""
    wide = (*ladder_welds[:2], *ladder_welds[5:])
    extra = [replace(ladder_welds[4], number=str(n)) for n in (7, 8)]  # 1000 F, clean
    before = find(*wide, *extra, policy="low")
    assert before.verdict == "confirm"
    assert before.set_point is not None
    assert before.next.reason == "confirm"
    assert before.next.air == before.set_point.air
    confirming = replace(ladder_welds[3], number="9", air=before.next.air)
    after = find(*wide, *extra, confirming, policy="low")
    assert (after.verdict, after.certified) == ("certified", True)
    assert after.confirmed_by == "9"
    assert (after.next.reason, after.next.done) == ("certified", True)


def test_each_policy_is_shown_and_the_asked_one_chosen(ladder_welds: tuple[TestWeld, ...]) -> None:
    """All three stand beside each other whatever was asked."""
    answers = {policy: find(*ladder_welds, policy=policy) for policy in ("steady", "middle", "low")}
    for policy, answer in answers.items():
        assert answer.set_point == answer.policies[policy]
        assert answer.policies == answers["steady"].policies


def test_a_colder_sheet_ahead_is_heard(ladder_welds: tuple[TestWeld, ...]) -> None:
    """The steady set point of a cooling afternoon is hotter than that of an even day."""
    even = find(*ladder_welds).set_point
    cooling = find(*ladder_welds, drift=Drift(sheet_low=-20.0, sheet_high=-10.0)).set_point
    assert even is not None
    assert cooling is not None
    assert cooling.air > even.air
    assert cooling.p_sound <= even.p_sound  # bought with a little soundness now


def test_a_machine_at_its_limit_fears_low_volts(weld: Build) -> None:
    """Volts down a tenth: a machine that needs all its heat is less sound ahead, not now."""
    welds = (weld(1, 700, "cpf"), weld(2, 780, "fff"), weld(3, 790, "fff"))
    stated = {"max_air": to_si(800, "f")}
    even, low = find(*welds, **stated), find(*welds, **stated, drift=Drift(volts_ratio=0.9))
    assert even.set_point is not None
    assert low.set_point is not None
    assert low.set_point.p_sound_drift < even.set_point.p_sound_drift - 0.1
    roomy = find(*welds, drift=Drift(volts_ratio=0.9)).set_point
    assert roomy is not None
    assert roomy.p_sound_drift > low.set_point.p_sound_drift


def test_fastest_falls_as_the_level_rises(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Whoever asks for more certainty never gets more speed."""
    found = [find(*ladder_welds, level=level).fastest for level in (0.6, 0.8, 0.9, 0.95)]
    speeds = [point.speed for point in found if point is not None]
    assert len(speeds) == 4
    assert speeds == sorted(speeds, reverse=True)


# --- next weld ----------------------------------------------------------------------------------


def test_the_ladder_goes_rung_by_rung(weld: Build) -> None:
    """From 600 F up, 100 F each, rungs already welded left out, then done."""
    asked: dict[str, Any] = {"plan": "ladder", "ambient": to_si(80, "f")}
    welds: list[TestWeld] = []
    rungs = []
    for number in range(10):
        answer = find(*welds, **asked)
        if answer.next.done:
            break
        assert answer.next.reason == "rung"
        rungs.append(round(from_si(answer.next.air, "f")))
        welds.append(weld(number, rungs[-1], "ppp"))
    assert rungs == [600, 700, 800, 900, 1000, 1100]
    assert answer.next.reason == "ladder_done"


def test_a_ladder_elsewhere_is_no_ladder_here(weld: Build) -> None:
    """Rungs at another speed, or too far to count, are welded again."""
    rungs = [weld(n, f, "ppp") for n, f in enumerate(range(600, 1101, 100))]
    asked: dict[str, Any] = {"plan": "ladder"}
    assert find(*rungs, **asked).next.done
    for moved in ({"speed": TEN * 1.2}, {"speed": TEN * 2}, {"sheet": to_si(30, "f")}):
        answer = find(*rungs, **asked, **moved)
        assert answer.next.reason == "rung"
        assert from_si(answer.next.air, "f") == pytest.approx(600)


def test_a_machine_below_the_ladder_learns_instead(weld: Build) -> None:
    """Where no rung is within reach the plan falls back to the most telling weld."""
    answer = find(weld(1, 560, "ccc"), plan="ladder", max_air=to_si(590, "f"))
    assert answer.next.reason == "learn"


def test_the_ladder_keeps_to_the_conditions_when_speed_varies(weld: Build) -> None:
    """Rungs are welded at one speed, whatever set point the strips point to."""
    rungs = [weld(n, f, "ppp") for n, f in enumerate((600, 700))]
    answer = find(*rungs, plan="ladder", vary="speed")
    assert from_si(answer.next.air, "f") == pytest.approx(800)
    assert answer.next.speed == pytest.approx(TEN)


def test_varying_speed_holds_the_air(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Only speed is changed: air stays that of the latest weld, for set point and next."""
    welds = ladder_welds[1:4]
    answer = find(*welds, vary="speed")
    assert answer.set_point is not None
    assert answer.set_point.air == answer.next.air == welds[-1].air
    halves = from_si(answer.next.speed, "ft_min") * 2
    assert halves == pytest.approx(round(halves))


def test_enough_is_said_when_little_is_left_to_learn(weld: Build) -> None:
    """Forty welds that leave a window too narrow to certify: stop, with the best so far."""
    narrow = [weld(n, f, "fff" if f > 800 else "ccc", "signs" if f > 840 else "none")
              for n, f in enumerate(range(700, 950, 5))]  # fmt: skip
    answer = find(*narrow, level=0.999)
    assert answer.verdict in ("not_known_yet", "no_window")
    assert answer.next.done
    assert answer.next.reason in ("enough", "no_window")


def test_strips_planned_change_what_a_weld_tells(weld: Build) -> None:
    """More strips per weld promise more information."""
    one, three = (find(weld(1, 800, "fff"), strips=n).next.information for n in (1, 3))
    assert one is not None
    assert three is not None
    assert one < three


# --- what travels on ----------------------------------------------------------------------------


def test_tomorrow_starts_from_today(ladder_welds: tuple[TestWeld, ...]) -> None:
    """What is handed on is today's belief; with it one weld tells as much as several."""
    today = find(*ladder_welds)
    here = find(*ladder_welds, sheet=302.6).bottom.mid  # at the reference sheet
    assert here is not None
    assert today.earlier.bottom == pytest.approx(here, abs=2)
    assert 0 < today.earlier.bottom_sd < 25
    assert today.earlier.width == pytest.approx(200, abs=30)
    one = find(ladder_welds[3], earlier=today.earlier)
    fresh = find(ladder_welds[3])
    assert one.set_point is not None
    assert fresh.set_point is not None
    assert one.set_point.p_sound > fresh.set_point.p_sound + 0.05


def test_cautions_end_with_safety(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Hot strips are always told; fumes for PVC and KEE; both after what is urgent."""
    assert codes(find(*ladder_welds))[-1] == "hot_strips"
    assert "fumes" not in codes(find(*ladder_welds))
    for membrane in ("pvc", "kee"):
        assert codes(find(*ladder_welds, membrane=membrane))[-2:] == ["fumes", "hot_strips"]


def test_top_open_is_told_while_no_sign_was_seen(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Looked and seen nothing: the top is only known from below."""
    assert "top_open" in codes(find(*ladder_welds[:5]))
    assert "top_open" not in codes(find(*ladder_welds))


def test_moved_conditions_are_told(ladder_welds: tuple[TestWeld, ...]) -> None:
    """A window carried to a colder sheet or another speed says so."""
    for stated in ({"sheet": to_si(60, "f")}, {"speed": TEN * 1.1}):
        assert "moved_from_tests" in codes(find(*ladder_welds, **stated))
    assert "moved_from_tests" not in codes(find(*ladder_welds))


def test_the_picture_spans_machine_and_welds(ladder_welds: tuple[TestWeld, ...]) -> None:
    """From 600 F, or the coolest weld, to the hottest air or weld, in the points asked for."""
    drawn = Morning(Question(ladder_welds)).picture(points=30, speeds=3)
    assert drawn.air[0] == pytest.approx(to_si(600, "f"))
    assert drawn.air[-1] == pytest.approx(to_si(1148, "f"))
    assert drawn.p_map.shape == (3, 30)
    assert [mark.number for mark in drawn.marks] == ["1", "2", "3", "4", "5", "6"]
    weak = Morning(Question(ambient=300.0, max_air=to_si(590, "f"))).picture(points=30)
    assert weak.marks == ()
    assert (weak.air[0], weak.air[-1]) == pytest.approx((to_si(500, "f"), to_si(590, "f")))
