"""What happens inside the lap at one setting: heat over depth and time, and the lap faces."""

from __future__ import annotations

from textwrap import wrap

import numpy as np

from lapwright.physics.heat import Values
from lapwright.physics.lap import History, Lap
from lapwright.report.figures import Reader
from lapwright.report.panels import (
    HALO,
    INK,
    WIDTH,
    WRAP,
    Rows,
    Spec,
    axis_numbers,
    chart,
    key,
    layer,
    measured,
    shade_key,
    shaded,
    small_print,
    stepped,
)
from lapwright.report.text import setting_text
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si

# Where the map turns darker; round figures of either unit, so that two settings compare.
STEPS = {"f": (140, 200, 250, 300, 400), "c": (60, 90, 120, 150, 200)}
SHADES = ("#ffffff", "#fae3c6", "#f0b77e", "#d07d3f", "#8f4519", "#3d1705")

_DEPTHS, _FACES = 240, 210  # px; heights
_TIMES = 240  # points along time
_BEFORE, _AFTER = 1.3, 2.5  # times under the nozzle: shown before and after contact
_HALF_BELIEF = 1.645  # standard deviations to either side of 90 %


def lap_chart(lap: Lap, reader: Reader) -> Spec:
    """The inside of a lap as the nozzle passes and the sheets meet.

    Parameters
    ----------
    lap : Lap
        Setting, sheet and conditions.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        Vega-Lite definition for :func:`lapwright.report.drawing.save`: temperature over
        time and depth through both sheets; temperature of the lap faces, with bands where
        bottom and top of this family are believed to lie.

    Notes
    -----
    As good as :class:`lapwright.physics.lap.Lap`: computed, never measured, and the
    picture says so itself.
    """
    unit = reader.temperature
    setting = setting_text(lap.air, lap.speed, reader)
    where = {
        "membrane": lap.membrane.code.upper(),
        "thickness": lap.membrane.thickness,
        "sheet": lap.sheet,
        "ambient": lap.ambient,
    }
    times = lap.under_nozzle * np.linspace(-_BEFORE, _AFTER, _TIMES)
    history = lap.history(times)
    below = wrap(reader.say("chart", "lap_bands"), round(WRAP * 1.8))
    return chart(
        [
            key([shade_key(SYMBOLS[unit], STEPS[unit], SHADES, reader)]),
            _depths(lap, history, reader),
            _faces(lap, history, reader) | {"title": small_print(below)},
        ],
        title=wrap(reader.say("chart", "lap_title", {"setting": setting}), WRAP),
        subtitle=[
            reader.say("chart", "lap_computed"),
            reader.say("chart", "lap_conditions", where),
        ],
        reader=reader,
    )


def _degrees(kelvin: Values, reader: Reader) -> Values:
    return np.asarray(np.vectorize(from_si)(kelvin, reader.temperature))


def _time(history: History, reader: Reader, *, named: bool) -> Spec:
    axis = {
        "title": reader.say("chart", "lap_time") if named else None,
        "labels": named,
        "labelExpr": axis_numbers(reader),
    }
    ends = [float(history.time[0]), float(history.time[-1])]
    return measured("x", axis=axis, scale={"domain": ends, "nice": False})


def _upright(time: float, x: Spec, *, width: float) -> list[Spec]:
    rows: Rows = [{"x": time}]
    return [
        layer("rule", rows, {"x": x}, color="white", strokeWidth=width + HALO - 2),
        layer("rule", rows, {"x": x}, color=INK, strokeWidth=width),
    ]


def _depths(lap: Lap, history: History, reader: Reader) -> Spec:
    """Temperature over time and depth, through both sheets."""
    unit = FIELD_UNITS[reader.units]["thickness"]
    face, last = (from_si(n * lap.membrane.thickness, unit) for n in (1, 2))
    inside = history.depth < 2 * lap.membrane.thickness
    depth = np.array([from_si(float(at), unit) for at in history.depth[inside]])
    cells = _degrees(history.temperature[:, inside].T, reader)
    bars = stepped(
        history.time,
        np.concatenate([[0.0], depth, [last]]),  # outermost half cells: as their cell
        np.vstack([cells[:1], cells, cells[-1:]]),
        levels=STEPS[reader.temperature],
    )
    axis = {
        "title": reader.say("chart", "lap_depth", {"unit": SYMBOLS[unit]}),
        "labelExpr": axis_numbers(reader),
    }
    scale = {"domain": [0, last], "reverse": True, "nice": False}
    x, y = _time(history, reader, named=False), measured("y", axis=axis, scale=scale)
    sheets: Rows = [
        {"y": 0.12 * face, "name": reader.say("chart", "lap_upper")},
        {"y": last - 0.12 * face, "name": reader.say("chart", "lap_lower")},
    ]
    above: Rows = [
        {"x": -lap.under_nozzle / 2, "name": reader.say("chart", "lap_nozzle")},
        {"x": 0.0, "name": "▼ " + reader.say("chart", "lap_contact")},
    ]
    name = {"text": {"field": "name"}}
    inside_right = name | {"x": {"value": WIDTH - 8}, "y": y}
    words = {"fontSize": 14, "fontWeight": "bold", "color": INK}
    return {
        "width": WIDTH,
        "height": _DEPTHS,
        "layer": [
            shaded(bars, SHADES, x, y),
            layer("rule", [{"y": face}], {"y": y}, color=INK, strokeDash=[4, 4]),
            *_upright(-lap.under_nozzle, x, width=1),
            *_upright(0.0, x, width=2),
            layer("text", sheets, inside_right, align="right", **words),
            layer("text", above[:1], name | {"x": x, "y": {"value": -12}}, **words),
            layer("text", above[1:], name | {"x": x, "y": {"value": -12}}, align="left", dx=-6,
                  **words),
        ],
    }  # fmt: skip


def _faces(lap: Lap, history: History, reader: Reader) -> Spec:
    """Temperature of the lap faces over time, with the family's bottom and top."""
    membrane, unit = lap.membrane, reader.temperature
    bands: Rows = [
        {
            "y": from_si(mean - _HALF_BELIEF * sd, unit),
            "y2": from_si(mean + _HALF_BELIEF * sd, unit),
            "name": reader.say("chart", code),
        }
        for mean, sd, code in (
            (membrane.bottom, membrane.bottom_sd, "lap_bottom"),
            (membrane.top, membrane.top_sd, "lap_top"),
        )
    ]
    faces = _degrees(history.interface, reader)
    rows: Rows = [
        {"x": float(time), "y": float(face)} for time, face in zip(history.time, faces, strict=True)
    ]
    axis = {
        "title": reader.say("chart", "lap_face", {"unit": SYMBOLS[unit]}),
        "labelExpr": axis_numbers(reader),
    }
    coldest, hottest = float(faces.min()), max(float(faces.max()), bands[-1]["y2"])
    ends = [coldest - 0.03 * (hottest - coldest), hottest]
    x, y = _time(history, reader, named=True), measured("y", axis=axis, scale={"domain": ends})
    across = {"x": {"value": 0}, "x2": {"value": WIDTH}, "y": y, "y2": {"field": "y2"}}
    name = {"x": {"value": WIDTH - 8}, "y": y | {"field": "at"}, "text": {"field": "name"}}
    for band in bands:
        band["at"] = (band["y"] + band["y2"]) / 2
    return {
        "width": WIDTH,
        "height": _FACES,
        "layer": [
            layer("rect", bands[:1], across, fill="#e4e4e4", stroke=INK, strokeDash=[2, 3]),
            layer("rect", bands[1:], across, fill="#c4c4c4", stroke=INK, strokeDash=[2, 3]),
            *_upright(-lap.under_nozzle, x, width=1),
            *_upright(0.0, x, width=2),
            layer("line", rows, {"x": x, "y": y}, color="white", strokeWidth=3 + HALO),
            layer("line", rows, {"x": x, "y": y}, color=INK, strokeWidth=3),
            layer("text", bands, name, align="right", fontSize=14, color=INK),
        ],
    }
