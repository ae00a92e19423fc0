"""What another cord, another tool or another morning would do to the power.

A what-if is another :class:`lapwright.physics.supply.PowerSetup`, made with
``dataclasses.replace`` and solved like the first. Rules in common use are shown as
rules, with what the calculation says about them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from lapwright.errors import OutOfRange
from lapwright.physics.cords import Gauge, ampacity, find_gauge
from lapwright.physics.heater import HOTTEST_AIR, heat_for
from lapwright.physics.power import ADVISED_DROP, PowerAnswer, solve
from lapwright.physics.supply import PowerSetup, end_volts, source_volts


@dataclass(frozen=True)
class CordLimit:
    """How long a cord of one size may be for the tools on it.

    Parameters
    ----------
    gauge : Gauge
        The size.
    by_heat : float
        Longest that still brings every tool to the air asked for; 0 if none does. [m]
    by_drop : float
        Longest that stays within the advised 3 % drop. [m]
    amps, ampacity : float
        Drawn on the shortest cord; rated amps in this air. [A]
    """

    gauge: Gauge
    by_heat: float
    by_drop: float
    amps: float
    ampacity: float

    @property
    def is_too_thin(self) -> bool:
        """Drawn amps above the rated ones: no length is allowed."""
        return self.amps > self.ampacity

    @property
    def longest(self) -> float:
        """Shortest of the limits, zero when the size is too thin. [m]"""
        return 0.0 if self.is_too_thin else min(self.by_heat, self.by_drop)


def longest_cord(setup: PowerSetup, *, cord: int, air: float, gauge: Gauge) -> CordLimit:
    """Longest cord of one size in place of a cord of the set-up.

    Parameters
    ----------
    setup : PowerSetup
        Everything else stays as it is, the other cords too.
    cord : int
        Which cord to exchange, counted from 1.
    air : float
        Air temperature that every tool on it must reach. [K]
    gauge : Gauge
        Size to try.

    Returns
    -------
    CordLimit
        Length by heat and by drop, amps and rated amps.

    Raises
    ------
    OutOfRange
        ``air`` is not above the ambient or past ``HOTTEST_AIR``, or there is no such cord.

    Notes
    -----
    Length found by halving: volts at the end only fall as the cord grows. Measured volts
    of the tools are left aside, they belong to the cord that was there. Plugs are not in
    it. A length here is what the volts allow, not a statement that the cord is safe.

    References
    ----------
    As :func:`lapwright.physics.power.solve`.

    Examples
    --------
    >>> from lapwright.physics.supply import Cord, Generator
    >>> here = PowerSetup(Generator(), (Cord(find_gauge("12 AWG"), 30.48),), ambient=299.8)
    >>> limit = longest_cord(here, cord=1, air=880.0, gauge=find_gauge("10 AWG"))
    >>> round(limit.by_heat), round(limit.by_drop), limit.is_too_thin
    (106, 49, False)
    """
    if not 1 <= cord <= len(setup.cords):
        raise OutOfRange("cord", cord, above=0, below=len(setup.cords) + 1)
    if not setup.ambient < air <= HOTTEST_AIR:
        raise OutOfRange("air", air, above=setup.ambient, below=HOTTEST_AIR)
    there = setup.cords[cord - 1]
    wanted = max(
        math.sqrt(
            tool.heater * heat_for(air, tool=tool, ambient=setup.ambient, altitude=setup.altitude)
        )
        for tool in there.tools
    )

    def volts(length: float) -> float:
        trial = replace(there, gauge=gauge, length=length)
        cords = (*setup.cords[: cord - 1], trial, *setup.cords[cord:])
        return end_volts(trial, source=source_volts(replace(setup, cords=cords)))

    low, high = 0.0, 1.0
    while volts(high) >= wanted:
        low, high = high, 2 * high
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if volts(middle) >= wanted else (low, middle)
    per_metre = replace(there, gauge=gauge, length=1.0).resistance
    return CordLimit(
        gauge=gauge,
        by_heat=low,
        by_drop=there.load * ADVISED_DROP / (1 - ADVISED_DROP) / per_metre,
        amps=volts(0.0) / there.load,
        ampacity=ampacity(gauge, ambient=setup.ambient),
    )


@dataclass(frozen=True)
class Change:
    """What a what-if does to one tool; every figure is after minus before.

    Parameters
    ----------
    cord, place : int
        Which cord, and which tool on it, counted from 1.
    volts, heat_share : float
        At the tool; share of the heater's nameplate watts. [V, -]
    air_max_k : float
        Hottest air within reach. [K of difference]
    """

    cord: int
    place: int
    volts: float
    heat_share: float
    air_max_k: float


def compare(before: PowerAnswer, *, after: PowerAnswer) -> tuple[Change, ...]:
    """What a what-if does to the tools that both set-ups have in the same place.

    Parameters
    ----------
    before, after : PowerAnswer
        Answers of the set-up as it is and as it might be.

    Returns
    -------
    tuple of Change
        In the order of ``before``; tools that only one of them has are left out.

    Notes
    -----
    A measured voltage stays what it was: compare computed set-ups.

    References
    ----------
    None needed: differences.

    Examples
    --------
    >>> from lapwright.physics.supply import Cord, Generator
    >>> here = PowerSetup(Generator(), (Cord(find_gauge("10 AWG"), 30.48),), ambient=299.8)
    >>> second = replace(here, cords=here.cords * 2)
    >>> colder = replace(here, ambient=272.0)
    >>> [round(1.8 * compare(solve(here), after=solve(s))[0].air_max_k) for s in (second, colder)]
    [-38, -145]
    """
    found = {(tool.cord, tool.place): tool for tool in after.tools}
    return tuple(
        Change(
            cord=old.cord,
            place=old.place,
            volts=new.volts - old.volts,
            heat_share=new.heat_share - old.heat_share,
            air_max_k=new.air_max - old.air_max,
        )
        for old in before.tools
        if (new := found.get((old.cord, old.place)))
    )


@dataclass(frozen=True)
class Practice:
    """A rule in common use; None where the rule says nothing.

    Parameters
    ----------
    code : str
        Key of its name among the words.
    watts : float, optional
        Rated continuous watts of the generator, at least. [W]
    gauge : str, optional
        Size of the cord, at least.
    length : float, optional
        Length of the cord, at most. [m]
    is_alone : bool
        Nothing else on that generator.
    """

    code: str
    watts: float | None = None
    gauge: str | None = None
    length: float | None = None
    is_alone: bool = False


# For one automatic welder. Two sources contradict each other, and both stay visible: a
# trade writer's installation tips (10 kW, 12 AWG, nothing else on it) and a membrane maker's
# welding guidelines of 13 January 2020 (6.5 kW, 10 AWG up to 100 ft).
PRACTICES = (
    Practice("generator_10_kw", watts=10_000.0),
    Practice("generator_6_5_kw", watts=6500.0),
    Practice("generator_alone", is_alone=True),
    Practice("cord_10_awg_100_ft", gauge="10 AWG", length=30.48),
    Practice("cord_12_awg", gauge="12 AWG"),
)


@dataclass(frozen=True)
class PracticeCheck:
    """A rule in common use beside the calculation.

    Parameters
    ----------
    practice : Practice
        The rule.
    is_followed : bool
        The set-up keeps to it.
    air_max : float
        Hottest air of the worst tool with the rule just kept, all else as it is; where
        some tools are asked for a setting, the worst of those. [K]
    """

    practice: Practice
    is_followed: bool
    air_max: float


def check_practices(
    setup: PowerSetup, *, practices: Iterable[Practice] = PRACTICES
) -> tuple[PracticeCheck, ...]:
    """The rules in common use, and what the calculation says about each.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords and tools, those of an automatic welder.
    practices : iterable of Practice
        Rules to look at.

    Returns
    -------
    tuple of PracticeCheck
        One for each rule.

    Notes
    -----
    A rule kept says nothing about the volts that arrive: look at ``air_max``, and at the
    volts measured under load.

    References
    ----------
    Sources of the rules stand beside ``PRACTICES``.

    Examples
    --------
    >>> from lapwright.physics.supply import Cord, Generator
    >>> here = PowerSetup(Generator(), (Cord(find_gauge("12 AWG"), 60.96),), ambient=299.8)
    >>> [check.practice.code for check in check_practices(here) if not check.is_followed]
    ['cord_10_awg_100_ft']
    """
    return tuple(
        PracticeCheck(
            practice=practice,
            is_followed=_follows(setup, practice),
            air_max=_worst_air(solve(_just_kept(setup, practice))),
        )
        for practice in practices
    )


def _worst_air(answer: PowerAnswer) -> float:
    asked = [tool for tool in answer.tools if tool.margin_k is not None]
    return min(tool.air_max for tool in asked or answer.tools)


def _follows(setup: PowerSetup, practice: Practice) -> bool:
    area = 0.0 if practice.gauge is None else find_gauge(practice.gauge).area
    return (
        setup.generator.watts >= (practice.watts or 0.0)
        and all(cord.gauge.area >= area for cord in setup.cords)
        and (practice.length is None or all(c.length <= practice.length for c in setup.cords))
        and not (practice.is_alone and sum(len(cord.tools) for cord in setup.cords) > 1)
    )


def _just_kept(setup: PowerSetup, practice: Practice) -> PowerSetup:
    """The set-up at the very limit of the rule, computed volts only."""
    cords = []
    for cord in setup.cords[:1] if practice.is_alone else setup.cords:
        tools = tuple(replace(tool, measured=None) for tool in cord.tools)
        cord = replace(cord, tools=tools[:1] if practice.is_alone else tools)
        if practice.gauge is not None:
            cord = replace(cord, gauge=find_gauge(practice.gauge))
        if practice.length is not None:
            cord = replace(cord, length=practice.length)
        cords.append(cord)
    watts = setup.generator.watts if practice.watts is None else practice.watts
    generator = replace(setup.generator, watts=watts)
    return replace(setup, generator=generator, cords=tuple(cords))
