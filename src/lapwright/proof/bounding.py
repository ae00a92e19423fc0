"""Where to cut next so that a doubt is bounded by two passing places, and what that may cost."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from lapwright.proof.strand import Evidence, Place, Strand
from lapwright.proof.suspect import Suspicion
from lapwright.roof.station import FOOT

_HAIR = 1e-6  # m; less than a station is read to
_CUT = 2 * FOOT  # m; less than a cut takes is no room for one; our choice
STEP = 10 * FOOT  # m; a state's file on a lining: cut 10 ft each way until a pass on both sides
COVER = 4.50 / FOOT  # money per m; a consultant's repair of about 10,000 ft for $45,000

Cause = Literal[
    "local",  # one place, or unknown: step out both ways
    "change",  # one change in time (cord, cloud, restart): halve
]
Why = Literal["newest_end", "step_back", "step_on", "halve_back", "halve_on"]


@dataclass(frozen=True)
class BoundingCut:
    """A cut that would bound a doubt.

    Parameters
    ----------
    place : Place
        Seam and station. [m]
    along : float
        The same in the order of welding. [m]
    why : str
        ``newest_end``: nothing was cut yet; back or on in the order of welding, by a step or
        by half.
    """

    place: Place
    along: float
    why: Why


def bounding_cuts(suspicion: Suspicion, strand: Strand, *, cause: Cause) -> tuple[BoundingCut, ...]:
    """The next cut on each side that no passing cut bounds closely enough yet.

    Parameters
    ----------
    suspicion : Suspicion
        The doubt.
    strand : Strand
        Of its chain.
    cause : {"local", "change"}
        What is thought to lie behind it.

    Returns
    -------
    tuple of BoundingCut
        Empty when both sides are bounded within a step, or nothing was welded.

    Notes
    -----
    Halving finds one change in the fewest cuts and is right only where there is one: confirm
    with one more cut on each passing side. After a failed test weld nothing on the roof has
    failed yet: then the newest end is cut first.

    References
    ----------
    Steps of 10 ft until a pass on both sides: a state's file on a lining's repair.
    """
    if not suspicion.spans:
        return ()
    bad = [each for each in suspicion.failed if each.is_cut]
    if not bad:
        return _newest_end(suspicion, strand)
    first, last = min(each.along for each in bad), max(each.past for each in bad)
    sides: list[tuple[float, float, Evidence | None, Why]] = [
        (first, suspicion.start, suspicion.since, "step_back"),
        (last, suspicion.end, suspicion.until, "step_on"),
    ]
    found: list[BoundingCut] = []
    for edge, bound, passed, why in sides:
        gap = abs(edge - bound)
        is_done = gap <= STEP + _HAIR and passed is not None and passed.is_cut
        if is_done or gap < _CUT:
            continue
        back = -1.0 if bound < edge else 1.0
        along = (edge + bound) / 2 if cause == "change" else edge + back * min(STEP, gap)
        if cause == "change":
            why = "halve_back" if why == "step_back" else "halve_on"
        place = strand.place(along)
        if place is not None:
            found.append(BoundingCut(place, along, why))
    return tuple(found)


def _newest_end(suspicion: Suspicion, strand: Strand) -> tuple[BoundingCut, ...]:
    """A foot before the newest end of the doubt, unless it is bounded there by a cut already."""
    is_cut = suspicion.until is not None and suspicion.until.is_cut
    if is_cut or suspicion.end - suspicion.start < _CUT:
        return ()
    along = max(suspicion.end - FOOT, suspicion.start)
    place = strand.place(along)
    return () if place is None else (BoundingCut(place, along, "newest_end"),)


@dataclass(frozen=True)
class Rates:
    """What finding and covering costs on this job; None is not entered and not counted.

    Parameters
    ----------
    cover : float
        Cover strip. [money/m]
    cut : float, optional
        One cut with its patch. [money]
    probe : float, optional
        Probing again. [money/m]
    """

    cover: float = COVER
    cut: float | None = None
    probe: float | None = None


@dataclass(frozen=True)
class Cost:
    """From the least to the most that a doubt may cost.

    Parameters
    ----------
    low, high : float
        Proven bad feet covered after the fewest cuts; all suspect feet covered after the most.
        [money]
    fewest_cuts, most_cuts : int
        Counted in them.
    """

    low: float
    high: float
    fewest_cuts: int
    most_cuts: int


def cost(suspicion: Suspicion, *, cause: Cause, rates: Rates) -> Cost:
    """What a doubt may still cost, as a range.

    Parameters
    ----------
    suspicion : Suspicion
        The doubt.
    cause : {"local", "change"}
        How it would be bounded.
    rates : Rates
        The job's own.

    Examples
    --------
    See :func:`cuts_to_find` for the counts.
    """
    if not suspicion.spans:
        return Cost(0.0, 0.0, 0, 0)
    sides = _sides(suspicion)
    fewest = len(sides)
    most = sum(cuts_to_find(gap, cause=cause) for gap in sides)
    each, probe = rates.cut or 0.0, rates.probe or 0.0
    return Cost(
        low=suspicion.proven_bad * rates.cover + fewest * each,
        high=suspicion.length * (rates.cover + probe) + most * each,
        fewest_cuts=fewest,
        most_cuts=most,
    )


def _sides(suspicion: Suspicion) -> list[float]:
    """Lengths still in doubt on each side of what failed. [m]"""
    bad = [each for each in suspicion.failed if each.is_cut]
    first = min((each.along for each in bad), default=suspicion.end)
    last = max((each.past for each in bad), default=suspicion.end)
    sides = (first - suspicion.start, suspicion.end - last)
    return [gap for gap in sides if gap > STEP + _HAIR]


def cuts_to_find(length: float, *, cause: Cause) -> int:
    """Most cuts that bring a doubt of this length down to one step.

    Parameters
    ----------
    length : float
        In the order of welding. [m]
    cause : {"local", "change"}
        One after the other at every step, or halving.

    Examples
    --------
    >>> feet = 1815 * 0.3048
    >>> cuts_to_find(feet, cause="change"), cuts_to_find(feet, cause="local")
    (8, 181)
    """
    if length <= STEP:
        return 0
    if cause == "change":
        return math.ceil(math.log2(length / STEP))
    return math.ceil(length / STEP) - 1
