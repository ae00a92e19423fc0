"""Special outcomes of a morning: each has its verdict, and nothing is dropped silently."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from math import isfinite
from typing import Any

import pytest

from lapwright.job.morning import find_window
from lapwright.units import to_si
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


def test_all_passed_leaves_the_bottom_open(weld: Build) -> None:
    """Every strip full: the lowest weld is never called the bottom."""
    one = find(weld(1, 800, "fff"))
    assert one.verdict == "no_bottom"
    assert one.bottom.low is None
    many = find(*(weld(n, f, "fff") for n, f in enumerate((800, 900, 1000))))
    assert many.bottom.low is None
    assert many.bottom.high is not None
    assert many.bottom.high < to_si(800, "f")


def test_lower_is_said_only_of_a_lower_weld(weld: Build) -> None:
    """With every strip full the reason says "lower" just when the next weld is cooler."""
    high = find(weld(1, 1000, "fff", "signs"))
    assert high.verdict == "no_bottom"
    assert high.next.air < to_si(1000, "f")
    assert high.next.reason == "lower"
    low = find(weld(1, 620, "fff"))
    assert low.verdict == "no_bottom"
    assert low.next.air > to_si(620, "f")
    assert low.next.reason == "learn"


def test_none_passed_leaves_the_high_end_open(weld: Build) -> None:
    """No full strip: the bottom is only bounded below, and nothing is certified."""
    answer = find(weld(1, 650, "ccc"), weld(2, 700, "cpc"))
    assert answer.verdict == "none_passed"
    assert answer.bottom.high is None
    assert answer.bottom.low is not None
    assert answer.next.air > to_si(700, "f")


def test_a_weld_that_does_not_fit_is_repeated(weld: Build) -> None:
    """Signs at 700 F, none at 1000 and 850 F: no certificate, the odd weld again."""
    welds = [weld(1, 700, "fff", "signs"), weld(2, 1000, "fff"), weld(3, 850, "fff")]
    answer = find(*welds)
    assert (answer.verdict, answer.certified) == ("repeat", False)
    assert (answer.next.reason, answer.next.done) == ("repeat", False)
    assert answer.next.air == pytest.approx(welds[0].air)
    assert find(*welds, weld(4, 700, "ppf")).verdict != "repeat"


def test_signs_below_cold_leave_no_window(weld: Build) -> None:
    """Cold and signed at once, five times: no window, no next weld, no certificate."""
    welds = [weld(n, f, "ccc", "signs") for n, f in enumerate((700, 750, 800, 850, 900))]
    assert find(*welds[:2]).verdict != "no_window"  # never before the third weld
    answer = find(*welds)
    assert answer.verdict == "no_window"
    assert answer.p_window < 0.1
    assert (answer.next.reason, answer.next.done) == ("no_window", True)
    assert not answer.certified
    assert answer.policies["low"] is None


def test_a_weak_machine_is_named(weld: Build) -> None:
    """Cold up to the hottest air within reach: the machine, not the sheet."""
    welds = [weld(n, f, "ccc") for n, f in enumerate((800, 850, 890))]
    answer = find(*welds, max_air=to_si(900, "f"))
    assert answer.verdict == "saturated"
    assert (answer.next.reason, answer.next.done) == ("saturated", True)
    assert find(*welds).verdict == "none_passed"  # with the full dial there is more to try


def test_air_beyond_reach_counts_at_what_was_reached(weld: Build) -> None:
    """Set to 1100 F on a machine that reaches 900 F: told, and counted as 900 F."""
    weak = {"max_air": to_si(900, "f")}
    asked = find(weld(1, 800, "ccc"), weld(2, 1100, "cff"), **weak)
    reached = find(weld(1, 800, "ccc"), weld(2, 900, "cff"), **weak)
    assert "air_not_reached" in codes(asked)
    assert "air_not_reached" not in codes(reached)
    assert (asked.bottom, asked.top) == (reached.bottom, reached.top)
    measured = find(weld(1, 800, "ccc"), weld(2, 1100, "cff", measured_air_f=870), **weak)
    assert measured.bottom != reached.bottom


def test_a_weld_is_odd_by_what_it_reached(weld: Build) -> None:
    """Cold at a dial of 1148 F contradicts nothing when the machine stops at 760 F."""
    welds = (weld(1, 760, "fff"), weld(2, 1148, "ccc"))
    assert "odd_welds" in codes(find(*welds))
    assert "odd_welds" not in codes(find(*welds, max_air=to_si(760, "f")))


def test_the_end_of_the_dial_is_within_reach(weld: Build) -> None:
    """1148 F is the usual end of the dial itself, not beyond it."""
    assert "air_not_reached" not in codes(find(weld(1, 1148, "fff", "signs")))


def test_contradictory_strips_are_told_not_dropped(weld: Build) -> None:
    """Both welds are named first of all; both still count."""
    welds = (weld(1, 700, "fff"), weld(2, 850, "ccc"), weld(3, 1000, "fff"))
    answer = find(*welds)
    assert answer.cautions[0].code == "odd_welds"
    assert answer.cautions[0].data == {"welds": "1, 2"}
    assert answer.bottom != find(welds[0], welds[2]).bottom


def test_not_looked_is_no_top(weld: Build) -> None:
    """Nobody looked: top unknown whatever the pulls; the next weld is to be looked at."""
    pulled = (weld(1, 700, "ccc", None), weld(2, 800, "fff", None), weld(3, 900, "fff", None))
    answer = find(*pulled)
    assert answer.verdict == "top_unknown"
    assert answer.top == Edge(None, None, None)
    assert "heat_not_looked" in codes(answer)
    assert not answer.next.done


def test_not_looked_but_likely_sound_asks_to_confirm(weld: Build) -> None:
    """When the level is reached without a look, the next weld is the set point itself."""
    pulled = (weld(1, 700, "cpf", None), weld(2, 800, "fff", None), weld(3, 850, "fff", None))
    answer = find(*pulled, level=0.6)
    assert (answer.verdict, answer.next.reason) == ("top_unknown", "confirm")
    assert answer.set_point is not None
    assert answer.next.air == answer.set_point.air


@pytest.mark.parametrize(
    "stated", [{"sheet": to_si(30, "f")}, {"speed": 2 * TEN}, {"speed": TEN / 2}]
)
def test_too_far_from_the_tests_is_tested_again(
    ladder_welds: tuple[TestWeld, ...], stated: dict[str, float]
) -> None:
    """A sheet 50 F colder or twice the speed: no set point, no certificate, one more weld."""
    answer = find(*ladder_welds, **stated)
    assert answer.verdict == "test_again"
    assert answer.set_point is answer.fastest is answer.confirmed_by is None
    assert answer.sensitivities == ()
    assert not answer.next.done
    assert "moved_from_tests" not in codes(answer)  # the verdict says it


def test_test_again_never_says_enough(weld: Build) -> None:
    """However much is known elsewhere, the roof waits for a weld here."""
    many = [weld(n, f, "ccc" if f < 720 else "fff", "signs" if f > 1050 else "none")
            for n, f in enumerate(range(620, 1140, 10))]  # fmt: skip
    learnt = find(*many, sheet=to_si(30, "f"))
    assert (learnt.verdict, learnt.next.done) == ("test_again", False)
    assert learnt.next.reason == "again"


def test_a_thick_sheet_crawled_over_is_not_carried(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Within reach, but so slow for the thickness that heat crosses the sheet: test again."""
    slower = {"speed": TEN / 1.3}
    assert find(*ladder_welds, **slower).verdict == "confirm"  # near, but no weld at that speed
    assert find(*ladder_welds, **slower, thickness=0.0004).verdict == "test_again"
    assert find(*ladder_welds, thickness=0.0004).verdict == "certified"  # not moved: as tested
    assert "slow_for_thickness" in codes(find(*ladder_welds, thickness=0.0004))
    assert "slow_for_thickness" not in codes(find(*ladder_welds))


EXTREMES: dict[str, dict[str, Any]] = {
    "plain": {},
    "scorched": {"sheet": 393.0},
    "frozen": {"sheet": 214.0, "ambient": 214.0},
    "crawling": {"speed": 0.001},
    "racing": {"speed": 0.33},
    "one setting": {"max_air": 561.0, "min_air": 560.0},
    "speed varied": {"vary": "speed"},
    "wild drift": {"drift": Drift(-40.0, 40.0, 3, 0.5)},
}


@pytest.mark.parametrize("stated", EXTREMES.values(), ids=EXTREMES)
def test_extremes_stay_numbers(weld: Build, stated: dict[str, Any]) -> None:
    """Fifty welds of ten strips over all heats and speeds, at odds with each other: no NaN."""
    letters = "cpfksbx"
    welds = [
        weld(n, 440 + 20 * n, (letters[n % 7] + letters[n % 3]) * 5,
             [("none", "signs", None)[(n + s) % 3] for s in range(10)],
             speed=(1, 10, 40)[n % 3], sheet=(-50, 80, 240)[n % 3])
        for n in range(50)
    ]  # fmt: skip
    for chosen in (welds, welds[:1], welds[-1:], welds[::7]):
        answer = find(*chosen, **stated)
        assert all(isfinite(value) for value in floats(asdict(answer)))


def floats(thing: Any) -> list[float]:
    """Every float in nested data."""
    if isinstance(thing, dict):
        thing = list(thing.values())
    if isinstance(thing, list | tuple):
        return [value for each in thing for value in floats(each)]
    return [thing] if isinstance(thing, float) else []
