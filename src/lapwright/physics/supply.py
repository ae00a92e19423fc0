"""What is plugged together: generator, cords and tools, and the volts that are left.

Figures come from nameplates and manuals; the defaults are assumptions that say so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lapwright.errors import OutOfRange
from lapwright.physics.cords import Gauge, cord_resistance
from lapwright.physics.heater import Tool, above_zero


@dataclass(frozen=True)
class Derating:
    """What altitude and heat take from a generator, from ITS manual.

    Manuals differ by 1500 m in where the loss starts, so there is no default.

    Parameters
    ----------
    altitude_slope, altitude_base : float
        Share lost per metre above a base altitude. [1/m, m]
    heat_slope, heat_base : float
        Share lost per kelvin above a base temperature of the air. [1/K, K]
    """

    altitude_slope: float
    altitude_base: float
    heat_slope: float
    heat_base: float

    def __post_init__(self) -> None:
        slope = min(self.altitude_slope, self.heat_slope)
        if slope < 0:
            raise OutOfRange("derating", slope, above=0.0)


@dataclass(frozen=True)
class Generator:
    """Where the power comes from.

    Parameters
    ----------
    volts : float
        At the outlet without load, above zero. [V]
    watts : float
        Rated CONTINUOUS watts, not surge; infinite for a house supply. [W]
    regulation : float
        Share of its volts lost from no load to full load, 0 to below 1; 0.04 assumed. [-]
    derating : Derating, optional
        Loss by altitude and heat as the manual gives it; None when nobody looked.
    """

    volts: float = 240.0
    watts: float = 10_000.0
    regulation: float = 0.04
    derating: Derating | None = None

    def __post_init__(self) -> None:
        above_zero(volts=self.volts, watts=self.watts)
        if not 0 <= self.regulation < 1:
            raise OutOfRange("regulation", self.regulation, above=0.0, below=1.0)

    @property
    def is_engine(self) -> bool:
        """A generator with watts of its own, not a house supply."""
        return math.isfinite(self.watts)


@dataclass(frozen=True)
class Cord:
    """A cord with the tools that hang on it: one for an own cord, more for a shared one.

    Parameters
    ----------
    gauge : Gauge
        Size, see :func:`lapwright.physics.cords.find_gauge`.
    length : float
        From outlet to tool. [m]
    tools : tuple of Tool
        What it feeds, at least one.
    copper : float
        Temperature of the copper; 40 C assumed, see :func:`warmed`. [K]
    coiled : bool
        On the reel or in a heap instead of laid out.
    outlet : float
        Share of the generator's volts at this outlet: 1, or 0.5 for a 120 V outlet of a
        120/240 V generator. [-]
    """

    gauge: Gauge
    length: float
    tools: tuple[Tool, ...] = (Tool(),)
    copper: float = 313.15
    coiled: bool = False
    outlet: float = 1.0

    def __post_init__(self) -> None:
        above_zero(tools=len(self.tools), outlet=self.outlet)

    @property
    def resistance(self) -> float:
        """Of the cord, out and back. [ohm]"""
        return cord_resistance(self.gauge, length=self.length, copper=self.copper)

    @property
    def load(self) -> float:
        """Resistance of the tools at its end, side by side. [ohm]"""
        return 1 / sum(1 / tool.load for tool in self.tools)


@dataclass(frozen=True)
class PowerSetup:
    """The whole supply of a crew on one generator.

    A what-if is another setup: ``dataclasses.replace`` one part and solve again.

    Parameters
    ----------
    generator : Generator
        Source of all cords.
    cords : tuple of Cord
        Every cord in use, with its tools; at least one.
    ambient : float
        Air that generator, cords and blowers breathe, 250 to 333. [K]
    altitude : float
        Above sea level. [m]
    """

    generator: Generator
    cords: tuple[Cord, ...]
    ambient: float
    altitude: float = 0.0

    def __post_init__(self) -> None:
        above_zero(cords=len(self.cords))
        if not 250 <= self.ambient <= 333:
            raise OutOfRange("ambient", self.ambient, above=250.0, below=333.0)

    @property
    def conductance(self) -> float:
        """All cords and tools as the generator's no-load volts see them. [1/ohm]"""
        return sum(cord.outlet**2 / (cord.resistance + cord.load) for cord in self.cords)


def derated_share(generator: Generator, *, altitude: float, ambient: float) -> float:
    """Share of its rated watts a generator has left at that altitude and air temperature.

    Parameters
    ----------
    generator : Generator
        With the derating of its manual; without one, nothing is taken off.
    altitude : float
        Above sea level. [m]
    ambient : float
        Air at the generator. [K]

    Returns
    -------
    float
        Above 0, at most 1. [-]

    Raises
    ------
    OutOfRange
        The derating leaves nothing.

    Notes
    -----
    Both losses multiply; manuals do not say whether they multiply or add. A carburettor
    not set for the altitude loses more.

    References
    ----------
    Form of four generator manuals: 3 to 3.5 % per 300 to 500 m, 1 to 3 % per 5 to 6 K.

    Examples
    --------
    >>> manual = Derating(0.03 / 500, 1000.0, 0.03 / 5, 313.15)
    >>> round(derated_share(Generator(derating=manual), altitude=1600.0, ambient=300.15), 3)
    0.964
    """
    if generator.derating is None:
        return 1.0
    rule = generator.derating
    thin = 1 - rule.altitude_slope * max(0.0, altitude - rule.altitude_base)
    hot = 1 - rule.heat_slope * max(0.0, ambient - rule.heat_base)
    above_zero(altitude_share=thin, heat_share=hot)
    return thin * hot


def source_volts(setup: PowerSetup) -> float:
    """Volts of the generator with every heater flat out.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords and tools.

    Returns
    -------
    float
        At the generator's outlet. [V]

    Raises
    ------
    OutOfRange
        The derating leaves no watts.

    Notes
    -----
    Volts fall in a straight line with the load. Beyond the available watts they fall
    until the load fits: a pessimistic stand-in, a real generator may trip or stall.

    References
    ----------
    Our choice of model; volts V solve V = V0 (1 - regulation G V^2 / available).

    Examples
    --------
    >>> from lapwright.physics.cords import find_gauge
    >>> cord = Cord(find_gauge("10 AWG"), 30.48)
    >>> round(source_volts(PowerSetup(Generator(), (cord,), ambient=299.8)), 1)
    235.5
    """
    generator, conductance = setup.generator, setup.conductance
    available = generator.watts * derated_share(
        generator, altitude=setup.altitude, ambient=setup.ambient
    )
    if full_load_watts(setup) > available:
        return math.sqrt(available / conductance)
    droop = generator.volts * generator.regulation * conductance / available
    return 2 * generator.volts / (1 + math.sqrt(1 + 4 * droop * generator.volts))


def full_load_watts(setup: PowerSetup) -> float:
    """Watts drawn at the volts that the generator has at its full load.

    Above the available watts the generator is overloaded.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords and tools.

    Returns
    -------
    float
        Cords included. [W]

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> from lapwright.physics.cords import find_gauge
    >>> cord = Cord(find_gauge("10 AWG"), 30.48)
    >>> round(full_load_watts(PowerSetup(Generator(), (cord, cord), ambient=299.8)), -1)
    9060.0
    """
    return setup.conductance * (setup.generator.volts * (1 - setup.generator.regulation)) ** 2


def end_volts(cord: Cord, *, source: float) -> float:
    """Computed volts at the far end of a cord, all its tools flat out.

    Parameters
    ----------
    cord : Cord
        The cord with its tools.
    source : float
        Volts of the generator under load. [V]

    Returns
    -------
    float
        Volts at its tools. [V]

    References
    ----------
    Voltage divider of cord and tools.

    Examples
    --------
    >>> from lapwright.physics.cords import find_gauge
    >>> round(end_volts(Cord(find_gauge("12 AWG"), 60.96), source=230.0), 1)
    216.8
    """
    return cord.outlet * source * cord.load / (cord.load + cord.resistance)
