"""Weather typed by hand -> hours: a few lines as a person says them, filled in between.

One line is a time, the air, and then in any order ``dew`` or ``humidity``, ``wind``,
``cloud`` or ``sun``, and ``rain``, in English or Spanish. A line that is not understood
is refused with an example, never half read.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from itertools import pairwise

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.physics.outside import Hour
from lapwright.readings.hours import HOUR, Weather, dew_below, dew_of, quantity

OPTION = "--hour"
_EXAMPLES = {
    "us": "07:00 72F dew 60F wind 5 mph cloud 20%",
    "metric": "07:00 22C dew 15C wind 8 km/h cloud 20%",
}
_WORDS = {  # as typed without accents -> quantity
    "dew": "dew_point", "rocio": "dew_point",
    "humidity": "humidity", "humedad": "humidity",
    "wind": "wind", "viento": "wind",
    "cloud": "cloud", "nubes": "cloud",
    "sun": "irradiance", "sol": "irradiance",
    "rain": "rain", "lluvia": "rain",
}  # fmt: skip
_UNITS = {  # quantity -> unit as typed -> unit as read
    "air": {"f": "f", "c": "c"},
    "dew_point": {"f": "f", "c": "c"},
    "humidity": {"%": "pct"},
    "wind": {"mph": "mph", "km/h": "km_h", "m/s": "m_s"},
    "cloud": {"%": "pct"},
    "irradiance": {"w/m2": "w_m2"},
    "rain": {"%": "pct"},
}
_NUMBER = r"(-?\d{1,4}(?:[.,]\d{1,3})?) ?°?(f|c|%|mph|km/h|m/s|w/m2)"
_LINE = re.compile(rf"(\d{{1,2}})(?::(\d\d))? {_NUMBER}((?: [a-z]+ {_NUMBER})*)")
_PART = re.compile(rf" ([a-z]+) {_NUMBER}")
_OPTIONAL = ("cloud", "irradiance", "rain")


def typed_weather(lines: Sequence[str], *, on: date, zone: tzinfo) -> Weather:
    """Hours from typed lines; between two lines each hour is filled in along a straight line.

    Parameters
    ----------
    lines : sequence of str
        At least one, in order of time.
    on : date
        Their day.
    zone : tzinfo
        Their clock.

    Returns
    -------
    Weather

    Raises
    ------
    LapwrightError
        ``hour_not_read``: a line is not in its form; ``sky_two_ways``: cloud in one line,
        sun in another, so that nothing is known between.
    FileUnreadable
        A value as :func:`~lapwright.readings.hours.quantity`, ``dew_above_air``,
        ``time_not_later``.

    Notes
    -----
    Rain that one of two lines leaves out is not known between them either.

    Examples
    --------
    >>> lines = ["7:00 50F dew 40F wind 5 mph cloud 20%", "9:00 60F dew 44F wind 15 mph cloud 0%"]
    >>> hours = typed_weather(lines, on=date(2026, 4, 1), zone=UTC).hours
    >>> [(hour.at.hour, round(hour.air, 2), round(hour.cloud, 2)) for hour in hours]
    [(7, 283.15, 0.2), (8, 285.93, 0.1), (9, 288.71, 0.0)]
    """
    said = [_hour(line, row, on, zone) for row, line in enumerate(lines, start=1)]
    if len({hour.cloud is None for hour in said}) > 1:
        raise LapwrightError("sky_two_ways")
    hours = said[:1]
    for row, (before, after) in enumerate(pairwise(said), start=2):
        if after.at <= before.at:
            raise FileUnreadable("time_not_later", file=OPTION, row=row, last=before.at.isoformat())
        hours += [
            _between(before, after, before.at + n * HOUR) for n in range(1, _steps(before, after))
        ]
        hours.append(after)
    return Weather(tuple(hours), "typed")


def _steps(before: Hour, after: Hour) -> int:
    return -int(-((after.at - before.at) / HOUR) // 1)


def _between(before: Hour, after: Hour, at: datetime) -> Hour:
    share = (at - before.at) / (after.at - before.at)

    def along(first: float, last: float) -> float:
        return first + share * (last - first)

    ends = {name: (getattr(before, name), getattr(after, name)) for name in _OPTIONAL}
    return Hour(
        at,
        air=along(before.air, after.air),
        dew_point=along(before.dew_point, after.dew_point),
        wind=along(before.wind, after.wind),
        **{name: along(*both) for name, both in ends.items() if None not in both},
    )


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFD", text.casefold())
    return " ".join("".join(each for each in letters if not unicodedata.combining(each)).split())


def _hour(line: str, row: int, on: date, zone: tzinfo) -> Hour:
    refusal = LapwrightError("hour_not_read", value=line, **_EXAMPLES)
    found = _LINE.fullmatch(_plain(line))
    if found is None:
        raise refusal
    said = [("air", found[3], found[4])]
    said += [(_WORDS.get(word, ""), number, unit) for word, number, unit in _PART.findall(found[5])]
    names = [name for name, _, _ in said]
    has_all = (
        "wind" in names
        and {"dew_point", "humidity"} & {*names}
        and {"cloud", "irradiance"} & {*names}
    )
    if len({*names}) < len(names) or not has_all:
        raise refusal
    values = {}
    for name, number, unit in said:
        if unit not in _UNITS.get(name, ()):
            raise refusal
        values[name] = quantity(
            number.replace(",", "."),
            name=name,
            unit=_UNITS[name][unit],
            file=OPTION,
            row=row,
            column=name,
        )
    humidity = values.pop("humidity", None)
    if humidity is not None:
        values.setdefault("dew_point", dew_of(values["air"], humidity=humidity))
    values["dew_point"] = dew_below(
        values["air"], values["dew_point"], file=OPTION, row=row, column="dew_point"
    )
    try:
        wall = datetime.combine(on, time(int(found[1]), int(found[2] or 0)), tzinfo=zone)
    except ValueError:
        raise refusal from None
    at = wall.astimezone(UTC).astimezone(timezone(wall.utcoffset() or timedelta()))
    return Hour(at, **values)
