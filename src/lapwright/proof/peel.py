"""One strip pulled by a force gauge: first peak, average after it, median of peaks, energy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.proof.peaks import Method, Peaks, find_method, noise_of, rise_of

BOND_LENGTH = 0.127  # m; 5 in of bond after the first peak: ASTM D1876, seen in summaries of it
JAWS_PER_BOND = 2.0  # the jaws move twice the length that comes apart; geometry of a T-peel
FIRST_PEAK = 0.3  # of the greatest force: smaller peaks before it are slack; our choice
OVER = 0.1  # of the greatest force: below it the strip has come apart; our choice
LEAST_SAMPLES = 20  # our choice
STRONGEST, WEAKEST = 1e5, 20.0  # N/m; no roof sheet pulls harder, no gauge reads less; our choice
NOISY = 0.05  # of the average; our choice
NOT_ZEROED = 0.05  # of the greatest force; our choice
RATE_OFF = 1.25  # times; the jaws start and stop; our choice
_FLAT = 5  # samples at the very top that show a gauge at its end; our choice
_FALL, _AGAIN = (
    0.3,
    0.7,
)  # slip: falls to this share at once, climbs to that share again; our choice
_AT_ONCE = 0.03  # of the travel: a sudden fall, and a while without climbing; our choice
_EVEN = 2000  # readings along the travel that a slip is looked for in

Grade = Literal["cold", "skin", "partial", "full", "break", "split", "invalid"]
Values = NDArray[np.float64]


@dataclass(frozen=True)
class PeelTrace:
    """What the gauge wrote of one strip.

    Parameters
    ----------
    name : str
        Of the strip.
    travel : tuple of float
        Of the jaws. [m]
    force : tuple of float
        As many. [N]
    width : float
        Of the strip. [m]
    rate : float, optional
        Speed of the jaws, as stated. [m/s]
    clock : tuple of float
        Seconds, as many as the forces; empty without a clock. [s]
    grade : str, optional
        Where it came apart, as somebody saw it; None where nobody looked.
    """

    name: str
    travel: tuple[float, ...]
    force: tuple[float, ...]
    width: float
    rate: float | None = None
    clock: tuple[float, ...] = ()
    grade: Grade | None = None


@dataclass(frozen=True)
class Peeled:
    """A trace, weighed. Forces are over the width of the strip.

    Parameters
    ----------
    trace : PeelTrace
        As the gauge wrote it.
    peak, average, median : float
        Greatest force; mean after the first peak; median of the peaks. [N/m]
    peaks : Peaks
        Which peaks the median rests on, and by which method.
    energy : float
        Work until the strip is apart. [J]
    first_peak, averaged_to, apart : float
        Travel at the first peak, at the end of the average, and where the strip is apart. [m]
    has_slipped : bool
        Whether the trace looks as if a jaw let go.
    cautions : tuple of Caution
        Doubts about this trace.
    """

    trace: PeelTrace
    peak: float
    average: float
    median: float
    peaks: Peaks
    energy: float
    first_peak: float
    averaged_to: float
    apart: float
    has_slipped: bool
    cautions: tuple[Caution, ...]

    @property
    def bond(self) -> float:
        """Length of bond that the average covers. [m]"""
        return (self.averaged_to - self.first_peak) / JAWS_PER_BOND


def weigh(trace: PeelTrace, *, method: Method | None = None) -> Peeled:
    """Peak, average after the first peak, median of peaks and energy of one strip.

    Parameters
    ----------
    trace : PeelTrace
        As the gauge wrote it; a pull read as negative is turned over, and said so.
    method : {"A", "B", "C", "D", "E"}, optional
        How the median of peaks is taken; by their number unless said.

    Returns
    -------
    Peeled

    Raises
    ------
    LapwrightError
        ``peel_too_short``, ``peel_no_travel``, ``peel_impossible`` (the unit is wrong).

    Notes
    -----
    The average runs from the first peak over 5 in of bond, or to where the strip is apart;
    a roof lap holds 1.5 to 2 in and is averaged whole. The force may fall below its first
    peak to less than half: both are right, and answer different questions.

    References
    ----------
    ASTM D1876, T-peel: average load over at least 5 in of bond after the initial peak,
    jaws at 10 in/min; read in summaries, not in the standard. Median of peaks:
    :func:`lapwright.proof.peaks.find_method`.

    Examples
    --------
    A strip 25 mm wide that starts at 200 N and peels on at 100 N:

    >>> travel = np.linspace(0.0, 0.08, 161)
    >>> force = np.interp(travel, [0.0, 0.002, 0.003, 0.08], [0.0, 200.0, 100.0, 100.0])
    >>> strip = weigh(PeelTrace("1", tuple(travel), tuple(force), width=0.025))
    >>> round(strip.peak), round(strip.average)
    (8000, 4026)
    """
    travel, force, cautions = _upright(trace)
    top = float(force.max())
    if not WEAKEST <= top / trace.width <= STRONGEST:
        raise LapwrightError("peel_impossible", strip=trace.name, peel=top / trace.width)
    noise = noise_of(force)
    first = _first_peak(travel, force, noise)
    last = int(np.flatnonzero(force >= OVER * top)[-1])
    end = float(min(travel[first] + JAWS_PER_BOND * BOND_LENGTH, travel[last]))
    average = _mean(travel, force, float(travel[first]), end)
    after = slice(first, last + 1)
    peaks = find_method(travel[after], force[after], noise=noise, method=method)
    slipped = _slips(travel[after], force[after])
    cautions += _doubts(trace, force, average, noise, slipped)
    return Peeled(
        trace=trace,
        peak=top / trace.width,
        average=average / trace.width,
        median=peaks.median / trace.width,
        peaks=peaks,
        energy=float(np.trapezoid(force[: last + 1], travel[: last + 1])),
        first_peak=float(travel[first]),
        averaged_to=end,
        apart=float(travel[last]),
        has_slipped=slipped,
        cautions=tuple(cautions),
    )


def _upright(trace: PeelTrace) -> tuple[Values, Values, list[Caution]]:
    """Travel that grows and force that pulls, up to where the jaws turn back."""
    travel, force = np.array(trace.travel), np.array(trace.force)
    cautions = []
    if len(travel) and -travel.min() > travel.max():
        travel = -travel
    if len(force) and -force.min() > force.max():
        force = -force
        cautions.append(Caution("peel_reversed", {"strip": trace.name}))
    if len(travel) and travel.max() == travel.min():
        raise LapwrightError("peel_no_travel", strip=trace.name)
    turn = int(travel.argmax()) + 1 if len(travel) else 0
    travel, force = np.maximum.accumulate(travel[:turn]), force[:turn]
    if len(force) < LEAST_SAMPLES:
        raise LapwrightError(
            "peel_too_short", strip=trace.name, have=len(force), limit=LEAST_SAMPLES
        )
    return travel, force, cautions


def _first_peak(travel: Values, force: Values, noise: float) -> int:
    """Index of the first peak: the force has climbed high and climbs no further for a while.

    On a pull without a peak that is where it first runs level.
    """
    reach = _AT_ONCE * (travel[-1] - travel[0])
    climb = rise_of(force, noise) / 2
    for place in np.flatnonzero(force >= FIRST_PEAK * force.max()):
        soon = int(np.searchsorted(travel, travel[place] + reach, side="right"))
        ahead = force[place:soon]
        if ahead.max() <= force[place] + climb:
            return int(place + ahead.argmax())
    raise AssertionError("the greatest force climbs no further")


def _mean(travel: Values, force: Values, start: float, end: float) -> float:
    """Mean force over travel, the ends read between samples."""
    if not end > start:
        return float(np.interp(start, travel, force))
    inside = (travel > start) & (travel < end)
    x = np.concatenate([[start], travel[inside], [end]])
    y = np.interp(x, travel, force)
    y[1:-1] = force[inside]
    return float(np.trapezoid(y, x) / (end - start))


def _slips(travel: Values, force: Values) -> bool:
    """Once or twice the force falls away at once and climbs back: a jaw let go.

    A film tear falls once and stays low; a weld in stripes falls many times.
    """
    even = np.interp(np.linspace(travel[0], travel[-1], _EVEN + 1), travel, force)
    window = round(_AT_ONCE * _EVEN)
    falls, place = 0, 0
    while place < len(even):
        deep = np.flatnonzero(even[place : place + window] < _FALL * even[place])
        if even[place] > OVER * even.max() and len(deep):
            low = place + int(deep[0])
            falls += bool((even[low:] >= _AGAIN * even[place]).any())
            place = low
        place += 1
    return 0 < falls <= 2


def _doubts(
    trace: PeelTrace, force: Values, average: float, noise: float, slipped: bool
) -> list[Caution]:
    strip = {"strip": trace.name}
    found = {
        "peel_slip": slipped,
        "peel_saturated": _is_cut_off(force),
        "peel_noisy": noise > NOISY * average,
        "peel_not_zeroed": float(np.abs(force[:3]).min()) > NOT_ZEROED * float(force.max()),
        "peel_rate": _is_rate_wrong(trace),
    }
    return [Caution(code, dict(strip)) for code, holds in found.items() if holds]


def _is_rate_wrong(trace: PeelTrace) -> bool:
    """Clock and travel say another speed than was stated: mostly a mistaken unit."""
    if trace.rate is None or not trace.clock or trace.clock[-1] <= trace.clock[0]:
        return False
    read = abs(trace.travel[-1] - trace.travel[0]) / (trace.clock[-1] - trace.clock[0])
    return not 1 / RATE_OFF <= read / trace.rate <= RATE_OFF


def _is_cut_off(force: Values) -> bool:
    """A flat top that the force jumps up to: the gauge was at its end."""
    steps = np.abs(np.diff(np.unique(force)))
    finest = float(steps.min()) if len(steps) else 0.0
    at_top = np.flatnonzero(force == force.max())
    runs = np.split(at_top, np.flatnonzero(np.diff(at_top) > 1) + 1)
    longest = max(runs, key=len)
    before, after = longest[0] - 1, longest[-1] + 1
    jump = 3 * finest
    return bool(
        len(longest) >= _FLAT
        and before >= 0
        and force.max() - force[before] > jump
        and (after == len(force) or force.max() - force[after] > jump)
    )
