"""A power set-up for the terminal: what arrives at the tool, and what would change it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator

from rich.text import Text

from lapwright.job.power import PowerPlan, PowerVerdict, WhatIf
from lapwright.physics.power import PowerAtTool
from lapwright.physics.whatif import CordLimit, PracticeCheck
from lapwright.report.figures import Reader
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si
from lapwright.words import number

_STANDING = ("generator_outdoors", "not_an_electrical_design")  # always said
_SHOWN_CAUTIONS = 3  # beside the standing ones
_KINDS = {"ambient": "temperature", "set_air": "temperature", "altitude": "length"}
_UNITLESS = ("cord", "tool", "volts_open")

_TONES: dict[PowerVerdict, str] = {
    "enough": "bold green",
    "close": "bold yellow",
    "short": "bold red",
    "overloaded": "bold red",
}

Row = tuple[str, str]


def option_name(name: str, reader: Reader) -> str:
    """An option as the reader would type it.

    Examples
    --------
    >>> option_name("set_air", Reader(units="metric")), option_name("cord", Reader())
    ('--set-air-c', '--cord')
    """
    unit = FIELD_UNITS[reader.units][_KINDS[name]] if name in _KINDS else "percent"
    full = name if name in _UNITLESS else f"{name}_{unit}"
    return f"--{full.replace('_', '-')}"


def max_air_option(tool: PowerAtTool, reader: Reader) -> str:
    """The hottest air as an option of the other commands, never rounded up."""
    return f"--max-air-{reader.temperature} {math.floor(from_si(tool.air_max, reader.temperature))}"


def verdict_text(plan: PowerPlan, reader: Reader) -> str:
    """Whether the setting is within reach, in one sentence."""
    data = {"setting": plan.air, "air_max": plan.least.air_max}
    return reader.say("power", plan.verdict, data)


def power_text(plan: PowerPlan, assumed: Iterable[str], reader: Reader) -> Text:
    """What a power set-up gives, for the terminal.

    Parameters
    ----------
    plan : PowerPlan
        The set-up, worked out.
    assumed : iterable of str
        Names of what nobody stated.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
        Verdict, supply, one block per tool, longest cords, what-ifs, rules in common use, cautions.
    """
    text = Text()

    def block(title: str, rows: Iterable[Row]) -> None:
        rows = list(rows)
        width = max((len(name) for name, _ in rows), default=0)
        text.append(f"\n{title}\n", style="bold")
        for name, body in rows:
            text.append(f"  {name.ljust(width)}  {body}\n")

    text.append(verdict_text(plan, reader) + "\n", style=_TONES[plan.verdict])
    text.append(_supply(plan, reader) + "\n")
    options = ", ".join(option_name(name, reader) for name in assumed)
    if options:
        text.append(reader.say("power", "assumed", {"options": options}) + "\n", style="dim")
    for tool in plan.answer.tools:
        block(_tool_title(plan, tool, reader), _tool_rows(plan, tool, reader))
    block(
        reader.say("power", "longest", {"setting": plan.air, "cord": plan.least.cord}),
        [(limit.gauge.name, _limit(limit, plan.air, reader)) for limit in plan.limits],
    )
    if plan.what_ifs:
        rows = [_what_if(what_if, plan, reader) for what_if in plan.what_ifs]
        block(reader.say("power", "what_if"), rows)
    block(
        reader.say("power", "practices"),
        [_practice(check, reader) for check in plan.checks],
    )
    text.append("\n" + reader.say("power", "computed") + "\n", style="dim")
    urgent = [caution for caution in plan.answer.cautions if caution.code not in _STANDING]
    standing = [caution for caution in plan.answer.cautions if caution.code in _STANDING]
    for caution in [*urgent[:_SHOWN_CAUTIONS], *standing]:
        text.append("! ", style="bold yellow")
        text.append(reader.say("caution", caution.code, caution.data) + "\n")
    return text


def _kilowatts(watts: float, reader: Reader) -> str:
    return number(from_si(watts, "kw"), 1, reader.language)


def _supply(plan: PowerPlan, reader: Reader) -> str:
    generator = plan.setup.generator
    return reader.say(
        "power",
        "generator" if generator.is_engine else "house",
        {
            "kw": reader.plain(from_si(generator.watts, "kw")),
            "open": number(generator.volts, 0, reader.language),
            "altitude": plan.setup.altitude,
            "ambient": plan.setup.ambient,
            "available": _kilowatts(plan.answer.available, reader),
            "drawn": _kilowatts(plan.answer.watts, reader),
        },
    )


def _tool_title(plan: PowerPlan, reached: PowerAtTool, reader: Reader) -> str:
    cord, _ = plan.cord_of(reached)
    tool = cord.tools[reached.place - 1]
    unit = FIELD_UNITS[reader.units]["flow"]
    flow = number(from_si(tool.air_flow, unit), 1 if unit == "cfm" else 0, reader.language)
    title = reader.say(
        "power",
        "tool",
        {
            "tool": reached.place,
            "cord": reached.cord,
            "nameplate": tool.volts,
            "watts": number(tool.watts, 0, reader.language),
            "flow": f"{flow} {SYMBOLS[unit]}",
            "gauge": cord.gauge.name,
            "length": cord.length,
        },
    )
    return f"{title}, {reader.say('power', 'coiled')}" if cord.coiled else title


def _tool_rows(plan: PowerPlan, tool: PowerAtTool, reader: Reader) -> Iterator[Row]:
    cord, load = plan.cord_of(tool)

    def row(name: str, code: str, **data: float) -> Row:
        return reader.say("power", name), reader.say("power", code, data)

    is_measured = cord.tools[tool.place - 1].measured is not None
    yield row(
        "volts",
        "volts_measured" if is_measured else "volts_computed",
        volts=tool.volts,
        computed=tool.computed,
    )
    share = number(100 * tool.heat_share, 0, reader.language)
    yield reader.say("power", "heat"), reader.say("power", "of_nameplate", {"share": share})
    yield row("air_max", "about", air_max=tool.air_max)
    if tool.margin_k is not None:
        code = "above_setting" if tool.margin_k >= 0 else "below_setting"
        yield row("to_setting", code, margin=abs(tool.margin_k), setting=plan.air)
        yield row("top_rung", "about", air_max=tool.top_rung)
    yield row(
        "cord",
        "cord_load",
        amps=load.amps,
        ampacity=load.ampacity,
        drop_share=load.drop_share,
        copper=load.copper,
    )
    if tool.margin_k is not None:
        yield reader.say("power", "for_window"), max_air_option(tool, reader)


def _limit(limit: CordLimit, air: float, reader: Reader) -> str:
    if limit.is_too_thin:
        code = "too_thin"
    elif limit.longest == 0:
        code = "no_length"
    else:
        code = "by_drop" if limit.by_drop <= limit.by_heat else "by_heat"
    data = {
        "length": limit.longest,
        "setting": air,
        "amps": limit.amps,
        "ampacity": limit.ampacity,
    }
    return reader.say("power", code, data)


def _what_if(what_if: WhatIf, plan: PowerPlan, reader: Reader) -> Row:
    change = what_if.change
    after = {
        "change": _signed(number(change.volts, 0, reader.language)),
        "margin": _signed(reader.write("margin", change.air_max_k)),
        "air_max": plan.least.air_max + change.air_max_k,
    }
    body = reader.say("power", "changed", after)
    if what_if.is_overloaded:
        body += reader.say("power", "too_much")
    return reader.say("power", what_if.code, {"ambient": what_if.ambient}), body


def _signed(text: str) -> str:
    if not re.search("[1-9]", text):
        return text.removeprefix("−")
    return text if text.startswith("−") else f"+{text}"


def _practice(check: PracticeCheck, reader: Reader) -> Row:
    kept = reader.say("power", "kept" if check.is_followed else "not_kept")
    air = reader.say("power", "about", {"air_max": check.air_max})
    return reader.say("practice", check.practice.code), f"{kept} ({air})"
