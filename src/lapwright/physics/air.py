"""Air of the day and air in the nozzle: pressure, density, heat capacity, dew point.

Weather air is left to PsychroLib, which knows the handbook formulas; its unit switch
is global, so it is set to SI once, here, and nowhere else in lapwright. Air up to
nozzle heat is a polynomial, checked against a textbook table in the tests.
"""

from __future__ import annotations

import psychrolib

from lapwright.errors import OutOfRange

psychrolib.SetUnitSystem(psychrolib.SI)

_ICE_POINT = 273.15  # K; PsychroLib speaks degrees Celsius
_HEAT_CAPACITY = (1073.585, -550.646, 1359.432, -986.067, 244.835)  # J/kgK per (T/1000 K)^0..4;
# polynomial fit from memory; at most 0.1 % off the table in the tests from 250 to 900 K
_COLDEST, _HOTTEST = 250.0, 1150.0  # K; range of that fit
_LOWEST, _HIGHEST = -500.0, 11_000.0  # m; standard atmosphere below the tropopause
_WEATHER_COLD, _WEATHER_HOT = 223.15, 333.15  # K; -50 to 60 C, our choice of what weather is
_DRIEST = 0.001  # -; below it the dew point leaves the range of the vapour pressure formula


def _between(name: str, value: float, above: float, below: float) -> float:
    if not above <= value <= below:
        raise OutOfRange(name, value, above=above, below=below)
    return value


def standard_pressure(altitude: float) -> float:
    """Air pressure at an altitude on a standard day.

    Parameters
    ----------
    altitude : float
        Above sea level, -500 to 11 000. [m]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    OutOfRange
        ``altitude`` lies outside the range.

    Notes
    -----
    Weather moves it by up to about 3 %, as much as 300 m of altitude (from memory).

    References
    ----------
    ASHRAE Handbook of Fundamentals 2017, chapter 1, equation 3, through PsychroLib.

    Examples
    --------
    >>> round(standard_pressure(1600.0) / standard_pressure(0.0), 3)
    0.824
    """
    _between("altitude", altitude, _LOWEST, _HIGHEST)
    return float(psychrolib.GetStandardAtmPressure(altitude))


def density(temperature: float, *, pressure: float) -> float:
    """Density of dry air.

    Parameters
    ----------
    temperature : float
        Air temperature, 223.15 to 1150. [K]
    pressure : float
        Air pressure, above zero. [Pa]

    Returns
    -------
    float
        Density. [kg/m3]

    Raises
    ------
    OutOfRange
        ``temperature`` lies outside the range or ``pressure`` is not above zero.

    Notes
    -----
    Perfect gas. Moisture makes air lighter by up to 2 % on a hot, humid day; left out.

    References
    ----------
    ASHRAE Handbook of Fundamentals 2017, chapter 1, equation 14, through PsychroLib.

    Examples
    --------
    >>> round(density(299.8167, pressure=101325.0), 3)
    1.177
    """
    _between("temperature", temperature, _WEATHER_COLD, _HOTTEST)
    if not pressure > 0:
        raise OutOfRange("pressure", pressure, above=0.0)
    return float(psychrolib.GetDryAirDensity(temperature - _ICE_POINT, pressure))


def heat_capacity(temperature: float) -> float:
    """Heat that warms a kilogram of air by one kelvin, at constant pressure.

    Parameters
    ----------
    temperature : float
        Air temperature, 250 to 1150. [K]

    Returns
    -------
    float
        Heat capacity. [J/kgK]

    Raises
    ------
    OutOfRange
        ``temperature`` lies outside the range.

    Notes
    -----
    At most 0.1 % off the table of Incropera and DeWitt from 250 to 900 K.

    References
    ----------
    Polynomial from memory; table A.4 of Incropera and DeWitt, Fundamentals of Heat and
    Mass Transfer, stands behind it in the tests.

    Examples
    --------
    >>> round(heat_capacity(800.0))
    1099
    """
    _between("temperature", temperature, _COLDEST, _HOTTEST)
    t = temperature / 1000
    return sum(factor * t**power for power, factor in enumerate(_HEAT_CAPACITY))


def enthalpy_rise(cold: float, *, hot: float) -> float:
    """Heat that brings a kilogram of air from one temperature to another.

    Parameters
    ----------
    cold, hot : float
        Air before and after the heater, 250 to 1150; either order. [K]

    Returns
    -------
    float
        Heat, negative if ``hot`` is the colder one. [J/kg]

    Raises
    ------
    OutOfRange
        ``cold`` or ``hot`` lies outside the range.

    References
    ----------
    Integral of :func:`heat_capacity`.

    Examples
    --------
    >>> round(enthalpy_rise(300.0, hot=800.0) / 1000)
    522
    """
    _between("cold", cold, _COLDEST, _HOTTEST)
    _between("hot", hot, _COLDEST, _HOTTEST)
    low, high = cold / 1000, hot / 1000
    return 1000 * sum(
        factor / (power + 1) * (high ** (power + 1) - low ** (power + 1))
        for power, factor in enumerate(_HEAT_CAPACITY)
    )


def dew_point(air: float, *, relative_humidity: float) -> float:
    """Temperature at which this air begins to leave dew, or frost, on a sheet.

    Parameters
    ----------
    air : float
        Air temperature of the day, 223.15 to 333.15. [K]
    relative_humidity : float
        As a share, 0.001 to 1. [-]

    Returns
    -------
    float
        Dew point; below 273.15 the frost point. Never above ``air``. [K]

    Raises
    ------
    OutOfRange
        ``air`` or ``relative_humidity`` lies outside the range.

    Notes
    -----
    PsychroLib inverts the handbook's vapour pressure: within 0.01 K of it. The air
    beside the lap may be damper than the weather report says.

    References
    ----------
    ASHRAE Handbook of Fundamentals 2017, chapter 1, equations 5 and 6, through PsychroLib.

    Examples
    --------
    >>> round(dew_point(293.15, relative_humidity=0.5) - 273.15, 1)
    9.3
    """
    _between("air", air, _WEATHER_COLD, _WEATHER_HOT)
    _between("relative_humidity", relative_humidity, _DRIEST, 1.0)
    celsius = psychrolib.GetTDewPointFromRelHum(air - _ICE_POINT, relative_humidity)
    return float(celsius + _ICE_POINT)
