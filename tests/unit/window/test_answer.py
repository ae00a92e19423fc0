"""Question and answer are plain, checked data."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from typing import Any

import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.window.answer import MAX_AIR, MIN_AIR, Question


def test_limits_are_the_usual_dial() -> None:
    """500 F is about the least, 620 C (1148 F) the usual end; common practice."""
    assert pytest.approx(500) == 1.8 * MIN_AIR - 459.67
    assert pytest.approx(620) == MAX_AIR - 273.15


@pytest.mark.parametrize(
    ("stated", "name"),
    [
        ({"level": 0.5}, "level"),
        ({"level": 1.0}, "level"),
        ({"level": float("nan")}, "level"),
        ({"strips": 0}, "strips"),
        ({"strips": 11}, "strips"),
        ({"thickness": 0.0001}, "thickness"),
        ({"thickness": 0.06}, "thickness"),
        ({"max_air": 500.0}, "max_air"),  # below the least air
        ({"min_air": 600.0, "max_air": 600.0}, "max_air"),
        ({"min_air": 250.0}, "min_air"),
        ({"max_air": 1148.0}, "max_air"),  # F given as K
        ({"max_air": float("nan")}, "max_air"),
        ({"speed": 0.0}, "speed"),
        ({"speed": 10.0}, "speed"),  # ft/min given as m/s
        ({"sheet": 80.0}, "sheet"),  # F given as K
        ({"sheet": 400.0}, "sheet"),
        ({"ambient": 80.0}, "ambient"),
        ({"ambient": 340.0}, "ambient"),
    ],
)
def test_an_impossible_value_is_refused_by_name(stated: dict[str, Any], name: str) -> None:
    """Beyond machine or nature: the error names the quantity and its limits."""
    with pytest.raises(OutOfRange) as caught:
        Question(**stated)
    assert caught.value.data["name"] == name
    assert caught.value.data["above"] is not None or caught.value.data["below"] is not None


def test_limits_just_inside_are_taken() -> None:
    """What lies within every limit makes a question."""
    asked = Question(
        level=0.51, strips=10, thickness=0.003, min_air=400.0, max_air=400.5, speed=0.001,
        sheet=393.0, ambient=214.0,
    )  # fmt: skip
    assert asked.strips == 10


def test_an_unknown_policy_is_refused() -> None:
    """The three policies are named."""
    with pytest.raises(LapwrightError) as caught:
        Question(policy="brave")  # type: ignore[arg-type]
    assert caught.value.code == "unknown_choice"
    assert caught.value.data == {"value": "brave", "known": "steady, middle, low"}


def test_a_question_is_frozen() -> None:
    """What was asked cannot be changed afterwards."""
    asked = Question()
    with pytest.raises(FrozenInstanceError):
        asked.level = 0.8  # type: ignore[misc]
