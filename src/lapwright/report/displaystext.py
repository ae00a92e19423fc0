"""Displayed against measured for the terminal: one row a display, then what to do."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from lapwright.job.displays import Series
from lapwright.report.displaysfigures import off_text, sentences, trend_text
from lapwright.report.figures import Reader
from lapwright.report.text import aligned

_HEADS = ("machine", "display", "readings", "offset", "month", "state")


def displays_text(series: Sequence[Series], reader: Reader) -> Text:
    """Today's displays as a table, and each in words.

    Parameters
    ----------
    series : sequence of Series
        Of all times; only those that go on are told.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    current = [each for each in series if each.is_current]
    if not current:
        return Text(reader.say("displays", "none") + "\n")
    rows = [tuple(reader.say("displays", head) for head in _HEADS)]
    rows += [_row(each, reader) for each in current]
    text = Text()
    for place, line in enumerate(aligned(rows)):
        has_moved = place > 0 and current[place - 1].display.moved is not None
        text.append(line + "\n", style="bold" if not place or has_moved else "")
    text.append("\n")
    for each in current:
        text.append("\n".join(sentences(each, reader)) + "\n")
    return text


def _row(series: Series, reader: Reader) -> tuple[str, ...]:
    display, quantity, offset = series.display, series.quantity, series.display.offset
    state = "unknown" if offset is None else "steady" if display.moved is None else "out"
    between = "-"
    if offset is not None:
        middle, low, high = (
            off_text(quantity, value, reader) for value in (offset.mean, offset.low, offset.high)
        )
        between = reader.say("displays", "interval", {"middle": middle, "low": low, "high": high})
    return (
        series.machine,
        reader.say("displays", quantity),
        str(len(display.readings)),
        between,
        trend_text(display, quantity, reader) or "-",
        reader.say("displays", state),
    )
