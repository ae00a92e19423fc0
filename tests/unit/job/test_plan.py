"""A whole roof met with a crew: sums, hours, days, test welds."""

from __future__ import annotations

import pytest
from shapely.geometry import box

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.job.plan import Crew, plan_roof
from lapwright.roof.layout import Layout
from lapwright.roof.optimise import Weights
from lapwright.roof.outline import Outline, outline
from lapwright.roof.quantities import Rate

LAYOUT = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
MAIN = outline("A", box(0, 0, 40, 20), level="main")
DOCK = outline("B", box(50, 0, 70, 10), level="dock")
HOUR = 3600.0


def test_levels_and_total_are_sums_of_areas() -> None:
    """Two areas on one level and one on another."""
    canopy = outline("C", box(100, 0, 120, 10), level="dock")
    plan = plan_roof([MAIN, DOCK, canopy], [LAYOUT] * 3, crew=Crew())
    main, dock, third = plan.sums
    assert plan.total == main + dock + third
    assert plan.levels == {"main": main, "dock": dock + third}


def test_hours_days_and_tests_follow_the_crew() -> None:
    """DOCK: 3 laps of 20 m. At 5 to 10 m/h and 4 h a day: 6 to 12 h, 2 to 3 days, 4 to 6 tests."""
    crew = Crew(weld=Rate(5 / HOUR, 10 / HOUR), probe=Rate(20 / HOUR, 30 / HOUR), day=4 * HOUR)
    plan = plan_roof([DOCK], [LAYOUT], crew=crew)
    assert plan.machine_length == pytest.approx(60.0)
    assert plan.machine_time == pytest.approx((6 * HOUR, 12 * HOUR))
    assert plan.probe_time == pytest.approx((2 * HOUR, 3 * HOUR))
    assert (plan.days, plan.test_welds) == ((2, 3), (4, 6))


def test_two_machines_halve_the_days_and_each_is_tested() -> None:
    """12 h on two machines of 4 h a day are 2 days, with 2 tests per machine and day."""
    crew = Crew(weld=Rate(5 / HOUR, 5 / HOUR), machines=2, day=4 * HOUR)
    plan = plan_roof([DOCK], [LAYOUT], crew=crew)
    assert (plan.days, plan.test_welds) == ((2, 2), (8, 8))


def test_nothing_is_guessed_without_the_crew_s_rate() -> None:
    """No rate, no hours, no days, no count of test welds."""
    plan = plan_roof([DOCK], [LAYOUT], crew=Crew())
    assert (plan.machine_time, plan.hand_time, plan.probe_time) == (None, None, None)
    assert (plan.days, plan.test_welds) == (None, None)


def test_end_laps_by_hand_move_from_machine_to_gun() -> None:
    """Feet are welded once: what the gun takes the machine leaves."""
    machine = plan_roof([MAIN], [LAYOUT], crew=Crew())
    by_hand = plan_roof([MAIN], [LAYOUT], crew=Crew(hand_end_laps=True))
    ends = machine.total.end_length
    assert ends > 0
    assert by_hand.machine_length == pytest.approx(machine.machine_length - ends)
    assert by_hand.hand_length == pytest.approx(machine.hand_length + ends)


def test_places_for_a_generator_only_with_a_reach() -> None:
    """Without a cord's reach there are none; with one, each area has some."""
    assert plan_roof([MAIN], [LAYOUT], crew=Crew()).places == ((),)
    first, second = plan_roof([MAIN, DOCK], [LAYOUT] * 2, crew=Crew(reach=15.0)).places
    assert len(first) > len(second) > 0


def test_weights_optimise_every_area_and_tell() -> None:
    """Progress names the area; the plan is no dearer than the plain one."""
    told: list[str] = []
    weights = Weights()
    plan = plan_roof([MAIN, DOCK], [LAYOUT] * 2, crew=Crew(), weights=weights,
                     progress=lambda area, _done, _of: told.append(area))  # fmt: skip
    plain = plan_roof([MAIN, DOCK], [LAYOUT] * 2, crew=Crew())
    assert list(dict.fromkeys(told)) == ["A", "B"]
    assert weights.cost(plan.total) <= weights.cost(plain.total) + 1e-9


def _over() -> Outline:
    return outline("C", box(0, 0, 5, 5), level="main")


@pytest.mark.parametrize(
    ("areas", "code"), [([], "outline_empty"), ([MAIN, _over()], "areas_overlap")]
)
def test_roof_that_cannot_be_is_refused(areas: list[Outline], code: str) -> None:
    """No area, or two over each other."""
    with pytest.raises(LapwrightError, match=code):
        plan_roof(areas, [LAYOUT] * len(areas), crew=Crew())


@pytest.mark.parametrize(
    "wrong", [{"machines": 0}, {"day": 0.0}, {"tests_a_day": -1}, {"strips": -1}]
)
def test_crew_that_cannot_be_is_refused(wrong: dict[str, int]) -> None:
    """No machine, no day, counts below zero."""
    with pytest.raises(OutOfRange):
        Crew(**wrong)  # type: ignore[arg-type]
