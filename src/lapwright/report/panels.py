"""What all pictures share: the steps of a map and the pieces of a chart.

Pictures are read in the sun and printed in black and white: few steps, each clearly
darker than the last, and never colour alone. A chart is a Vega-Lite definition as plain
data, so that the same one serves paper and page.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from lapwright.physics.heat import Values
from lapwright.report.figures import Reader

Spec = dict[str, Any]  # Vega-Lite, or a part of it
Rows = list[dict[str, Any]]

FONT = "DejaVu Sans, Verdana, sans-serif"  # the first lies in fonts/, the others in any browser
INK = "#111111"
WIDTH = 720  # px; of every chart
WRAP = 62  # characters of a title that fit the width
HALO = 6  # px of white under a black line or letter

_SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
_FINE = 600  # columns that a map is read at, about one per pixel
_ROWS = 150  # rows that a map is drawn with
_LETTER = 9  # px; about the width of a letter of 14 px


def stepped(x: Values, y: Values, values: Values, *, levels: Sequence[float]) -> Rows:
    """A map as bars of one step each: far fewer shapes than cells, with smoother borders.

    Parameters
    ----------
    x, y : ndarray, shapes (n,) and (m,)
        Ascending, at least two each.
    values : ndarray, shape (m, n)
        Read between its points along straight lines.
    levels : sequence of float
        Ascending; step 0 lies below the first.

    Returns
    -------
    list of dict
        ``x``, ``x2``, ``y``, ``y2``, ``step``; together they tile the map.

    Examples
    --------
    >>> flat = stepped(np.array([0.0, 1]), np.array([0.0, 1]), np.ones((2, 2)), levels=[0.5])
    >>> {(bar["x"], bar["x2"], bar["step"]) for bar in flat}
    {(0.0, 1.0, 1)}
    """
    borders = np.linspace(x[0], x[-1], _FINE + 1)
    columns = (borders[:-1] + borders[1:]) / 2
    edges = np.linspace(y[0], y[-1], _ROWS + 1)
    along = np.array([np.interp(columns, x, row) for row in values])
    bars: Rows = []
    for low, high in pairwise(edges):
        middle = (low + high) / 2
        above = int(np.searchsorted(y, middle))
        share = (middle - y[above - 1]) / (y[above] - y[above - 1])
        row = along[above - 1] + share * (along[above] - along[above - 1])
        step = np.searchsorted(levels, row, side="right")
        starts = np.concatenate([[0], np.flatnonzero(np.diff(step)) + 1])
        for start, end in zip(starts, [*starts[1:], _FINE], strict=True):
            bar = {"x": borders[start], "x2": borders[end], "y": low, "y2": high}
            bars.append({name: float(at) for name, at in bar.items()} | {"step": int(step[start])})
    return bars


def layer(mark: str, rows: Rows, encoding: Spec, **style: Any) -> Spec:
    """One layer of a chart: marks of one kind with their rows."""
    return {
        "data": {"values": rows},
        "mark": {"type": mark, "clip": mark != "text"} | style,
        "encoding": encoding,
    }


def measured(field: str, **more: Any) -> Spec:
    """Place of a number along an axis."""
    return {"field": field, "type": "quantitative"} | more


def shaded(bars: Rows, shades: Sequence[str], x: Spec, y: Spec) -> Spec:
    """Bars of :func:`stepped` in their shades; step 0 is the paper itself."""
    rows = [bar | {"shade": shades[bar["step"]]} for bar in bars if bar["step"]]
    shade = {"field": "shade", "scale": None}
    corners = {"x": x, "x2": {"field": "x2"}, "y": y, "y2": {"field": "y2"}}
    # the stroke closes the hairlines between bars
    return layer("rect", rows, corners | {"fill": shade, "stroke": shade}, strokeWidth=0.5)


def symbols(rows: Rows, place: Spec) -> list[Spec]:
    """Marks by ``shape``, ``fill``, ``letter`` and the letter's ``ink``, as the rows say."""
    drawn = {name: {"field": name, "scale": None} for name in ("shape", "fill")}
    letter = {"text": {"field": "letter"}, "color": {"field": "ink", "scale": None}}
    return [
        layer("point", rows, place | drawn, size=420, stroke=INK, strokeWidth=1.8, opacity=1,
              clip=False),
        layer("text", rows, place | letter, fontSize=11, fontWeight="bold"),
    ]  # fmt: skip


def shade_key(
    head: str, levels: Sequence[int], shades: Sequence[str], reader: Reader, *, unit: str = ""
) -> tuple[str, Rows]:
    """Line of :func:`key` that names the steps of a map."""
    names = [
        f"{reader.say('label', 'under')} {levels[0]}{unit}",
        *(f"{low}–{high}{unit}" for low, high in pairwise(levels)),
        reader.say("chart", "and_over", {"value": f"{levels[-1]}{unit}"}),
    ]
    return head, [
        {"shape": "square", "fill": shade, "name": name}
        for shade, name in zip(shades, names, strict=True)
    ]


def key(lines: Sequence[tuple[str, Rows]]) -> Spec:
    """Panel that explains shades and marks.

    Parameters
    ----------
    lines : sequence of (str, list of dict)
        What a line is about, and its marks with ``shape``, ``fill`` and ``name``; a line
        without marks is left out.
    """
    shown = [line for line in lines if line[1]]
    first = 28 + _LETTER * max(len(head) for head, _ in shown)
    heads: Rows = []
    rows: Rows = []
    for row, (head, marks) in enumerate(shown):
        heads.append({"y": row, "name": head})
        at = first
        for mark in marks:
            rows.append({"letter": "", "ink": INK} | mark | {"x": at, "y": row})
            at += 40 + _LETTER * len(mark["name"])
    x = measured("x", axis=None, scale={"domain": [0, WIDTH], "nice": False})
    y = measured("y", axis=None, scale={"domain": [-0.5, len(shown) - 0.5], "reverse": True})
    name = {"y": y, "text": {"field": "name"}}
    words = {"align": "left", "fontSize": 14, "color": INK}
    return {
        "width": WIDTH,
        "height": 30 * len(shown),
        "view": {"stroke": None},
        "layer": [
            layer("text", heads, name | {"x": {"value": 0}}, fontWeight="bold", **words),
            *symbols(rows, {"x": x, "y": y}),
            layer("text", rows, name | {"x": x}, dx=17, **words),
        ],
    }


def axis_numbers(reader: Reader) -> str:
    """Vega expression that writes the figures of an axis in the reader's language."""
    plain = "format(datum.value, '~f')"
    return f"replace({plain}, '.', ',')" if reader.language == "es" else plain


def small_print(lines: Sequence[str]) -> Spec:
    """What must be said below a picture."""
    return {
        "text": list(lines),
        "orient": "bottom",
        "anchor": "start",
        "fontSize": 12,
        "fontWeight": "normal",
        "offset": 12,
    }


def chart(
    parts: list[Spec], *, title: Sequence[str], subtitle: Sequence[str], reader: Reader
) -> Spec:
    """Panels one below the other under their sentences."""
    axis = {
        "labelFontSize": 14,
        "titleFontSize": 14,
        "labelColor": INK,
        "titleColor": INK,
        "domainColor": INK,
        "tickColor": INK,
        "gridColor": "#c4c4c4",
    }
    return {
        "$schema": _SCHEMA,
        # the menu beside the picture may save it and leads nowhere outside
        "usermeta": {
            "language": reader.language,
            "embedOptions": {
                "actions": {"export": True, "source": False, "compiled": False, "editor": False}
            },
        },
        "description": " ".join([*title, *subtitle]),
        "background": "white",
        "padding": 18,
        "spacing": 10,
        "title": {
            "text": list(title),
            "subtitle": list(subtitle),
            "anchor": "start",
            "fontSize": 21,
            "subtitleFontSize": 14.5,
            "subtitlePadding": 7,
            "offset": 16,
        },
        "vconcat": parts,
        "config": {
            "font": FONT,
            "view": {"stroke": INK},
            "axis": axis,
            "title": {"color": INK, "subtitleColor": INK},
        },
    }
