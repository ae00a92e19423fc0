"""What the strips of each past day say of bottom and top, many days at once.

The same likelihood as :mod:`lapwright.window.belief`, nuisances of a day summed out, on a
lattice half as fine and with kappa at its median. Pulls speak of the bottom, heat signs of
the top; a day on which nobody looked says of the top nothing at all.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from lapwright.physics.heat import equivalent_air
from lapwright.physics.membrane import MEMBRANES
from lapwright.window.belief import bond_likelihood, heat_likelihood
from lapwright.window.pastwelds import FAMILY_CODES, PastWelds
from lapwright.window.prior import BOTTOM, STEP, TOP, WIDE, Values

Profile = NDArray[np.float32]
Whole = NDArray[np.int64]

_COARSE = 2  # lattice steps between two points: 20 F, a fraction of what moves an edge in a day
BOTTOMS: Values = BOTTOM[::_COARSE]
TOPS: Values = TOP[::_COARSE]
_FINE = 4  # settings between two points of the lattice: the heat of a weld is kept to 5 F
_GRAIN = _COARSE * STEP / _FINE  # K
_COLDEST = float(BOTTOM[0])  # K; equivalent air beyond it or above the last top says no more
_PLACES = round((TOP[-1] - BOTTOM[0]) / _GRAIN) + 1
_HELD = 1 << 21  # numbers of a table of welds held in memory at once


@dataclass(frozen=True, eq=False)
class DayEdges:
    """Likelihood of bottom and top on each day, one row per day.

    Parameters
    ----------
    bottom : ndarray of float32, shape (days, len(BOTTOMS))
        Logarithm of the likelihood of the pulls, greatest value 0. [-]
    top : ndarray of float32, shape (days, len(TOPS))
        The same of the heat signs. [-]
    has_bottom, has_top : ndarray of bool, shape (days,)
        Whether any strip was pulled; whether anybody looked.
    """

    bottom: Profile
    top: Profile
    has_bottom: NDArray[np.bool_]
    has_top: NDArray[np.bool_]


def day_edges(past: PastWelds) -> DayEdges:
    """Likelihood of the edges of every day from its test welds.

    Parameters
    ----------
    past : PastWelds
        Test welds by day, in any order.

    Returns
    -------
    DayEdges

    Notes
    -----
    One look at a weld is one answer, however many strips it was cut into. Spread, weld
    share and depth of the partial zone are unknown anew on each day and alike for its
    welds. The heat of a weld is rounded to 5 F.

    References
    ----------
    As :func:`lapwright.window.belief.bond_likelihood`.
    """
    order = np.argsort(past.day, kind="stable")
    day = past.day[order].astype(np.int64)
    place = _place(past)[order]
    pulls = np.stack([past.cold, past.partial, past.full], axis=1)[order].astype(np.int64)
    looks = np.stack([past.looked & ~past.signs, past.signs], axis=1)[order].astype(np.int64)
    bottom, has_bottom = _profiles(
        day, place, pulls, len(past.month), BOTTOMS, bond_likelihood, WIDE.weight(partial=True)
    )
    top, has_top = _profiles(
        day, place, looks, len(past.month), TOPS, heat_likelihood, WIDE.weight(partial=False)
    )
    return DayEdges(bottom, top, has_bottom, has_top)


def _place(past: PastWelds) -> Whole:
    """Equivalent air of each weld in grains above the coldest."""
    kappas = np.array([MEMBRANES[code].kappa for code in FAMILY_CODES])
    kappa = kappas[past.membrane[past.day]]
    air = equivalent_air(
        past.air.astype(float), sheet=past.sheet.astype(float), speed=past.speed, kappa=kappa
    )
    return np.clip(np.rint((air - _COLDEST) / _GRAIN), 0, _PLACES - 1).astype(np.int64)


def _profiles(
    day: Whole,
    place: Whole,
    counts: Whole,
    days: int,
    lattice: Values,
    likelihood: Callable[..., Values],
    weight: Values,
) -> tuple[Profile, NDArray[np.bool_]]:
    """Profile of each day, and whether anything was counted on it; welds sorted by day."""
    counted = counts.sum(axis=1) > 0
    day, place, counts = day[counted], place[counted], counts[counted]
    profile = np.zeros((days, len(lattice)), dtype=np.float32)
    seen = np.zeros(days, dtype=bool)
    if not len(day):
        return profile, seen
    outcomes, outcome = np.unique(counts, axis=0, return_inverse=True)
    tables = _tables(outcomes, lattice, likelihood)
    log_weight = np.log(weight.ravel()).astype(np.float32)[:, None]
    starts = np.flatnonzero(np.diff(day, prepend=-1))
    ends = np.append(starts[1:], len(day))
    seen[day[starts]] = True
    held = max(1, _HELD // (log_weight.size * len(lattice)))
    first = 0
    while first < len(starts):
        last = max(first + 1, int(np.searchsorted(ends, starts[first] + held, side="right")))
        part = slice(starts[first], ends[last - 1])
        fine, coarse = place[part] % _FINE, place[part] // _FINE
        rows = tables[outcome.ravel()[part], fine, coarse]
        total = _summed(rows, starts[first:last] - starts[first])
        profile[day[starts[first:last]]] = _without_nuisances(total + log_weight)
        first = last
    return profile, seen


def _summed(rows: Profile, starts: Whole) -> Profile:
    """Rows of each day added up, its first weld, its second, ...: faster than one by one."""
    length = np.diff(starts, append=len(rows))
    total = rows[starts]
    for nth in range(1, int(length.max())):
        has = length > nth
        total[has] += rows[starts[has] + nth]
    return total


def _without_nuisances(table: Profile) -> Profile:
    """Nuisances (axis 1) summed out of logarithms; greatest value of each day 0."""
    highest = table.max(axis=(1, 2), keepdims=True)
    total = np.maximum(np.exp(table - highest).sum(axis=1), np.finfo(np.float32).tiny)
    return np.asarray(np.log(total / total.max(axis=1, keepdims=True)), dtype=np.float32)


def _tables(outcomes: Whole, lattice: Values, likelihood: Callable[..., Values]) -> Profile:
    """Log likelihood by (outcome, fine place, coarse place, nuisances, lattice), a view.

    A weld at another place sees the same table shifted, so that all places share one.
    """
    most = (_PLACES - 1) // _FINE
    long = _COARSE * (most + len(lattice))
    counts = [tuple(int(n) for n in row) for row in outcomes]
    fine = []
    for shift in range(_FINE):
        start = _COLDEST - lattice[0] + shift * _GRAIN + most * _COARSE * STEP
        table = likelihood(counts, start=start, n=long)[..., ::_COARSE]
        fine.append(table.reshape(len(counts), -1, table.shape[-1]))
    table = np.log(np.stack(fine, axis=1)).astype(np.float32)
    windows = sliding_window_view(table, len(lattice), axis=3)  # (outcome, fine, nuisance, start)
    return np.asarray(np.moveaxis(windows, 3, 2)[:, :, ::-1])
