"""A day plan or a planned year as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from lapwright.cautions import Caution
from lapwright.job.change import Trigger
from lapwright.job.dayhours import PlannedHour, Shift
from lapwright.job.months import Month
from lapwright.job.planning import Plan
from lapwright.physics.outside import HALF_HOUR
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.units import FIELD_UNITS, from_si

_BEFORE_SHIFT = 3  # h shown before work begins: dew lies there; our choice
_AFTER_SHIFT = 1  # h

Span = tuple[datetime, datetime]


def shown(plan: Plan, shift: Shift) -> tuple[PlannedHour, ...]:
    """Hours around the shift that are worth showing."""
    first, end = shift.start - _BEFORE_SHIFT, shift.end + _AFTER_SHIFT
    return tuple(hour for hour in plan.hours if first <= (hour.hour.at + HALF_HOUR).hour < end)


def spans(hours: Sequence[PlannedHour], is_in: Callable[[PlannedHour], bool]) -> list[Span]:
    """Stretches of hours without a gap, each with its start and end."""
    found: list[Span] = []
    for hour in hours:
        if is_in(hour):
            start = hour.hour.at
            if found and found[-1][1] == start:
                start = found.pop()[0]
            found.append((start, hour.hour.at + 2 * HALF_HOUR))
    return found


def clock(at: datetime) -> str:
    """Time of day as the crew reads it.

    Examples
    --------
    >>> clock(datetime(2026, 11, 25, 7, 0))
    '07:00'
    """
    return f"{at:%H:%M}"


def day_figures(plan: Plan, cautions: tuple[Caution, ...], shift: Shift, reader: Reader) -> Figures:
    """The plan of one day.

    Parameters
    ----------
    plan : Plan
        Of one day.
    cautions : tuple of Caution
        About its weather.
    shift : Shift
        Hours worked.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix.
    """
    unit, cost = reader.temperature, plan.cost
    hours = shown(plan, shift)
    return {
        "date": plan.hours[0].hour.at.date().isoformat(),
        "workable": [
            [clock(start), clock(end)] for start, end in spans(hours, lambda h: h.is_workable)
        ],
        f"set_point_{unit}": reader.air(plan.morning_air),
        "level": plan.level,
        "holds_until": None
        if plan.holds_until is None
        else clock(plan.hours[plan.holds_until].hour.at),
        "cost": None
        if cost is None
        else {
            "p_morning": round(cost.morning, 3),
            "p_whole_day": round(cost.whole_day, 3),
            "p_hour_by_hour": round(cost.hour_by_hour, 3),
            f"whole_day_{unit}": reader.air(cost.whole_day_air),
        },
        "hours": [_hour_figures(hour, reader) for hour in hours],
        "cautions": caution_figures(cautions, reader),
    }


def _hour_figures(hour: PlannedHour, reader: Reader) -> Figures:
    unit, wind = reader.temperature, FIELD_UNITS[reader.units]["wind"]
    weather = hour.hour
    return {
        "at": weather.at.isoformat(),
        f"air_{unit}": reader.air(weather.air),
        f"dew_point_{unit}": reader.air(weather.dew_point),
        f"sheet_{unit}": reader.air(hour.sheet),
        f"sheet_colder_{unit}": reader.air(hour.sheet_colder),
        f"sheet_warmer_{unit}": reader.air(hour.sheet_warmer),
        f"dew_margin_{unit}": reader.difference(hour.dew_margin_k),
        f"wind_{wind}": round(from_si(weather.wind, wind), 1),
        "wind": hour.wind,
        "sun": hour.sun,
        "irradiance_w_m2": None if weather.irradiance is None else round(weather.irradiance),
        "in_shift": hour.in_shift,
        "workable": hour.is_workable,
        "stops": [
            {"why": stop.why, "clause": None if stop.clause is None else stop.clause.text}
            for stop in hour.stops
        ],
        "cold": hour.is_cold,
        f"bottom_{unit}": reader.air(hour.bottom),
        f"top_{unit}": reader.air(hour.top),
        f"best_{unit}": reader.air(hour.set_point),
        "p_best": _share(hour.p_best),
        "p_set_point": _share(hour.p_sound),
        f"held_{unit}": reader.air(hour.held),
        "p_held": _share(hour.p_held),
        f"set_anew_{unit}": reader.air(hour.anew),
        "test_because": [_trigger_figures(trigger, reader) for trigger in hour.triggers],
    }


def _trigger_figures(trigger: Trigger, reader: Reader) -> Figures:
    return {
        "code": trigger.name,
        "says": reader.say("trigger", trigger.name),
        "layer": trigger.clause.layer,
        "clause": trigger.clause.text,
    }


def _share(p: float | None) -> float | None:
    return None if p is None else round(p, 3)


def year_figures(
    plan: Plan,
    months: Sequence[Month],
    total: Month,
    cautions: tuple[Caution, ...],
    reader: Reader,
) -> Figures:
    """A planned year: counts per month and in all.

    Parameters
    ----------
    plan, months, total : Plan, sequence of Month, Month
        The plan and its counts.
    cautions : tuple of Caution
        About its weather.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready.
    """
    return {
        f"set_point_{reader.temperature}": reader.air(plan.morning_air),
        "level": plan.level,
        "months": [_month_figures(month) for month in months],
        "all": _month_figures(total),
        "cautions": caution_figures(cautions, reader),
    }


def _month_figures(month: Month) -> Figures:
    return {
        "month": month.number or None,
        "days": month.days,
        "shift_h": month.shift,
        "workable_h": month.workable,
        "stopped_h": dict(month.stopped),
        "tests": month.tests,
        "test_because": dict(month.reasons),
        "below_level_h": month.below,
        "beyond_tests_h": month.beyond,
    }
