"""Pulled strips drawn: force over travel, what the average covers, the rule."""

from __future__ import annotations

from textwrap import wrap

import numpy as np

from lapwright.job.rules import Clause
from lapwright.proof.peelset import Judged, PeelSet
from lapwright.report.figures import Reader
from lapwright.report.panels import (
    INK,
    WIDTH,
    WRAP,
    Rows,
    Spec,
    axis_numbers,
    chart,
    layer,
    measured,
    small_print,
)
from lapwright.report.peeltext import rule_text, set_text, verdict_text
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si

_HEIGHT = 130  # px; of one strip
_POINTS = 600  # of a trace; more than its pixels
_HEADROOM = 1.25  # times the greatest force: room for the mark of the first peak
_THIN, _THICK = 1.2, 3.0  # px


def peel_chart(pulled: PeelSet, clause: Clause | None, reader: Reader) -> Spec:
    """A set as a picture: one panel for each strip, all to one scale.

    Parameters
    ----------
    pulled : PeelSet
        Judged.
    clause : Clause, optional
        That the least force comes from.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        Vega-Lite definition for :func:`lapwright.report.drawing.save`. Where the average
        was taken the line is thick; first peak and average are marked.
    """
    said = [rule_text(pulled, clause, reader)] if clause is not None else []
    said.append(set_text(pulled, reader))
    top = _HEADROOM * max(strip.peeled.peak for strip in pulled.strips)
    far = max(max(strip.peeled.trace.travel) for strip in pulled.strips)
    last = len(pulled.strips) - 1
    panels = [
        _panel(strip, pulled, reader, top=top, far=far, is_last=place == last)
        for place, strip in enumerate(pulled.strips)
    ]
    below = wrap(reader.say("peel", "chart_small"), round(WRAP * 1.8))
    panels[-1]["title"] = small_print(below)
    return chart(
        panels,
        title=wrap(verdict_text(pulled, reader), WRAP),
        subtitle=[part for line in said for part in wrap(line, round(WRAP * 1.45))],
        reader=reader,
    )


def _panel(
    strip: Judged, pulled: PeelSet, reader: Reader, *, top: float, far: float, is_last: bool
) -> Spec:
    unit = FIELD_UNITS[reader.units]
    peeled, trace = strip.peeled, strip.peeled.trace

    def along(travel: float) -> float:
        return from_si(float(travel), unit["width"])

    def force(value: float) -> float:
        return from_si(float(value), unit["peel"])

    numbers = axis_numbers(reader)
    title = reader.say("peel", "chart_travel", {"unit": SYMBOLS[unit["width"]]})
    x = measured(
        "x",
        axis={"title": title if is_last else None, "labels": is_last, "labelExpr": numbers},
        scale={"domain": [0, along(far)], "nice": False},
    )
    y = measured(
        "y",
        axis={
            "title": SYMBOLS[unit["peel"]],
            "labelExpr": numbers,
            "tickCount": 4,
        },
        scale={"domain": [0, force(top)], "nice": False},
    )
    place = {"x": x, "y": y}
    every = max(1, len(trace.force) // _POINTS)
    sign = -1.0 if any(caution.code == "peel_reversed" for caution in peeled.cautions) else 1.0
    line: Rows = [
        {"x": along(abs(travel)), "y": force(sign * pull / trace.width)}
        for travel, pull in list(zip(trace.travel, trace.force, strict=True))[::every]
    ]
    first, last = along(peeled.first_peak), along(peeled.averaged_to)
    covered = [row for row in line if first <= row["x"] <= last]
    average: Rows = [{"x": first, "x2": last, "y": force(peeled.average)}]
    height = np.interp(first, [row["x"] for row in line], [row["y"] for row in line])
    peak: Rows = [{"x": first, "y": float(height)}]
    words = f"{reader.say('peel', 'strip')} {trace.name}: {_state(strip, reader)}"
    name: Rows = [{"name": words}]
    layers = [
        layer("line", line, place, color=INK, strokeWidth=_THIN),
        layer("line", covered, place, color=INK, strokeWidth=_THICK),
        layer("rule", average, place | {"x2": {"field": "x2"}}, color=INK, strokeDash=[1, 3]),
        layer("point", peak, place, shape="triangle-down", size=120, color=INK, filled=True,
              yOffset=-9),
        layer(
            "text", name, {"x": {"value": WIDTH - 6}, "y": {"value": 6}, "text": {"field": "name"}},
            align="right", baseline="top", fontSize=14, fontWeight="bold", color=INK,
        ),
    ]  # fmt: skip
    if pulled.rule.least is not None:
        rule: Rows = [{"y": force(pulled.rule.least)}]
        layers.append(layer("rule", rule, {"y": y}, color=INK, strokeDash=[8, 4]))
    return {"width": WIDTH, "height": _HEIGHT, "layer": layers}


def _state(strip: Judged, reader: Reader) -> str:
    value = reader.write("peel", strip.value)
    state = "looks" if strip.state == "look" else strip.state
    return f"{value}, {reader.say('peel', state)}" if state != "unruled" else value
