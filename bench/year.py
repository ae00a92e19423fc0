"""Two real years of weather: which test welds the triggers ask for, and which were needed.

Every working day (Monday to Friday of the file's calendar, four workable hours at least)
gets its own invented site with a known truth. Its crew makes four test welds as
``lapwright next`` asks for them, sets the set point that comes out, and follows the plan
of the day. Weather counts as known and the computed sheet as the true one; a planned test
chooses anew from what is known and teaches nothing more. Prints a Markdown table.

python bench/year.py --seed 101
"""

from __future__ import annotations

import argparse
import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # the processes share the cores among themselves

import numpy as np
import pvlib
from ours import MAX_AIR, MIN_AIR
from sites import FAMILIES, Sites, draw_sites, weld

from lapwright.job.dayhours import PlannedHour, Shift, hours_of_day
from lapwright.job.morning import Morning
from lapwright.job.planning import Plan, plan_day
from lapwright.job.rules import ALWAYS_ON, TRIGGERS, RuleBook, merge
from lapwright.physics.heat import REFERENCE_SPEED, equivalent_air
from lapwright.physics.outside import Hour
from lapwright.physics.sheet import Roof
from lapwright.readings.rules import default_layer, parse_layer
from lapwright.readings.weather import read_weather
from lapwright.units import difference_to_si, from_si
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld

YEARS = {"Greensboro, NC": "723170TYA.CSV", "Sand Point, AK": "703165TY.csv"}
WELDS = 4  # made in the morning
LEAST_HOURS = 4  # workable, for a day to count
MOVED = difference_to_si(20, "f")  # K; a set point moved this far makes a test matter


@dataclass(frozen=True)
class Day:
    """Counts of one day under one set of rules, the morning's test left out.

    ``matter``: re-tests that found the set point below the level or moved it far, by the
    model. ``outside``: hours outside the true limits with no test due; ``left``: those of
    them whose set point was within the limits at the last test; ``shown``: those for which
    the plan showed P(sound) below the level, or none.
    """

    hours: int
    tests: Counter[str]
    matter: int
    outside: int
    left: int
    shown: int


def rule_books() -> dict[str, RuleBook]:
    """All default triggers; the model's alone; none after the morning's test."""
    return {
        "default triggers": merge([default_layer()]),
        "P(sound) alone": _only("p_sound_low"),
        "no re-test": _only(),
    }


def _only(*triggers: str) -> RuleBook:
    kept = {*ALWAYS_ON, "shift_start", *triggers}
    head = 'layer = "company"\nedition = "1"\nset_by = "bench"\n'
    off = [f'{name} = {{ value = false, clause = "off" }}' for name in TRIGGERS if name not in kept]
    return merge([default_layer(), parse_layer(head + "\n".join(off), file="bench")])


def main() -> None:
    """Run both years and print the tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--seed", type=int, default=101)
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    asked = parser.parse_args()
    print(f"Seed {asked.seed}; +- is one standard error over the days.\n")
    rows = []
    for name, file in YEARS.items():
        days = _days(name, file, seed=asked.seed, processes=asked.processes)
        rows += [(f"{name}, {rules}", [day[rules] for day in days]) for rules in rule_books()]
    print("\n".join(_table(rows)) + "\n")
    print("\n".join(_reasons([row for row in rows if row[0].endswith("triggers")])))


def _days(name: str, file: str, *, seed: int, processes: int) -> list[dict[str, Day]]:
    weather = read_weather(Path(pvlib.__file__).parent / "data" / file)
    dates = sorted({hour.at.date() for hour in weather.hours if hour.at.weekday() < 5})
    working = []
    for date in dates:
        hours = hours_of_day(weather.hours, shift=Shift(), on=date)
        if len(_plan(hours, weather.place, rule_books()["no re-test"]).workable) >= LEAST_HOURS:
            working.append(hours)
    sites = draw_sites(FAMILIES["base"], count=3 * len(working), seed=seed)
    sites = sites.subset(np.flatnonzero(sites.has_window())[: len(working)])
    visit = partial(_visit, place=weather.place, seed=seed)
    with get_context("fork").Pool(processes) as pool:
        found = pool.starmap(visit, zip(range(len(working)), working, sites, strict=True))
    said = [day for day in found if day is not None]
    print(
        f"{name}: {len(dates)} weekdays, {len(working)} workable, {len(said)} with a set point.\n"
    )
    return said


def _plan(
    hours: Sequence[Hour],
    place: tuple[float, float] | None,
    rules: RuleBook,
    morning: Morning | None = None,
) -> Plan:
    return plan_day(hours, rules=rules, roof=Roof(), place=place, morning=morning)


def _visit(
    index: int,
    hours: Sequence[Hour],
    site: Sites,
    *,
    place: tuple[float, float] | None,
    seed: int,
) -> dict[str, Day] | None:
    """One day under each set of rules; None when the welds gave no set point."""
    books = rule_books()
    plan = _plan(hours, place, books["no re-test"])
    morning = _morning(site, plan.hours[plan.workable[0]], np.random.default_rng([seed, index]))
    if morning is None:
        return None
    return {
        name: _counted(_plan(hours, place, rules, morning), site) for name, rules in books.items()
    }


def _morning(site: Sites, hour: PlannedHour, rng: np.random.Generator) -> Morning | None:
    question = Question(
        speed=REFERENCE_SPEED,
        sheet=hour.sheet,
        ambient=hour.hour.air,
        min_air=MIN_AIR,
        max_air=MAX_AIR,
    )
    for number in range(1, WELDS + 1):
        air = Morning(question).answer().next.air
        strips = weld(site, air=_met(site, air, hour.sheet), rng=rng)
        made = TestWeld(str(number), air, REFERENCE_SPEED, hour.hour.air, hour.sheet, strips)
        question = replace(question, welds=(*question.welds, made))
    morning = Morning(question)
    verdict = morning.answer().verdict
    return None if verdict in ("no_window", "saturated", "none_passed") else morning


def _met(site: Sites, air: float, sheet: float) -> float:
    """Air at the reference condition that heats the lap alike, in F, by the site's own kappa."""
    met = equivalent_air(air, sheet=sheet, speed=REFERENCE_SPEED, kappa=float(site.kappa[0]))
    return from_si(float(met), "f")


def _is_sound(site: Sites, air: float | None, hour: PlannedHour) -> bool:
    assert air is not None  # there are welds, so there is a set point
    met = _met(site, air, hour.sheet)
    return bool(site.bond_limit[0] <= met <= site.overheat_limit[0])


def _counted(plan: Plan, site: Sites) -> Day:
    worked = [plan.hours[number] for number in plan.workable]
    again = [hour for hour in worked[1:] if hour.is_test_due]
    low = [(hour.p_held or 0.0) < (plan.level or 1.0) for hour in again]
    moved = [abs((hour.anew or 0.0) - (hour.held or 0.0)) >= MOVED for hour in again]
    outside = left = shown = 0
    was_sound = False
    for hour in worked:
        is_sound = _is_sound(site, hour.in_force, hour)
        if hour.is_test_due:
            was_sound = is_sound
        elif not is_sound:
            outside += 1
            left += was_sound
            shown += (hour.p_held or 0.0) < (plan.level or 1.0)
    return Day(
        hours=len(worked),
        tests=Counter(hour.triggers[0].name for hour in again),
        matter=sum(a or b for a, b in zip(low, moved, strict=True)),
        outside=outside,
        left=left,
        shown=shown,
    )


def _mean(values: Sequence[float]) -> str:
    error = np.std(values, ddof=1) / np.sqrt(len(values))
    return f"{np.mean(values):.2f} +- {error:.2f}"


def _share(part: Sequence[int], of: Sequence[int]) -> str:
    """Ratio of two sums over days in percent, with its error from day to day."""
    whole = sum(of)
    if not whole:
        return "-"
    ratio = sum(part) / whole
    off = np.array(part) - ratio * np.array(of)
    error = np.sqrt(len(of) * np.var(off, ddof=1)) / whole
    return f"{100 * ratio:.1f} +- {100 * error:.1f}"


def _table(rows: Sequence[tuple[str, list[Day]]]) -> list[str]:
    heads = (
        "year, rules",
        "days",
        "hours worked",
        "re-tests a day",
        "matter by the model, %",
        "hours outside, no test due, %",
        "left since the last test, %",
        "P(sound) shown was fine, %",
        "days with such an hour, %",
    )
    lines = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    for name, days in rows:
        hours = [day.hours for day in days]
        tests = [day.tests.total() for day in days]
        cells = (
            name,
            str(len(days)),
            str(sum(hours)),
            _mean(tests),
            _share([day.matter for day in days], tests),
            _share([day.outside for day in days], hours),
            _share([day.left for day in days], hours),
            _share([day.outside - day.shown for day in days], hours),
            _share([int(day.outside > 0) for day in days], [1] * len(days)),
        )
        lines.append(f"| {' | '.join(cells)} |")
    return lines


def _reasons(rows: Sequence[tuple[str, list[Day]]]) -> list[str]:
    lines = [f"| first reason of a re-test, a day | {' | '.join(name for name, _ in rows)} |"]
    lines.append("|---" * (len(rows) + 1) + "|")
    for trigger in TRIGGERS:
        if any(day.tests[trigger] for _, days in rows for day in days):
            cells = [_mean([day.tests[trigger] for day in days]) for _, days in rows]
            lines.append(f"| {trigger} | {' | '.join(cells)} |")
    return lines


if __name__ == "__main__":
    main()
