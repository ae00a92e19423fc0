"""The weld window drawn: a map over air and speed, the curve at one speed, edges and tests."""

from __future__ import annotations

from textwrap import wrap

from lapwright.report.figures import Reader
from lapwright.report.marks import READINGS, Cross, Frame, glyph, lanes, upright, weld_marks
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
    symbols,
)
from lapwright.report.text import setting_text
from lapwright.units import SYMBOLS
from lapwright.window.answer import NO_SETTING, Answer
from lapwright.window.picture import Picture
from lapwright.words import share

LEVELS = (0.5, 0.8, 0.9)  # P(sound) where the map turns darker; our choice
SHADES = ("#ffffff", "#d3e0d6", "#7fa8a3", "#1d5055")  # one step each; grey prints keep the order

CHART_POINTS, CHART_SPEEDS = 60, 40  # cells of the map; more make the file large, not clearer
_MAP, _CURVE = 300, 120  # px; heights


def window_chart(answer: Answer, picture: Picture, reader: Reader) -> Spec:
    """The window as a picture that needs no explanation beside it.

    Parameters
    ----------
    answer : Answer
        What the strips say.
    picture : Picture
        Of the same morning, with at least two speeds; 60 by 40 points are plenty.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        Vega-Lite definition for :func:`save`: map of P(sound), curve at the speed of the
        conditions, bottom and top with their 90 % intervals (an arrow where an end is
        open), test welds, and a cross at the confirmed set point or at the next weld.

    Notes
    -----
    The map shows test welds where they were set, the lanes below where their heat lies
    at the conditions; the two differ when sheet or speed differed.
    """
    frame, cross = Frame(picture, reader), _cross(answer)
    welds = answer.question.welds
    counts = {"welds": len(welds), "strips": sum(len(weld.strips) for weld in welds)}
    below = [reader.say("chart", "counted", counts), reader.say("chart", "placed")]
    return chart(
        [
            _key(frame),
            _map(frame, cross),
            _curve(frame, cross, answer.question.level),
            lanes(frame, cross, answer.bottom, answer.top) | {"title": small_print(below)},
        ],
        title=wrap(reader.say("verdict", answer.verdict), WRAP),
        subtitle=_subtitle(answer, reader),
        reader=reader,
    )


def _cross(answer: Answer) -> Cross | None:
    """Code and setting of the crosshair: what the crew is to set next."""
    point = answer.set_point
    if not answer.next.done:
        return "next", answer.next.air, answer.next.speed
    if point is None or answer.verdict in NO_SETTING:
        return None
    return ("set" if answer.certified else "not_confirmed"), point.air, point.speed


def _subtitle(answer: Answer, reader: Reader) -> list[str]:
    here, point = answer.conditions, answer.set_point
    where = {
        "membrane": answer.question.membrane.upper(),
        "speed": here.speed,
        "sheet": here.sheet,
        "ambient": here.ambient,
    }
    lines = [reader.say("do", answer.verdict), reader.say("chart", "conditions", where)]
    if point is not None and answer.verdict not in NO_SETTING:
        chances = {
            "setting": setting_text(point.air, point.speed, reader),
            "p_sound": point.p_sound,
            "p_sound_drift": point.p_sound_drift,
        }
        code = "chances" if answer.certified else "best_so_far"
        lines.append(reader.say("chart", code, chances))
    return [part for line in lines for part in wrap(line, round(WRAP * 1.45))]


def _key(frame: Frame) -> Spec:
    """What shades and marks mean."""
    reader = frame.reader
    seen = {mark.reading for mark in frame.picture.marks}
    marks = [glyph(reading, reader) for reading in READINGS if reading in seen]
    percent = [round(100 * level) for level in LEVELS]
    return key(
        [
            shade_key(reader.say("label", "sound"), percent, SHADES, reader, unit=" %"),
            (reader.say("chart", "test_welds"), marks),
        ]
    )


def _map(frame: Frame, cross: Cross | None) -> Spec:
    """P(sound) over air temperature and speed."""
    reader = frame.reader
    ends = [float(frame.speed[0]), float(frame.speed[-1])]
    axis = {
        "title": f"{reader.say('label', 'speed')}, {SYMBOLS[reader.speed]}",
        "labelExpr": axis_numbers(reader),
    }
    x = frame.x()
    y = measured("y", axis=axis, scale={"domain": ends, "nice": False, "zero": False})
    bars = stepped(frame.air, frame.speed, frame.picture.p_map, levels=LEVELS)
    marks = [row for row in weld_marks(frame) if ends[0] <= row["speed"] <= ends[1]]
    return {
        "width": WIDTH,
        "height": _MAP,
        "layer": [
            shaded(bars, SHADES, x, y),
            *_crosshair(frame, cross, x, y),
            *symbols(marks, {"x": frame.x("set_air"), "y": y | {"field": "speed"}}),
        ],
    }


def _crosshair(frame: Frame, cross: Cross | None, x: Spec, y: Spec) -> list[Spec]:
    """Both lines of the crosshair and its setting in large letters above the map."""
    if cross is None:
        return []
    code, air, speed = cross
    rows: Rows = [{"x": frame.degrees(air), "y": frame.travel(speed)}]
    label = frame.reader.say("chart", code, {"setting": setting_text(air, speed, frame.reader)})
    along = (rows[0]["x"] - frame.span[0]) / (frame.span[1] - frame.span[0])
    align = "left" if along < 0.3 else "right" if along > 0.7 else "center"
    return [
        *upright(cross, frame, x),
        layer("rule", rows, {"y": y}, color="white", strokeWidth=HALO),
        layer("rule", rows, {"y": y}, color=INK, strokeWidth=2),
        layer(
            "text", rows, {"x": x, "y": {"value": -8}}, text=label, fontSize=19,
            fontWeight="bold", baseline="bottom", align=align, color=INK,
        ),
    ]  # fmt: skip


def _curve(frame: Frame, cross: Cross | None, level: float) -> Spec:
    """P(sound) along air temperature at the speed of the conditions."""
    reader = frame.reader
    axis = {
        "title": reader.say("label", "sound"),
        "labelExpr": "format(100 * datum.value, 'd') + ' %'",
        "values": [0, 0.5, 1],
    }
    x = frame.x(named=False)
    y = measured("p", axis=axis, scale={"domain": [0, 1]})
    rows: Rows = [
        {"x": float(air), "p": float(p)}
        for air, p in zip(frame.air, frame.picture.p_sound, strict=True)
    ]
    asked: Rows = [{"p": level, "name": share(level, reader.language)}]
    name = {"y": y, "x": {"value": 4}, "text": {"field": "name"}}
    return {
        "width": WIDTH,
        "height": _CURVE,
        "layer": [
            layer("rule", asked, {"y": y}, color=INK, strokeDash=[2, 3]),
            layer("text", asked, name, align="left", baseline="top", dy=4, fontSize=13, color=INK),
            *upright(cross, frame, x),
            layer("line", rows, {"x": x, "y": y}, color=INK, strokeWidth=3),
        ],
    }
