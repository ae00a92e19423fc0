"""Displayed against measured as plain figures in field units, and in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lapwright.job.displays import Quantity, Series
from lapwright.proof.displays import LEAST, Display
from lapwright.report.figures import Figures, Reader
from lapwright.units import FIELD_UNITS, difference_from_si, from_si

MONTH = 86400 * 365.25 / 12  # s
_WORDS: dict[Quantity, tuple[str, str]] = {"air": ("air", "margin"), "speed": ("speed", "speed")}
_DIGITS = {"air": 1, "speed": 2}


def value_text(quantity: Quantity, value: float, reader: Reader) -> str:
    """A reading with its unit."""
    return reader.write(_WORDS[quantity][0], value)


def off_text(quantity: Quantity, value: float, reader: Reader) -> str:
    """A difference of readings with its unit, without sign where it is none."""
    return reader.write(_WORDS[quantity][1], value)


def displays_figures(series: Sequence[Series], reader: Reader) -> Figures:
    """All series in the reader's units and language.

    Parameters
    ----------
    series : sequence of Series
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix. Figures are null while too few
        readings are there.
    """
    return {"displays": [_series(each, reader) for each in series]}


def _series(series: Series, reader: Reader) -> Figures:
    display, quantity = series.display, series.quantity
    unit = FIELD_UNITS[reader.units]["temperature" if quantity == "air" else "speed"]

    def off(value: float | None) -> float | None:
        if value is None:
            return None
        convert = difference_from_si if quantity == "air" else from_si
        return round(convert(value, unit), _DIGITS[quantity])

    def read(value: float) -> float:
        return round(from_si(value, unit), _DIGITS[quantity])

    offset, trend = display.offset, display.trend
    off_by = (None,) * 4 if offset is None else (offset.mean, offset.low, offset.high, offset.reach)
    rates = (None,) * 3 if trend is None else (trend.rate, trend.low, trend.high)
    months = [None if rate is None else rate * MONTH for rate in rates]
    return {
        "machine": series.machine,
        "type": series.type,
        "quantity": quantity,
        "began": series.began,
        "is_current": series.is_current,
        "readings": [
            {
                "at": one.at.isoformat(),
                f"shown_{unit}": read(one.shown),
                f"measured_{unit}": read(one.measured),
            }
            for one in display.readings
        ],
        "scores": [round(point.value, 3) for point in display.points],
        f"offset_{unit}": off(off_by[0]),
        f"offset_low_{unit}": off(off_by[1]),
        f"offset_high_{unit}": off(off_by[2]),
        f"reach_{unit}": off(off_by[3]),
        "counted": None if offset is None else offset.count,
        f"month_{unit}": off(months[0]),
        f"month_low_{unit}": off(months[1]),
        f"month_high_{unit}": off(months[2]),
        "moved": None if display.moved is None else display.moved.at.isoformat(),
        "says": list(sentences(series, reader)),
    }


def sentences(series: Series, reader: Reader) -> Iterator[str]:
    """What is known of one display: how to read it, whether it moves, or what is missing."""
    display, quantity = series.display, series.quantity
    last = display.readings[-1] if display.readings else None
    said = {
        "number": series.machine,
        "what": reader.say("displays", quantity),
        "count": len(display.readings),
        "needed": LEAST,
    }
    true = None if last is None else display.true(last.shown)
    if last is None or true is None or display.offset is None:
        yield reader.say("displays", "few", said)
        return
    said |= {
        "shown": value_text(quantity, last.shown, reader),
        "true": value_text(quantity, true[0], reader),
        "reach": off_text(quantity, true[1], reader),
        "count": display.offset.count,
        "since": display.readings[0].at.date().isoformat(),
    }
    if display.moved is not None:
        said["since"] = display.moved.at.date().isoformat()
    yield reader.say("displays", "true" if display.moved is None else "moved", said)
    trend = trend_text(display, quantity, reader)
    if trend and display.trend is not None and display.trend.is_sure:
        yield reader.say("displays", "trend", {"trend": trend})
    setting = last.shown - display.offset.mean
    if quantity == "air":
        said["setting"] = value_text(quantity, setting, reader)
        yield reader.say("displays", "apply", said)


def trend_text(display: Display, quantity: Quantity, reader: Reader) -> str:
    """Change a month with its interval; empty while it is not known."""
    if display.trend is None:
        return ""
    rate, low, high = (
        off_text(quantity, each * MONTH, reader)
        for each in (display.trend.rate, display.trend.low, display.trend.high)
    )
    return reader.say("displays", "interval", {"middle": rate, "low": low, "high": high})


def moved_figures(series: Sequence[Series], reader: Reader) -> list[Figures]:
    """The displays that alarm, one line each."""
    return [
        {"machine": one.machine, "quantity": one.quantity, "says": next(sentences(one, reader))}
        for one in series
    ]
