"""Bare scrim on a strip: where its threads make the brightness go up and down.

The band ends where the film was torn, across the strip. Threads that run along the strip
reach to that very edge, so the changes of brightness *across* the strip tell where it is:
they are averaged over several threads across, and hardly at all along.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from lapwright.errors import FileUnreadable
from lapwright.job.band import LEAST_RUN
from lapwright.readings.photo.card import vision
from lapwright.readings.photo.picture import Grey, Mask
from lapwright.readings.photo.strip import DENSITY, FlatStrip

_ALONG = 0.0003  # m, standard deviation: how far along the strip brightness is averaged
_FINEST, _COARSEST = 0.00025, 0.0011  # m: threads lie between these, dust and light outside
_ACROSS = 0.0015  # m: over how much of the width the changes are averaged; about a thread
_THREAD = 0.0025  # m: across a thread that lies across the strip nothing changes
_BURNT = 0.985  # brightness that a camera no longer tells apart
_MOST_BURNT = 0.2  # share of the strip
_CLEAR = 2.2  # how many times stronger scrim must change than film
_NONE = 1.6  # below it nothing on the strip differs from film
_SEEN = 0.012  # change of brightness, as a share, that would show threads; our choice


def _changes(strip: FlatStrip) -> Grey:
    """How much brightness changes across the strip, as a share of itself, at every place."""
    cv2 = vision()
    grey = strip.colours.mean(axis=2, dtype=np.float32) / 255
    log = np.log(grey + 0.02)

    def smooth(values: Grey, along: float, across: float) -> Any:
        return cv2.GaussianBlur(values, (0, 0), sigmaX=along * DENSITY, sigmaY=across * DENSITY,
                                borderType=cv2.BORDER_REFLECT)  # fmt: skip

    threads = smooth(log, _ALONG, _FINEST) - smooth(log, _ALONG, _COARSEST)
    found: Grey = np.sqrt(smooth(threads * threads, _ALONG, _ACROSS))
    return found


def find_scrim(strip: FlatStrip, *, name: str) -> Mask | None:
    """Where scrim is bare on the flat strip; None when it is film all over.

    Raises
    ------
    FileUnreadable
        ``band_glare``, ``band_unclear``.
    """
    if float((strip.colours.min(axis=2) > 255 * _BURNT).mean()) > _MOST_BURNT:
        raise FileUnreadable("band_glare", file=name)
    cv2 = vision()
    found = _changes(strip)
    film, scrim = _two_levels(np.log(found))
    contrast = float(np.exp(scrim - film))
    if contrast < _NONE and np.exp(film) < _SEEN:
        return None
    if contrast < _CLEAR:
        raise FileUnreadable("band_unclear", file=name)
    bare = (np.log(found) > (film + scrim) / 2).astype(np.uint8)
    for step, length in ((cv2.MORPH_CLOSE, _THREAD), (cv2.MORPH_OPEN, LEAST_RUN)):
        line = np.ones((1, round(length * DENSITY)), np.uint8)
        bare = cv2.morphologyEx(bare, step, line, borderType=cv2.BORDER_REPLICATE)
    found_bare: Mask = bare > 0
    return found_bare


def _two_levels(level: Grey) -> tuple[float, float]:
    """Medians of the weaker and the stronger places, parted where both sides differ most."""
    cv2 = vision()
    low, high = np.percentile(level, (0.5, 99.5))
    scaled = np.clip((level - low) / max(high - low, 1e-6), 0, 1)
    cut, _ = cv2.threshold((255 * scaled).astype(np.uint8), 0, 255, cv2.THRESH_OTSU)
    strong = scaled > cut / 255
    if not strong.any() or strong.all():
        return float(np.median(level)), float(np.median(level))
    return float(np.median(level[~strong])), float(np.median(level[strong]))
