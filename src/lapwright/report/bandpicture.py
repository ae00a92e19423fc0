"""The strip made flat with what was measured drawn on it, so that a person can check it."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.band import Band, Row
from lapwright.report.bandfigures import written, written_error
from lapwright.report.figures import Reader
from lapwright.units import FIELD_UNITS, SYMBOLS, to_si
from lapwright.words import number

_FONT = Path(__file__).parent / "fonts" / "DejaVuSans.ttf"
_WIDE = 1200  # px
_EDGE = 40  # px of paper around the strip
_LETTERS = 26  # px
_INK, _PAPER = (0, 0, 0), (255, 255, 255)
_FORMS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG"}
_RULER = {"in": (0.25, 4), "mm": (5.0, 2)}  # step, and how many make one with a number


def band_picture(colours: Any, length: float, band: Band, reader: Reader) -> Image.Image:
    """The strip with the ends of its scrim, the narrowest place and a ruler.

    Parameters
    ----------
    colours : ndarray, shape (rows, columns, 3)
        The strip made flat.
    length : float
        Of the strip along its columns. [m]
    band : Band
        What was measured on it.
    reader : Reader
        Language and units.

    Returns
    -------
    PIL.Image.Image
    """
    strip = Image.fromarray(np.asarray(colours))
    scale = (_WIDE - 2 * _EDGE) / strip.width
    strip = strip.resize((_WIDE - 2 * _EDGE, round(strip.height * scale)))
    dots = strip.width / length  # px in a metre
    height = strip.height + 2 * _EDGE + 4 * _LETTERS
    page = Image.new("RGB", (_WIDE, height), _PAPER)
    page.paste(strip, (_EDGE, _EDGE))
    pen = ImageDraw.Draw(page)
    _ruler(pen, length, dots, y=_EDGE + strip.height, reader=reader)
    _ends(pen, band.rows, dots)
    line = reader.say("band", "picture_none")
    if band.evenness is not None:
        _narrowest(pen, band.rows, dots)
        line = reader.say("band", "picture", {
            "smallest": written(band.smallest, reader),
            "smallest_error": written_error(band.smallest_error, reader),
        })  # fmt: skip
    font = ImageFont.truetype(str(_FONT), _LETTERS)
    pen.text((_EDGE, height - 2.6 * _LETTERS), line, fill=_INK, font=font)
    pen.text((_EDGE, height - 1.4 * _LETTERS), reader.say("band", "decide"), fill=_INK, font=font)
    return page


def save_picture(picture: Image.Image, path: Path) -> None:
    """Write a picture; the end of the name says in which form.

    Raises
    ------
    LapwrightError
        ``chart_suffix``: another end than .png or .jpg.
    FileUnreadable
        ``cannot_write``.
    """
    form = _FORMS.get(path.suffix.lower())
    if form is None:
        raise LapwrightError("chart_suffix", value=path.suffix, known=", ".join(_FORMS))
    content = io.BytesIO()
    picture.save(content, form, quality=85)
    try:
        path.write_bytes(content.getvalue())
    except OSError as error:
        raise FileUnreadable("cannot_write", file=str(path), reason=str(error.strerror)) from None


def _both(pen: ImageDraw.ImageDraw, line: list[tuple[float, float]], width: int) -> None:
    """Black in white: seen on any sheet."""
    pen.line(line, fill=_PAPER, width=width + 4)
    pen.line(line, fill=_INK, width=width)


def _ends(pen: ImageDraw.ImageDraw, rows: tuple[Row, ...], dots: float) -> None:
    """A tick at each end of each run."""
    half = (rows[1].across - rows[0].across) * dots / 2 if len(rows) > 1 else 4.0
    for row in rows:
        y = _EDGE + row.across * dots
        for run in row.runs:
            for place in (run.start, run.end):
                x = _EDGE + place * dots
                _both(pen, [(x, y - half), (x, y + half)], 2)


def _narrowest(pen: ImageDraw.ImageDraw, rows: tuple[Row, ...], dots: float) -> None:
    """An arrow along the longest run of the narrowest place."""
    place, run = min(
        ((row.across, max(row.runs, key=lambda one: one.length)) for row in rows if row.runs),
        key=lambda pair: pair[1].length,
    )
    y, left, right = (_EDGE + each * dots for each in (place, run.start, run.end))
    _both(pen, [(left, y), (right, y)], 3)
    for tip, way in ((left, 12), (right, -12)):
        _both(pen, [(tip + way, y - 8), (tip, y), (tip + way, y + 8)], 3)


def _ruler(
    pen: ImageDraw.ImageDraw, length: float, dots: float, *, y: float, reader: Reader
) -> None:
    """Marks below the strip."""
    unit = FIELD_UNITS[reader.units]["width"]
    step, numbered = _RULER[unit]
    font = ImageFont.truetype(str(_FONT), 20)
    for n in range(int(length / to_si(step, unit)) + 1):
        x = _EDGE + to_si(step * n, unit) * dots
        is_long = n % numbered == 0
        pen.line([(x, y + 2), (x, y + (16 if is_long else 9))], fill=_INK, width=2)
        if is_long:
            words = number(step * n, 0, reader.language)
            words += f" {SYMBOLS[unit]}" if n == 0 else ""
            pen.text((x - 5, y + 18), words, fill=_INK, font=font)
