"""The present beside the window: what was said decides, and nothing else does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from lapwright.errors import OutOfRange
from lapwright.job.morning import find_window
from lapwright.job.now import Present, Said, present
from lapwright.physics.cords import find_gauge
from lapwright.readings.rules import read_rule_book
from lapwright.units import to_si
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld

RULES = read_rule_book([])
LONG_AND_THIN = Said(gauge=find_gauge("14 AWG"), length=to_si(600, "ft"))


@pytest.fixture
def question(weld: Callable[..., TestWeld]) -> Question:
    """A morning with both edges found and its set point confirmed: sheet 80 F, air 80 F."""
    welds = (
        weld(1, 650, "ccp"),
        weld(2, 700, "pfp"),
        weld(3, 800, "fff"),
        weld(4, 860, "fff"),
        weld(5, 860, "fff"),
        weld(6, 960, "fff"),
        weld(7, 1040, "fff", "signs"),
    )
    return Question(welds=welds)


def at(question: Question, **said: float) -> Present:
    """The present with field values: sheet_f, ambient_f, hours and the rest in SI."""
    fields = {
        {"sheet_f": "sheet", "ambient_f": "ambient", "hours": "since_pass"}.get(name, name): (
            to_si(value, name[-1])
            if name.endswith("_f")
            else value * 3600
            if name == "hours"
            else value
        )
        for name, value in said.items()
    }
    return present(question, said=Said(**fields), rules=RULES)


def names(now: Present) -> list[str]:
    """Names of the triggers."""
    return [trigger.name for trigger in now.triggers]


def test_what_nobody_said_stays_unknown(question: Question) -> None:
    """Nothing said: no figure, no trigger, and the answer of the morning alone."""
    now = at(question)
    assert (now.power, now.dew_margin_k, now.p_sound) == (None, None, None)
    assert not now.is_wet
    assert names(now) == []
    assert now.answer == find_window(question)
    assert now.answer.certified


def test_half_a_cord_is_no_power(question: Question) -> None:
    """A size without a length says nothing about the heat, nor does a generator alone."""
    half = Said(gauge=find_gauge("10 AWG"), watts=10_000.0)
    assert present(question, said=half, rules=RULES).power is None


# 68 F (20 C) at 50 % has its dew point at 9.3 C: any psychrometric chart; range 0.1 K, reached
# 0.05 K. The rule of 3 C is our choice.
@pytest.mark.parametrize(("sheet_c", "is_wet"), [(8.0, True), (12.0, True), (12.6, False)])
def test_a_sheet_near_the_dew_point_is_a_gate(
    question: Question, sheet_c: float, is_wet: bool
) -> None:
    """Within 3 C of dew nobody welds; above it the margin is told."""
    said = Said(sheet=sheet_c + 273.15, ambient=293.15, relative_humidity=0.5)
    now = present(question, said=said, rules=RULES)
    assert now.is_wet is is_wet
    assert now.dew_margin_k == pytest.approx(sheet_c - 9.3, abs=0.1)


@pytest.mark.parametrize("missing", ["sheet", "ambient", "relative_humidity"])
def test_dew_needs_all_three(question: Question, missing: str) -> None:
    """Without one of them it is neither wet nor dry."""
    said = Said(sheet=283.0, ambient=293.15, relative_humidity=0.5)
    now = present(question, said=replace(said, **{missing: None}), rules=RULES)
    assert now.dew_margin_k is None
    assert not now.is_wet


def test_less_power_stops_set_point_and_next_weld(question: Question) -> None:
    """Nothing is asked for that the machine cannot reach."""
    now = present(question, said=LONG_AND_THIN, rules=RULES)
    assert now.power is not None
    reach = now.power.least.air_max
    assert reach < to_si(860, "f")
    assert now.power.verdict == "short"
    assert now.power.air == find_window(question).next.air  # what the strips alone ask for
    assert now.answer.question.max_air == reach
    assert now.answer.next.air <= reach
    assert all(point is None or point.air <= reach for point in now.answer.policies.values())


def test_less_power_now_never_makes_earlier_welds_colder(question: Question) -> None:
    """The strips were pulled from the heat of then: the bottom stays where they put it."""
    alone, now = find_window(question), present(question, said=LONG_AND_THIN, rules=RULES)
    assert now.answer.bottom == alone.bottom
    assert now.answer.top == alone.top
    assert "air_not_reached" not in [caution.code for caution in now.answer.cautions]


def test_power_to_spare_changes_nothing(question: Question) -> None:
    """Air hotter than the dial goes lets nobody set more."""
    said = Said(gauge=find_gauge("8 AWG"), length=10.0)
    now = present(question, said=said, rules=RULES)
    assert now.power is not None
    assert now.power.least.air_max > question.max_air
    assert now.answer == find_window(question)


def test_measured_volts_beat_the_cord(question: Question) -> None:
    """Heat goes with the square of the volts at the machine, whatever the cord promises."""
    good = Said(gauge=find_gauge("8 AWG"), length=10.0, volts=180.0)
    bad = replace(LONG_AND_THIN, volts=180.0)
    powers = [present(question, said=said, rules=RULES).power for said in (good, bad)]
    assert powers[0] is not None
    assert powers[1] is not None
    assert powers[0].least.air_max == pytest.approx(powers[1].least.air_max)


def test_a_supply_too_weak_for_any_setting_is_an_answer(question: Question) -> None:
    """At 60 V no setting holds, and that is said, not refused."""
    now = present(question, said=Said(volts=60.0), rules=RULES)
    assert now.answer.verdict == "saturated"
    assert now.point is None


def test_the_set_point_at_the_tested_sheet_is_as_sound_as_it_was(question: Question) -> None:
    """Nothing moved: the same P(sound), nothing due."""
    now = at(question, sheet_f=80, ambient_f=80, hours=1)
    assert now.point is not None
    assert now.p_sound == pytest.approx(now.point.p_sound)
    assert names(now) == []


@pytest.mark.parametrize(
    ("said", "due"),
    [
        ({"sheet_f": 100}, []),
        ({"sheet_f": 101}, ["sheet_moved"]),
        ({"sheet_f": 59}, ["p_sound_low", "sheet_moved"]),
        ({"ambient_f": 90}, []),
        ({"ambient_f": 69}, ["air_moved"]),
        ({"hours": 3.9}, []),
        ({"hours": 4}, ["time_since_pass"]),
        ({"ambient_f": 39, "hours": 2}, ["air_moved", "cold_day"]),
    ],
)
def test_a_test_is_due_by_what_was_said(
    question: Question, said: dict[str, float], due: list[str]
) -> None:
    """The default rules: sheet 20 F, air 10 F, 4 h, in the cold 2 h, P(sound) 90 %."""
    assert names(at(question, **said)) == due


def test_beyond_the_tests_no_chance_is_told(question: Question) -> None:
    """41 F warmer than any tested sheet: the model does not carry there, and says so."""
    now = at(question, sheet_f=121.5)
    assert now.p_sound is None
    assert now.is_beyond
    assert names(now) == ["sheet_moved"]


def test_without_a_confirming_weld_nothing_holds(question: Question) -> None:
    """Two welds confirm nothing: the reason is that no pass stands behind it."""
    now = at(replace(question, welds=question.welds[:2]), sheet_f=80)
    assert not now.answer.certified
    assert "no_pass" in names(now)


@pytest.mark.parametrize(
    ("name", "value"),
    [("sheet", 400.0), ("ambient", 340.0), ("volts", 0.0), ("length", 1000.0), ("watts", -1.0)],
)
def test_what_no_roof_has_is_refused(name: str, value: float) -> None:
    """A slip of the finger is named, not worked with."""
    with pytest.raises(OutOfRange) as refused:
        Said(**{name: value})
    assert refused.value.data["name"] == name
