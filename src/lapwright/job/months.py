"""A planned year in counts per month: what worked, what stopped, which tests were due."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lapwright.job.dayhours import PlannedHour
from lapwright.job.planning import Plan


@dataclass(frozen=True)
class Month:
    """Counts of one month of the calendar. Hours are hours that the crew works.

    Parameters
    ----------
    number : int
        1 to 12; 0 for the sum of several.
    days, shift, workable : int
        Days, hours of the shift, and hours of it in which nothing stops the work.
    stopped : mapping of str to int
        Hours by each reason; an hour may have several.
    tests : int
        Test welds due.
    reasons : mapping of str to int
        Test welds by their most urgent trigger.
    below, beyond : int or None
        Workable hours that begin with the set point in force below the level, and with a
        sheet beyond what the tests may carry; None without test welds.
    """

    number: int
    days: int
    shift: int
    workable: int
    stopped: Mapping[str, int]
    tests: int
    reasons: Mapping[str, int]
    below: int | None
    beyond: int | None


def by_month(plan: Plan) -> tuple[Month, ...]:
    """Months of a plan in the order of the calendar; those of several years together.

    Parameters
    ----------
    plan : Plan
        Any number of days.

    Returns
    -------
    tuple of Month
    """
    months: dict[int, list[PlannedHour]] = {}
    for hour in plan.hours:
        months.setdefault(hour.hour.at.month, []).append(hour)
    return tuple(_counted(number, months[number], plan.level) for number in sorted(months))


def in_all(plan: Plan) -> Month:
    """The same counts over all hours of a plan."""
    return _counted(0, plan.hours, plan.level)


def _counted(number: int, hours: Sequence[PlannedHour], level: float | None) -> Month:
    shift = [hour for hour in hours if hour.in_shift]
    workable = [hour for hour in shift if hour.is_workable]
    tests = [hour for hour in workable if hour.is_test_due]
    known = [hour.p_held for hour in workable if hour.p_held is not None]
    return Month(
        number=number,
        days=len({hour.hour.at.date() for hour in hours}),
        shift=len(shift),
        workable=len(workable),
        stopped=Counter(stop.why for hour in shift for stop in hour.stops),
        tests=len(tests),
        reasons=Counter(hour.triggers[0].name for hour in tests),
        below=None if level is None else sum(p < level for p in known),
        beyond=None if level is None else len(workable) - len(known),
    )
