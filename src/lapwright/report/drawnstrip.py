"""Pulled strips, drawn: the opened face of the lower sheet, seen from above.

The lip is at the right; dotted lines mark the band that is to be fused.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lapwright.report.drawnframe import (
    BAND,
    BOTTOM,
    CORE,
    DARK,
    LEFT,
    RIGHT,
    SHADE,
    SHEET,
    TOP,
    Drawn,
    Point,
    blob,
    crumbs,
    line,
    picture,
    polygon,
    ragged,
    rectangle,
    scrim,
)
from lapwright.report.figures import Reader

Parts = tuple[list[str], str]  # what is drawn on the sheet, and which words go with it
_Make = Callable[[np.random.Generator], Parts]
_MIDDLE = (TOP + BOTTOM) / 2


def _shiny(rng: np.random.Generator) -> Parts:
    low, high = BOTTOM - 14, TOP + 14
    shines = [
        polygon([(x, low), (x + 7, low), (x + 42, high), (x + 35, high)], fill="#fff", stroke=SHADE)
        for x in rng.uniform(BAND[0] + 10, BAND[1] - 45, 4)
    ]
    return [_smooth(), *shines], "cold"


def _smooth() -> str:
    return rectangle(BAND[0], TOP, BAND[1], BOTTOM, "#f7f6f3")


def _dull(rng: np.random.Generator) -> Parts:
    parts = [rectangle(BAND[0], TOP, BAND[1], BOTTOM, "#d5d2cb")]
    for _ in range(160):
        x, y = float(rng.uniform(*BAND)), float(rng.uniform(TOP + 2, BOTTOM - 2))
        parts.append(line([(x, y), (x + 2.5, y + 1)], stroke=CORE, width=1.2))
    edge = ragged((BAND[1] - 4, TOP + 8), (BAND[1] - 4, BOTTOM - 8), rng, jag=5)
    parts.append(polygon([*edge, (BAND[1] + 14, BOTTOM - 16), (BAND[1] + 14, TOP + 16)],
                         fill="#fff", stroke=DARK))  # fmt: skip
    return parts, "skin"


def _islands(rng: np.random.Generator) -> Parts:
    columns = np.linspace(BAND[0] + 26, BAND[1] - 26, 4)
    shapes = [
        blob((float(x), float(_MIDDLE + rng.uniform(-38, 38))), float(rng.uniform(13, 21)), rng)
        for x in columns
    ]
    return [_smooth(), scrim(shapes, rng)], "islands"


def _stripes(rng: np.random.Generator) -> Parts:
    shapes = []
    for y in (TOP + 22, BOTTOM - 26):
        half = float(rng.uniform(9, 14))
        upper = ragged((BAND[0], y - half), (BAND[1], y - half), rng, jag=3)
        shapes.append(upper + ragged((BAND[1], y + half), (BAND[0], y + half), rng, jag=3))
    return [_smooth(), scrim(shapes, rng)], "stripes"


def _one_edge(rng: np.random.Generator) -> Parts:
    reach = float(rng.uniform(50, 80))
    left, right = (BAND[0], BAND[0] + reach) if rng.random() < 0.5 else (BAND[1] - reach, BAND[1])
    shape = ragged((left, TOP), (right, TOP), rng, jag=0) + ragged(
        (right, TOP), (right, BOTTOM), rng
    )
    return [_smooth(), scrim([[*shape, (left, BOTTOM)]], rng)], "one_edge"


def _even(rng: np.random.Generator) -> Parts:
    left = ragged((BAND[0], BOTTOM), (BAND[0], TOP), rng, jag=3)
    right = ragged((BAND[1], TOP), (BAND[1], BOTTOM), rng, jag=3)
    return [scrim([left + right], rng)], "full"


def _torn(rng: np.random.Generator) -> Parts:
    """The upper sheet, still shut over the band, tore off at its left."""
    at = float(rng.uniform(BAND[0] - 24, BAND[0] - 14))
    edge = ragged((at, BOTTOM), (at, TOP), rng, jag=6)
    parts = [polygon([*edge, (BAND[1] + 10, TOP), (BAND[1] + 10, BOTTOM)], fill=SHADE, stroke=DARK)]
    for x, y in edge[1:-1]:
        parts.append(line([(x, y), (x - float(rng.uniform(4, 14)), y + 2)], stroke=DARK, width=2))
    parts.append(line([(BAND[1] + 10, TOP), (BAND[1] + 10, BOTTOM)], stroke=DARK, width=3))
    return parts, "break"


def _crumbled(rng: np.random.Generator) -> Parts:
    parts = [rectangle(BAND[0], TOP, BAND[1], BOTTOM, CORE)]
    for y in np.arange(TOP + 8, BOTTOM, 18):
        loose: list[Point] = [
            (float(x), float(y + rng.uniform(-5, 5))) for x in np.linspace(BAND[0], BAND[1], 9)
        ]
        parts.append(line(loose, stroke="#fff", width=2.2))
    parts.append(crumbs((BAND[0], TOP + 4, BAND[1], BOTTOM - 4), 60, rng, fill=DARK))
    parts.append(crumbs((LEFT + 5, TOP + 6, BAND[0], BOTTOM - 6), 14, rng, fill=CORE))
    return parts, "split"


_KINDS: dict[str, tuple[_Make, ...]] = {
    "cold": (_shiny,),
    "skin": (_dull,),
    "partial": (_islands, _stripes, _one_edge),
    "full": (_even,),
    "break": (_torn,),
    "split": (_crumbled,),
}
STRIP_GRADES = tuple(_KINDS)


def drawn_strip(grade: str, *, rng: np.random.Generator, reader: Reader) -> Drawn:
    """A strip of one pull grade, no two alike.

    Parameters
    ----------
    grade : str
        One of :data:`STRIP_GRADES`.
    rng : numpy.random.Generator
        Luck of the drawing.
    reader : Reader
        Language.

    Returns
    -------
    Drawn

    Examples
    --------
    >>> drawn = drawn_strip("cold", rng=np.random.default_rng(1), reader=Reader())
    >>> drawn.says
    'Smooth, shiny face over the whole band. No scrim shows.'
    """
    kinds = _KINDS[grade]
    made, seen = kinds[int(rng.integers(len(kinds)))](rng)
    marks = [
        f'<path d="M{x:.0f} {TOP - 8:.0f}V{BOTTOM + 8:.0f}" stroke="{DARK}"'
        f' stroke-width="1.5" stroke-dasharray="3 4"/>'
        for x in BAND
    ]
    sheet = rectangle(LEFT, TOP, RIGHT, BOTTOM, SHEET)
    frame = polygon([(LEFT, TOP), (RIGHT, TOP), (RIGHT, BOTTOM), (LEFT, BOTTOM)], fill="none",
                    stroke=DARK)  # fmt: skip
    return Drawn(
        svg=picture([sheet, *made, frame, *marks], reader),
        says=reader.say("drawn", seen),
        hand=reader.say("hand", grade),
    )
