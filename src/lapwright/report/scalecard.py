"""The scale card on paper: markers, two rulers and a bay for the strip, on letter and A4.

The card has one size on both papers, so that a photo need not know which it was. It is cut
out along its line and may be laminated.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from textwrap import wrap
from xml.sax.saxutils import escape, quoteattr

from lapwright.job.scalecard import (
    BAY_BOTTOM,
    BAY_TOP,
    BITS,
    CELLS,
    CHECK,
    HEIGHT,
    MARKER,
    TILE,
    WIDTH,
    marker_places,
)
from lapwright.report.figures import Reader
from lapwright.report.panels import FONT, INK
from lapwright.units import UnitSystem, from_si

_MM = 96 / 25.4  # units of an SVG in a millimetre
_PAGE: dict[UnitSystem, tuple[float, float]] = {"us": (215.9, 279.4), "metric": (210.0, 297.0)}
_TOP = 18.0  # mm of paper above the card
_ZERO = 4.0  # mm from the card's left edge to the zero of both rulers
_SHADE = "#444444"  # of the bay's pattern
_STEPS = ("#ffffff", "#808080", "#000000")  # white, grey, black to judge the light by
_LONGEST_NUMBER = 12  # signs that fit behind "card no."


def _mm(length: float) -> float:
    return from_si(length, "mm")


def scale_card_svg(reader: Reader, *, number: str = "") -> str:
    """The page to print, in the reader's language; letter for US units, else A4.

    Parameters
    ----------
    reader : Reader
        Language, and with the units the paper.
    number : str
        Printed on the card so that it can be named; a line to write on when empty.

    Returns
    -------
    str
        SVG for :func:`lapwright.report.drawing.save`.

    Examples
    --------
    >>> page = scale_card_svg(Reader(), number="3")
    >>> page.count("<path"), "card no. 3" in page
    (9, True)
    """
    width, height = _PAGE[reader.units]
    title = reader.say("scale_card", "title")
    parts = [*_card(reader, number[:_LONGEST_NUMBER])]
    left = (width - _mm(WIDTH)) / 2
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * _MM:.2f}"'
        f' height="{height * _MM:.2f}" viewBox="0 0 {width} {height}" lang="{reader.language}"'
        f" font-family={quoteattr(FONT)}><title>{escape(title)}</title>"
        f'<rect width="{width}" height="{height}" fill="white"/>'
        f'<g transform="translate({left:.2f} {_TOP})">{"".join(parts)}</g>'
        f"{''.join(_below(reader, left))}</svg>"
    )


def _rect(x: float, y: float, width: float, height: float, style: str) -> str:
    return f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" {style}/>'


def _text(x: float, y: float, words: str, *, size: float, more: str = "") -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size:g}" fill="{INK}"{more}>{escape(words)}</text>'
    )


def _card(reader: Reader, number: str) -> Iterator[str]:
    """Everything inside the cut line."""
    yield _bay()
    yield _rect(0, 0, _mm(WIDTH), _mm(HEIGHT), f'fill="none" stroke="{INK}" stroke-width="0.2"')
    for marker, (x, y) in marker_places().items():
        yield _marker(marker, _mm(x), _mm(y))
    yield from _rulers()
    yield from _said(reader, number)


def _marker(marker: int, x: float, y: float) -> str:
    """White squares in one path, so that no dark hair stands between neighbours."""
    cell = _mm(MARKER) / CELLS
    path = "".join(
        f"M{x + column * cell:g} {y + row * cell:g}h{cell:g}v{cell:g}h{-cell:g}z"
        for row, bits in enumerate(BITS[marker], start=1)
        for column, bit in enumerate(bits, start=1)
        if bit == "1"
    )
    square = _rect(x, y, _mm(MARKER), _mm(MARKER), 'fill="#000000"')
    return f'{square}<path d="{path}" fill="#ffffff"/>'


def _bay() -> str:
    """Dark and white squares in turn as dashed lines, cut at the bay's edges.

    The square of floor(x / tile) and floor(y / tile) is dark when both are even or both odd.
    """
    tile, top, bottom = _mm(TILE), _mm(BAY_TOP), _mm(BAY_BOTTOM)
    lines = "".join(
        f"M{row % 2 * tile:g} {(row + 0.5) * tile:g}H{_mm(WIDTH) + tile:g}"
        for row in range(math.floor(top / tile), math.ceil(bottom / tile))
    )
    return (
        f'<clipPath id="bay"><rect x="0" y="{top:g}" width="{_mm(WIDTH):g}"'
        f' height="{bottom - top:g}"/></clipPath><g clip-path="url(#bay)">'
        f'<path d="{lines}" fill="none" stroke="{_SHADE}"'
        f' stroke-width="{tile:g}" stroke-dasharray="{tile:g}"/></g>'
    )


def _rulers() -> Iterator[str]:
    """Inches above the bay, millimetres below it, both from the same zero."""
    top, bottom, check = _mm(BAY_TOP), _mm(BAY_BOTTOM), round(_mm(CHECK))

    def mark(x: float, y: float, length: float, width: float) -> str:
        return _rect(round(x - width / 2, 4), y if length > 0 else y + length, width,
                     abs(length), f'fill="{INK}"')  # fmt: skip

    for eighth in range(7 * 8 + 1):
        long = 4.0 if eighth % 8 == 0 else 2.6 if eighth % 4 == 0 else 1.6
        x = _ZERO + eighth * 25.4 / 8
        yield mark(x, top - 0.6, -long - (1.5 if eighth in (0, 32) else 0), 0.25)
        if eighth % 8 == 0:
            yield _text(x + 0.8, top - 2.8, f"{eighth // 8}" + (" in" if eighth == 0 else ""),
                        size=3)  # fmt: skip
    for one in range(176):
        long = 4.0 if one % 10 == 0 else 2.6 if one % 5 == 0 else 1.6
        x = _ZERO + one
        yield mark(x, bottom + 0.6, long + (1.5 if one in (0, check) else 0), 0.2)
        if one % 10 == 0:
            yield _text(x + 0.6, bottom + 5.2, f"{one}" + (" mm" if one == 0 else ""), size=2.6)


def _said(reader: Reader, number: str) -> Iterator[str]:
    """Words and grey steps in the gaps between the markers."""
    say = reader.say
    first, second, third = 22.5, 76.5, 130.5
    yield _text(first, 9, say("scale_card", "title"), size=3.2, more=' font-weight="bold"')
    yield _text(first, 14.5, say("scale_card", "number", {"number": number or "______"}), size=3.2)
    for n, step in enumerate(_STEPS):
        style = f'fill="{step}" stroke="{INK}" stroke-width="0.2"'
        yield _rect(second + 11 * n, 6, 11, 11, style)
    yield from _lines(third, 8, say("scale_card", "lay"), letters=21)
    yield from _lines(first, 106.5, say("scale_card", "check"), letters=21)
    yield from _lines(second, 106.5, say("scale_card", "check_not"), letters=21)
    yield from _lines(third, 106.5, say("scale_card", "decides"), letters=21)


def _lines(x: float, y: float, words: str, *, letters: int) -> Iterator[str]:
    for n, line in enumerate(wrap(words, letters)):
        yield _text(x, y + 3.5 * n, line, size=2.8)


def _below(reader: Reader, left: float) -> Iterator[str]:
    """How to print and use it, on the paper below the card."""
    y = _TOP + _mm(HEIGHT) + 12
    for n in range(1, 6):
        for line in wrap(f"{n}  {reader.say('scale_card', f'how_{n}')}", 92):
            yield _text(left, y, line, size=3.6)
            y += 5.4
        y += 1.6
