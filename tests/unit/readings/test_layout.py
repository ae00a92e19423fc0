"""What a person states about rolls, laps and crew."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import box

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.readings.layout import StatedPlan, plan_from
from lapwright.readings.rules import read_rule_book
from lapwright.roof.outline import outline

FOOT, INCH = 0.3048, 0.0254  # m; exact
AREAS = [outline(name, box(0, 0, 30, 20), level=name) for name in ("A", "B")]
RULES = read_rule_book([])


def _from(**stated: Any) -> StatedPlan:
    return plan_from({"lap_in": 6.0} | stated, AREAS, RULES)


def test_field_units_become_metres_and_radians() -> None:
    """Either unit of each pair."""
    layout = _from(roll_width_ft=12.0, roll_length_m=30.0, end_lap_mm=100.0, zone_ft=8.0,
                   clear_in=18.0, stagger_m=1.0, first_cut_ft=2.0, run_deg=90.0,
                   flow_deg=-45.0, half_width_ft=4.0).layouts[0]  # fmt: skip
    assert layout.width == pytest.approx(12 * FOOT)
    assert layout.roll == 30.0
    assert (layout.lap, layout.end_lap) == (pytest.approx(6 * INCH), 0.1)
    assert (layout.zone, layout.clear) == (pytest.approx(8 * FOOT), pytest.approx(18 * INCH))
    assert (layout.stagger, layout.shift) == (1.0, pytest.approx(2 * FOOT))
    assert layout.half_width == pytest.approx(4 * FOOT)
    assert (layout.run, layout.flow) == pytest.approx((math.pi / 2, -math.pi / 4))


def test_what_nobody_said_is_named() -> None:
    """A common roll of 10 x 100 ft, 3 ft of stagger, 12 in to a drain, and only those."""
    assumed = _from().assumed
    assert assumed == {
        "roll_width": pytest.approx(10 * FOOT), "roll_length": pytest.approx(100 * FOOT),
        "stagger": pytest.approx(3 * FOOT), "clear": pytest.approx(12 * INCH),
    }  # fmt: skip
    assert "roll_width" not in _from(roll_width_m=3.0).assumed


@pytest.mark.parametrize(("held", "inches"), [("fastened", 6), ("adhered", 4)])
def test_attachment_sets_the_lap_where_nobody_says_it(held: str, inches: float) -> None:
    """Usual laps stand in, named as assumed; a stated lap wins over them."""
    said = plan_from({"attachment": held}, AREAS, RULES)
    assert said.layouts[0].lap == said.layouts[0].end_lap == pytest.approx(inches * INCH)
    assert said.assumed["lap"] == pytest.approx(inches * INCH)
    assert _from(attachment="adhered").layouts[0].lap == pytest.approx(6 * INCH)
    assert "lap" not in _from(attachment="adhered").assumed


def test_lap_is_never_guessed() -> None:
    """Neither said nor ruled nor held in any way: refused."""
    with pytest.raises(LapwrightError, match="lap_unknown"):
        plan_from({}, AREAS, RULES)


def test_rules_of_the_job_set_laps_and_strips(tmp_path: Path) -> None:
    """Clauses for side lap, end lap and strips per test weld govern where nothing is said."""
    rules = tmp_path / "spec.toml"
    clause = 'clause = "c 1"\nedition = "1"\nset_by = "owner"\n'
    rules.write_text(
        'layer = "specification"\n'
        f'[lap_side]\nvalue = 5\nunit = "in"\n{clause}'
        f'[lap_end]\nvalue = 4\nunit = "in"\n{clause}'
        f"[test_weld_strips]\nvalue = 3\n{clause}"
    )
    said = plan_from({"attachment": "fastened"}, AREAS, read_rule_book([rules]))
    assert said.layouts[0].lap == pytest.approx(5 * INCH)
    assert said.layouts[0].end_lap == pytest.approx(4 * INCH)
    assert said.crew.strips == 3


def test_one_area_may_have_its_own_rules() -> None:
    """Area B turned, with half sheets and another lap; area A as the rest."""
    first, second = _from(per_area=["B run 90 half-rows 2 lap 4 in width 6 ft"]).layouts
    assert (first.run, first.half_rows, first.lap) == (None, 0, pytest.approx(6 * INCH))
    assert (second.run, second.half_rows) == (pytest.approx(math.pi / 2), 2)
    assert (second.lap, second.width) == (pytest.approx(4 * INCH), pytest.approx(6 * FOOT))


def test_zone_of_one_area_replaces_the_count_of_all() -> None:
    """A count for the roof and a zone for one area do not meet."""
    first, second = _from(half_rows=2, per_area=["B zone 2 m"]).layouts
    assert (first.half_rows, second.half_rows, second.zone) == (2, 0, 2.0)


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ({"per_area": ["C run 90"]}, "no_such_area"),
        ({"per_area": ["B"]}, "plan_not_read"),
        ({"per_area": ["B turn 90"]}, "plan_not_read"),
        ({"per_area": ["B lap 4"]}, "plan_not_read"),
        ({"per_area": ["B run 90 ft"]}, "plan_not_read"),
        ({"per_area": ["B run 90 and more"]}, "plan_not_read"),
        ({"weld_rate": "fast"}, "plan_not_read"),
        ({"weld_rate": "300 ft"}, "plan_not_read"),
        ({"weight": ["seam 1"]}, "weight_without_optimise"),
        ({"weight": ["t-joint 1"], "optimise": True}, "plan_not_read"),
        ({"weight": ["seam 1 ft"], "optimise": True}, "plan_not_read"),
        ({"half_rows": 1, "zone_ft": 8.0}, "half_rows_and_zone"),
        ({"lap_mm": 100.0}, "stated_twice"),
    ],
)
def test_what_is_not_understood_is_refused(stated: dict[str, Any], code: str) -> None:
    """A text is never half read."""
    with pytest.raises(LapwrightError, match=code):
        _from(**stated)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("250-330 ft/h", 250 * FOOT / 3600, 330 * FOOT / 3600),
        ("3 m/min", 0.05, 0.05),
        ("75 to 100 m/h", 75 / 3600, 100 / 3600),
    ],
)
def test_rates_are_read_with_their_spread(text: str, low: float, high: float) -> None:
    """Feet or metres, per hour or minute, one figure or two."""
    rate = _from(weld_rate=text).crew.weld
    assert rate is not None
    assert (rate.low, rate.high) == pytest.approx((low, high))


def test_crew_is_read() -> None:
    """Hours of a day in seconds, counts as counts."""
    crew = _from(machines=2, day_hours=9.0, tests_a_day=3, strips=5, reach_ft=100.0,
                 hand_end_laps=True).crew  # fmt: skip
    assert (crew.machines, crew.day, crew.tests_a_day, crew.strips) == (2, 9 * 3600, 3, 5)
    assert (crew.reach, crew.hand_end_laps) == (pytest.approx(100 * FOOT), True)
    with pytest.raises(OutOfRange):
        _from(machines=0)


def test_weights_are_feet_of_seam() -> None:
    """A T-joint as 3 ft of seam, a square (100 sq ft) of waste as 10 ft; others stay."""
    weights = _from(optimise=True, weight=["t-joint 3 ft", "waste 10 ft", "near 5"]).weights
    assert weights is not None
    assert weights.t_joint == pytest.approx(3 * FOOT)
    assert weights.waste == pytest.approx(10 * FOOT / (100 * FOOT**2))
    assert (weights.near, weights.seam) == (5.0, 1.0)
    assert _from().weights is None
