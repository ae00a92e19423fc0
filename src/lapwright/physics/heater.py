"""The heater of a welder: from nameplate and air flow to the hottest air it can make.

Every figure comes from the nameplate or the manual; the defaults are assumptions of a
middling automatic welder and say so.
"""

from __future__ import annotations

from dataclasses import dataclass

from lapwright.errors import OutOfRange
from lapwright.physics.air import density, enthalpy_rise, standard_pressure

HOTTEST_AIR = 1150.0  # K; heat capacity of air is not fitted beyond; a heater trips before


def above_zero(**values: float) -> None:
    """Refuse the first of the named values that is not above zero."""
    for name, value in values.items():
        if not value > 0:
            raise OutOfRange(name, value, above=0.0)


@dataclass(frozen=True)
class Tool:
    """One welder, automatic or hand, from its nameplate.

    Parameters
    ----------
    volts, watts : float
        Nameplate volts, and watts of heater and blower together. [V, W]
    blower : float
        Watts of the blower alone, below ``watts``; 200 assumed. [W]
    air_flow : float
        At the intake; 325 L/min assumed. [m3/s]
    efficiency : float
        Share of the heater's watts that reaches the air, 0 to 1; 0.96 assumed. [-]
    setting : float, optional
        Air temperature asked for. [K]
    measured : float, optional
        Volts at the tool under load; overrides the model. [V]
    """

    volts: float = 230.0
    watts: float = 4600.0
    blower: float = 200.0
    air_flow: float = 325 / 60_000
    efficiency: float = 0.96
    setting: float | None = None
    measured: float | None = None

    def __post_init__(self) -> None:
        above_zero(volts=self.volts, heat=self.watts - self.blower, air_flow=self.air_flow)
        if self.blower < 0:
            raise OutOfRange("blower", self.blower, above=0.0, below=self.watts)
        if not 0 < self.efficiency <= 1:
            raise OutOfRange("efficiency", self.efficiency, above=0.0, below=1.0)
        if self.measured is not None:
            above_zero(measured=self.measured)

    @property
    def heater(self) -> float:
        """Resistance of the heater. [ohm]"""
        return self.volts**2 / (self.watts - self.blower)

    @property
    def load(self) -> float:
        """Resistance of heater and blower together; the blower counts as a resistor. [ohm]"""
        return self.volts**2 / self.watts


def heat_for(air: float, *, tool: Tool, ambient: float, altitude: float) -> float:
    """Watts the heater must give for that air temperature.

    Parameters
    ----------
    air : float
        At the nozzle, up to ``HOTTEST_AIR``. [K]
    tool : Tool
        Its air flow and efficiency count.
    ambient : float
        Air at the blower's intake, 250 K and above. [K]
    altitude : float
        Above sea level; thin air needs less heat. [m]

    Returns
    -------
    float
        Watts of the heater; below zero if ``air`` is the colder one. [W]

    Raises
    ------
    OutOfRange
        ``air``, ``ambient`` or ``altitude`` lies outside what air is known for.

    Notes
    -----
    Volume flow counted at the intake and taken as steady; a blower that slows with the
    volts would need less heat. Dry air.

    References
    ----------
    Energy balance: efficiency x watts = density x flow x enthalpy rise.

    Examples
    --------
    >>> round(heat_for(810.9, tool=Tool(), ambient=299.8, altitude=0.0))
    3550
    """
    flow = tool.air_flow * density(ambient, pressure=standard_pressure(altitude))
    return flow * enthalpy_rise(ambient, hot=air) / tool.efficiency


def hottest_air(heat: float, *, tool: Tool, ambient: float, altitude: float) -> float:
    """Air temperature that many watts of the heater can make.

    Parameters
    ----------
    heat : float
        Watts of the heater, zero or above. [W]
    tool, ambient, altitude
        As :func:`heat_for`.

    Returns
    -------
    float
        At the nozzle, at most ``HOTTEST_AIR``. [K]

    Raises
    ------
    OutOfRange
        ``heat`` is below zero, or as :func:`heat_for`.

    References
    ----------
    Inverse of :func:`heat_for`.

    Examples
    --------
    >>> round(hottest_air(4400.0, tool=Tool(), ambient=298.15, altitude=0.0) - 273.15)
    648
    """
    if heat < 0:
        raise OutOfRange("heat", heat, above=0.0)
    low, high = ambient, HOTTEST_AIR
    if heat >= heat_for(high, tool=tool, ambient=ambient, altitude=altitude):
        return high
    for _ in range(60):  # bisection: monotone, far below rounding
        middle = 0.5 * (low + high)
        reached = heat_for(middle, tool=tool, ambient=ambient, altitude=altitude) < heat
        low, high = (middle, high) if reached else (low, middle)
    return 0.5 * (low + high)
