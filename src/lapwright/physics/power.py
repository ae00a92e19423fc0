"""Generator, cords and heaters -> volts at the tool, and the hottest air within reach.

A cold weld can start at the plug: a controller with watts to spare hides a sagging
supply until the heater runs flat out, and then the display shows a setting that the air
no longer has. Volts measured at the tool under load beat everything computed here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from lapwright.cautions import Caution
from lapwright.physics.cords import RATED_COPPER, ampacity, copper_temperature
from lapwright.physics.heater import Tool, hottest_air
from lapwright.physics.supply import (
    Cord,
    PowerSetup,
    derated_share,
    end_volts,
    full_load_watts,
    source_volts,
)

RUNG_MARGIN = 50 / 1.8  # K; test welds are offered only this far below the hottest air; our choice
ADVISED_DROP = 0.03  # -; of the outlet's volts lost in the cord; NEC advice, not a rule
_MUCH_ABOVE = 1.10  # -; volts over nameplate from which heater and blower suffer; our choice
_VOLTS_APART = 0.03  # -; measured against computed volts from which to look for a cause; our choice
_DERATES_ABOVE = 300.0  # m; by then the strictest of four manuals has taken 3.5 %; our choice
_DERATES_HOTTER = 303.15  # K; 30 C, about where the second of them begins; our choice


@dataclass(frozen=True)
class PowerAtTool:
    """What reaches one tool running flat out.

    Parameters
    ----------
    cord, place : int
        Which cord, and which tool on it, counted from 1.
    volts, amps : float
        At the tool under load: measured if anybody did, else computed. [V, A]
    computed : float
        Volts the model gives, whatever was measured. [V]
    heat, heat_share : float
        Watts of the heater; the same over its nameplate. [W, -]
    air_max : float
        Hottest air the heater can make. [K]
    margin_k : float or None
        ``air_max`` minus the asked setting; None when none was asked. [K of difference]
    """

    cord: int
    place: int
    volts: float
    computed: float
    amps: float
    heat: float
    heat_share: float
    air_max: float
    margin_k: float | None

    @property
    def top_rung(self) -> float:
        """Hottest test weld worth trying; above it the air may not be what is set. [K]"""
        return self.air_max - RUNG_MARGIN


@dataclass(frozen=True)
class CordLoad:
    """What one cord carries with all its tools flat out.

    Parameters
    ----------
    amps, ampacity : float
        Current; rated amps of a cord laid out in this air. [A]
    drop_share : float
        Share of the outlet's volts lost in the cord. [-]
    copper : float
        Rough temperature the copper would settle at. [K]
    """

    amps: float
    ampacity: float
    drop_share: float
    copper: float


@dataclass(frozen=True)
class PowerAnswer:
    """Volts, amps, heat and doubts of a power set-up.

    Parameters
    ----------
    volts : float
        At the generator under load. [V]
    watts, available : float
        Drawn with every heater flat out; continuous watts left at this altitude and heat. [W]
    needed : float
        Rated continuous watts that would carry the load here without overload. [W]
    is_overloaded : bool
        The load asks for more than is available.
    tools : tuple of PowerAtTool
        In the order of the cords and their tools.
    cords : tuple of CordLoad
        In the order of the cords.
    cautions : tuple of Caution
        Most urgent first.
    """

    volts: float
    watts: float
    available: float
    needed: float
    is_overloaded: bool
    tools: tuple[PowerAtTool, ...]
    cords: tuple[CordLoad, ...]
    cautions: tuple[Caution, ...]


def solve(setup: PowerSetup) -> PowerAnswer:
    """Volts, heat and hottest air at every tool, all of them flat out at once.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords, tools and the air of the day.

    Returns
    -------
    PowerAnswer
        Figures per tool and cord, with their cautions.

    Raises
    ------
    OutOfRange
        A figure lies where the model does not go.

    Notes
    -----
    Heaters as resistors, alternating current treated as direct (a cord's reactance is
    far below its resistance). A heater that holds its setting draws less: this is the
    worst moment, the one that decides whether the setting is reached. Measured volts
    replace the computed ones of their own tool only.

    References
    ----------
    Ohm's law, and the functions of ``supply`` and ``heater``.

    Examples
    --------
    >>> from lapwright.physics.cords import find_gauge
    >>> from lapwright.physics.heater import Tool
    >>> from lapwright.physics.supply import Generator
    >>> cord = Cord(find_gauge("12 AWG"), 60.96, tools=(Tool(setting=880.0),))
    >>> answer = solve(PowerSetup(Generator(), (cord,), ambient=272.0))
    >>> tool = answer.tools[0]
    >>> round(tool.volts), round(tool.air_max), round(tool.margin_k)
    (222, 809, -71)
    >>> answer.cautions[0].code
    'setting_not_reached'
    """
    source = source_volts(setup)
    share = derated_share(setup.generator, altitude=setup.altitude, ambient=setup.ambient)
    available, asked = setup.generator.watts * share, full_load_watts(setup)
    tools = tuple(
        _at_tool(setup, number, place, source)
        for number, cord in enumerate(setup.cords, 1)
        for place in range(1, len(cord.tools) + 1)
    )
    cords = tuple(
        _cord_load(setup, cord, sum(tool.amps for tool in tools if tool.cord == number))
        for number, cord in enumerate(setup.cords, 1)
    )
    answer = PowerAnswer(
        volts=source,
        watts=setup.conductance * source**2,
        available=available,
        needed=asked / share,
        is_overloaded=asked > available,
        tools=tools,
        cords=cords,
        cautions=(),
    )
    return replace(answer, cautions=tuple(_cautions(setup, answer)))


def _at_tool(setup: PowerSetup, number: int, place: int, source: float) -> PowerAtTool:
    cord = setup.cords[number - 1]
    tool = cord.tools[place - 1]
    computed = end_volts(cord, source=source)
    volts = computed if tool.measured is None else tool.measured
    heat = volts**2 / tool.heater
    air_max = hottest_air(heat, tool=tool, ambient=setup.ambient, altitude=setup.altitude)
    return PowerAtTool(
        cord=number,
        place=place,
        volts=volts,
        computed=computed,
        amps=volts / tool.load,
        heat=heat,
        heat_share=heat / (tool.watts - tool.blower),
        air_max=air_max,
        margin_k=None if tool.setting is None else air_max - tool.setting,
    )


def _cord_load(setup: PowerSetup, cord: Cord, amps: float) -> CordLoad:
    return CordLoad(
        amps=amps,
        ampacity=ampacity(cord.gauge, ambient=setup.ambient),
        drop_share=cord.resistance / (cord.resistance + cord.load),
        copper=copper_temperature(cord.gauge, amps=amps, ambient=setup.ambient, coiled=cord.coiled),
    )


def warmed(setup: PowerSetup) -> PowerSetup:
    """The same set-up with each cord as warm as its own current makes it.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords and tools; the entered copper is the coolest assumed.

    Returns
    -------
    PowerSetup
        Cords with warmer copper where the current asks for it.

    Notes
    -----
    One step from the entered copper: warmer cords carry a little less, so the step is
    pessimistic by a kelvin or so. A coiled cord loses volts here as well.

    References
    ----------
    :func:`lapwright.physics.cords.copper_temperature`.

    Examples
    --------
    >>> from lapwright.physics.cords import find_gauge
    >>> from lapwright.physics.supply import Generator
    >>> coiled = Cord(find_gauge("12 AWG"), 60.96, coiled=True)
    >>> setup = PowerSetup(Generator(), (coiled,), ambient=308.15)
    >>> round(solve(setup).tools[0].volts, 1), round(solve(warmed(setup)).tools[0].volts, 1)
    (222.1, 220.0)
    """
    cords = zip(setup.cords, solve(setup).cords, strict=True)
    return replace(
        setup,
        cords=tuple(replace(cord, copper=max(cord.copper, load.copper)) for cord, load in cords),
    )


def _cautions(setup: PowerSetup, answer: PowerAnswer) -> Iterator[Caution]:
    """Doubts and safety lines, most urgent first; the lines that always stand come last."""
    cords = list(enumerate(zip(setup.cords, answer.cords, strict=True), 1))
    for number, (cord, load) in cords:
        if load.amps > load.ampacity:
            yield Caution(
                "cord_overload", {"cord": number, "amps": load.amps, "ampacity": load.ampacity}
            )
        if cord.coiled or load.copper > RATED_COPPER:
            code = "cord_coiled" if cord.coiled else "cord_hot"
            yield Caution(code, {"cord": number, "copper": load.copper})
    if answer.is_overloaded:
        rated = setup.generator.watts
        yield Caution("generator_overload", {"needed": answer.needed, "rated": rated})
    for reached in answer.tools:
        yield from _tool_cautions(setup.cords[reached.cord - 1].tools[reached.place - 1], reached)
    for number, (_, load) in cords:
        if load.drop_share > ADVISED_DROP:
            yield Caution("cord_drop", {"cord": number, "drop_share": load.drop_share})
    if setup.generator.is_engine:
        high = setup.altitude > _DERATES_ABOVE or setup.ambient > _DERATES_HOTTER
        if setup.generator.derating is None and high:
            yield Caution("derating_unknown")
        yield Caution("generator_outdoors")
    yield Caution("not_an_electrical_design")


def _tool_cautions(tool: Tool, reached: PowerAtTool) -> Iterator[Caution]:
    where: dict[str, float | str | None] = {"cord": reached.cord, "tool": reached.place}
    if reached.volts > _MUCH_ABOVE * tool.volts:
        yield Caution("volts_high", {**where, "volts": reached.volts, "nameplate": tool.volts})
    if tool.setting is not None and reached.air_max < tool.setting + RUNG_MARGIN:
        code = "setting_not_reached" if reached.air_max < tool.setting else "air_close"
        yield Caution(code, {**where, "air_max": reached.air_max, "setting": tool.setting})
    if abs(reached.volts - reached.computed) > _VOLTS_APART * reached.computed:
        yield Caution(
            "volts_apart", {**where, "volts": reached.volts, "computed": reached.computed}
        )
