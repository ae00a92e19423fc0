"""Cords between the generator and the welder: resistance, rated amps, copper temperature.

Sizes are named as the trade names them ("12 AWG", "2.5 mm2"); each carries its
published resistance. Nothing here calls a cord safe: rated amps are quoted from code
tables, and the temperature of the copper is a rough heat balance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lapwright.errors import LapwrightError, OutOfRange

RATED_COPPER = 333.15  # K; 60 C, unless the cord is marked otherwise (UL, read in a code course)
HOTTEST_COPPER = 473.15  # K; 200 C: no cord lives there, so a hotter figure would say nothing more
_RATED_AMBIENT = 303.15  # K; 30 C, ambient of both ampacity tables
_NO_RESISTANCE = 38.65  # K; 234.5 C below zero, copper's resistance drawn on to nothing (IEC 60228)
_FILM_FREE = 8.0  # W/m2K; still air around a cord laid out; assumed
_FILM_COILED = 2.0  # W/m2K; the same over the jacket of a coiled cord; assumed


@dataclass(frozen=True)
class Gauge:
    """One size of flexible copper cord.

    Parameters
    ----------
    name : str
        As the trade says it, for example ``"12 AWG"`` or ``"2.5 mm2"``.
    area : float
        Copper cross-section of one conductor. [m2]
    resistance, at : float
        Of one conductor; the copper temperature it is published for. [ohm/m, K]
    ampacity : float
        Amps of a cord with two loaded conductors, laid out in 30 C air. [A]
    jacket : float
        Outer diameter of a round cord with two conductors and earth. [m]
    """

    name: str
    area: float
    resistance: float
    at: float
    ampacity: float
    jacket: float


def awg_diameter(number: int) -> float:
    """Diameter of the solid wire that an American wire gauge number stands for.

    Parameters
    ----------
    number : int
        Gauge number, 0 to 36; a larger number is a thinner wire. [-]

    Returns
    -------
    float
        Diameter. [m]

    Raises
    ------
    OutOfRange
        ``number`` is not between 0 and 36.

    References
    ----------
    ASTM B258: 0.005 in at 36, 39 equal ratios up to 0.46 in.

    Examples
    --------
    >>> round(1000 * awg_diameter(12), 4)
    2.0525
    """
    if not 0 <= number <= 36:
        raise OutOfRange("gauge", number, above=-1, below=37)
    return float(0.005 * 0.0254 * 92 ** ((36 - number) / 39))


def _awg(number: int, ohm_per_kft: float, ampacity: float, jacket: float) -> Gauge:
    area = math.pi / 4 * awg_diameter(number) ** 2
    return Gauge(f"{number} AWG", area, ohm_per_kft / 304.8, 348.15, ampacity, jacket)


def _metric(area_mm2: float, ohm_per_km: float, ampacity: float, jacket: float) -> Gauge:
    return Gauge(f"{area_mm2:g} mm2", area_mm2 * 1e-6, ohm_per_km / 1e3, 293.15, ampacity, jacket)


# AWG: stranded uncoated copper at 75 C, NEC chapter 9 table 8; amps of NEC table 400.5(A),
# column for two loaded conductors (both read in copies). Metric: class 5 plain copper at
# 20 C, IEC 60228; amps of the DIN VDE 0298-4 column for flexible cords with 2 or 3 loaded
# conductors (read in a copy). Jackets: 12 and 10 AWG assumed, the rest from memory.
_SIZES = (
    _awg(16, 4.99, 13.0, 0.0105),
    _awg(14, 3.14, 18.0, 0.0135),
    _awg(12, 1.98, 25.0, 0.0155),
    _awg(10, 1.24, 30.0, 0.0175),
    _awg(8, 0.778, 40.0, 0.0215),
    _metric(1.5, 13.3, 18.0, 0.0105),
    _metric(2.5, 7.98, 26.0, 0.0125),
    _metric(4, 4.95, 34.0, 0.0145),
    _metric(6, 3.30, 44.0, 0.0160),
    _metric(10, 1.91, 61.0, 0.0215),
    _metric(16, 1.21, 82.0, 0.0250),
)
GAUGES: dict[str, Gauge] = {gauge.name: gauge for gauge in _SIZES}


def find_gauge(name: str) -> Gauge:
    """The cord size of that name.

    Parameters
    ----------
    name : str
        ``"12 AWG"``, ``"2.5 mm2"`` and so on; case and spaces do not matter.

    Returns
    -------
    Gauge
        Size with its published values.

    Raises
    ------
    LapwrightError
        ``unknown_gauge``: no such size; ``known`` lists those there are.

    References
    ----------
    As the table above this function.

    Examples
    --------
    >>> find_gauge("10awg").ampacity
    30.0
    """
    plain = name.replace(" ", "").casefold()
    for gauge in _SIZES:
        if gauge.name.replace(" ", "").casefold() == plain:
            return gauge
    raise LapwrightError("unknown_gauge", gauge=name, known=", ".join(GAUGES))


def cord_resistance(gauge: Gauge, *, length: float, copper: float) -> float:
    """Resistance of a cord, out and back.

    Parameters
    ----------
    gauge : Gauge
        Size of the cord.
    length : float
        From plug to plug; the current travels it twice. [m]
    copper : float
        Temperature of the copper. [K]

    Returns
    -------
    float
        Both conductors together. [ohm]

    Raises
    ------
    OutOfRange
        ``length`` is below zero, or ``copper`` outside 200-500 K.

    Notes
    -----
    Linear in the temperature of the copper. Plugs and worn contacts are not in it: they
    can cost more than the cord, so volts measured under load beat this.

    References
    ----------
    R ~ 234.5 + t (t in C): IEC 60228; NEC chapter 9 table 8 has the same as 0.00323 per K
    from 75 C.

    Examples
    --------
    >>> round(cord_resistance(find_gauge("10 AWG"), length=30.48, copper=313.15), 4)
    0.22
    """
    if length < 0:
        raise OutOfRange("length", length, above=0.0)
    if not 200 < copper < 500:
        raise OutOfRange("copper", copper, above=200.0, below=500.0)
    warmer = (copper - _NO_RESISTANCE) / (gauge.at - _NO_RESISTANCE)
    return 2 * length * gauge.resistance * warmer


def ampacity(gauge: Gauge, *, ambient: float) -> float:
    """Rated amps of a cord laid out in air of that temperature.

    Parameters
    ----------
    gauge : Gauge
        Size of the cord.
    ambient : float
        Air around the cord. [K]

    Returns
    -------
    float
        Rated amps; never more than the table's, zero from 60 C up. [A]

    Notes
    -----
    Above 30 C the table is lowered for a 60 C cord, as the square root of the room left
    to 60 C. A coiled cord carries less; by how much is not in the tables read here.

    References
    ----------
    NEC tables 400.5(A) and 310.16 (60 C correction factors, from memory: .91 at 35 C,
    .82 at 40 C); DIN VDE 0298-4.

    Examples
    --------
    >>> ampacity(find_gauge("12 AWG"), ambient=293.15)
    25.0
    >>> round(ampacity(find_gauge("12 AWG"), ambient=313.15), 1)
    20.4
    """
    room = (RATED_COPPER - ambient) / (RATED_COPPER - _RATED_AMBIENT)
    return gauge.ampacity * math.sqrt(min(1.0, max(0.0, room)))


def copper_temperature(gauge: Gauge, *, amps: float, ambient: float, coiled: bool = False) -> float:
    """Temperature the copper settles at while the cord carries the amps.

    Parameters
    ----------
    gauge : Gauge
        Size of the cord.
    amps : float
        Current, zero or above. [A]
    ambient : float
        Air around the cord. [K]
    coiled : bool
        On the reel or in a heap instead of laid out.

    Returns
    -------
    float
        Copper temperature, at most ``HOTTEST_COPPER``. [K]

    Raises
    ------
    OutOfRange
        ``amps`` is below zero.

    Notes
    -----
    Heat of both conductors against a film on the jacket: 8 W/m2K laid out, 2 coiled, both
    assumed, both with the copper as hot as the jacket. Sun on a dark cord adds to it. A
    rough figure, good for "uncoil it", not for sizing.

    References
    ----------
    Own heat balance. At the amps of the tables in 30 C air it gives 44-71 C, where the
    tables stand for 60 C.

    Examples
    --------
    >>> twelve = find_gauge("12 AWG")
    >>> round(copper_temperature(twelve, amps=20.0, ambient=308.15) - 273.15)
    47
    >>> round(copper_temperature(twelve, amps=20.0, ambient=308.15, coiled=True) - 273.15)
    91
    """
    if amps < 0:
        raise OutOfRange("amps", amps, above=0.0)
    film = _FILM_COILED if coiled else _FILM_FREE
    heat_per_kelvin = 2 * amps**2 * gauge.resistance / (gauge.at - _NO_RESISTANCE)
    feedback = heat_per_kelvin / (film * math.pi * gauge.jacket)
    if feedback >= 1:  # each kelvin of copper makes more heat than the jacket sheds
        return HOTTEST_COPPER
    return min(HOTTEST_COPPER, (ambient - feedback * _NO_RESISTANCE) / (1 - feedback))
