"""A photo of a strip on the scale card to the band on it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.band import Band, Sight, check_print, judge_band
from lapwright.job.scalecard import CHECK
from lapwright.readings.photo.card import find_card
from lapwright.readings.photo.edges import rows_of
from lapwright.readings.photo.light import light_of
from lapwright.readings.photo.picture import MOST_BYTES, read_photo
from lapwright.readings.photo.scrim import find_scrim
from lapwright.readings.photo.strip import FlatStrip, find_strip
from lapwright.readings.text import load
from lapwright.units import from_si

_INCHES = 4.0  # of the upper ruler's check line
_END = 0.004  # m; scrim this near to the strip's end may go on beyond it


@dataclass(frozen=True)
class Measured:
    """The band and what it was measured on.

    Parameters
    ----------
    band : Band
        The proposal.
    strip : FlatStrip
        The strip made flat.
    sight : Sight
        How well the photo shows lengths.
    """

    band: Band
    strip: FlatStrip
    sight: Sight


def check_share(inches: float | None, millimetres: float | None) -> float | None:
    """Share of what the card's check line must measure; None when nobody measured.

    Parameters
    ----------
    inches : float, optional
        From 0 to 4 in, by tape.
    millimetres : float, optional
        From 0 to 100 mm, by tape.

    Raises
    ------
    LapwrightError
        ``stated_twice``.

    Examples
    --------
    >>> check_share(None, 97.0), check_share(4.0, None), check_share(None, None)
    (0.97, 1.0, None)
    """
    if inches is not None and millimetres is not None:
        raise LapwrightError("stated_twice", first="check_in", second="check_mm")
    if inches is not None:
        return inches / _INCHES
    return None if millimetres is None else millimetres / from_si(CHECK, "mm")


def measure_band(content: bytes, *, name: str, check: float | None = None) -> Measured:
    """The scrim band on a photo.

    Parameters
    ----------
    content : bytes
        JPEG, PNG or WebP.
    name : str
        Of the file, for what is said about it.
    check : float, optional
        Of the length that the card's check line must have, as measured with a tape.

    Returns
    -------
    Measured

    Raises
    ------
    LapwrightError
        A code that begins with ``band_`` or ``picture_``: the photo is not good enough, and
        what to do; ``photo_extra``: OpenCV is not installed.
    """
    check_print(check)
    photo = read_photo(content, name=name)
    view = find_card(photo)
    light = light_of(photo, view)
    strip = find_strip(photo, view, light)
    scrim = find_scrim(strip, name=name)
    rows = () if scrim is None else rows_of(strip, scrim)
    sight = Sight(view.residue, light.blur, view.distance, len(view.markers))
    try:
        band = judge_band(rows, sight=sight, checked=check is not None)
    except LapwrightError as error:
        raise FileUnreadable(error.code, file=name) from None
    last = strip.length - _END
    if any(run.start < _END or run.end > last for row in band.rows for run in row.runs):
        raise FileUnreadable("band_end", file=name)
    return Measured(band, strip, sight)


def read_band(path: Path, *, check: float | None = None) -> Measured:
    """The scrim band on a photo in a file.

    Raises
    ------
    LapwrightError
        As :func:`measure_band`, and ``file_missing``, ``file_not_read`` and the like.
    """
    return measure_band(load(path, file=str(path), limit=MOST_BYTES), name=str(path), check=check)
