"""The look at a hot weld, drawn: the lip from above, one corner pulled back.

Left lies the upper sheet with its lip; the folded corner shows the inside of the lap.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lapwright.report.drawnframe import (
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
    rectangle,
    scrim,
)
from lapwright.report.figures import Reader

_LIP = 210.0  # px; where the upper sheet ends
_DEEP = TOP + 54  # px; how far down the corner was pulled
_CORNER: list[Point] = [(_LIP, TOP), (_LIP - 80, TOP), (_LIP, _DEEP)]  # inside of the lap, bared
_FLAP: list[Point] = [(_LIP - 80, TOP), (_LIP - 102, TOP + 62), (_LIP, _DEEP)]
_Make = Callable[[np.random.Generator], list[str]]


def _inside(fill: str) -> str:
    return polygon(_CORNER, fill=fill, stroke=DARK)


def _clear(rng: np.random.Generator) -> list[str]:
    """White melt drawn out in strings, the lip clean."""
    slope = (_DEEP - TOP) / 80
    strings = [
        line([(x, TOP + float(rng.uniform(1, 5))), (x - 3, TOP + slope * (x - _LIP + 76))],
             stroke=DARK)
        for x in np.arange(_LIP - 62, _LIP - 3, 8.0)
    ]  # fmt: skip
    return [_inside("#fff"), *strings]


def _threads(rng: np.random.Generator) -> list[str]:
    return [scrim([_CORNER], rng)]


def _core(rng: np.random.Generator) -> list[str]:
    pores = crumbs((_LIP - 36, TOP + 4, _LIP - 4, TOP + 24), 18, rng, fill=DARK)
    return [_inside(CORE), pores]


def _glassy(rng: np.random.Generator) -> list[str]:
    shines = [
        polygon([(_LIP - 42, y + 15), (_LIP - 34, y + 17), (_LIP - 6, y + 5), (_LIP - 12, y)],
                fill="#fff")
        for y in np.linspace(_DEEP + 8, BOTTOM - 26, 3) + rng.uniform(-2, 2, 3)
    ]  # fmt: skip
    return [*_clear(rng), rectangle(_LIP - 48, _DEEP, _LIP, BOTTOM, CORE), *shines]


def _burnt(rng: np.random.Generator) -> list[str]:
    patches = [
        polygon(blob((_LIP - float(rng.uniform(12, 30)), float(y)), 10.0, rng), fill="#1d1b19")
        for y in np.linspace(_DEEP + 16, BOTTOM - 14, 3)
    ]
    return [*_clear(rng), rectangle(_LIP - 48, _DEEP, _LIP, BOTTOM, SHADE), *patches]


def _bubbly(rng: np.random.Generator) -> list[str]:
    parts = _clear(rng)
    for y in np.linspace(_DEEP + 12, BOTTOM - 10, 4):
        for x in (_LIP - 40, _LIP - 14):
            radius = float(rng.uniform(4, 7.5))
            at = x + float(rng.uniform(-4, 4))
            parts.append(
                f'<circle cx="{at:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="#fff"'
                f' stroke="{DARK}" stroke-width="1.8"/>'
                f'<circle cx="{at + radius / 3:.1f}" cy="{y + radius / 3:.1f}"'
                f' r="{radius / 3:.1f}" fill="{CORE}"/>'
            )
    return parts


_SEEN: dict[str, _Make] = {
    "clear": _clear,
    "bare_scrim": _threads,
    "grey_core": _core,
    "glaze": _glassy,
    "scorch": _burnt,
    "bubbles": _bubbly,
}
LOOK_SIGNS = tuple(_SEEN)


def drawn_look(sign: str, *, rng: np.random.Generator, reader: Reader) -> Drawn:
    """A hot weld looked at, with one sign of too much heat or none.

    Parameters
    ----------
    sign : str
        One of :data:`LOOK_SIGNS`; ``"clear"`` shows none.
    rng : numpy.random.Generator
        Luck of the drawing.
    reader : Reader
        Language.

    Returns
    -------
    Drawn

    Examples
    --------
    >>> drawn_look("bubbles", rng=np.random.default_rng(1), reader=Reader()).hand
    ''
    """
    ground = [
        rectangle(LEFT, TOP, RIGHT, BOTTOM, "#f7f6f3"),
        rectangle(LEFT, TOP, _LIP, BOTTOM, SHEET),
    ]
    made = _SEEN[sign](rng)
    flap = polygon(_FLAP, fill=SHADE, stroke=DARK)
    lip = line([(_LIP, TOP), (_LIP, BOTTOM)], stroke=DARK, width=3)
    frame = polygon([(LEFT, TOP), (RIGHT, TOP), (RIGHT, BOTTOM), (LEFT, BOTTOM)], fill="none",
                    stroke=DARK)  # fmt: skip
    svg = picture([*ground, *made, flap, lip, frame], reader)
    return Drawn(svg=svg, says=reader.say("drawn", sign), hand="")
