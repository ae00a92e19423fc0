"""The day drawn: air, sheet and dew above, window and set point below, tests where due."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from textwrap import wrap

import numpy as np

from lapwright.job.dayhours import PlannedHour, Shift
from lapwright.job.planning import Plan
from lapwright.report.dayfigures import shown, spans
from lapwright.report.daytext import STOPS, day_title, due_line, set_point_line
from lapwright.report.figures import Reader
from lapwright.report.panels import (
    HALO,
    INK,
    WRAP,
    Rows,
    Spec,
    axis_numbers,
    chart,
    key,
    layer,
    measured,
    small_print,
)
from lapwright.units import FIELD_UNITS, SYMBOLS, difference_from_si, from_si
from lapwright.words import number

_ACROSS = 590  # px; of the panels, so that names fit beside them
_WEATHER, _SETTING, _LANE = 230, 200, 24  # px; heights
_STROKE = 9  # px from one stroke of the hatching to the next
_APART = 19  # px between two names beside a panel
_SHADE, _OFF = "#c9d8d0", "#ececec"  # span or window; hours outside the shift
_TICK = "▼"

Value = Callable[[PlannedHour], float | None]


def day_chart(plan: Plan, shift: Shift, reader: Reader) -> Spec:
    """The plan of one day as a picture.

    Parameters
    ----------
    plan : Plan
        Of one day.
    shift : Shift
        Hours worked.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        Vega-Lite definition for :func:`lapwright.report.drawing.save`: air, sheet with
        its span and dew point; wind and distance to dew in figures; below, with test
        welds, the expected window, the set point in force and the best one of each hour.
        Hours that cannot be worked are hatched and lettered, hours off are grey.
    """
    day = _Day(shown(plan, shift), reader)
    panels = [_weather(day), _lanes(day)]
    if plan.morning_air is not None:
        panels.append(_setting(day))
    below = wrap(reader.say("day", "chart_small"), round(WRAP * 1.6))
    panels[-1] = panels[-1] | {"title": small_print(below)}
    lines = [set_point_line(plan, reader), due_line(plan, reader)]
    return chart(
        [_key(day), *panels],
        title=wrap(day_title(plan, shift, reader), WRAP),
        subtitle=[part for line in lines for part in wrap(line, round(WRAP * 1.45))],
        reader=reader,
    )


class _Day:
    """Hours, reader and the time axis that all panels share."""

    def __init__(self, hours: Sequence[PlannedHour], reader: Reader) -> None:
        self.hours, self.reader = hours, reader
        self.first = hours[0].hour.at
        self.ends = 0.0, self.place(hours[-1].hour.at) + 1

    def place(self, at: datetime) -> float:
        """Hours since the left end of the picture."""
        return (at - self.first).total_seconds() / 3600

    def degrees(self, kelvin: float) -> float:
        """Temperature in the reader's unit."""
        return from_si(kelvin, self.reader.temperature)

    def x(self, *, named: bool = False) -> Spec:
        """Place along the time axis, with the hours of the clock below if named."""
        clock = f"{self.first.hour} + datum.value + {self.first.minute / 60}"
        axis = {
            "title": None,
            "labels": named,
            "tickCount": len(self.hours),
            "labelExpr": f"format(({clock}) % 24, '02.0f') + ':00'",
            "labelOverlap": True,
        }
        return measured("x", axis=axis, scale={"domain": list(self.ends), "nice": False})

    def middles(self, value: Value) -> Rows:
        """A value at the middle of each hour that has it."""
        found = ((self.place(hour.hour.at) + 0.5, value(hour)) for hour in self.hours)
        return [{"x": x, "y": self.degrees(y)} for x, y in found if y is not None]

    def stepped(self, value: Value) -> Rows:
        """A value over the whole of each hour that has it."""
        found = ((self.place(hour.hour.at), value(hour)) for hour in self.hours)
        return [
            {"x": end, "y": self.degrees(y)}
            for x, y in found
            if y is not None
            for end in (x, x + 1)
        ]


def _temperatures(rows: Sequence[Rows], day: _Day, code: str) -> Spec:
    """An axis that holds all of these with some room."""
    values = [row[end] for each in rows for row in each for end in ("y", "y2") if end in row]
    room = 0.08 * (max(values) - min(values))
    title = day.reader.say("day", code, {"unit": SYMBOLS[day.reader.temperature]})
    axis = {"title": title, "labelExpr": axis_numbers(day.reader)}
    ends = [min(values) - room, max(values) + room]
    return measured("y", axis=axis, scale={"domain": ends, "nice": False, "zero": False})


def _band(low: Rows, high: Rows) -> Rows:
    return [a | {"y2": b["y"]} for a, b in zip(low, high, strict=True)]


def _background(day: _Day, y: Spec, *, height: int) -> list[Spec]:
    """Grey where nobody works, hatched where nothing can be welded."""
    low, high = y["scale"]["domain"]
    off: Rows = [
        {"x": day.place(start), "x2": day.place(end)}
        for start, end in spans(day.hours, lambda hour: not hour.in_shift)
    ]
    strokes: Rows = []
    lean = height * day.ends[1] / _ACROSS  # hours that a stroke leans over, bottom to top
    rise = (high - low) / lean
    for start, end in spans(day.hours, lambda hour: bool(hour.stops)):
        left, right = day.place(start), day.place(end)
        for at in np.arange(left - lean, right, _STROKE * day.ends[1] / _ACROSS):
            ends = max(float(at), left), min(float(at) + lean, right)
            rows = {"x": ends[0], "x2": ends[1]}
            strokes.append(
                rows | {"y": low + rise * (ends[0] - at), "y2": low + rise * (ends[1] - at)}
            )
    x = day.x()
    across = {"x": x, "x2": {"field": "x2"}}
    return [
        layer("rect", off, across, fill=_OFF),
        layer("rule", strokes, across | {"y": y, "y2": {"field": "y2"}}, color="#8a8a8a"),
    ]


def _letters(day: _Day) -> list[Spec]:
    """Why an hour cannot be worked, in a letter at the top of the panel."""
    rows: Rows = [
        {
            "x": day.place(hour.hour.at) + 0.5,
            "letter": day.reader.say("day", f"letter_{hour.stops[0].why}"),
        }
        for hour in day.hours
        if hour.stops
    ]
    name = {"x": day.x(), "y": {"value": 14}, "text": {"field": "letter"}}
    bold = {"fontSize": 14, "fontWeight": "bold"}
    return [
        layer("text", rows, name, stroke="white", strokeWidth=HALO, **bold),
        layer("text", rows, name, color=INK, **bold),
    ]


def _beside(names: Sequence[tuple[float, str]], y: Spec, *, height: int) -> Spec:
    """Names at the right end of their lines, pushed apart where they would touch."""
    low, high = y["scale"]["domain"]
    apart = _APART * (high - low) / height
    rows: Rows = []
    for at, text in sorted(names):
        lowest = rows[-1]["y"] + apart if rows else low
        rows.append({"y": max(at, lowest), "name": text})
    over = max(0.0, rows[-1]["y"] - high)  # those at the top move down together
    for row in rows:
        row["y"] -= over
    place = {"x": {"value": _ACROSS + 8}, "y": y, "text": {"field": "name"}}
    return layer("text", rows, place, align="left", fontSize=14, color=INK)


def _panel(layers: list[Spec], *, height: int) -> Spec:
    return {"width": _ACROSS, "height": height, "layer": layers}


def _weather(day: _Day) -> Spec:
    """Air, sheet with its span, and dew point over the hours."""
    say = day.reader.say
    air, dew = day.middles(lambda h: h.hour.air), day.middles(lambda h: h.hour.dew_point)
    sheet = day.middles(lambda h: h.sheet)
    span = _band(day.middles(lambda h: h.sheet_colder), day.middles(lambda h: h.sheet_warmer))
    y = _temperatures([air, dew, span], day, "chart_temperature")
    x = day.x()
    place = {"x": x, "y": y}
    names = [
        (rows[-1]["y"], say("day", code))
        for rows, code in ((air, "air"), (sheet, "chart_sheet"), (dew, "chart_dew_point"))
    ]
    return _panel(
        [
            *_background(day, y, height=_WEATHER),
            layer("area", span, place | {"y2": {"field": "y2"}}, color=_SHADE, opacity=1),
            layer("line", sheet, place, color="white", strokeWidth=4 + HALO),
            layer("line", sheet, place, color=INK, strokeWidth=4),
            layer("line", air, place, color=INK, strokeWidth=1.5),
            layer("line", dew, place, color=INK, strokeWidth=2, strokeDash=[2, 4]),
            *_letters(day),
            _beside(names, y, height=_WEATHER),
        ],
        height=_WEATHER,
    )


def _lanes(day: _Day) -> Spec:
    """Wind and distance to dew, a figure under each hour."""
    reader = day.reader
    wind = FIELD_UNITS[reader.units]["wind"]
    figures = [
        (
            reader.say("day", "chart_wind", {"unit": SYMBOLS[wind]}),
            [from_si(hour.hour.wind, wind) for hour in day.hours],
        ),
        (
            reader.say("day", "chart_margin", {"unit": SYMBOLS[reader.temperature]}),
            [difference_from_si(hour.dew_margin_k, reader.temperature) for hour in day.hours],
        ),
    ]
    rows: Rows = [
        {
            "x": day.place(hour.hour.at) + 0.5,
            "y": lane + 0.5,
            "text": number(value, 0, reader.language),
        }
        for lane, (_, values) in enumerate(figures)
        for hour, value in zip(day.hours, values, strict=True)
    ]
    names: Rows = [{"y": lane + 0.5, "text": name} for lane, (name, _) in enumerate(figures)]
    y = measured("y", axis=None, scale={"domain": [0, 2], "reverse": True, "nice": False})
    text = {"y": y, "text": {"field": "text"}}
    beside = text | {"x": {"value": _ACROSS + 8}}
    return _panel(
        [
            layer("text", rows, text | {"x": day.x(named=True)}, fontSize=14, color=INK),
            layer("text", names, beside, align="left", fontSize=14, color=INK),
        ],
        height=2 * _LANE,
    )


def _setting(day: _Day) -> Spec:
    """Expected window, the set point in force, the best of each hour, and test welds."""
    say = day.reader.say
    bottom, top = day.stepped(lambda h: h.bottom), day.stepped(lambda h: h.top)
    window = _band(bottom, top)
    held = day.stepped(lambda h: None if not h.is_workable or h.set_point is None else h.in_force)
    best = day.middles(lambda h: h.set_point if h.is_workable else None)
    y = _temperatures([bottom, top, held], day, "chart_setting")
    place = {"x": day.x(), "y": y}
    tests: Rows = [{"x": day.place(hour.hour.at)} for hour in day.hours if hour.is_test_due]
    names = [(bottom[-1]["y"], say("label", "bottom")), (top[-1]["y"], say("label", "top"))]
    names += [(held[-1]["y"], say("day", "chart_set"))] if held else []
    on_top = {"x": day.x(), "y": {"value": -2}}
    parts = [
        layer("line", rows, place, **style)
        for rows in _pieces(held)
        for style in (
            {"color": "white", "strokeWidth": 4 + HALO},
            {"color": INK, "strokeWidth": 4},
        )
    ]
    return _panel(
        [
            layer("area", window, place | {"y2": {"field": "y2"}}, color=_SHADE, opacity=1),
            layer("line", bottom, place, color=INK, strokeWidth=1),
            layer("line", top, place, color=INK, strokeWidth=1),
            *_background(day, y, height=_SETTING)[1:],
            layer("rule", tests, {"x": day.x()}, color=INK, strokeDash=[3, 3], strokeWidth=1.5),
            *parts,
            layer("point", best, place, shape="circle", size=70, fill="white", stroke=INK,
                  strokeWidth=1.5, opacity=1),
            layer("text", tests, on_top, text=_TICK, fontSize=18, baseline="bottom", color=INK),
            _beside(names, y, height=_SETTING),
        ],
        height=_SETTING,
    )  # fmt: skip


def _pieces(rows: Rows) -> list[Rows]:
    """A stepped line cut where hours are missing."""
    pieces: list[Rows] = []
    for start, end in zip(rows[::2], rows[1::2], strict=True):
        if not pieces or pieces[-1][-1]["x"] != start["x"]:
            pieces.append([])
        pieces[-1] += [start, end]
    return pieces


def _key(day: _Day) -> Spec:
    """What marks and letters mean."""
    say = day.reader.say
    reasons = [why for why in STOPS if any(hour.is_stopped_by(why) for hour in day.hours)]
    letters = [
        {
            "shape": "square",
            "fill": "white",
            "letter": say("day", f"letter_{why}"),
            "name": say("day", why),
        }
        for why in reasons
    ]
    marks = [
        {"shape": "triangle-down", "fill": INK, "name": say("day", "chart_test")},
        {"shape": "circle", "fill": "white", "name": say("day", "chart_best")},
        {"shape": "square", "fill": _SHADE, "name": say("day", "chart_band")},
    ]
    return key([(say("day", "chart_stopped"), letters), (say("day", "chart_marks"), marks)])
