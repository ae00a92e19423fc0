"""The day plan for the terminal: what matters in a few lines, then hour by hour."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import chain

from rich.console import Group, JustifyMethod
from rich.table import Table
from rich.text import Text

from lapwright.cautions import Caution
from lapwright.job.carried import Cost
from lapwright.job.change import Trigger
from lapwright.job.dayhours import PlannedHour, Shift, Why
from lapwright.job.planning import Plan
from lapwright.job.rules import RULE_KINDS, Clause
from lapwright.physics.outside import HALF_HOUR
from lapwright.report.dayfigures import Span, clock, shown, spans
from lapwright.report.figures import Reader
from lapwright.report.rulestext import value_text
from lapwright.report.text import caution_text
from lapwright.units import FIELD_UNITS, SYMBOLS, difference_from_si, from_si
from lapwright.words import number, share

STOPS: tuple[Why, ...] = ("rain", "dew", "too_cold", "too_hot")
_WORDS = ("wind_changed", "sun_changed")  # triggers that compare words
_DEGREES = ("air_moved", "sheet_moved")
_RIGHT = ("air", "margin", "wind")  # columns of figures

Row = dict[str, str]


def day_text(plan: Plan, cautions: Sequence[Caution], shift: Shift, reader: Reader) -> Group:
    """The plan of one day for the terminal.

    Parameters
    ----------
    plan : Plan
        Of one day.
    cautions : sequence of Caution
        About its weather, shown last.
    shift : Shift
        Hours worked.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.console.Group
        Workable hours, set point and test welds; the hours; what the set point costs; the
        rules that spoke.
    """
    head = Text()
    head.append(day_title(plan, shift, reader) + "\n", style="bold")
    head.append(f"{set_point_line(plan, reader)}\n{due_line(plan, reader)}\n")
    foot = Text("\n")
    if plan.cost is not None:
        foot.append(_cost_line(plan.cost, plan.morning_air, reader) + "\n")
    rules = _rules(plan, reader)
    if rules:
        foot.append(reader.say("day", "rules", {"rules": rules}) + "\n", style="dim")
    units = {
        "unit": SYMBOLS[reader.temperature],
        "wind": SYMBOLS[FIELD_UNITS[reader.units]["wind"]],
    }
    foot.append(reader.say("day", "unit", units), style="dim")
    if cautions:
        foot.append("\n").append(caution_text(cautions, reader)).rstrip()
    return Group(head, _table([hour for hour in plan.hours if hour.in_shift], plan, reader), foot)


def _cost_line(cost: Cost, morning_air: float | None, reader: Reader) -> str:
    """What one set point for the day costs against choosing anew."""
    chances = {
        name: share(getattr(cost, name), reader.language)
        for name in ("morning", "whole_day", "hour_by_hour")
    }
    code = "cost_same" if cost.whole_day_air == morning_air else "cost"
    airs = {"air": morning_air, "best": reader.write("air", cost.whole_day_air)}
    return reader.say("day", code, chances | airs)


def day_title(plan: Plan, shift: Shift, reader: Reader) -> str:
    """Date, workable hours, and what stops the work when."""
    hours = shown(plan, shift)
    date = {"date": hours[0].hour.at.date().isoformat()}
    workable = spans(hours, lambda hour: hour.is_workable)
    if workable:
        named = ", ".join(_span_text(span) for span in workable)
        parts = [reader.say("day", "workable", date | {"spans": named})]
    else:
        ends = {"start": f"{shift.start:02d}:00", "end": f"{shift.end:02d}:00"}
        parts = [reader.say("day", "not_workable", date | ends)]
    stops: list[tuple[Span, str]] = []
    for why in STOPS:
        stopped = spans(hours, partial(PlannedHour.is_stopped_by, why=why))
        stops += [(span, _stop_text(why, span, hours, reader)) for span in stopped]
    return "; ".join([*parts, *(text for _, text in sorted(stops))])


def _stop_text(why: str, span: Span, hours: Sequence[PlannedHour], reader: Reader) -> str:
    said = {"why": reader.say("day", why)}
    begins = span[0] == hours[0].hour.at
    if begins and span[1] == hours[-1].hour.at + 2 * HALF_HOUR:
        return reader.say("day", "all_day", said)
    if begins:
        return reader.say("day", "until", said | {"at": clock(span[1])})
    return reader.say("day", "between", said | {"span": _span_text(span)})


def _span_text(span: Span) -> str:
    return f"{clock(span[0])}–{clock(span[1])}"


def set_point_line(plan: Plan, reader: Reader) -> str:
    """How long the morning's set point holds, and what ends it."""
    if plan.morning_air is None or plan.level is None:
        return reader.say("day", "no_welds")
    said = {"air": plan.morning_air, "level": plan.level}
    if plan.holds_until is None:
        return reader.say("day", "holds", said)
    leaving = plan.hours[plan.holds_until]
    if leaving.p_sound is None:
        because = reader.say("day", "because_beyond")
    else:
        because = reader.say("day", "because_low", {"p": leaving.p_sound})
    code = "never_holds" if plan.holds_until == plan.workable[0] else "holds_until"
    return reader.say("day", code, said | {"at": clock(leaving.hour.at), "because": because})


def due_line(plan: Plan, reader: Reader) -> str:
    """When test welds are due, and the most urgent reason of each."""
    due = [hour for hour in plan.hours if hour.is_test_due]
    if not due:
        return reader.say("day", "no_tests")
    named = [
        reader.say(
            "day",
            "test",
            {"at": clock(hour.hour.at), "because": reason_text(hour.triggers[0], reader)},
        )
        for hour in due
    ]
    return reader.say("day", "tests", {"tests": "; ".join(named)})


def reason_text(trigger: Trigger, reader: Reader) -> str:
    """A trigger in a few words, with what stood before and stands now."""
    name = reader.say("rule", trigger.name)
    before, now = trigger.before, trigger.now
    if trigger.name in _WORDS:
        words = [reader.say("day", str(word)) for word in (before, now)]
        return f"{name}, {' → '.join(words)}"
    if trigger.name in _DEGREES and isinstance(before, float) and isinstance(now, float):
        return f"{name}, {_degrees(before, reader)} → {reader.write('air', now)}"
    if trigger.name == "p_sound_low" and isinstance(now, float):
        return f"{name}, {share(now, reader.language)}"
    if RULE_KINDS[trigger.name].quantity == "time":
        return f"{name}, {value_text(trigger.clause, reader)}"
    return name


def _degrees(kelvin: float | None, reader: Reader) -> str:
    if kelvin is None:
        return ""
    return number(from_si(kelvin, reader.temperature), 0, reader.language)


def _table(hours: Sequence[PlannedHour], plan: Plan, reader: Reader) -> Table:
    """One line per hour of the shift; only the last column folds on a narrow screen."""
    names = ["hour", "air", "sheet", "margin", "wind"]
    if plan.morning_air is not None:
        names += ["edges", "best", "set", "sound"]
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 0))
    for name in names:
        justify: JustifyMethod = "right" if name in _RIGHT else "left"
        table.add_column(reader.say("day", name), no_wrap=True, justify=justify)
    table.add_column(reader.say("day", "why"))
    for hour in hours:
        row = _row(hour, reader)
        style = "" if hour.is_workable else "dim"
        table.add_row(*(row[name] for name in (*names, "why")), style=style)
    return table


def _row(hour: PlannedHour, reader: Reader) -> Row:
    wind = from_si(hour.hour.wind, FIELD_UNITS[reader.units]["wind"])
    span = f"{_degrees(hour.sheet_colder, reader)}–{_degrees(hour.sheet_warmer, reader)}"
    margin = difference_from_si(hour.dew_margin_k, reader.temperature)
    held, anew = hour.held, hour.anew
    is_near = hour.set_point is not None  # beyond the tests a set point says nothing
    setting = [air for air in (held, anew) if air is not None and is_near]
    chances = [] if not hour.is_workable or hour.p_held is None else [hour.p_held]
    if anew is not None and anew != held and hour.p_best is not None:
        chances.append(hour.p_best)
    return {
        "hour": clock(hour.hour.at),
        "air": _degrees(hour.hour.air, reader),
        "sheet": f"{_degrees(hour.sheet, reader)} ({span})",
        "margin": number(margin, 0, reader.language),
        "wind": number(wind, 0, reader.language),
        "edges": f"{_degrees(hour.bottom, reader)}–{_degrees(hour.top, reader)}",
        "best": _degrees(hour.set_point, reader),
        "set": "→".join(dict.fromkeys(_degrees(air, reader) for air in setting)),
        "sound": "→".join(dict.fromkeys(share(p, reader.language) for p in chances)),
        "why": "; ".join(_remarks(hour, reader)),
    }


def _remarks(hour: PlannedHour, reader: Reader) -> list[str]:
    if hour.stops:
        return [reader.say("day", stop.why) for stop in hour.stops]
    remarks = []
    if hour.is_test_due:
        because = reader.say("rule", hour.triggers[0].name)
        remarks.append(reader.say("day", "weld_test", {"because": because}))
    if hour.held is not None and hour.p_held is None:
        remarks.append(reader.say("day", "beyond"))
    if hour.is_cold:
        remarks.append(reader.say("day", "cold"))
    return remarks


def _rules(plan: Plan, reader: Reader) -> str:
    """The rules that stopped an hour or asked for a test, by who sets them."""
    shift = [hour for hour in plan.hours if hour.in_shift]
    stops = (stop.clause for hour in shift for stop in hour.stops if stop.clause is not None)
    tests = (hour.triggers[0].clause for hour in shift if hour.triggers)
    spoke = {clause.rule: clause for clause in chain(stops, tests)}
    by_source: dict[str, list[str]] = {}
    for clause in spoke.values():
        layer = reader.say("layer", clause.layer)
        source = layer if clause.layer == "default" else f"{layer} {clause.text}"
        by_source.setdefault(source, []).append(_rule_text(clause, reader))
    return "; ".join(f"{', '.join(said)} ({source})" for source, said in by_source.items())


def _rule_text(clause: Clause, reader: Reader) -> str:
    name = reader.say("rule", clause.rule)
    is_switch = RULE_KINDS[clause.rule].quantity == "switch"
    return name if is_switch else f"{name} {value_text(clause, reader)}"
