"""The hours ahead: workable or not, where the window moves, when the next test is due.

Joins weather, sheet, the morning's belief and the job's rules. The plan tests when a
trigger asks for it; between tests it follows the set point in force through the day. A
forecast is a forecast: every figure is what the model expects, not what will be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC

import numpy as np

from lapwright.job.carried import Carried, Cost
from lapwright.job.dayhours import PlannedHour, Shift, Stop
from lapwright.job.morning import Morning
from lapwright.job.retests import with_tests
from lapwright.job.rules import RuleBook
from lapwright.physics.outside import HALF_HOUR, Hour, outside_of, wind_word
from lapwright.physics.sheet import Roof, SheetTemperature, dew_margin, is_clear_of_dew
from lapwright.physics.sheetday import SheetReading, sheet_by_hour
from lapwright.physics.sun import haurwitz, sun_position
from lapwright.window.prior import Values

_RAIN_LIKELY = 0.5  # -; chance of rain from which an hour is not planned; our choice
_SUNNY = 0.6  # -; share of the clear-sky radiation from which a crew says "sun"; our choice


@dataclass(frozen=True)
class Plan:
    """The hours ahead.

    Parameters
    ----------
    hours : tuple of PlannedHour
        In order of time.
    morning_air : float or None
        Set point of the morning; None without test welds. [K]
    level : float or None
        P(sound) that it must reach; None without test welds. [-]
    holds_until : int or None
        Index of the first workable hour in which it falls below the level or leaves what
        the tests may carry; None while it holds, or without test welds.
    cost : Cost or None
        None without test welds or workable hours within the tested range.
    """

    hours: tuple[PlannedHour, ...]
    morning_air: float | None
    level: float | None
    holds_until: int | None
    cost: Cost | None

    @property
    def workable(self) -> tuple[int, ...]:
        """Indices of the workable hours."""
        return tuple(number for number, hour in enumerate(self.hours) if hour.is_workable)


def plan_day(
    hours: Sequence[Hour],
    *,
    rules: RuleBook,
    roof: Roof,
    place: tuple[float, float] | None = None,
    readings: Sequence[SheetReading] = (),
    morning: Morning | None = None,
    shift: Shift | None = None,
) -> Plan:
    """Plan the hours of a forecast or of a measured year.

    Parameters
    ----------
    hours : sequence of Hour
        In order of time; their clock is the crew's.
    rules : RuleBook
        The job's rules.
    roof : Roof
        What the sheet is and lies on.
    place : tuple of float, optional
        Latitude and longitude; needed where the sun must be computed. [deg]
    readings : sequence of SheetReading
        Measured sheet temperatures; they win and correct the hours after them.
    morning : Morning, optional
        Test welds so far; without them only weather and triggers are planned.
    shift : Shift, optional
        Hours worked; 7 to 17 unless said.

    Returns
    -------
    Plan

    Raises
    ------
    LapwrightError, OutOfRange
        As :func:`lapwright.physics.sheetday.sheet_by_hour`.

    Notes
    -----
    Each day begins with a test weld. The crew, its machines and its power stay as they
    are; stops other than for weather, and feet welded, are not foreseen. Dew that lies
    from the night is dry as soon as the sheet is clear of the dew point, which is early.
    """
    shift = shift or Shift()
    sun = np.asarray(outside_of(hours, place=place).irradiance)
    lit = [replace(hour, irradiance=float(w)) for hour, w in zip(hours, sun, strict=True)]
    words = _sun_words(lit, sun, place)
    sheet = sheet_by_hour(lit, roof=roof, place=place, readings=readings)
    margins = dew_margin(sheet.colder, dew_point=np.array([hour.dew_point for hour in hours]))
    window = Carried.of(morning, sheet=sheet.estimate)
    planned = [
        _planned(hour, number, sheet, float(margins[number]), words[number], rules, shift, window)
        for number, hour in enumerate(lit)
    ]
    tested = tuple(with_tests(planned, rules, morning, window))
    workable = [number for number, hour in enumerate(tested) if hour.is_workable]
    if morning is None or window is None:
        return Plan(tested, None, None, None, None)
    level = morning.question.level
    leaving = (number for number in workable if (tested[number].p_sound or 0.0) < level)
    return Plan(tested, window.morning_air, level, next(leaving, None), window.cost(workable))


def _sun_words(
    hours: Sequence[Hour], irradiance: Values, place: tuple[float, float] | None
) -> list[str | None]:
    """Sun or cloud, against a clear sky at that hour; before sunrise it is no sun."""
    if place is None:
        return [None] * len(hours)
    middles = [hour.at.astimezone(UTC) + HALF_HOUR for hour in hours]
    height, _ = sun_position(middles, latitude=place[0], longitude=place[1])
    clear = haurwitz(height)
    sunny = (clear > 0) & (irradiance >= _SUNNY * clear)
    return ["sun" if each else "cloud" for each in sunny]


def _stops(hour: Hour, sheet: float, rules: RuleBook) -> tuple[Stop, ...]:
    lowest, highest = rules.limit("ambient_lowest"), rules.limit("ambient_highest")
    stops = []
    least = rules["dew_margin"].value
    if not is_clear_of_dew(sheet, dew_point=hour.dew_point, margin=least):
        stops.append(Stop("dew", rules["dew_margin"].governing))
    if (hour.rain or 0.0) >= _RAIN_LIKELY:
        stops.append(Stop("rain", None))
    if lowest is not None and hour.air < lowest:
        stops.append(Stop("too_cold", rules["ambient_lowest"].governing))
    if highest is not None and hour.air > highest:
        stops.append(Stop("too_hot", rules["ambient_highest"].governing))
    return tuple(stops)


def _planned(
    hour: Hour,
    number: int,
    sheet: SheetTemperature,
    margin: float,
    sun: str | None,
    rules: RuleBook,
    shift: Shift,
    window: Carried | None,
) -> PlannedHour:
    best, p_best = (None, None) if window is None else window.best_at(number)
    return PlannedHour(
        hour=hour,
        sheet=float(sheet.estimate[number]),
        sheet_colder=float(sheet.colder[number]),
        sheet_warmer=float(sheet.warmer[number]),
        dew_margin_k=margin,
        wind=wind_word(hour.wind),
        sun=sun,
        in_shift=shift.has(hour.at),
        stops=_stops(hour, float(sheet.colder[number]), rules),
        is_cold=hour.air < rules["cold_caution"].value,
        bottom=None if window is None else float(window.bottom[number]),
        top=None if window is None else float(window.top[number]),
        set_point=best,
        p_sound=None if window is None else window.at(number, window.morning_air),
        p_best=p_best,
    )
