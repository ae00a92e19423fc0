"""What-ifs: longest cords, differences, rules in common use."""

import math
from dataclasses import replace

import pytest

from lapwright.errors import OutOfRange
from lapwright.physics.cords import GAUGES, Gauge, find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.power import solve
from lapwright.physics.supply import Cord, Generator, PowerSetup
from lapwright.physics.whatif import PRACTICES, check_practices, compare, longest_cord

F80 = (80 + 459.67) / 1.8
TEN, TWELVE = find_gauge("10 AWG"), find_gauge("12 AWG")
HERE = PowerSetup(Generator(), (Cord(TWELVE, 30.48),), ambient=F80)
AIR = 880.0


@pytest.mark.parametrize("gauge", GAUGES.values(), ids=GAUGES)
def test_the_longest_cord_just_reaches_the_air(gauge: Gauge) -> None:
    """At the length found the hottest air is the one asked for."""
    limit = longest_cord(HERE, cord=1, air=AIR, gauge=gauge)
    there = replace(HERE, cords=(Cord(gauge, limit.by_heat),))
    assert solve(there).tools[0].air_max == pytest.approx(AIR, abs=1e-3)


def test_the_longest_cord_by_drop_drops_three_percent() -> None:
    """At the length found the cord takes 3 % of the outlet's volts."""
    limit = longest_cord(HERE, cord=1, air=AIR, gauge=TEN)
    there = solve(replace(HERE, cords=(Cord(TEN, limit.by_drop),)))
    assert there.cords[0].drop_share == pytest.approx(0.03)
    assert limit.longest == limit.by_drop < limit.by_heat


def test_the_longest_cord_of_a_held_supply_by_hand() -> None:
    """230 V held, 3 % drop: 11.5 ohm x 3/97, over 0.022 ohm per 10 ft of 10 AWG at 40 C."""
    house = replace(HERE, generator=Generator(230, math.inf, 0))
    by_drop = longest_cord(house, cord=1, air=AIR, gauge=TEN).by_drop
    assert by_drop / 0.3048 == pytest.approx(10 * 11.5 * 3 / 97 / 0.02200, rel=1e-3)


def test_air_out_of_reach_leaves_no_cord() -> None:
    """Where no length reaches the air, the longest is zero."""
    limit = longest_cord(HERE, cord=1, air=960.0, gauge=TEN)
    assert limit.by_heat == limit.longest == 0


def test_a_thin_cord_has_no_length() -> None:
    """Amps above the rated ones: no length is allowed, whatever the volts say."""
    shared = replace(HERE, cords=(Cord(TEN, 30.0, tools=(Tool(), Tool())),))
    limit = longest_cord(shared, cord=1, air=800.0, gauge=TEN)
    assert limit.amps > limit.ampacity == 30
    assert limit.is_too_thin
    assert limit.by_heat > 0
    assert limit.longest == 0


def test_the_hungriest_tool_rules_a_shared_cord() -> None:
    """Tools on one cord: the one that needs most volts sets the length."""
    hungry = Tool(air_flow=360 / 60_000)
    alone, both = (
        longest_cord(
            replace(HERE, cords=(Cord(TEN, 1.0, tools=tools),)), cord=1, air=AIR, gauge=TEN
        ).by_heat
        for tools in ((Tool(), Tool()), (Tool(), hungry))
    )
    assert both < alone


def test_measured_volts_do_not_lengthen_a_cord() -> None:
    """A reading belongs to the cord that was there, not to the one that is tried."""
    read = replace(HERE, cords=(replace(HERE.cords[0], tools=(Tool(measured=239.0),)),))
    found = [longest_cord(s, cord=1, air=AIR, gauge=TEN) for s in (HERE, read)]
    assert found[0] == found[1]


def test_only_the_named_cord_is_exchanged() -> None:
    """The other cords keep loading the generator."""
    alone = longest_cord(HERE, cord=1, air=AIR, gauge=TEN)
    second = replace(HERE, cords=(Cord(TWELVE, 60.0), *HERE.cords))
    assert longest_cord(second, cord=2, air=AIR, gauge=TEN).by_heat < alone.by_heat


@pytest.mark.parametrize(
    ("cord", "air", "name"),
    [(0, AIR, "cord"), (2, AIR, "cord"), (1, 290.0, "air"), (1, 1151.0, "air")],
)
def test_impossible_questions_are_refused(cord: int, air: float, name: str) -> None:
    """There must be such a cord, and something to heat."""
    with pytest.raises(OutOfRange) as refused:
        longest_cord(HERE, cord=cord, air=air, gauge=TEN)
    assert refused.value.data["name"] == name


def test_a_what_if_is_after_minus_before() -> None:
    """A longer cord takes volts, heat and air from the tool it feeds."""
    longer = replace(HERE, cords=(replace(HERE.cords[0], length=60.96),))
    before, after = solve(HERE), solve(longer)
    (change,) = compare(before, after=after)
    assert change.volts == pytest.approx(after.tools[0].volts - before.tools[0].volts)
    assert change.volts < -5
    assert change.heat_share < 0
    assert change.air_max_k < -25


def test_a_second_tool_is_compared_where_it_was_not() -> None:
    """Only tools that stand in both set-ups are compared, whichever is larger."""
    second = replace(HERE, cords=(*HERE.cords, Cord(TEN, 30.48)))
    (change,) = compare(solve(HERE), after=solve(second))
    (back,) = compare(solve(second), after=solve(HERE))
    assert (change.cord, change.place) == (1, 1)
    assert change.volts == -back.volts < 0


def test_a_colder_morning_takes_air_but_no_volts() -> None:
    """50 F colder on 10 AWG: 145 F less, from both tables of the design notes."""
    warm = replace(HERE, cords=(Cord(TEN, 30.48),))
    (change,) = compare(solve(warm), after=solve(replace(warm, ambient=F80 - 50 / 1.8)))
    assert change.volts == 0
    assert 1.8 * change.air_max_k == pytest.approx(1072 - 1217, abs=1)


def test_rules_are_shown_with_what_the_calculation_says() -> None:
    """200 ft of 12 AWG on 8 kW: which rules are broken, and the air each would leave."""
    setup = PowerSetup(Generator(watts=8000), (Cord(TWELVE, 60.96),), ambient=F80)
    checks = {check.practice.code: check for check in check_practices(setup)}
    assert {code for code, check in checks.items() if not check.is_followed} == {
        "generator_10_kw",
        "cord_10_awg_100_ft",
    }
    here = solve(setup).tools[0].air_max
    assert checks["generator_10_kw"].air_max > here > checks["generator_6_5_kw"].air_max
    assert checks["cord_12_awg"].air_max == checks["generator_alone"].air_max == here
    kept = solve(replace(setup, cords=(Cord(TEN, 30.48),))).tools[0].air_max
    assert checks["cord_10_awg_100_ft"].air_max == kept


def test_a_second_tool_breaks_the_rule_of_one() -> None:
    """Nothing else on that generator: the air is that of the first tool alone."""
    own = replace(HERE, cords=HERE.cords * 2)
    shared = replace(HERE, cords=(replace(HERE.cords[0], tools=(Tool(), Tool())),))
    for pair in (own, shared):
        alone = next(c for c in check_practices(pair) if c.practice.is_alone)
        assert not alone.is_followed
        assert alone.air_max == solve(HERE).tools[0].air_max


@pytest.mark.parametrize(
    ("cord", "kept"),
    [
        (Cord(TEN, 30.48), True),
        (Cord(TEN, 30.5), False),
        (Cord(find_gauge("6 mm2"), 20.0), True),
        (Cord(find_gauge("4 mm2"), 20.0), False),
    ],
)
def test_a_rule_about_cords_looks_at_copper_and_length(cord: Cord, kept: bool) -> None:
    """10 AWG up to 100 ft: as much copper, and not longer; metric sizes by their copper."""
    checks = check_practices(replace(HERE, cords=(cord,)), practices=PRACTICES[3:4])
    assert [check.is_followed for check in checks] == [kept]


def test_rules_speak_of_computed_volts() -> None:
    """A reading at the plug of today says nothing about another cord."""
    read = replace(HERE, cords=(replace(HERE.cords[0], tools=(Tool(measured=190.0),)),))
    assert check_practices(read) == check_practices(HERE)
