"""The paper card of a test-weld ladder: one page for pencil and gloves, typed in later.

Small print names the columns of a test-weld file, so that the card is the file on paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from xml.sax.saxutils import escape, quoteattr

from lapwright.errors import OutOfRange
from lapwright.report.figures import Reader
from lapwright.report.panels import FONT, INK
from lapwright.units import FIELD_UNITS, UnitSystem, from_si, to_si

ROWS = 7  # welds on a page; what the rungs leave free is for the set point

_PAGE: dict[UnitSystem, tuple[int, int]] = {  # landscape letter and A4, at 96 per inch
    "us": (1056, 816),
    "metric": (1123, 794),
}
_STRIP_WIDTH: dict[UnitSystem, str] = {"us": "1 in", "metric": "25 mm"}
_DIAL = {"f": 10, "c": 5}  # degrees; rungs are rounded to what a dial offers; our choice
_MARGIN = 30
_HEAD, _BOX, _TITLES, _LINE = 36, 40, 32, 15  # heights
_FAINT = "#666666"
_STRIPS = ("1", "2", "3")
_PULLS = ("cold", "skin", "partial", "full", "break", "split")
_SIGNS = ("smoke", "brown", "glaze", "bubbles", "thinned", "scrim", "stiff")
_LETTER = 0.53  # width of a letter over its size, about


class _Sheet:
    """Shapes and words of one page."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.width, self.height = _PAGE[reader.units]
        self.inner = self.width - 2 * _MARGIN
        self.parts: list[str] = []

    def say(self, code: str) -> str:
        """Words of the card."""
        return self.reader.say("card", code)

    def box(self, x: float, y: float, width: float, height: float, *, line: float = 1) -> None:
        self.parts.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"'
            f' fill="none" stroke="{INK}" stroke-width="{line}"/>'
        )

    def text(
        self, x: float, y: float, words: str, *, size: float, bold: bool = False, ink: str = INK
    ) -> None:
        weight = ' font-weight="bold"' if bold else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}"{weight} fill="{ink}">'
            f"{escape(words)}</text>"
        )

    def lines(self, x: float, y: float, words: str, *, size: float, width: float) -> None:
        """Faint words in as many lines as the width needs."""
        for n, line in enumerate(wrap(words, max(1, int(width / (size * _LETTER))))):
            self.text(x, y + n * size * 1.05, line, size=size, ink=_FAINT)

    def ticks(self, x: float, y: float, choices: str) -> None:
        """Boxes to tick, with a word each."""
        for choice in choices.split("|"):
            self.box(x, y, 15, 15, line=1.3)
            self.text(x + 18, y + 12, choice, size=10.5)
            x += 25 + 10.5 * _LETTER * len(choice)

    def svg(self) -> str:
        """The finished page."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width}" height="{self.height}"'
            f' viewBox="0 0 {self.width} {self.height}" lang="{self.reader.language}"'
            f" font-family={quoteattr(FONT)}>"
            f"<title>{escape(self.say('title'))}</title>"
            f'<rect width="{self.width}" height="{self.height}" fill="white"/>'
            f"{''.join(self.parts)}</svg>"
        )


def card_svg(rungs: Sequence[float], speed: float, reader: Reader) -> str:
    """Card for a ladder of test welds, one row per weld.

    Parameters
    ----------
    rungs : sequence of float
        Air temperatures to weld at, one to seven; printed to the step of a dial. [K]
    speed : float
        Travel speed of all of them. [m/s]
    reader : Reader
        Language, units and with them the paper: letter or A4, landscape.

    Returns
    -------
    str
        SVG for :func:`lapwright.report.drawing.save`.

    Raises
    ------
    OutOfRange
        No rung, or more than a page holds.

    Examples
    --------
    >>> card = card_svg([588.7, 644.3], 0.0508, Reader())
    >>> "600 °F" in card, "700 °F" in card, "measured_air_f" in card
    (True, True, True)
    """
    if not 0 < len(rungs) <= ROWS:
        raise OutOfRange("rungs", len(rungs), above=0, below=ROWS + 1)
    sheet = _Sheet(reader)
    below = _footer_lines(sheet)
    top = _header(sheet)
    bottom = sheet.height - _MARGIN - _LINE * len(below)
    _table(sheet, rungs, speed, top=top, bottom=bottom - 10)
    for n, (line, bold) in enumerate(below):
        sheet.text(_MARGIN, bottom + 6 + _LINE * n, line, size=11, bold=bold)
    return sheet.svg()


def _header(sheet: _Sheet) -> float:
    """Title and conditions; returns where the table may begin."""
    reader, say = sheet.reader, sheet.say
    unit = reader.temperature
    sheet.text(_MARGIN, _MARGIN + 18, say("title"), size=22, bold=True)
    sheet.text(_MARGIN + 22 * 0.68 * len(say("title")), _MARGIN + 17, say("how"), size=11)
    first = (
        ("date", 10, "", ""), ("time", 8, "", ""), ("roof", 20, "", ""),
        ("membrane", 18, "", say("membranes")), ("thickness", 10, "", ""), ("lot", 14, "", ""),
        ("machine", 10, "", ""), ("operator", 16, "", ""),
    )  # fmt: skip
    second = (
        ("ambient", 12, f"ambient_{unit}", ""), ("sheet", 17, f"sheet_{unit}", ""),
        ("sky", 22, "", say("skies")), ("wind", 29, "", say("winds")),
        ("dry", 13, "", say("yes_no")), ("cord", 15, "", ""), ("generator", 10, "", ""),
        ("alone", 13, "", say("yes_no")),
    )  # fmt: skip
    y = float(_MARGIN + _HEAD - 8)
    for row in (first, second):
        share = sheet.inner / sum(weight for _, weight, _, _ in row)
        x = float(_MARGIN)
        for code, weight, column, choices in row:
            sheet.box(x, y, share * weight, _BOX)
            sheet.text(x + 4, y + 11, say(code), size=9.5)
            sheet.text(x + 4, y + _BOX - 4, column, size=8, ink=_FAINT)
            if choices:
                sheet.ticks(x + 5, y + 19, choices)
            x += share * weight
        y += _BOX
    return y + 8


def _table(
    sheet: _Sheet, rungs: Sequence[float], speed: float, *, top: float, bottom: float
) -> None:
    """One row per weld; three lines in it, one per strip; heat signs across all three."""
    reader, say = sheet.reader, sheet.say
    units, unit = FIELD_UNITS[reader.units], reader.temperature
    widths = (34, 98, 88, 68, 58, 26, 6 * 47, 54)  # the heat signs take the rest
    titles = (
        (say("weld"), "weld"), (say("set_air"), f"air_{unit}"),
        (say("measured_air"), f"measured_air_{unit}"), (say("speed"), f"speed_{reader.speed}"),
        (say("volts"), "volts"), (say("strip"), "strip"), (say("pull"), "pull"),
        (say("band"), f"band_{units['width']}"),
        (say("heat"), "overheat"),
    )  # fmt: skip
    starts = [float(_MARGIN)]
    for width in widths:
        starts.append(starts[-1] + width)
    ends = [*starts[1:], float(sheet.width - _MARGIN)]
    for x, end, (title, column) in zip(starts, ends, titles, strict=True):
        sheet.box(x, top, end - x, _TITLES, line=1.6)
        narrow = end - x < 30
        sheet.text(x + 3, top + 13, title, size=8 if narrow else 10.5, bold=not narrow)
        sheet.text(x + 3, top + _TITLES - 5, column, size=8, ink=_FAINT)
    tall = (bottom - top - _TITLES) / ROWS
    for n in range(ROWS):
        y = top + _TITLES + n * tall
        for x, end in zip(starts[:5], ends[:5], strict=True):
            sheet.box(x, y, end - x, tall)
        if n < len(rungs):
            sheet.text(starts[0] + 8, y + 24, f"{n + 1}", size=20, bold=True)
            sheet.text(starts[1] + 5, y + 24, _dial(rungs[n], reader), size=20, bold=True)
            travel, unit_words = reader.write("speed", speed).split()
            sheet.text(starts[3] + 5, y + 24, travel, size=20, bold=True)
            sheet.text(starts[3] + 5, y + 38, unit_words, size=11)
        _strips(sheet, y, tall, starts[5:8], ends[5:8])
        each = (ends[8] - starts[8]) / len(_SIGNS)
        for place, sign in enumerate(_SIGNS):
            x = starts[8] + place * each
            sheet.box(x, y, each, tall)
            sheet.lines(x + 3, y + 9, say(sign), size=8, width=each - 4)
        sheet.box(_MARGIN, y, sheet.inner, tall, line=1.6)


def _strips(
    sheet: _Sheet, y: float, tall: float, starts: Sequence[float], ends: Sequence[float]
) -> None:
    """Three strips of one weld: number, six grades to tick, band."""
    height = tall / len(_STRIPS)
    each = (ends[1] - starts[1]) / len(_PULLS)
    for n, strip in enumerate(_STRIPS):
        at = y + n * height
        sheet.box(starts[0], at, ends[0] - starts[0], height)
        sheet.text(starts[0] + 9, at + height / 2 + 4, strip, size=12, bold=True)
        for column, pull in enumerate(_PULLS):
            x = starts[1] + column * each
            sheet.box(x, at, each, height)
            sheet.text(x + 2, at + 9, sheet.say(pull), size=7.5, ink=_FAINT)
        sheet.box(starts[2], at, ends[2] - starts[2], height)


def _dial(air: float, reader: Reader) -> str:
    step = _DIAL[reader.temperature]
    degrees = step * round(from_si(air, reader.temperature) / step)
    return reader.write("air", to_si(degrees, reader.temperature))


def _footer_lines(sheet: _Sheet) -> list[tuple[str, bool]]:
    """Rules of reading, safety lines and what the card does not prove; bold or not."""
    reader = sheet.reader
    width = {"width": _STRIP_WIDTH[reader.units]}
    rules = [reader.say("card", f"rule_{n}", width) for n in (1, 2, 3, 4)]
    safety = [reader.say("caution", "hot_strips"), reader.say("caution", "fumes")]
    letters = int(sheet.inner / (11 * _LETTER))
    lines = [(line, False) for rule in rules for line in wrap(rule, letters)]
    lines += [("! " + line, True) for line in safety]
    return [*lines, (reader.say("card", "paper"), False)]
