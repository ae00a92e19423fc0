"""Power obeys nature for any set-up: less copper, more tools, more air never help."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.physics.air import density, enthalpy_rise, standard_pressure
from lapwright.physics.cords import GAUGES, Gauge
from lapwright.physics.heater import HOTTEST_AIR, Tool
from lapwright.physics.power import solve
from lapwright.physics.supply import Cord, Derating, Generator, PowerSetup

A_HAIR = 1e-9  # relative; rounding of volts and kelvins

tools = st.builds(
    Tool,
    volts=st.floats(200, 250),
    watts=st.floats(1200, 6000),
    blower=st.floats(0, 300),
    air_flow=st.floats(150 / 60_000, 500 / 60_000),
    efficiency=st.floats(0.7, 1.0),
)
cords = st.builds(
    Cord,
    gauge=st.sampled_from(list(GAUGES.values())),
    length=st.floats(0, 150),
    tools=st.lists(tools, min_size=1, max_size=3).map(tuple),
    copper=st.floats(263, 363),
)
generators = st.builds(
    Generator,
    volts=st.floats(200, 260),
    watts=st.floats(2000, 30_000),  # overloaded ones included
    regulation=st.floats(0, 0.3),
    derating=st.none()
    | st.builds(
        Derating,
        altitude_slope=st.floats(0, 1.2e-4),
        altitude_base=st.floats(0, 1500),
        heat_slope=st.floats(0, 0.006),
        heat_base=st.floats(298, 313),
    ),
)
setups = st.builds(
    PowerSetup,
    generator=generators,
    cords=st.lists(cords, min_size=1, max_size=3).map(tuple),
    ambient=st.floats(253, 318),
    altitude=st.floats(0, 3500),
)


def _first(setup: PowerSetup, **changes: object) -> PowerSetup:
    """The set-up with its first cord changed."""
    return replace(setup, cords=(replace(setup.cords[0], **changes), *setup.cords[1:]))  # type: ignore[arg-type]


def _volts(setup: PowerSetup) -> float:
    return solve(setup).tools[0].volts


@given(setup=setups, longer=st.floats(0, 150))
def test_a_longer_cord_never_raises_the_volts(setup: PowerSetup, longer: float) -> None:
    """Every metre of cord takes from the tools at its end."""
    length = setup.cords[0].length + longer
    assert _volts(_first(setup, length=length)) <= _volts(setup) * (1 + A_HAIR)


@given(setup=setups, gauge=st.sampled_from(list(GAUGES.values())))
def test_a_thinner_cord_never_raises_the_volts(setup: PowerSetup, gauge: Gauge) -> None:
    """Less copper takes from the tools at its end, across both systems of sizes."""
    thin, thick = sorted((setup.cords[0].gauge, gauge), key=lambda size: size.area)
    thin_volts, thick_volts = (_volts(_first(setup, gauge=size)) for size in (thin, thick))
    assert thin_volts <= thick_volts * (1 + A_HAIR)


@given(setup=setups, warmer=st.floats(0, 60))
def test_warmer_copper_never_raises_the_volts(setup: PowerSetup, warmer: float) -> None:
    """Warm copper resists more."""
    copper = setup.cords[0].copper + warmer
    assert _volts(_first(setup, copper=copper)) <= _volts(setup) * (1 + A_HAIR)


@given(setup=setups, tool=tools, cord=cords)
def test_more_tools_never_raise_the_volts(setup: PowerSetup, tool: Tool, cord: Cord) -> None:
    """One more tool, on the same cord or its own, takes from every tool there was."""
    shared = _first(setup, tools=(*setup.cords[0].tools, tool))
    own = replace(setup, cords=(*setup.cords, cord))
    before = {(t.cord, t.place): t.volts for t in solve(setup).tools}
    for more in (shared, own):
        after = {(t.cord, t.place): t.volts for t in solve(more).tools}
        assert all(after[place] <= volts * (1 + A_HAIR) for place, volts in before.items())


@given(setup=setups, bigger=st.floats(1, 3))
def test_a_bigger_generator_never_lowers_the_volts(setup: PowerSetup, bigger: float) -> None:
    """More continuous watts never take from a tool."""
    generator = replace(setup.generator, watts=setup.generator.watts * bigger)
    assert _volts(replace(setup, generator=generator)) >= _volts(setup) * (1 - A_HAIR)


@given(setup=setups, colder=st.floats(0, 60))
def test_colder_intake_never_raises_the_air_at_given_volts(
    setup: PowerSetup, colder: float
) -> None:
    """Colder air is denser and starts lower: the same volts make colder air."""
    ambient = max(250.0, setup.ambient - colder)
    held = _first(setup, tools=tuple(replace(t, measured=220.0) for t in setup.cords[0].tools))
    warm = solve(held).tools[0].air_max
    cold = solve(replace(held, ambient=ambient)).tools[0].air_max
    assert cold <= warm * (1 + A_HAIR)


@given(setup=setups, more=st.floats(1, 2))
def test_more_air_never_raises_its_temperature(setup: PowerSetup, more: float) -> None:
    """The same watts in more air make colder air."""
    tool = setup.cords[0].tools[0]
    rest = setup.cords[0].tools[1:]
    blown = _first(setup, tools=(replace(tool, air_flow=tool.air_flow * more), *rest))
    assert solve(blown).tools[0].air_max <= solve(setup).tools[0].air_max * (1 + A_HAIR)


@given(setup=setups)
def test_energy_goes_where_it_must(setup: PowerSetup) -> None:
    """Generator = cords + tools, and heater x efficiency = heat the air took up."""
    answer = solve(setup)
    loads = zip(setup.cords, answer.cords, strict=True)
    spent = sum(load.amps**2 * cord.resistance for cord, load in loads)
    spent += sum(tool.volts * tool.amps for tool in answer.tools)
    assert spent == pytest.approx(answer.watts, rel=1e-9)
    assert answer.watts <= answer.available * (1 + A_HAIR)
    thick = density(setup.ambient, pressure=standard_pressure(setup.altitude))
    for reached in answer.tools:
        tool = setup.cords[reached.cord - 1].tools[reached.place - 1]
        taken = thick * tool.air_flow * enthalpy_rise(setup.ambient, hot=reached.air_max)
        if reached.air_max < HOTTEST_AIR:
            assert taken == pytest.approx(tool.efficiency * reached.heat, rel=1e-8, abs=1e-6)
        else:
            assert taken <= tool.efficiency * reached.heat * (1 + A_HAIR)
