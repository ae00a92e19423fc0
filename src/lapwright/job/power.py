"""Plugging in: what the welder gets from generator and cords, and what would change it.

One setup in; volts and hottest air, longest cords, what-ifs and the rules in common use
out. Every figure is worked out in ``physics``; here they are asked for together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Literal, get_args

from lapwright.physics.cords import GAUGES, Gauge
from lapwright.physics.heater import Tool
from lapwright.physics.power import (
    RUNG_MARGIN,
    CordLoad,
    PowerAnswer,
    PowerAtTool,
    solve,
    warmed,
)
from lapwright.physics.supply import Cord, PowerSetup
from lapwright.physics.whatif import (
    PRACTICES,
    Change,
    CordLimit,
    PracticeCheck,
    check_practices,
    compare,
    longest_cord,
)

WhatIfCode = Literal["second_tool", "longer_cord", "colder"]
PowerVerdict = Literal["overloaded", "short", "close", "enough"]
WHAT_IFS: tuple[WhatIfCode, ...] = get_args(WhatIfCode)

_COLDER = 30 / 1.8  # K; a cold front or a frosty start; our choice
_LONGER = 2.0  # -; times the length; our choice
_COLDEST = 250.0  # K; the model of air and cords goes no colder


@dataclass(frozen=True)
class WhatIf:
    """One change of the set-up, and what it does to the welder that gets least.

    Parameters
    ----------
    code : {"second_tool", "longer_cord", "colder"}
        A second such welder on a cord of its own; every cord twice as long; colder air.
    ambient : float
        Air in that case. [K]
    change : Change
        After minus before, computed: measured volts belong to the set-up as it is.
    is_overloaded : bool
        The generator has too little for it.
    """

    code: WhatIfCode
    ambient: float
    change: Change
    is_overloaded: bool


@dataclass(frozen=True)
class PowerPlan:
    """A power set-up with everything a foreman asks about it.

    Parameters
    ----------
    setup : PowerSetup
        With the setting in the welders and the cords as warm as their current makes them.
    air : float
        Setting asked of the welders: the first tool and all with its nameplate. [K]
    answer : PowerAnswer
        Volts, heat, hottest air, cautions.
    limits : tuple of CordLimit
        Longest cords in place of the cord of the welder that gets least: its own size, one
        thinner, one thicker.
    what_ifs : tuple of WhatIf
        As asked for.
    checks : tuple of PracticeCheck
        Rules in common use that speak about this supply.
    """

    setup: PowerSetup
    air: float
    answer: PowerAnswer
    limits: tuple[CordLimit, ...]
    what_ifs: tuple[WhatIf, ...]
    checks: tuple[PracticeCheck, ...]

    @property
    def least(self) -> PowerAtTool:
        """The welder with the least hot air; a hand gun of another nameplate counts as load."""
        return _least(self.answer)

    @property
    def verdict(self) -> PowerVerdict:
        """Generator too small, setting out of reach, hardly within reach, or enough heat."""
        margin = self.least.air_max - self.air
        if self.answer.is_overloaded:
            return "overloaded"
        return "short" if margin < 0 else "close" if margin < RUNG_MARGIN else "enough"

    def cord_of(self, tool: PowerAtTool) -> tuple[Cord, CordLoad]:
        """The cord that tool hangs on, and what it carries."""
        return self.setup.cords[tool.cord - 1], self.answer.cords[tool.cord - 1]


def plan_power(
    setup: PowerSetup, *, air: float, what_ifs: Iterable[WhatIfCode] = WHAT_IFS
) -> PowerPlan:
    """What a power set-up gives, and what would change it.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords, tools, air and altitude.
    air : float
        Setting asked of the welders, above the ambient. [K]
    what_ifs : iterable of str
        Changes to look at.

    Returns
    -------
    PowerPlan

    Raises
    ------
    OutOfRange
        A figure lies where the model does not go.

    Notes
    -----
    All tools flat out at once: the worst moment, the one that decides whether a setting
    is reached. As :func:`lapwright.physics.power.solve`.

    Examples
    --------
    >>> from lapwright.physics.cords import find_gauge
    >>> from lapwright.physics.supply import Generator
    >>> setup = PowerSetup(Generator(), (Cord(find_gauge("12 AWG"), 60.96),), ambient=299.8)
    >>> plan = plan_power(setup, air=810.9)
    >>> round(plan.least.volts), [limit.gauge.name for limit in plan.limits]
    (222, ['14 AWG', '12 AWG', '10 AWG'])
    """
    welder = setup.cords[0].tools[0]

    def ask(tool: Tool) -> Tool:
        alike = (tool.volts, tool.watts) == (welder.volts, welder.watts)
        return replace(tool, setting=air) if alike else tool

    asked = warmed(_each_tool(setup, ask))
    answer = solve(asked)
    computed = _each_tool(asked, lambda tool: replace(tool, measured=None))
    before = solve(computed)
    cord = _least(answer).cord
    return PowerPlan(
        setup=asked,
        air=air,
        answer=answer,
        limits=tuple(
            longest_cord(asked, cord=cord, air=air, gauge=gauge)
            for gauge in _sizes_around(asked.cords[cord - 1].gauge)
        ),
        what_ifs=tuple(_what_if(code, computed, before) for code in what_ifs),
        checks=check_practices(
            asked,
            practices=[
                practice
                for practice in PRACTICES
                if setup.generator.is_engine or practice.gauge is not None
            ],
        ),
    )


def _least(answer: PowerAnswer) -> PowerAtTool:
    welders = (tool for tool in answer.tools if tool.margin_k is not None)
    return min(welders, key=lambda tool: tool.air_max)


def _each_tool(setup: PowerSetup, change: Callable[[Tool], Tool]) -> PowerSetup:
    cords = tuple(
        replace(cord, tools=tuple(change(tool) for tool in cord.tools)) for cord in setup.cords
    )
    return replace(setup, cords=cords)


def _sizes_around(gauge: Gauge) -> list[Gauge]:
    """The size, one thinner and one thicker, of the same way to name sizes."""
    system = gauge.name.split()[1]
    sizes = sorted(
        (size for size in GAUGES.values() if size.name.endswith(system)),
        key=lambda size: size.area,
    )
    at = sizes.index(gauge)
    return sizes[max(at - 1, 0) : at + 2]


def _what_if(code: WhatIfCode, setup: PowerSetup, before: PowerAnswer) -> WhatIf:
    changed = _changed(code, setup)
    after = solve(warmed(changed))
    least = _least(before)
    (change,) = (
        change
        for change in compare(before, after=after)
        if (change.cord, change.place) == (least.cord, least.place)
    )
    return WhatIf(code, changed.ambient, change, after.is_overloaded)


def _changed(code: WhatIfCode, setup: PowerSetup) -> PowerSetup:
    if code == "second_tool":
        first = setup.cords[0]
        return replace(setup, cords=(*setup.cords, replace(first, tools=first.tools[:1])))
    if code == "longer_cord":
        longer = tuple(replace(cord, length=_LONGER * cord.length) for cord in setup.cords)
        return replace(setup, cords=longer)
    return replace(setup, ambient=max(_COLDEST, setup.ambient - _COLDER))
