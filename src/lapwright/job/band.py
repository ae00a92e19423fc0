"""Bare scrim seen on a pulled strip to the width of its band, its evenness and the error.

A proposal: the person who holds the strip looks and decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.job.scalecard import CHECK_WITHIN

Evenness = Literal["full", "stripes", "one_edge"]

SURE = 2.0  # standard errors to either side of what is said
PRINTED = 0.003  # of a length: a card whose check line is off by no more than it may be
THICKNESS_UNKNOWN = 0.0004  # m; a strip lies nearer to the camera than the card
END = 0.0002  # m; where a torn edge begins, blur apart; from rendered photos
BLUR_SHARE = 0.5  # of the blur, that an end may be off; from rendered photos
NOTCH = 0.00035  # m; how far the narrowest or widest place may be missed; from rendered photos
COARSE_END = 0.0005  # m; ends within the band are told by threads only
LEAST_RUN = 0.003  # m; less bare scrim is a speck
LEAST_ROWS = 0.35  # of the strip's width: with less, it may be writing or dirt
MOST_ERROR = 0.0015  # m, standard: beyond it, it may be writing, and helps nobody; our choice
APART = 0.010  # m; what lies farther from the band does not belong to it
_SHUT = 0.15  # of the width without scrim: no longer full
_SPLIT = 0.25  # of the width with film left within the band: stripes
_NORMAL_HALF = 1.349  # standard deviations that the middle half of normal luck spans
_PATCH = 0.003  # m across the strip within which ends go together


@dataclass(frozen=True)
class Run:
    """Bare scrim without a break, along the strip. [m]"""

    start: float
    end: float

    @property
    def length(self) -> float:
        """From start to end. [m]"""
        return self.end - self.start


@dataclass(frozen=True)
class Row:
    """All bare scrim at one place across the strip. [m]"""

    across: float
    runs: tuple[Run, ...]


@dataclass(frozen=True)
class Sight:
    """How well the photo shows lengths.

    Parameters
    ----------
    residue : float
        Of the card's markers from where they belong. [m]
    blur : float
        Standard deviation, on the card. [m]
    distance : float
        From the camera to the card, about. [m]
    markers : int
        Seen of the card.
    """

    residue: float
    blur: float
    distance: float
    markers: int


@dataclass(frozen=True)
class Band:
    """What a photo proposes for a strip.

    Parameters
    ----------
    smallest, median, largest : float
        Longest unbroken bare scrim along the strip, at the narrowest place, in the middle of
        all places across and at the widest. Zero where no scrim shows. [m]
    smallest_error, median_error : float
        Standard errors; that of the widest is that of the narrowest. [m]
    share : float
        Of the strip's width, on which scrim shows.
    evenness : {"full", "stripes", "one_edge"} or None
        None where no scrim shows.
    rows : tuple of Row
        What was measured.
    cautions : tuple of Caution
        What the person must know.
    """

    smallest: float
    median: float
    largest: float
    smallest_error: float
    median_error: float
    share: float
    evenness: Evenness | None
    rows: tuple[Row, ...]
    cautions: tuple[Caution, ...]


def check_print(share: float | None) -> None:
    """Refuse a card whose check line does not measure what it must.

    Parameters
    ----------
    share : float, optional
        Of what it must measure; None when nobody measured.

    Raises
    ------
    LapwrightError
        ``band_print``.
    """
    if share is not None and not abs(share - 1) <= CHECK_WITHIN + 1e-9:
        raise LapwrightError("band_print", measured=f"{100 * share:.1f} %")


def judge_band(rows: Sequence[Row], *, sight: Sight, checked: bool) -> Band:
    """Width, evenness and error of the band.

    Parameters
    ----------
    rows : sequence of Row
        Bare scrim at even steps across the strip; empty when there is none.
    sight : Sight
        How well the photo shows lengths.
    checked : bool
        Whether somebody measured the card's check line.

    Returns
    -------
    Band

    Raises
    ------
    LapwrightError
        ``band_unclear``: too little of the width shows scrim for a band, or its ends
        wander so that the width is not known.

    Examples
    --------
    >>> rows = [Row(0.001 * n, (Run(0.05, 0.088 + 0.0001 * (n % 3)),)) for n in range(20)]
    >>> band = judge_band(rows, sight=Sight(3e-5, 1.5e-4, 0.25, 8), checked=True)
    >>> round(band.smallest, 4), round(band.median, 4), band.evenness
    (0.038, 0.0381, 'full')
    >>> round(1000 * band.smallest_error, 2)
    0.48
    """
    own = [_of_the_band(row, _middle(rows)) for row in rows]
    lengths = np.array([max((run.length for run in runs), default=0.0) for runs in own])
    doubts = () if checked else (Caution("band_print_unchecked"),)
    if not lengths.any():
        return Band(0, 0, 0, 0, 0, 0, None, tuple(rows), (*doubts, Caution("band_none")))
    share = float((lengths > 0).mean())
    if share < LEAST_ROWS:
        raise LapwrightError("band_unclear")
    evenness = _evenness(own)
    smallest, median = float(lengths.min()), float(np.median(lengths))
    ends = END**2 + (BLUR_SHARE * sight.blur) ** 2
    if evenness == "stripes":
        ends += COARSE_END**2 / 2  # one of the two ends lies within the band
    shared = 2 * ends + sight.residue**2 + _disagreement(rows, lengths) ** 2
    kept = tuple(Row(row.across, runs) for row, runs in zip(rows, own, strict=True))

    def error(length: float, more: float) -> float:
        scale = np.hypot(PRINTED, THICKNESS_UNKNOWN / sight.distance)
        return float(np.sqrt(shared + (scale * length) ** 2 + more**2))

    median_error = error(median, 0.0)
    if median_error > MOST_ERROR:
        raise LapwrightError("band_unclear")
    return Band(
        smallest,
        median,
        float(lengths.max()),
        error(smallest, NOTCH),
        median_error,
        share,
        evenness,
        kept,
        doubts,
    )


def _middle(rows: Sequence[Row]) -> float:
    """Where the band lies along the strip: middle of the longest runs. [m]"""
    longest = [max(row.runs, key=lambda run: run.length) for row in rows if row.runs]
    longest.sort(key=lambda run: run.start + run.end)
    half = sum(run.length for run in longest) / 2
    for run in longest:
        half -= run.length
        if half <= 0:
            return (run.start + run.end) / 2
    return 0.0


def _of_the_band(row: Row, middle: float) -> tuple[Run, ...]:
    """Runs that belong to the band: those around its middle and what lies near them."""
    runs = [run for run in row.runs if run.length >= LEAST_RUN]

    def gap(run: Run) -> float:
        return max(0.0, run.start - middle, middle - run.end)

    if not runs or gap(min(runs, key=gap)) > APART:
        return ()
    runs.sort(key=gap)
    kept = [runs[0]]
    for run in runs[1:]:
        if min(max(run.start - one.end, one.start - run.end) for one in kept) <= APART:
            kept.append(run)
    return tuple(sorted(kept, key=lambda run: run.start))


def _evenness(own: Sequence[tuple[Run, ...]]) -> Evenness:
    """Whole, split by film, or missing on one side of the strip."""
    shut = np.array([not runs for runs in own])
    split = np.array([len(runs) > 1 for runs in own])
    if shut.mean() >= _SHUT:
        turns = np.count_nonzero(np.diff(shut))
        return "one_edge" if turns == 1 else "stripes"
    return "stripes" if split.mean() >= _SPLIT else "full"


def _disagreement(rows: Sequence[Row], lengths: Any) -> float:
    """How far the middle of all places may be off because they differ. [m]"""
    there = lengths > 0
    if there.sum() < 3:
        return float(np.ptp(lengths[there]))
    x = np.array([row.across for row in rows])[there]
    straight = np.polyval(np.polyfit(x, lengths[there], 1), x)
    patches = max(1.0, float(np.ptp(x)) / _PATCH)
    low, high = np.percentile(lengths[there] - straight, (25, 75))
    return float((high - low) / _NORMAL_HALF / np.sqrt(patches))
