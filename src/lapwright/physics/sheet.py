"""Sun, sky, wind and deck -> temperature of the open sheet; how fast it gets there; dew.

The estimate is for looking hours ahead and for doubting a reading; a reading always
wins (see ``sheetday``). Water is a gate, never a correction: below the dew margin there
is no welding until a person has found the lap dry by touch and cloth.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lapwright.errors import OutOfRange
from lapwright.physics.outside import Outside

Values = NDArray[np.float64]
Colour = Literal["white_new", "white_aged", "tan", "black"]
Substrate = Literal["foam", "board", "old_roof", "concrete"]

ABSORPTANCE: dict[Colour, float] = {  # -; of sunlight, from memory: soiling beats the name
    "white_new": 0.20,
    "white_aged": 0.32,
    "tan": 0.55,  # and grey
    "black": 0.92,
}
ABSORPTANCE_SPREAD = 0.08  # -; how far a real sheet lies off its name, from memory
HEAT_LOSS: dict[Substrate, float] = {  # W/m2K to the room; from memory: insulated, bare concrete
    "foam": 0.25,
    "board": 0.25,
    "old_roof": 0.25,
    "concrete": 3.0,
}
HEAT_BELOW: dict[Substrate, float] = {  # J/m2K that warms with the sheet; from memory
    "foam": 0.0,
    "board": 10e3,  # 13 mm gypsum
    "old_roof": 3e3,  # an old sheet of 1.5 mm
    "concrete": 105e3,  # the upper 50 mm
}
ROOM = 294.15  # K; 21 C below the deck, from memory
EMISSIVITY = 0.88  # -; of the sheet for heat radiation, from memory
STEFAN_BOLTZMANN = 5.670374e-8  # W/m2K4; CODATA 2018
SHEET_HEAT = 2.0e6  # J/m3K; 1000 kg/m3 times 2000 J/kgK, filled sheet, from memory
RADIATIVE = 5.0  # W/m2K; heat radiation near 300 K per kelvin, 4 * emissivity * sigma * T^3
WEAK_CONVECTION = (2.8, 3.0)  # W/m2K and per m/s of wind; convection alone, from memory
STRONG_CONVECTION = (5.7, 3.8)  # same; an older form said to hold radiation too, so it counts twice
DRY_MARGIN = 3.0  # K; sheet above dew point that we ask for, our choice


@dataclass(frozen=True)
class Roof:
    """What the sheet is and lies on.

    Parameters
    ----------
    absorptance : float
        Share of sunlight kept, 0 to 1, see ``ABSORPTANCE``. [-]
    heat_loss : float
        To the room below, see ``HEAT_LOSS``. [W/m2K]
    heat_below : float
        Stored under the sheet, warming with it, see ``HEAT_BELOW``. [J/m2K]
    thickness : float
        Of the sheet. [m]
    """

    absorptance: float = ABSORPTANCE["white_aged"]
    heat_loss: float = HEAT_LOSS["foam"]
    heat_below: float = HEAT_BELOW["foam"]
    thickness: float = 0.0015


@dataclass(frozen=True)
class SheetTemperature:
    """Estimate of the sheet and the span it may lie in.

    Parameters
    ----------
    estimate, colder, warmer : ndarray
        ``colder <= estimate <= warmer``. Use ``colder`` for dew and for the bottom of
        the window, ``warmer`` for the top. [K]
    """

    estimate: Values
    colder: Values
    warmer: Values


def roof(*, colour: Colour = "white_aged", substrate: Substrate = "foam") -> Roof:
    """Roof from the words a crew uses.

    Examples
    --------
    >>> roof(colour="black", substrate="concrete").absorptance
    0.92
    """
    return Roof(ABSORPTANCE[colour], HEAT_LOSS[substrate], HEAT_BELOW[substrate])


def sky_emissivity(dew_point: ArrayLike, *, cloud: ArrayLike) -> Values:
    """How strongly the sky radiates back, against a black body at air temperature.

    Parameters
    ----------
    dew_point : array_like
        Near the ground. [K]
    cloud : array_like
        Covered share of the sky, 0 to 1. [-]

    Returns
    -------
    ndarray
        0.6 to 1. [-]

    Notes
    -----
    Made for clear nights; the cloud term is weak, and so is the use by day, where the
    sun outweighs it.

    References
    ----------
    M. Martin and P. Berdahl, Solar Energy 33 (1984), night form; from memory.

    Examples
    --------
    >>> sky_emissivity(288.15, cloud=[0.0, 1.0]).round(3).tolist()
    [0.834, 0.973]
    """
    clear = np.clip(0.741 + 0.0062 * (np.asarray(dew_point, dtype=float) - 273.15), 0.6, 1.0)
    return np.asarray(clear + (1.0 - clear) * 0.84 * np.asarray(cloud))


def steady_sheet(
    outside: Outside, *, roof: Roof, convection: tuple[float, float] = WEAK_CONVECTION
) -> Values:
    """Temperature at which an open sheet gains as much heat as it loses.

    Parameters
    ----------
    outside : Outside
        Air, dew point, wind, sun and cloud.
    roof : Roof
        Absorptance and heat loss; stored heat plays no part.
    convection : tuple of float
        In still air, and per m/s of wind. [W/m2K, J/m3K]

    Returns
    -------
    ndarray
        Sheet temperature. [K]

    Raises
    ------
    OutOfRange
        ``wind`` or ``irradiance`` is below zero, or ``absorptance`` is not within 0 to 1.

    Notes
    -----
    sun + sky - own radiation - convection - loss to the room = 0. The left side falls
    ever faster with sheet temperature, so Newton's steps cannot miss its one root.
    Dry sheet only: melting frost and drying water hold a sheet colder.

    References
    ----------
    Heat balance; convection and emissivities from memory, see the constants. Within
    2 K of the sol-air temperature of a light roof at 3 m/s.

    Examples
    --------
    A white aged sheet at 80 F, 3 m/s of wind, full sun: about 105 F.

    >>> noon = Outside(air=299.82, dew_point=291.82, wind=3.0, irradiance=950.0)
    >>> round(float(steady_sheet(noon, roof=Roof(absorptance=0.32))) * 1.8 - 459.67)
    105
    """
    air = np.asarray(outside.air, dtype=float)
    wind = _not_negative("wind", outside.wind)
    if not 0 <= roof.absorptance <= 1:
        raise OutOfRange("absorptance", roof.absorptance, above=0.0, below=1.0)
    film = convection[0] + convection[1] * wind
    sky = sky_emissivity(outside.dew_point, cloud=outside.cloud) * air**4
    sun = roof.absorptance * _not_negative("irradiance", outside.irradiance)
    radiation = EMISSIVITY * STEFAN_BOLTZMANN
    sheet = air + 0 * (film + sky + sun)
    for _ in range(30):
        gain = (
            sun
            + radiation * (sky - sheet**4)
            - film * (sheet - air)
            - roof.heat_loss * (sheet - ROOM)
        )
        step = gain / (4 * radiation * sheet**3 + film + roof.heat_loss)
        sheet = sheet + step
        if np.all(np.abs(step) < 1e-9):
            break
    return np.asarray(sheet)


def sheet_span(outside: Outside, *, roof: Roof) -> SheetTemperature:
    """Estimate of the open sheet with the span of doubt around it.

    Parameters
    ----------
    outside : Outside
        Air, dew point, wind, sun and cloud.
    roof : Roof
        Absorptance and heat loss.

    Returns
    -------
    SheetTemperature
        Steady values. [K]

    Raises
    ------
    OutOfRange
        As :func:`steady_sheet`.

    Notes
    -----
    The span runs over both forms of convection and over ``ABSORPTANCE_SPREAD``. Weather
    that turns out otherwise than forecast is not in it.

    Examples
    --------
    >>> noon = Outside(air=299.82, dew_point=291.82, wind=3.0, irradiance=950.0)
    >>> span = sheet_span(noon, roof=Roof(absorptance=0.32))
    >>> [round(float(t) * 1.8 - 459.67) for t in (span.colder, span.estimate, span.warmer)]
    [93, 105, 112]
    """
    runs = [
        steady_sheet(outside, roof=_with_absorptance(roof, change), convection=convection)
        for convection in (WEAK_CONVECTION, STRONG_CONVECTION)
        for change in (0.0, -ABSORPTANCE_SPREAD, ABSORPTANCE_SPREAD)
    ]
    return SheetTemperature(runs[0], np.min(runs, axis=0), np.max(runs, axis=0))


def time_constant(wind: ArrayLike, *, roof: Roof) -> Values:
    """Time in which an unrolled sheet closes 63 % of the gap to its steady temperature.

    Parameters
    ----------
    wind : array_like
        Zero or above. [m/s]
    roof : Roof
        Thickness and heat stored below.

    Returns
    -------
    ndarray
        Time constant; about 5 min on foam in still air, hours on concrete. [s]

    Raises
    ------
    OutOfRange
        ``wind`` is below zero.

    Notes
    -----
    With the weaker convection, so rather too long than too short. For sheet lying
    open: a roll stays as cold inside as its store for about a day.

    Examples
    --------
    >>> round(float(time_constant(2.4, roof=Roof(thickness=0.0015))))
    200
    """
    film = WEAK_CONVECTION[0] + WEAK_CONVECTION[1] * _not_negative("wind", wind)
    return np.asarray((roof.thickness * SHEET_HEAT + roof.heat_below) / (film + RADIATIVE))


def settled(
    start: ArrayLike, *, steady: ArrayLike, elapsed: ArrayLike, time_constant: ArrayLike
) -> Values:
    """Sheet temperature some time after unrolling or after a change.

    Parameters
    ----------
    start, steady : array_like
        At the beginning; where it is heading. [K]
    elapsed, time_constant : array_like
        Since the beginning; of the sheet, see :func:`time_constant`. [s]

    Returns
    -------
    ndarray
        Sheet temperature. [K]

    Notes
    -----
    Radiation is taken as straight over the gap: within 1.1 K of the full balance for gaps
    up to 33 K, worst in still air.

    Examples
    --------
    A roll stored at 50 F, unrolled where the sheet will settle at 100 F, after 10 min:

    >>> round(float(settled(283.15, steady=310.93, elapsed=600, time_constant=200)), 1)
    309.5
    """
    left = np.exp(-np.asarray(elapsed) / np.asarray(time_constant))
    return np.asarray(np.asarray(steady) + (np.asarray(start) - np.asarray(steady)) * left)


def dew_margin(sheet: ArrayLike, *, dew_point: ArrayLike) -> Values:
    """How far the sheet is above the dew point; below zero it gathers dew or frost.

    Parameters
    ----------
    sheet, dew_point : array_like
        The colder estimate or a reading; of the air at the roof. [K]

    Returns
    -------
    ndarray
        Difference of temperatures. [K]

    Examples
    --------
    >>> float(dew_margin(288.0, dew_point=286.5))
    1.5
    """
    return np.asarray(np.asarray(sheet, dtype=float) - np.asarray(dew_point, dtype=float))


def is_clear_of_dew(
    sheet: ArrayLike, *, dew_point: ArrayLike, margin: float = DRY_MARGIN
) -> NDArray[np.bool_]:
    """Whether the sheet stays far enough above the dew point to be worked on.

    Parameters
    ----------
    sheet, dew_point : array_like
        The colder estimate or a reading; of the air at the roof. [K]
    margin : float
        Difference asked for; a job rule may ask for more. [K]

    Returns
    -------
    ndarray of bool
        False is a gate: no welding until a person finds the lap dry by touch and cloth.
        True says nothing about rain, or about dew that has not yet dried.

    Examples
    --------
    >>> is_clear_of_dew([288.0, 290.0], dew_point=286.5).tolist()
    [False, True]
    """
    return np.asarray(dew_margin(sheet, dew_point=dew_point) > margin)


def _not_negative(name: str, value: ArrayLike) -> Values:
    array = np.asarray(value, dtype=float)
    if not np.all(array >= 0):
        raise OutOfRange(name, float(np.min(array)), above=0.0)
    return array


def _with_absorptance(roof: Roof, change: float) -> Roof:
    changed = min(1.0, max(0.0, roof.absorptance + change))
    return Roof(changed, roof.heat_loss, roof.heat_below, roof.thickness)
