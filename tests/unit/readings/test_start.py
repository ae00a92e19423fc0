"""Stated conditions, limits and hours ahead become one question, in SI."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.readings.start import STATED, question_from, stated_in_si
from lapwright.window.answer import Question
from lapwright.window.drift import Drift
from lapwright.window.prior import Earlier
from lapwright.window.strips import TestWeld


def ask(**stated: Any) -> Question:
    """The question that stated values make without a weld."""
    return question_from((), stated)


def test_nothing_stated_is_the_plain_question() -> None:
    """No value, None and blank alike leave every default."""
    assert ask() == Question()
    assert ask(speed_ft_min=None, sheet_f="", policy=None, wind_words=None) == Question()


@pytest.mark.parametrize(
    ("us", "metric", "field", "value"),
    [
        ({"speed_ft_min": 10}, {"speed_m_min": 3.048}, "speed", 0.0508),
        ({"sheet_f": 86}, {"sheet_c": 30}, "sheet", 303.15),
        ({"ambient_f": 50}, {"ambient_c": 10}, "ambient", 283.15),
        ({"min_air_f": 536}, {"min_air_c": 280}, "min_air", 553.15),
        ({"max_air_f": 1112}, {"max_air_c": 600}, "max_air", 873.15),
        ({"thickness_mil": 80}, {"thickness_mm": 2.032}, "thickness", 0.002032),
    ],
)
def test_each_value_comes_in_either_unit(
    us: dict[str, float], metric: dict[str, float], field: str, value: float
) -> None:
    """Field units of both systems give the same SI value, as numbers or as typed."""
    assert getattr(ask(**us), field) == pytest.approx(value)
    assert getattr(ask(**metric), field) == pytest.approx(value)
    typed = {name: str(number) for name, number in us.items()}
    assert getattr(ask(**typed), field) == pytest.approx(value)


def test_changes_convert_without_the_32() -> None:
    """18 F warmer is 10 K warmer; what is not stated does not change."""
    drift = ask(sheet_high_f=18, sheet_low_f=-9).drift
    assert (drift.sheet_low, drift.sheet_high) == pytest.approx((-5, 10))
    assert ask(sheet_low_c=-5).drift == Drift(sheet_low=-5.0, sheet_high=0.0)


def test_volts_are_stated_as_a_change_in_percent() -> None:
    """5 % less is a ratio of 0.95; wind is stated in whole words."""
    assert ask(volts_percent=-5).drift.volts_ratio == pytest.approx(0.95)
    assert ask(wind_words="-2").drift.wind_words == -2


def test_plain_choices_pass_through() -> None:
    """Membrane, policy, plan and counts arrive as they are, typed or not."""
    asked = ask(membrane="pvc", policy="low", level="0.8", vary="speed", plan="ladder", strips="5")
    assert (asked.membrane, asked.policy, asked.vary, asked.plan) == (
        "pvc",
        "low",
        "speed",
        "ladder",
    )
    assert (asked.level, asked.strips) == (0.8, 5)


def test_welds_and_an_earlier_day_pass_through(weld: Callable[..., TestWeld]) -> None:
    """They are SI already."""
    earlier = Earlier(650.0, 8.0, 180.0, 10.0)
    welds = (weld(1, 800, "fff"),)
    assert question_from(welds, {}, earlier=earlier) == Question(welds, earlier=earlier)


@pytest.mark.parametrize(
    ("stated", "code", "data"),
    [
        ({"sheet": 80}, "unknown_stated", {"value": "sheet", "known": ", ".join(STATED)}),
        ({"sheet_k": 300}, "unknown_stated", {"value": "sheet_k", "known": ", ".join(STATED)}),
        ({"sheet_f": 80, "sheet_c": 27}, "stated_twice", {"first": "sheet_f", "second": "sheet_c"}),
        ({"air_f": 80}, "unknown_stated", {"value": "air_f", "known": ", ".join(STATED)}),
        ({"sheet_f": "warm"}, "stated_not_a_number", {"field": "sheet_f", "value": "warm"}),
        ({"sheet_f": [80]}, "stated_not_a_number", {"field": "sheet_f", "value": "[80]"}),
        ({"level": "high"}, "stated_not_a_number", {"field": "level", "value": "high"}),
        ({"strips": "nan"}, "stated_not_a_number", {"field": "strips", "value": "nan"}),
        ({"speed_ft_min": "inf"}, "stated_not_a_number", {"field": "speed_ft_min", "value": "inf"}),
        ({"volts_percent": "-"}, "stated_not_a_number", {"field": "volts_percent", "value": "-"}),
    ],
)
def test_what_cannot_be_stated_is_refused(
    stated: dict[str, Any], code: str, data: dict[str, str]
) -> None:
    """Unknown names, two units at once, and what is no number: each with its code."""
    with pytest.raises(LapwrightError) as caught:
        question_from((), stated)
    assert (caught.value.code, caught.value.data) == (code, data)


@pytest.mark.parametrize(
    ("stated", "name"),
    [
        ({"sheet_c": 300}, "sheet"),
        ({"speed_ft_min": -1}, "speed"),
        ({"level": 90}, "level"),
        ({"wind_words": 5}, "wind_words"),
        ({"volts_percent": -100}, "volts_ratio"),
        ({"sheet_low_f": 5}, "sheet_high"),
    ],
)
def test_what_no_roof_has_is_out_of_range(stated: dict[str, Any], name: str) -> None:
    """A number that parses but cannot be is refused by the quantity's name."""
    with pytest.raises(OutOfRange) as caught:
        question_from((), stated)
    assert caught.value.data["name"] == name


def test_a_stated_value_is_taken_out_of_the_rest() -> None:
    """In SI, either unit, removed from what is left; the fallback where nothing is stated."""
    stated: dict[str, Any] = {"air_f": None, "air_c": "460", "membrane": "tpo"}
    assert stated_in_si("air", ("f", "c"), stated, otherwise=1.0) == pytest.approx(733.15)
    assert stated == {"membrane": "tpo"}
    assert stated_in_si("air", ("f", "c"), stated, otherwise=1.0) == 1.0


@pytest.mark.parametrize("name", ["strips", "wind_words"])
def test_a_count_must_be_whole(name: str) -> None:
    """2.7 strips are refused, not cut to 2."""
    with pytest.raises(LapwrightError) as caught:
        question_from((), {name: 2.7})
    assert caught.value.code == "stated_not_whole"
