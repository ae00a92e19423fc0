"""The ground that drawn strips and looks share: frame, scale, ragged shapes, scrim, crumbs.

Drawings of our own for teaching. No photo stands behind them: they show what the words of the
grades say, in grey, and nothing of any real sheet. They carry no name of what they show.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np

from lapwright.report.figures import Reader
from lapwright.report.panels import FONT, INK

Point = tuple[float, float]
PX = 5.0  # px of a millimetre
WIDTH, HEIGHT = 340.0, 240.0  # px
LEFT, TOP, RIGHT, BOTTOM = 20.0, 42.0, 320.0, 169.0  # px; a strip 25.4 mm wide, 60 mm of it
BAND = (75.0, 265.0)  # px; 38 mm, where the lap is to be fused
SHEET, SHADE, CORE, DARK = "#e9e7e2", "#c9c6bf", "#8f8c86", "#3a3835"
_THREAD = 9.0  # px from thread to thread, about 14 to the inch; our choice
_INCH = 25.4 * PX


@dataclass(frozen=True)
class Drawn:
    """A picture and its words.

    Parameters
    ----------
    svg : str
        The picture, marked as drawn, with a scale.
    says : str
        What is to be seen, for who cannot see it; it names no grade.
    hand : str
        What the hand felt; empty where nothing was pulled.
    """

    svg: str
    says: str
    hand: str


def rectangle(left: float, top: float, right: float, bottom: float, fill: str) -> str:
    """A plain rectangle."""
    return (
        f'<rect x="{left:.1f}" y="{top:.1f}" width="{right - left:.1f}"'
        f' height="{bottom - top:.1f}" fill="{fill}"/>'
    )


def polygon(points: Iterable[Point], *, fill: str, stroke: str = "none") -> str:
    """A closed shape."""
    steps = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polygon points="{steps}" fill="{fill}" stroke="{stroke}" stroke-width="1.5"/>'


def line(points: Sequence[Point], *, stroke: str = INK, width: float = 1.5) -> str:
    """An open line."""
    steps = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polyline points="{steps}" fill="none" stroke="{stroke}" stroke-width="{width}"/>'


def ragged(start: Point, end: Point, rng: np.random.Generator, *, jag: float = 4.0) -> list[Point]:
    """A torn line from start to end."""
    steps = max(3, round(math.dist(start, end) / 8))
    share = np.linspace(0.0, 1.0, steps)
    off = rng.uniform(-jag, jag, (steps, 2)) * ((share > 0) & (share < 1))[:, None]
    at = np.array(start) + share[:, None] * (np.array(end) - np.array(start)) + off
    return [(float(x), float(y)) for x, y in at]


def blob(centre: Point, radius: float, rng: np.random.Generator) -> list[Point]:
    """An island with an uneven shore."""
    turns = np.linspace(0.0, 2 * math.pi, 14, endpoint=False)
    reach = radius * rng.uniform(0.7, 1.2, len(turns))
    return [
        (centre[0] + float(r * math.cos(t)), centre[1] + float(r * math.sin(t)))
        for r, t in zip(reach, turns, strict=True)
    ]


def scrim(shapes: Iterable[Sequence[Point]], rng: np.random.Generator) -> str:
    """Torn film: woven threads seen within shapes, and the torn film around them."""
    outlines = list(shapes)
    name = f"c{rng.integers(10**9)}"
    clip = "".join(polygon(shape, fill="#000") for shape in outlines)
    shores = "".join(polygon(shape, fill="none", stroke=DARK) for shape in outlines)
    grid = [rectangle(LEFT, TOP, RIGHT, BOTTOM, "#a8a49c")]
    grid += [
        line([(x, TOP), (x, BOTTOM)], stroke="#fff", width=3.4)
        for x in np.arange(LEFT, RIGHT, _THREAD)
    ]
    grid += [
        line([(LEFT, y), (RIGHT, y)], stroke=DARK, width=2.6)
        for y in np.arange(TOP + 3, BOTTOM, _THREAD)
    ]
    return (
        f'<clipPath id="{name}">{clip}</clipPath>'
        f'<g clip-path="url(#{name})">{"".join(grid)}</g>{shores}'
    )


def crumbs(
    box: tuple[float, float, float, float], count: int, rng: np.random.Generator, *, fill: str
) -> str:
    """Small crumbs scattered in a box of left, top, right, bottom."""
    left, top, right, bottom = box
    return "".join(
        polygon(
            blob(
                (float(rng.uniform(left, right)), float(rng.uniform(top, bottom))),
                float(rng.uniform(1.5, 4.0)),
                rng,
            ),
            fill=fill,
        )
        for _ in range(count)
    )


def picture(parts: Iterable[str], reader: Reader) -> str:
    """The whole drawing: marked as drawn, with an inch beside it."""
    foot = BOTTOM + 26
    end = LEFT + _INCH
    scale = (
        line([(LEFT, foot - 5), (LEFT, foot + 5)])
        + line([(LEFT, foot), (end, foot)])
        + line([(end, foot - 5), (end, foot + 5)])
    )

    def words(y: float, code: str, more: str = "") -> str:
        said = escape(reader.say("drawn", code))
        return f'<text x="{LEFT:.0f}" y="{y:.0f}" font-size="20"{more}>{said}</text>'

    mark = words(TOP - 18, "mark", ' font-weight="bold"')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}"'
        f' width="{WIDTH:.0f}" height="{HEIGHT:.0f}" lang="{reader.language}"'
        f' font-family="{FONT}" fill="{INK}"><rect width="100%" height="100%" fill="#fff"/>'
        f"{''.join(parts)}{scale}{words(foot + 30, 'scale')}{mark}</svg>"
    )
