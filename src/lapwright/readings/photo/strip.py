"""The strip in the bay: it lies where the bay's pattern is missing, whatever its colour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lapwright.errors import FileUnreadable
from lapwright.job.scalecard import BAY_BOTTOM, BAY_TOP, TILE, WIDTH
from lapwright.readings.photo.card import View, flat, vision
from lapwright.readings.photo.light import Light
from lapwright.readings.photo.picture import Colours, Grey, Mask, Photo

THICKNESS = 0.0013  # m of a strip; sheets of 45 to 80 mil are 1.1 to 2.0 mm thick
DENSITY = 10_000.0  # px/m of the strip made flat
FRAY = 0.0015  # m from the cut sides: fibres, shadow, a glimpse of the bay; left out
NARROWEST, SHORTEST = 0.012, 0.05  # m
MOST_SKEW = 20.0  # degrees from the bay's length
_COARSE = 5000.0  # px/m to look for it
_WINDOW = 0.0022  # m, standard deviation of the window in which the pattern is looked for
_MATCH = 0.55  # correlation with the pattern, above which nothing lies there
_OFF = 0.002  # m; a side farther from its line is a finger, not the strip
_BARE = 0.12  # brightness that the pattern moves by where it is in plain sight, at least

Line = tuple[float, float]  # y = first + second x, in m from the bay's corner


@dataclass(frozen=True)
class FlatStrip:
    """The strip, made flat, its length along the rows.

    Parameters
    ----------
    colours : ndarray
        At :data:`DENSITY`.
    width, length : float
        Of the part that lies free in the bay. [m]
    """

    colours: Colours
    width: float
    length: float


def find_strip(photo: Photo, view: View, light: Light) -> FlatStrip:
    """The strip in the bay.

    Raises
    ------
    FileUnreadable
        ``band_no_strip``, ``band_skewed``, ``band_strip_size``.
    """
    covered = _covered(photo, view, light)
    upper, lower, first, last = _sides(covered, photo.name)
    skew = float(np.arctan((upper[1] + lower[1]) / 2))
    if abs(np.degrees(skew)) > MOST_SKEW:
        raise FileUnreadable("band_skewed", file=photo.name)
    middle = (first + last) / 2
    width = float(np.cos(skew) * (lower[0] - upper[0] + (lower[1] - upper[1]) * middle))
    length = float((last - first) / np.cos(skew))
    if width < NARROWEST or length < SHORTEST:
        raise FileUnreadable("band_strip_size", file=photo.name)
    width -= 2 * FRAY
    centre = ((upper[0] + lower[0]) + (upper[1] + lower[1]) * first) / 2
    corner = (
        float(first + np.sin(skew) * width / 2),
        float(BAY_TOP + centre - np.cos(skew) * width / 2),
    )
    colours = _straightened(photo, view, corner, skew, (length, width))
    return FlatStrip(colours, width, length)


def _pattern(rows: int, columns: int) -> Grey:
    """The bay as printed: -1 dark, 1 white."""
    x = (np.arange(columns) + 0.5) / _COARSE
    y = BAY_TOP + (np.arange(rows) + 0.5) / _COARSE
    sums = np.floor(x / TILE)[None, :] + np.floor(y / TILE)[:, None]
    return np.where(sums % 2 == 0, -1.0, 1.0).astype(np.float32)


def _covered(photo: Photo, view: View, light: Light) -> Mask:
    """Where the bay's pattern cannot be seen."""
    cv2 = vision()
    bay = flat(photo, view, box=(0, BAY_TOP, WIDTH, BAY_BOTTOM), density=_COARSE)
    seen = bay.mean(axis=2, dtype=np.float32) / 255
    sigma = max(light.blur * _COARSE, 0.6)
    printed = cv2.GaussianBlur(_pattern(*bay.shape[:2]), (0, 0), sigma)

    def smooth(values: Grey) -> Any:
        return cv2.GaussianBlur(values, (0, 0), _WINDOW * _COARSE, borderType=cv2.BORDER_REPLICATE)

    seen_mean, printed_mean = smooth(seen), smooth(printed)
    both = smooth(seen * printed) - seen_mean * printed_mean
    own = np.maximum(smooth(seen * seen) - seen_mean**2, 1e-7)
    ideal = np.maximum(smooth(printed * printed) - printed_mean**2, 1e-7)
    match = both / np.sqrt(own * ideal)
    bare: Mask = (match > _MATCH) & (np.sqrt(own) > _BARE * (light.white - light.black) / 2)
    return ~bare


def _sides(covered: Mask, name: str) -> tuple[Line, Line, float, float]:
    """Upper and lower side as lines, and from where to where they hold. [m]"""
    cv2 = vision()
    count, labels, stats, _ = cv2.connectedComponentsWithStats(covered.astype(np.uint8))
    if count < 2:
        raise FileUnreadable("band_no_strip", file=name)
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    strip = labels == largest
    columns = np.flatnonzero(strip.any(axis=0))
    tops = strip.argmax(axis=0)[columns]
    bottoms = len(strip) - strip[::-1].argmax(axis=0)[columns]
    x = (columns + 0.5) / _COARSE
    if len(x) < SHORTEST * _COARSE:
        raise FileUnreadable("band_no_strip", file=name)
    inner = slice(len(x) // 8, -(len(x) // 8))
    upper, lower = (_line(x[inner], side[inner] / _COARSE) for side in (tops, bottoms))
    holds = np.ones(len(x), bool)
    for side, line in ((tops, upper), (bottoms, lower)):
        holds &= np.abs(side / _COARSE - line[0] - line[1] * x) < _OFF
    runs = np.split(
        np.arange(len(x)), np.flatnonzero(~holds | (np.diff(columns, prepend=columns[0]) > 1))
    )
    longest = max(runs, key=len)
    longest = longest[holds[longest]]
    if len(longest) < SHORTEST * _COARSE / 2:
        raise FileUnreadable("band_no_strip", file=name)
    return upper, lower, float(x[longest[0]]), float(x[longest[-1]])


def _line(x: Any, y: Any) -> Line:
    """A line that a few outliers do not move: median of slopes, then of heights."""
    half = len(x) // 2
    slope = float(np.median((y[-half:] - y[:half]) / (x[-half:] - x[:half])))
    return float(np.median(y - slope * x)), slope


def _straightened(
    photo: Photo, view: View, corner: tuple[float, float], skew: float, size: tuple[float, float]
) -> Colours:
    """The strip's upper face from straight above; it lies higher than the card."""
    cv2 = vision()
    columns, rows = (round(side * DENSITY) for side in size)
    along, across = np.meshgrid(
        (np.arange(columns) + 0.5) / DENSITY, (np.arange(rows) + 0.5) / DENSITY
    )
    cos, sin = np.cos(skew), np.sin(skew)
    card = np.stack(
        [corner[0] + along * cos - across * sin, corner[1] + along * sin + across * cos], axis=-1
    )
    points = view.raised(THICKNESS).place(card.reshape(-1, 2))
    maps = points.astype(np.float32).reshape(rows, columns, 2)
    found: Colours = cv2.remap(photo.colours, maps, None, cv2.INTER_LINEAR)
    return found
