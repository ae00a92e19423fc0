"""What lies on the air axis of the window chart: test welds, edges, the crosshair's line."""

from __future__ import annotations

from typing import Any

import numpy as np

from lapwright.report.figures import Reader
from lapwright.report.panels import (
    HALO,
    INK,
    WIDTH,
    Rows,
    Spec,
    axis_numbers,
    layer,
    measured,
    symbols,
)
from lapwright.report.text import edge_text
from lapwright.units import SYMBOLS, from_si
from lapwright.window.edges import Edge
from lapwright.window.picture import Picture, Reading

_LANE = 32  # px; height
_ROOM = 46  # px that the mark of a test weld and its number need
_STROKE = 8  # px from one stroke of the hatching to the next
_POINTS_UP = "M-1,-0.15L0,-1.2L1,-0.15L1,0.95L-1,0.95Z"
_POINTS_DOWN = "M-1,-0.95L1,-0.95L1,0.15L0,1.2L-1,0.15Z"
_STYLES: dict[Reading, tuple[str, str, str]] = {  # shape, fill, letter; black is not sound
    "full": ("circle", "white", INK),
    "partial": ("diamond", INK, "white"),
    "cold": (_POINTS_DOWN, INK, "white"),
    "hot": (_POINTS_UP, INK, "white"),
    "unread": ("circle", "#bbbbbb", INK),
}
READINGS = tuple(_STYLES)  # in the order of the key

Cross = tuple[str, float, float]  # code of its label, air and speed [K, m/s]


class Frame:
    """Reader, figures and the air axis that all panels of one drawing share."""

    def __init__(self, picture: Picture, reader: Reader) -> None:
        self.picture, self.reader = picture, reader
        self.air = np.array([self.degrees(air) for air in picture.air])
        self.speed = np.array([self.travel(speed) for speed in picture.speed])
        self.span = float(self.air[0]), float(self.air[-1])
        self.per_pixel = (self.span[1] - self.span[0]) / WIDTH

    def degrees(self, air: float) -> float:
        """Temperature in the reader's unit."""
        return from_si(float(air), self.reader.temperature)

    def travel(self, speed: float) -> float:
        """Speed in the reader's unit."""
        return from_si(float(speed), self.reader.speed)

    def x(self, field: str = "x", *, named: bool = True) -> Spec:
        """Place along the air axis."""
        title = f"{self.reader.say('label', 'air')}, {SYMBOLS[self.reader.temperature]}"
        axis = {
            "title": title if named else None,
            "labels": named,
            "tickCount": 10,
            "labelExpr": axis_numbers(self.reader),
        }
        return measured(field, axis=axis, scale={"domain": list(self.span), "nice": False})


def upright(cross: Cross | None, frame: Frame, x: Spec) -> list[Spec]:
    """The crosshair's line through a panel, black on white so that no shade hides it."""
    if cross is None:
        return []
    rows: Rows = [{"x": frame.degrees(cross[1])}]
    return [
        layer("rule", rows, {"x": x}, color="white", strokeWidth=HALO),
        layer("rule", rows, {"x": x}, color=INK, strokeWidth=2),
    ]


def glyph(reading: Reading, reader: Reader) -> dict[str, Any]:
    """Shape, fill, letter and name of a reading."""
    shape, fill, ink = _STYLES[reading]
    return {
        "shape": shape,
        "fill": fill,
        "ink": ink,
        "letter": reader.say("chart", f"letter_{reading}"),
        "name": reader.say("chart", reading),
    }


def weld_marks(frame: Frame) -> Rows:
    """Test welds, each in the first lane where it does not touch its neighbour.

    One whose heat lies outside the picture stands at its border with an arrow.
    """
    first, last = frame.span
    ends: list[float] = []
    rows: Rows = []
    for mark in sorted(frame.picture.marks, key=lambda mark: mark.air):
        true = frame.degrees(mark.air)
        air = min(max(true, first), last)
        lane = next((lane for lane, end in enumerate(ends) if air >= end), len(ends))
        ends[lane : lane + 1] = [air + _ROOM * frame.per_pixel]
        rows.append(
            glyph(mark.reading, frame.reader)
            | {
                "air": air,
                "set_air": frame.degrees(mark.set_air),
                "speed": frame.travel(mark.speed),
                "lane": lane,
                "number": mark.number + " ◀" * (true < first) + " ▶" * (true > last),
            }
        )
    return rows


def lanes(frame: Frame, cross: Cross | None, bottom: Edge, top: Edge) -> Spec:
    """Bottom, top and test welds below the curve, each in its lane.

    Parameters
    ----------
    frame, cross : Frame, Cross or None
        Of the drawing.
    bottom, top : Edge
        Hatched over their 90 % intervals, to opposite sides; an open end is an arrow.

    Returns
    -------
    dict
        A panel.
    """
    marks = weld_marks(frame)
    count = 2 + max((mark["lane"] + 1 for mark in marks), default=0)
    y = measured("y", axis=None, scale={"domain": [0, count], "reverse": True, "nice": False})
    for mark in marks:
        mark["y"] = mark["lane"] + 2.5
    names = [frame.reader.say("label", "bottom"), frame.reader.say("label", "top")]
    if marks:
        names.append(frame.reader.say("chart", "test_welds"))
    beside: Rows = [{"y": lane + 0.5, "name": name} for lane, name in enumerate(names)]
    name = {"x": {"value": -8}, "y": y, "text": {"field": "name"}}
    at_weld = {"x": frame.x("air"), "y": y}
    number = at_weld | {"text": {"field": "number"}}
    return {
        "width": WIDTH,
        "height": _LANE * count,
        "layer": [
            *upright(cross, frame, frame.x()),
            *_edge_bar(frame, bottom, y, lane=0, leans_right=True),
            *_edge_bar(frame, top, y, lane=1, leans_right=False),
            *symbols(marks, at_weld),
            layer("text", marks, number, dx=15, align="left", fontSize=13, color=INK),
            layer("text", beside, name, align="right", fontSize=14, fontWeight="bold", color=INK),
        ],
    }


def _edge_bar(frame: Frame, edge: Edge, y: Spec, *, lane: int, leans_right: bool) -> list[Spec]:
    """One edge: hatched over its interval, a thick stroke at the median, arrows where open."""
    first, last = frame.span
    middle, above, below = lane + 0.5, lane + 0.22, lane + 0.78
    place = {"x": frame.x(), "y": y}
    if edge.mid is None:
        return _beside(frame, edge, place, (first + last) / 2, middle, right=True)
    low, high = (
        end if value is None else min(max(frame.degrees(value), first), last)
        for value, end in ((edge.low, first), (edge.high, last))
    )
    step = _STROKE * frame.per_pixel
    start, end = (below, above) if leans_right else (above, below)
    hatch: Rows = [
        {"x": float(x), "x2": min(float(x) + step, high), "y": start, "y2": end}
        for x in np.arange(low, high, step)
    ]
    box: Rows = [{"x": low, "x2": high, "y": above, "y2": below}]
    arrows = [
        layer(
            "text", [{"x": end, "y": middle}], place, text=sign, align=align, fontSize=30, color=INK
        )
        for value, end, sign, align in (
            (edge.low, low, "◀", "left"),
            (edge.high, high, "▶", "right"),
        )
        if value is None
    ]
    median: Rows = [{"x": frame.degrees(edge.mid), "y": lane + 0.08, "y2": lane + 0.92}]
    right = last - high > low - first
    corners = place | {"x2": {"field": "x2"}, "y2": {"field": "y2"}}
    return [
        layer("rect", box, corners, fill="white", stroke=INK, strokeWidth=1.5),
        layer("rule", hatch, corners, color=INK),
        layer("rule", [] if arrows else median, place | {"y2": {"field": "y2"}},
              color=INK, strokeWidth=5),
        *arrows,
        *_beside(frame, edge, place, high if right else low, middle, right=right),
    ]  # fmt: skip


def _beside(
    frame: Frame, edge: Edge, place: Spec, x: float, y: float, *, right: bool
) -> list[Spec]:
    """An edge in words, on white so that a line behind does not strike it out."""
    rows: Rows = [{"x": x, "y": y}]
    style = {
        "text": edge_text(edge, frame.reader),
        "fontSize": 14,
        "align": "left" if right else "right",
        "dx": 14 if right else -14,
    }
    return [
        layer("text", rows, place, **style, stroke="white", strokeWidth=HALO),
        layer("text", rows, place, **style, color=INK),
    ]
