"""Whether a photo is sharp and bright enough, judged by what is printed on the card."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lapwright.errors import FileUnreadable
from lapwright.job.scalecard import MARKER, marker_places
from lapwright.readings.photo.card import View, flat
from lapwright.readings.photo.picture import Grey, Photo

MOST_BLUR = 0.0006  # m, standard deviation; threads 1 mm wide then lose most of their contrast
DARKEST_WHITE = 0.25  # brightness of the card's paper, 0 to 1; our choice
_DENSITY = 20_000.0  # px/m
_REACH = 0.0014  # m to either side of a marker's edge; its border is 2 mm wide
_EDGE_PARTS = (0.2, 0.8)  # of an edge, away from the corners


@dataclass(frozen=True)
class Light:
    """How sharp and bright the card is.

    Parameters
    ----------
    blur : float
        Standard deviation of the blur, on the card. [m]
    white, black : float
        Brightness of paper and ink, 0 to 1.
    """

    blur: float
    white: float
    black: float


def light_of(photo: Photo, view: View) -> Light:
    """Sharpness and brightness by the edges of the markers.

    Raises
    ------
    FileUnreadable
        ``band_dark``, ``band_blurred``.
    """
    edges = np.array([edge for marker in view.markers for edge in _edges(photo, view, marker)])
    white, black = float(np.median(edges[:, -1])), float(np.median(edges[:, 0]))
    if white < DARKEST_WHITE or white - black < DARKEST_WHITE / 2:
        raise FileUnreadable("band_dark", file=photo.name)
    blur = float(np.median([_spread(edge) for edge in edges]))
    if blur > MOST_BLUR:
        raise FileUnreadable("band_blurred", file=photo.name)
    return Light(blur, white, black)


def _edges(photo: Photo, view: View, marker: int) -> list[Grey]:
    """Mean brightness across each side of a marker, from inside to outside."""
    left, top = marker_places()[marker]
    box = (left - _REACH, top - _REACH, left + MARKER + _REACH, top + MARKER + _REACH)
    square = flat(photo, view, box=box, density=_DENSITY).mean(axis=2) / 255
    low, high = (int(len(square) * part) for part in _EDGE_PARTS)
    deep = 2 * round(_REACH * _DENSITY)
    sides = (
        square[:deep, low:high].mean(axis=1)[::-1],
        square[-deep:, low:high].mean(axis=1),
        square[low:high, :deep].mean(axis=0)[::-1],
        square[low:high, -deep:].mean(axis=0),
    )
    return [side.astype(np.float32) for side in sides]


def _spread(edge: Grey) -> float:
    """Standard deviation of the blur from the way between 16 % and 84 % of an edge. [m]"""
    low, high = edge[:8].mean(), edge[-8:].mean()
    if high - low < 0.05:
        return np.inf
    rising = np.maximum.accumulate((edge - low) / (high - low))
    places = np.interp((0.1587, 0.8413), rising, np.arange(len(rising)))
    return float(np.diff(places)[0] / 2 / _DENSITY)
