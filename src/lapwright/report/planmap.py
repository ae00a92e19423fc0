"""The seam map: sheets, seams and stations with the numbers a crew paints on the deck.

An SVG of our own, large enough that a row holds its number; black on white, and nothing told
apart by colour alone. Levels of a building lie below each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any
from xml.sax.saxutils import escape, quoteattr

import numpy as np
import shapely

from lapwright.job.plan import RoofPlan
from lapwright.report.figures import Reader
from lapwright.report.panels import FONT, INK
from lapwright.report.plantext import in_feet
from lapwright.roof.outline import Corner
from lapwright.roof.plan import AreaPlan
from lapwright.roof.seams import Seam
from lapwright.units import FIELD_UNITS, UnitSystem, from_si, to_si

_ROW, _MOST, _LEAST = 20.0, 6000.0, 900.0  # px; of a row, of the longest and least side; our choice
_MARGIN, _HEAD, _FOOT, _BETWEEN = 70.0, 56.0, 96.0, 50.0  # px
_TICK: dict[UnitSystem, float] = {"us": 50.0, "metric": 20.0}  # between stations; our choice
_HALF, _SOLID = "#e4e4e4", "#b0b0b0"
_MARKS = ("side", "end", "t_joint", "half", "curb", "drain", "pipe", "origin", "tick", "power")


class Canvas:
    """Shapes of one map; a panel at a time is placed by its zero and scale."""

    def __init__(self, reader: Reader, scale: float, width: float, height: float) -> None:
        self.reader, self.scale = reader, scale
        self.width, self.height = width, height
        self.left, self.top = 0.0, 0.0  # of the drawing's zero; y of a drawing grows upwards
        self.parts: list[str] = []

    def at(self, place: Corner) -> Corner:
        """Pixels of a place on the drawing."""
        return self.left + self.scale * place[0], self.top - self.scale * place[1]

    def path(self, shape: Any, style: str) -> None:
        """Outline of any polygon with its holes."""
        steps = []
        for part in shapely.get_parts(shape):
            if part.geom_type != "Polygon":
                continue
            for ring in (part.exterior, *part.interiors):
                points = (self.at((x, y)) for x, y in shapely.get_coordinates(ring)[:-1])
                steps.append("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z")
        if steps:
            self.parts.append(f'<path d="{"".join(steps)}" fill-rule="evenodd" {style}/>')

    def lines(self, pairs: Iterable[tuple[Corner, Corner]], style: str) -> None:
        """Many straight lines of one style."""
        steps = [
            "M{:.1f} {:.1f}L{:.1f} {:.1f}".format(*self.at(start), *self.at(end))
            for start, end in pairs
        ]
        if steps:
            self.parts.append(f'<path d="{"".join(steps)}" fill="none" {style}/>')

    def dot(self, place: Corner, radius: float, style: str) -> None:
        """A round mark."""
        x, y = self.at(place)
        self.parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" {style}/>')

    def words(
        self, pixel: Corner, words: str, *, size: float, turn: float = 0.0, anchor: str = "middle",
        bold: bool = False,
    ) -> None:  # fmt: skip
        """Text at a pixel, turned clockwise by degrees, with white behind it."""
        x, y = pixel
        turned = f' transform="rotate({turn:.1f} {x:.1f} {y:.1f})"' if turn else ""
        weight = ' font-weight="bold"' if bold else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:.1f}" text-anchor="{anchor}"'
            f' dominant-baseline="central"{weight}{turned}>{escape(words)}</text>'
        )

    def svg(self, title: str) -> str:
        """The whole map."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width:.0f}"'
            f' height="{self.height:.0f}" viewBox="0 0 {self.width:.0f} {self.height:.0f}"'
            f' lang="{self.reader.language}" font-family={quoteattr(FONT)} fill="{INK}"'
            f' role="img"><title>{escape(title)}</title>'
            f'<rect width="100%" height="100%" fill="white"/>{"".join(self.parts)}</svg>'
        )


def plan_svg(plan: RoofPlan, reader: Reader) -> str:
    """The seam map of a roof.

    Parameters
    ----------
    plan : RoofPlan
        All areas.
    reader : Reader
        Language and units.

    Returns
    -------
    str
        SVG for :func:`lapwright.report.drawing.save`.

    Examples
    --------
    >>> from lapwright.job.plan import Crew, plan_roof
    >>> from lapwright.roof.layout import Layout
    >>> from lapwright.roof.outline import outline, ring
    >>> roof = outline("A", ring([(0, 0), (40, 0), (40, 10), (0, 10)], name="A"))
    >>> layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
    >>> drawn = plan_svg(plan_roof([roof], [layout], crew=Crew()), Reader())
    >>> "S003" in drawn, "E001-1" in drawn, "001-2" in drawn
    (True, True, True)
    """
    levels: dict[str, list[tuple[AreaPlan, tuple[Corner, ...]]]] = {}
    for area, places in zip(plan.areas, plan.places, strict=True):
        levels.setdefault(area.outline.level, []).append((area, places))
    bounds = {
        level: shapely.total_bounds([area.outline.edge for area, _ in within])
        for level, within in levels.items()
    }
    wide = max(box[2] - box[0] for box in bounds.values())
    tall = sum(box[3] - box[1] for box in bounds.values())
    pitch = min(area.layout.half_width for area in plan.areas)
    scale = min(max(_ROW / pitch, _LEAST / max(wide, tall)), _MOST / max(wide, tall))
    height = _HEAD + scale * tall + _FOOT + len(levels) * (_BETWEEN + _MARGIN)
    drawn = Canvas(reader, scale, max(scale * wide + 2 * _MARGIN, _LEAST), height)
    title = _title(drawn, plan)
    top = _HEAD
    for level, within in levels.items():
        box = bounds[level]
        drawn.left = _MARGIN - scale * box[0]
        drawn.top = top + _BETWEEN + scale * box[3]
        if level:
            drawn.words((_MARGIN, top + 14), level, size=16, anchor="start", bold=True)
        for area, places in within:
            _area(drawn, area, places)
        top += scale * (box[3] - box[1]) + _BETWEEN + _MARGIN
    _legend(drawn, top + 10)
    return drawn.svg(title)


def _title(drawn: Canvas, plan: RoofPlan) -> str:
    total, reader = plan.total, drawn.reader
    title = reader.say("plan", "map_title")
    drawn.words((_MARGIN, 26), title, size=20, anchor="start", bold=True)
    sizes = {"seam": total.seam_length, "joints": total.t_joints,
             "sheets": total.sheets + total.half_sheets}  # fmt: skip
    sums = reader.say("plan", "map_sums", sizes)
    drawn.words((_MARGIN, 48), sums, size=12, anchor="start")
    return title


def _area(drawn: Canvas, area: AreaPlan, places: Iterable[Corner]) -> None:
    for sheet in area.sheets:
        fill = _HALF if sheet.is_half else "white"
        drawn.path(sheet.shape, f'fill="{fill}" stroke="none"')
    drawn.path(area.outline.edge, f'fill="none" stroke="{INK}" stroke-width="3"')
    _openings(drawn, area)
    sides = [seam for seam in area.seams if seam.kind == "side"]
    ends = [seam for seam in area.seams if seam.kind == "end"]
    drawn.lines(_stretches(sides), f'stroke="{INK}" stroke-width="1.6"')
    drawn.lines(_stretches(ends), f'stroke="{INK}" stroke-width="1.2" stroke-dasharray="4 2"')
    drawn.lines(_ticks(drawn, sides), f'stroke="{INK}" stroke-width="1"')
    for joint in area.t_joints:
        solid = "white" if joint.is_at_detail else INK
        drawn.dot(joint.place, 2.6, f'fill="{solid}" stroke="{INK}"')
    _numbers(drawn, area, sides, ends)
    for place in places:
        x, y = drawn.at(place)
        drawn.dot(place, 9, f'fill="white" stroke="{INK}" stroke-width="2"')
        drawn.words((x, y), "G", size=11, bold=True)


def _openings(drawn: Canvas, area: AreaPlan) -> None:
    for detail in area.details[1:]:
        solid = _SOLID if detail.is_cut else "white"
        drawn.path(detail.shape, f'fill="{solid}" stroke="{INK}" stroke-width="1.4"')
        centre = detail.shape.centroid
        x, y = drawn.at((centre.x, centre.y))
        if detail.kind == "drain":
            drawn.parts.append(f'<path d="M{x - 5:.1f} {y:.1f}h10M{x:.1f} {y - 5:.1f}v10"'
                               f' stroke="{INK}"/>')  # fmt: skip
        drawn.words((x + 8, y - 8), _bare(detail.id), size=8, anchor="start", bold=True)


def _stretches(seams: Iterable[Seam]) -> Iterable[tuple[Corner, Corner]]:
    return ((seam.at(span.start), seam.at(span.end)) for seam in seams for span in seam.spans)


def _ticks(drawn: Canvas, sides: Iterable[Seam]) -> Iterable[tuple[Corner, Corner]]:
    """Short marks across a side lap at every whole station of the reader."""
    unit = FIELD_UNITS[drawn.reader.units]["length"]
    step = to_si(_TICK[drawn.reader.units], unit)
    half = 3.0 / drawn.scale
    for seam in sides:
        across = (-seam.heading[1] * half, seam.heading[0] * half)
        for station in np.arange(0.0, seam.spans[-1].end, step).tolist():
            if any(span.has(station) for span in seam.spans):
                x, y = seam.at(station)
                yield (x - across[0], y - across[1]), (x + across[0], y + across[1])


def _bare(name: str) -> str:
    """An id without its area, which the map says once."""
    return name.partition("-")[2]


def _numbers(drawn: Canvas, area: AreaPlan, sides: list[Seam], ends: list[Seam]) -> None:
    """Sheets in their middle, seams at their origin end, stations along the first side lap."""
    turn = -math.degrees(math.remainder(area.run, math.pi))  # never upside down
    size = min(12.0, 0.55 * drawn.scale * area.layout.half_width)
    for sheet in area.sheets:
        if not sheet.shape.is_empty:
            point = shapely.point_on_surface(sheet.shape)
            drawn.words(drawn.at((point.x, point.y)), _bare(sheet.id), size=size, turn=turn,
                        bold=True)  # fmt: skip
    is_flipped = math.cos(math.remainder(area.run, 2 * math.pi)) < -1e-9
    for seam in sides:
        before = seam.at(-6.0 / drawn.scale)
        anchor = "start" if is_flipped else "end"
        drawn.words(drawn.at(before), f"{_bare(seam.id)} 0", size=min(9.0, size), turn=turn,
                    anchor=anchor)  # fmt: skip
    for seam in ends:
        middle = seam.spans[0]
        x, y = seam.at((middle.start + middle.end) / 2)
        aside = drawn.at((x + 5.0 / drawn.scale * seam.heading[1],
                          y - 5.0 / drawn.scale * seam.heading[0]))  # fmt: skip
        drawn.words(aside, _bare(seam.id), size=min(6.5, size), turn=turn - 90)
    if sides:
        _stations(drawn, sides[0], area.sheets[0].width, turn)
    corner = shapely.get_coordinates(area.outline.edge.exterior)[0]
    x, y = drawn.at((float(corner[0]), float(corner[1])))
    drawn.words((x - 14, y + 14), area.outline.area, size=20, bold=True)


def _stations(drawn: Canvas, seam: Seam, width: float, turn: float) -> None:
    """Stations of the first side lap, outside the roof beyond the first row."""
    unit = FIELD_UNITS[drawn.reader.units]["length"]
    outside = width + 10.0 / drawn.scale
    below = (outside * seam.heading[1], -outside * seam.heading[0])
    step = _TICK[drawn.reader.units]
    for station in np.arange(0.0, from_si(seam.spans[-1].end, unit), step).tolist():
        x, y = seam.at(to_si(station, unit))
        place = drawn.at((x + below[0], y + below[1]))
        drawn.words(place, f"{station:.0f}", size=8, turn=turn)


def _legend(drawn: Canvas, top: float) -> None:
    reader = drawn.reader
    step = in_feet(to_si(_TICK[reader.units], FIELD_UNITS[reader.units]["length"]), reader)
    words = [reader.say("plan", f"map_{mark}", {"step": step}) for mark in _MARKS]
    x, y = _MARGIN, top
    for mark, said in zip(_MARKS, words, strict=True):
        if x + 46 + 6.4 * len(said) > drawn.width - _MARGIN / 2:
            x, y = _MARGIN, y + 20
        drawn.parts.append(_mark(mark, x, y))
        drawn.words((x + 30, y), said, size=11, anchor="start")
        x += 46 + 6.4 * len(said)
    drawn.words((_MARGIN, y + 22), reader.say("plan", "map_small"), size=10, anchor="start")


def _mark(mark: str, x: float, y: float) -> str:
    """A sample of a sign, 24 px wide."""
    line, ink = f'<path d="M{x} {y}h24" fill="none"', f'stroke="{INK}"'
    middle = x + 12
    box = f'<rect x="{x + 4}" y="{y - 6}" width="16" height="12" {ink}'
    disc = f'<circle cx="{middle}" cy="{y}" {ink}'
    signs = {
        "side": f'{line} {ink} stroke-width="1.6"/>',
        "end": f'{line} {ink} stroke-width="1.2" stroke-dasharray="4 2"/>',
        "t_joint": f'{disc} r="2.6" fill="{INK}"/>',
        "half": f'{box} fill="{_HALF}"/>',
        "curb": f'{box} fill="{_SOLID}"/>',
        "drain": f'{disc} r="5" fill="white"/><path d="M{middle - 5} {y}h10M{middle} {y - 5}v10"'
        f" {ink}/>",
        "pipe": f'{disc} r="5" fill="white"/>',
        "origin": f'<text x="{middle}" y="{y}" font-size="9" text-anchor="middle"'
        ' dominant-baseline="central">S001 0</text>',
        "tick": f'<path d="M{x} {y}h24M{middle} {y - 4}v8" fill="none" {ink}/>',
        "power": f'{disc} r="8" fill="white" stroke-width="2"/><text x="{middle}" y="{y}"'
        ' font-size="11" text-anchor="middle" dominant-baseline="central">G</text>',
    }
    return signs[mark]
