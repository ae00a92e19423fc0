"""Air temperature, speed and sheet -> temperature of the lap faces, and back.

Each sheet is a half-space suddenly heated by convection at its face. One lumped
number, kappa, carries machine, nozzle, air flow and sheet. No measured interface
temperature of a hot-air lap in roof sheet was found: kappa rests on practice, so
"exact" here means that the formula is solved exactly, not that the lap is known.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import erfcx

from lapwright.errors import OutOfRange

REFERENCE_SPEED = 0.0508  # m/s; 10 ft/min, common practice, no source
REFERENCE_SHEET = 302.6  # K; 85 F, our choice of a middling sheet
REFERENCE_KAPPA = 0.1016  # m^0.5 s^-0.5; makes 700 F the bottom (80 F, 10 ft/min); no source
SLOW_FOURIER = 0.2  # -; below it the back of the sheet is not felt (0.3 K off the slab series)
REFUSE_FOURIER = 0.3  # -; above it the half-space runs 2 K and more too cold: weld a test instead
HEATED_LENGTH = 0.040  # m; under the jet, assumed (30 to 60 mm); enters the face through kappa only
MOST_SPEED_RATIO = 1.4  # -; furthest a window is carried from the tested speeds; our choice
MOST_SHEET_CHANGE = 40 / 1.8  # K; furthest from the tested sheet temperatures, 40 F; our choice
_MASS_FLOW_EXPONENT = 0.7  # -; see kappa_scaled
_BOTTOM_PER_LOG_SPEED = 61.0  # K of air per unit of ln(speed ratio); see transfer_margins
_BOTTOM_PER_COLD = 0.8  # K of air per K colder sheet
_TOP_PER_LOG_SPEED = 39.0  # K of air per unit of ln(speed ratio)
_TOP_PER_COLD = 1.0  # K of air per K colder sheet

Values = NDArray[np.float64]


def above_zero(name: str, value: ArrayLike) -> Values:
    """Pass a quantity on as an array, or raise ``OutOfRange`` if any of it is not above zero."""
    array = np.asarray(value, dtype=float)
    if not np.all(array > 0):
        raise OutOfRange(name, float(np.min(array)), above=0.0)
    return array


def rise_fraction(speed: ArrayLike, *, kappa: ArrayLike) -> Values:
    """Share of the gap between air and sheet that the lap face climbs.

    Parameters
    ----------
    speed, kappa : array_like
        Travel speed; lumped heat transfer of machine, nozzle, air flow and sheet. Both
        above zero. [m/s, m^0.5 s^-0.5]

    Returns
    -------
    ndarray
        phi = 1 - erfcx(kappa / sqrt(speed)), between 0 and 1; erfcx(b) = exp(b^2) erfc(b),
        whose first factor alone would overflow. [-]

    Raises
    ------
    OutOfRange
        ``speed`` or ``kappa`` is not above zero.

    References
    ----------
    Semi-infinite solid with surface convection: Incropera and DeWitt, Fundamentals of
    Heat and Mass Transfer, chapter on transient conduction, at the face (x = 0).

    Examples
    --------
    >>> round(float(rise_fraction(0.0508, kappa=0.1016)), 4)
    0.3582
    """
    beta = above_zero("kappa", kappa) / np.sqrt(above_zero("speed", speed))
    return np.asarray(1.0 - erfcx(beta))


def interface_temperature(
    air: ArrayLike, *, sheet: ArrayLike, speed: ArrayLike, kappa: ArrayLike
) -> Values:
    """Temperature of the lap faces when they meet under the roller.

    Parameters
    ----------
    air, sheet : array_like
        True air at the nozzle mouth (not the display); sheet before the nozzle. [K]
    speed, kappa : array_like
        As :func:`rise_fraction`. [m/s, m^0.5 s^-0.5]

    Returns
    -------
    ndarray
        Interface temperature, broadcast over the inputs. [K]

    Raises
    ------
    OutOfRange
        ``speed`` or ``kappa`` is not above zero.

    Notes
    -----
    Good while heat has not crossed the sheet (:func:`fourier` up to 0.2). Deck,
    thickness and wind over the sheet do not enter (conduction moves the face by less
    than 0.1 K); they act through sheet temperature, air and kappa.

    Examples
    --------
    >>> round(float(interface_temperature(727.6, sheet=299.8, speed=0.0508, kappa=0.1016)), 1)
    453.0
    """
    sheet = np.asarray(sheet, dtype=float)
    return np.asarray(sheet + rise_fraction(speed, kappa=kappa) * (np.asarray(air) - sheet))


def air_for(
    interface: ArrayLike, *, sheet: ArrayLike, speed: ArrayLike, kappa: ArrayLike
) -> Values:
    """Air temperature that brings the lap faces to a given temperature.

    Parameters
    ----------
    interface, sheet : array_like
        Wanted interface temperature, above the sheet's; sheet before the nozzle. [K]
    speed, kappa : array_like
        As :func:`rise_fraction`. [m/s, m^0.5 s^-0.5]

    Returns
    -------
    ndarray
        Air temperature at the nozzle mouth; inverse of :func:`interface_temperature`. [K]

    Raises
    ------
    OutOfRange
        ``interface`` is not above ``sheet``, or ``speed`` or ``kappa`` not above zero.

    Examples
    --------
    >>> round(float(air_for(423.15, sheet=299.8167, speed=0.0508, kappa=0.1016)), 1)
    644.2
    """
    interface, sheet = np.asarray(interface, dtype=float), np.asarray(sheet, dtype=float)
    if not np.all(interface > sheet):
        raise OutOfRange("interface", float(np.min(interface)), above=float(np.max(sheet)))
    return np.asarray(sheet + (interface - sheet) / rise_fraction(speed, kappa=kappa))


def speed_for(interface: float, *, air: float, sheet: float, kappa: float) -> float | None:
    """Travel speed at which the lap faces just reach a given temperature.

    Parameters
    ----------
    interface : float
        Wanted interface temperature, above the sheet's. [K]
    air, sheet : float
        Air at the nozzle mouth; sheet before the nozzle. [K]
    kappa : float
        Lumped heat transfer, above zero. [m^0.5 s^-0.5]

    Returns
    -------
    float or None
        Speed [m/s]; None when no speed reaches it, because the air itself is no
        hotter than ``interface``.

    Raises
    ------
    OutOfRange
        ``interface`` is not above ``sheet``, or ``kappa`` is not above zero.

    Notes
    -----
    Inverse of :func:`interface_temperature`: root of phi(beta) = (interface - sheet) /
    (air - sheet), then speed = (kappa / beta)^2.

    Examples
    --------
    >>> round(speed_for(423.15, air=699.8167, sheet=299.8167, kappa=0.1016), 4)
    0.0772
    """
    above_zero("kappa", kappa)
    if not interface > sheet:
        raise OutOfRange("interface", interface, above=sheet)
    if not air > interface:
        return None
    wanted = (air - interface) / (air - sheet)  # above 0, below 1; erfcx falls from 1 to 0
    low, high = 0.0, 1.0
    while erfcx(high) > wanted:
        high *= 2
    for _ in range(80):  # bisection: monotone, always 80 halvings, far below rounding
        middle = 0.5 * (low + high)
        low, high = (middle, high) if erfcx(middle) > wanted else (low, middle)
    return float((kappa / (0.5 * (low + high))) ** 2)


def equivalent_air(
    air: ArrayLike, *, sheet: ArrayLike, speed: ArrayLike, kappa: ArrayLike
) -> Values:
    """Air temperature that would heat the lap alike at the reference sheet and speed.

    Welds made at any speed and sheet temperature pool on this axis. At the reference
    itself it is the air temperature, whatever kappa is.

    Parameters
    ----------
    air, sheet, speed, kappa : array_like
        As :func:`interface_temperature`. [K, K, m/s, m^0.5 s^-0.5]

    Returns
    -------
    ndarray
        Air temperature at ``REFERENCE_SHEET`` and ``REFERENCE_SPEED``. [K]

    Raises
    ------
    OutOfRange
        ``speed`` or ``kappa`` is not above zero.

    Examples
    --------
    >>> round(float(equivalent_air(750.0, sheet=302.6, speed=0.0508, kappa=0.09)), 1)
    750.0
    >>> round(float(equivalent_air(750.0, sheet=292.6, speed=0.0508, kappa=0.1016)), 1)
    732.1
    """
    face = interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa)
    reference = rise_fraction(REFERENCE_SPEED, kappa=kappa)
    return np.asarray(REFERENCE_SHEET + (face - REFERENCE_SHEET) / reference)


def air_at(
    equivalent: ArrayLike, *, sheet: ArrayLike, speed: ArrayLike, kappa: ArrayLike
) -> Values:
    """Air temperature at given sheet and speed for an equivalent air temperature.

    Parameters
    ----------
    equivalent : array_like
        Air temperature at ``REFERENCE_SHEET`` and ``REFERENCE_SPEED``. [K]
    sheet, speed, kappa : array_like
        As :func:`interface_temperature`. [K, m/s, m^0.5 s^-0.5]

    Returns
    -------
    ndarray
        Air temperature at the nozzle mouth; inverse of :func:`equivalent_air`. [K]

    Raises
    ------
    OutOfRange
        ``speed`` or ``kappa`` is not above zero.

    Examples
    --------
    >>> round(float(air_at(732.1, sheet=292.6, speed=0.0508, kappa=0.1016)), 0)
    750.0
    """
    face = interface_temperature(
        equivalent, sheet=REFERENCE_SHEET, speed=REFERENCE_SPEED, kappa=kappa
    )
    sheet = np.asarray(sheet, dtype=float)
    return np.asarray(sheet + (face - sheet) / rise_fraction(speed, kappa=kappa))


def kappa_scaled(kappa: float, *, flow_ratio: float = 1.0, pressure_ratio: float = 1.0) -> float:
    """kappa after a change of air flow or of ambient pressure (altitude).

    A changed nozzle voids kappa altogether: weld a test.

    Parameters
    ----------
    kappa : float
        Value at the reference flow and pressure. [m^0.5 s^-0.5]
    flow_ratio, pressure_ratio : float
        New over reference volume flow, and ambient pressure; above zero. [-]

    Returns
    -------
    float
        Scaled kappa. [m^0.5 s^-0.5]

    Raises
    ------
    OutOfRange
        ``kappa`` or a ratio is not above zero.

    References
    ----------
    Mass flow to the power 0.7 is our choice: the middle of three published correlations
    (slot jet 0.58 to channel 0.80), evaluated far outside their range.

    Examples
    --------
    >>> round(kappa_scaled(1.0, flow_ratio=0.8), 4)
    0.8554
    """
    flow = above_zero("flow_ratio", flow_ratio)
    pressure = above_zero("pressure_ratio", pressure_ratio)
    return float(above_zero("kappa", kappa) * (flow * pressure) ** _MASS_FLOW_EXPONENT)


def fourier(speed: ArrayLike, *, thickness: float, diffusivity: float = 1.1e-7) -> Values:
    """How far the heat has crossed the sheet while the nozzle passes.

    Parameters
    ----------
    speed : array_like
        Travel speed, above zero. [m/s]
    thickness : float
        Sheet thickness, above zero. [m]
    diffusivity : float
        Of the sheet; 0.22 W/mK over 2.0 MJ/m3K (from memory for filled sheet). [m2/s]

    Returns
    -------
    ndarray
        Fourier number. Up to 0.2 the face is within 0.3 K of the slab; up to 0.3 the
        true heat is higher than computed; above it nothing may be carried over. [-]

    Raises
    ------
    OutOfRange
        ``speed``, ``thickness`` or ``diffusivity`` is not above zero.

    References
    ----------
    Slab series with insulated back, Incropera and DeWitt, one-term solution.

    Examples
    --------
    >>> round(float(fourier(0.0508, thickness=0.0015)), 3)
    0.038
    """
    heated = above_zero("diffusivity", diffusivity) * HEATED_LENGTH / above_zero("speed", speed)
    return np.asarray(heated / above_zero("thickness", thickness) ** 2)


def transfer_margins(*, log_speed: ArrayLike, colder: ArrayLike) -> tuple[Values, Values]:
    """What to give away at both edges when speed rises or the sheet cools.

    Parameters
    ----------
    log_speed : array_like
        ln(speed / fastest tested speed); zero or below means not faster. [-]
    colder : array_like
        Coldest tested sheet minus this sheet; below zero means warmer. [K]

    Returns
    -------
    bottom_up, top_down : ndarray
        Rise of the bottom and fall of the top, never negative. [K of air]

    References
    ----------
    Our own, no field data: drawn around the differences between interface temperature
    and rival criteria of a sound weld (time above melt, healing, air density, melting
    peak), one at a time. Up to 11 F (6 K) stay uncovered, more where effects add up.

    Examples
    --------
    >>> bottom, top = transfer_margins(log_speed=0.0, colder=40 / 1.8)
    >>> round(1.8 * float(bottom)), round(1.8 * float(top))
    (32, 40)
    """
    log_speed, colder = np.asarray(log_speed, dtype=float), np.asarray(colder, dtype=float)
    bottom = np.maximum(0.0, _BOTTOM_PER_LOG_SPEED * log_speed + _BOTTOM_PER_COLD * colder)
    top = np.maximum(0.0, _TOP_PER_LOG_SPEED * log_speed + _TOP_PER_COLD * colder)
    return bottom, top
