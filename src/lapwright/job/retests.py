"""Test welds wherever a trigger asks for one, and the set point that each leaves in force."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lapwright.job.carried import Carried
from lapwright.job.change import Event, Known, Situation, Trigger, due
from lapwright.job.dayhours import PlannedHour
from lapwright.job.morning import Morning
from lapwright.job.rules import RuleBook
from lapwright.physics.outside import HALF_HOUR

_LUNCH_HOUR = 12  # o'clock; the first hour worked after it is after lunch; common practice
_WORTH = 0.01  # -; gain of P(sound) for which a test weld moves the set point; our choice
_MUCH = 0.05  # -; gain for which a set point that stays low is tested again; our choice


def with_tests(
    planned: Sequence[PlannedHour],
    rules: RuleBook,
    morning: Morning | None,
    window: Carried | None,
) -> list[PlannedHour]:
    """Hours with their test welds and set points.

    Parameters
    ----------
    planned : sequence of PlannedHour
        Weather and edges, in order of time.
    rules : RuleBook
        For the triggers.
    morning : Morning or None
        Test welds so far.
    window : Carried or None
        The same carried to these hours.

    Returns
    -------
    list of PlannedHour
        Filled in: ``held``, ``p_held``, ``anew``, ``triggers``.
    """
    tested: list[PlannedHour] = []
    since: list[PlannedHour] = []  # hours since the last test of the day, it first
    held = None if window is None else window.morning_air
    for number, hour in enumerate(planned):
        if tested and tested[-1].hour.at.date() != hour.hour.at.date():
            since = []
            held = None if window is None else window.morning_air
        if window is not None and held is not None:
            hour = replace(hour, held=held, p_held=window.at(number, held))
        if hour.is_workable:
            hour = replace(hour, triggers=_due(_known(hour, since, morning, rules), rules))
        if hour.is_test_due:
            held = _chosen(hour, morning, is_first=not since)
            hour = replace(hour, anew=held)
            since = []
        if since or hour.is_test_due:
            since.append(hour)
        tested.append(hour)
    return tested


def _due(known: Known, rules: RuleBook) -> tuple[Trigger, ...]:
    """Triggers that ask for a test; "no passing test yet" only where nothing else says so."""
    found = [trigger for trigger in due(known, rules) if trigger.urgency in ("halt", "due")]
    named = [trigger for trigger in found if trigger.name != "no_pass"]
    return tuple(named or found)


def _chosen(hour: PlannedHour, morning: Morning | None, *, is_first: bool) -> float | None:
    """Set point of a planned test: the one in force while no other is worth turning the dial.

    In the morning it stays as long as it reaches the level: it has strips behind it.
    """
    if morning is None or hour.p_best is None or hour.p_held is None:
        return hour.set_point or hour.held
    holds = is_first and hour.p_held >= morning.question.level
    return hour.held if holds or hour.p_best - hour.p_held < _WORTH else hour.set_point


def _known(
    hour: PlannedHour, since: Sequence[PlannedHour], morning: Morning | None, rules: RuleBook
) -> Known:
    """What is foreseen of this hour; ``since`` holds the hours from the last test on."""
    last = since[0] if since else None
    events: list[Event] = []
    if last is None:
        events.append("shift_start")
    elif last.hour.at.hour < _LUNCH_HOUR <= hour.hour.at.hour:
        events.append("lunch")
    if any(between.is_wet for between in since):
        events.append("wet")
    worked = [between for between in since if between.is_workable]
    tested = None if morning is None else morning.soundness.tested
    return Known(
        now=_situation(hour),
        passed=None if last is None else _situation(last),
        events=tuple(events),
        since_pass=None if last is None else (hour.hour.at - last.hour.at).total_seconds(),
        welded=0.0,
        longest_stop=0.0
        if not worked
        else (hour.hour.at - worked[-1].hour.at - 2 * HALF_HOUR).total_seconds(),
        speed=None if morning is None else morning.conditions.speed,
        tested_speeds=None if tested is None else (tested.slowest, tested.fastest),
        p_sound=_p_to_ask(hour, last, limit=rules["p_sound_low"].value),
    )


def _p_to_ask(hour: PlannedHour, last: PlannedHour | None, *, limit: float) -> float | None:
    """P(sound) of the set point in force; None where a test weld is not the answer to it.

    That is before the first test, and where it was low at the last test already and no
    other set point gains much: asking every hour again would say nothing new.
    """
    if last is None or hour.p_held is None or hour.p_best is None:
        return None
    was_low = last.p_in_force is not None and last.p_in_force < limit
    return None if was_low and hour.p_best - hour.p_held < _MUCH else hour.p_held


def _situation(hour: PlannedHour) -> Situation:
    """What a forecast can know; the crew and its machines stay as they are."""
    return Situation(
        operator="-", machine="-", nozzle="-", generator="-", cord="-", membrane="-",
        colour="-", lot="-", substrate="-", thickness=0.0,
        wind=hour.wind,
        sun=hour.sun,
        ambient=hour.hour.air,
        sheet=hour.sheet,
    )  # fmt: skip
