"""The crew's counts for the terminal: each day against its limits, two people side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rich.text import Text

from lapwright.job.tally import Chart, Pair, Tally
from lapwright.report.cutstext import PER, percent
from lapwright.report.figures import Reader
from lapwright.report.text import aligned, caution_text
from lapwright.words import number

_TONES = {"steady": "", "watch": "yellow", "out": "bold red"}
_WORST = ("steady", "watch", "out")


def tally_text(tally: Tally, reader: Reader) -> Text:
    """Charts and pairs in words and figures.

    Parameters
    ----------
    tally : Tally
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
        For each chart a line per day: what was found, its value and limits, alone and
        smoothed; then what to do.
    """
    text = Text()
    for chart in tally.charts:
        text.append(title_text(chart, reader) + "\n", style="bold")
        lines = aligned([head(reader), *rows(chart, reader)])
        states = ("steady", *(worst(chart, place) for place in range(len(chart.days))))
        for line, state in zip(lines, states, strict=True):
            text.append(f"  {line}\n", style=_TONES[state])
        text.append("".join(f"  {line}\n" for line in advice(chart, reader)) + "\n")
    for pair in tally.pairs:
        text.append(pair_text(pair, reader) + "\n", style="bold")
    return text + caution_text(tally.cautions, reader)


def title_text(chart: Chart, reader: Reader) -> str:
    """Who, what and how much."""
    data = {
        "who": chart.who or reader.say("tally", "all"),
        "days": len(chart.days),
        "seam": reader.write("seam", PER[reader.units]),
        "rate": number(chart.centre * PER[reader.units], 1, reader.language),
        "share": percent(chart.centre, reader),
    }
    return reader.say("tally", "voids" if chart.kind == "rate" else "bad", data)


def worst(chart: Chart, place: int) -> str:
    """State of a day: the worse of alone and smoothed."""
    states = chart.points[place].state, chart.smoothed[place].state
    return max(states, key=_WORST.index)


def pair_text(pair: Pair, reader: Reader) -> str:
    """Two side by side, in one sentence."""
    compared = pair.comparison
    by_rate = pair.kind == "rate"

    def end(value: float) -> str:
        if math.isinf(value):
            return reader.say("tally", "any")
        return number(value if by_rate else 100 * value, 1 if by_rate else 0, reader.language)

    code = ("apart_" if compared.is_apart else "same_") + pair.kind
    names = {"first": pair.first, "second": pair.second}
    return reader.say("tally", code, names | {"low": end(compared.low), "high": end(compared.high)})


def head(reader: Reader) -> tuple[str, ...]:
    """Names of the columns of :func:`rows`; the last, a day's state, needs none."""
    names = ("day", "found", "value", "limits", "smoothed", "limits")
    return (*(reader.say("tally", name) for name in names), "")


def rows(chart: Chart, reader: Reader) -> Iterator[tuple[str, ...]]:
    """A line per day: found, value and limits, the same smoothed, its state."""
    scale = PER[reader.units] if chart.kind == "rate" else 100.0

    def value(figure: float) -> str:
        return number(figure * scale, 1, reader.language)

    for place, (day, found) in enumerate(zip(chart.days, chart.stretches, strict=True)):
        alone, mean = chart.points[place], chart.smoothed[place]
        of = reader.write("seam", found.size) if chart.kind == "rate" else f"{found.size:.0f}"
        yield (
            day,
            f"{found.found} / {of}",
            value(alone.value),
            f"{value(alone.low)}–{value(alone.high)}",
            value(mean.value),
            f"{value(max(mean.low, 0.0))}–{value(mean.high)}",
            reader.say("tally", worst(chart, place)),
        )


def advice(chart: Chart, reader: Reader) -> Iterator[str]:
    """What to do, in sentences."""
    if chart.out:
        yield reader.say("tally", "stop", {"days": ", ".join(chart.out)})
    if chart.early:
        yield reader.say("tally", "early", {"day": chart.early})
    if not chart.out and not chart.early:
        yield reader.say("tally", "all_steady")
    if chart.false_alarm is not None and chart.doubled is not None:
        data = {"length": f"{chart.false_alarm:.0f}", "after": f"{chart.doubled:.0f}"}
        yield reader.say("tally", "alarms", data)
