"""A planned year for the terminal: one column per month."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.text import Text

from lapwright.cautions import Caution
from lapwright.job.months import Month
from lapwright.job.planning import Plan
from lapwright.job.rules import TRIGGERS
from lapwright.report.figures import Reader
from lapwright.report.text import caution_text

Line = tuple[str, list[int | None]]


def year_text(
    plan: Plan,
    months: Sequence[Month],
    total: Month,
    cautions: Sequence[Caution],
    reader: Reader,
) -> Text:
    """Counts per month and in all.

    Parameters
    ----------
    plan, months, total : Plan, sequence of Month, Month
        The plan and its counts.
    cautions : sequence of Caution
        About its weather, shown last.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    text = Text()
    ends = [plan.hours[end].hour.at.date().isoformat() for end in (0, -1)]
    said = {
        "days": total.days,
        "start": ends[0],
        "end": ends[1],
        "workable": total.workable,
        "shift": total.shift,
        "tests": total.tests,
    }
    text.append(reader.say("day", "year", said) + "\n", style="bold")
    if plan.morning_air is not None:
        counts = {
            "air": plan.morning_air,
            "level": plan.level,
            "below": total.below,
            "beyond": total.beyond,
        }
        text.append(reader.say("day", "year_set", counts) + "\n")
    text.append("\n" + _table(months, total, reader) + "\n")
    text.append(caution_text(cautions, reader)).rstrip()
    return text


def _table(months: Sequence[Month], total: Month, reader: Reader) -> str:
    names = reader.say("day", "months").split()
    heads = [*(names[month.number - 1] for month in months), reader.say("day", "all")]
    lines = list(_lines([*months, total], reader))
    first = max(len(name) for name, _ in lines)
    wide = max(len(str(total.shift)), *map(len, heads)) + 1
    rows = [" " * first + "".join(head.rjust(wide) for head in heads)]
    for name, counts in lines:
        rows.append(name.ljust(first) + "".join(str(n or "·").rjust(wide) for n in counts))
    return "\n".join(rows)


def _lines(months: Sequence[Month], reader: Reader) -> Iterator[Line]:
    """Names of the lines with their counts, the last in all; what never was has no line."""
    total = months[-1]
    yield reader.say("day", "shift_hours"), [month.shift for month in months]
    yield reader.say("day", "workable_hours"), [month.workable for month in months]
    for why in total.stopped:
        name = reader.say("day", "stopped", {"why": reader.say("day", why)})
        yield f"  {name}", [month.stopped.get(why, 0) for month in months]
    yield reader.say("day", "tests_due"), [month.tests for month in months]
    for code in TRIGGERS:
        if code in total.reasons:
            name = reader.say("day", "first_reason", {"because": reader.say("rule", code)})
            yield f"  {name}", [month.reasons.get(code, 0) for month in months]
    if total.below is not None:
        yield reader.say("day", "below_level"), [month.below for month in months]
        yield reader.say("day", "beyond_tests"), [month.beyond for month in months]
