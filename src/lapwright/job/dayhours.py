"""One planned hour, the hours a crew works, and the hours of one day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from lapwright.errors import LapwrightError
from lapwright.job.change import Trigger
from lapwright.job.rules import Clause
from lapwright.physics.outside import HALF_HOUR, Hour

Why = Literal["dew", "rain", "too_cold", "too_hot"]


@dataclass(frozen=True)
class Shift:
    """Hours of the clock that the crew works.

    Parameters
    ----------
    start, end : int
        First hour and the hour when work is over, 0 to 24.

    Raises
    ------
    LapwrightError
        ``shift_backwards``: the end is not later than the start.
    """

    start: int = 7
    end: int = 17

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end <= 24:
            raise LapwrightError("shift_backwards", start=self.start, end=self.end)

    def has(self, at: datetime) -> bool:
        """The middle of an hour that starts then lies within."""
        return self.start <= (at + HALF_HOUR).hour < self.end


@dataclass(frozen=True)
class Stop:
    """One reason not to work, and the rule behind it; rain has none.

    Parameters
    ----------
    why : {"dew", "rain", "too_cold", "too_hot"}
        Code of the reason.
    clause : Clause or None
        The clause that governs.
    """

    why: Why
    clause: Clause | None


@dataclass(frozen=True)
class PlannedHour:
    """One hour of the plan.

    Parameters
    ----------
    hour : Hour
        Weather, with its sun filled in.
    sheet, sheet_colder, sheet_warmer : float
        Estimate of the sheet and its span. [K]
    dew_margin_k : float
        Colder estimate of the sheet above the dew point. [K of difference]
    wind : str
        Wind word.
    sun : {"sun", "cloud"} or None
        Sky word; None where no place is known and so no clear sky to compare with.
    in_shift : bool
        Within the hours that the crew works.
    stops : tuple of Stop
        Why it is not workable; empty when nothing stops the work.
    is_cold : bool
        Below the caution limit for cold.
    bottom, top : float or None
        Expected edges at the asked speed, as air temperature; None without test welds. [K]
    set_point : float or None
        Air temperature the model would choose for this hour. [K]
    p_sound : float or None
        Of the morning's set point in this hour; None beyond the tested range. [-]
    p_best : float or None
        Of this hour's own set point. [-]
    held, p_held : float or None
        Set point in force as the hour begins, and its P(sound) in this hour. [K, -]
    anew : float or None
        Set point in force after the test weld planned at the start of this hour. [K]
    triggers : tuple of Trigger
        Why a test weld is due at the start of this hour, most urgent first.
    """

    hour: Hour
    sheet: float
    sheet_colder: float
    sheet_warmer: float
    dew_margin_k: float
    wind: str
    sun: str | None
    in_shift: bool
    stops: tuple[Stop, ...]
    is_cold: bool
    bottom: float | None
    top: float | None
    set_point: float | None
    p_sound: float | None
    p_best: float | None
    held: float | None = None
    p_held: float | None = None
    anew: float | None = None
    triggers: tuple[Trigger, ...] = ()

    @property
    def is_workable(self) -> bool:
        """Within the shift, and nothing stops the work."""
        return self.in_shift and not self.stops

    @property
    def is_test_due(self) -> bool:
        """A test weld is planned at the start of this hour."""
        return bool(self.triggers)

    @property
    def in_force(self) -> float | None:
        """Set point welded with in this hour. [K]"""
        return self.held if self.anew is None else self.anew

    @property
    def p_in_force(self) -> float | None:
        """P(sound) of the set point welded with in this hour. [-]"""
        return self.p_held if self.in_force == self.held else self.p_best

    def is_stopped_by(self, why: Why) -> bool:
        """One of the reasons not to work is this one."""
        return any(stop.why == why for stop in self.stops)

    @property
    def is_wet(self) -> bool:
        """Dew or rain stops the work."""
        return self.is_stopped_by("dew") or self.is_stopped_by("rain")


def hours_of_day(
    hours: Sequence[Hour], *, shift: Shift, on: date | None = None
) -> tuple[Hour, ...]:
    """Hours of one day of the crew's calendar.

    Parameters
    ----------
    hours : sequence of Hour
        In order of time; at least one.
    shift : Shift
        Hours worked.
    on : date, optional
        The day; else the first with an hour of the shift.

    Returns
    -------
    tuple of Hour

    Raises
    ------
    LapwrightError
        ``day_not_there``.
    """
    if on is None:
        worked = (hour.at.date() for hour in hours if shift.has(hour.at))
        on = next(worked, hours[0].at.date())
    found = tuple(hour for hour in hours if hour.at.date() == on)
    if not found:
        first, last = (hours[end].at.date().isoformat() for end in (0, -1))
        raise LapwrightError("day_not_there", value=on.isoformat(), first=first, last=last)
    return found
