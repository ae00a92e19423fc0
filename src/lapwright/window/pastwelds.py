"""Test welds of past days as columns, from which a new morning learns.

A day here is one machine with one pairing of sheets and one nozzle on one calendar day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

UNKNOWN = -1  # key of a pairing, machine or nozzle that nobody noted; month 0


@dataclass(frozen=True, eq=False)
class PastWelds:
    """Test welds of past days as columns, one row per weld and, apart, one per day.

    Parameters
    ----------
    day : ndarray of int32, shape (welds,)
        Row of the day that a weld belongs to. Any order of welds.
    air, speed, sheet : ndarray of float32, shape (welds,)
        Air the lap met (measured wins over set), travel speed, sheet before the nozzle. [K, m/s, K]
    cold, partial, full : ndarray of int8, shape (welds,)
        Strips read so (:attr:`~lapwright.window.strips.TestWeld.bond_counts`).
    looked, signs : ndarray of bool, shape (welds,)
        Somebody looked for heat signs (all of them); a sign was seen. ``signs`` implies ``looked``.
    membrane : ndarray of int8, shape (days,)
        Place in :data:`FAMILY_CODES`.
    pairing, machine, nozzle : ndarray of int32, shape (days,)
        Whole-number keys of the caller, 0 and up; :data:`UNKNOWN` where nobody noted it.
    month : ndarray of int8, shape (days,)
        1 to 12; 0 is not known.
    """

    day: NDArray[np.int32]
    air: NDArray[np.float32]
    speed: NDArray[np.float32]
    sheet: NDArray[np.float32]
    cold: NDArray[np.int8]
    partial: NDArray[np.int8]
    full: NDArray[np.int8]
    looked: NDArray[np.bool_]
    signs: NDArray[np.bool_]
    membrane: NDArray[np.int8]
    pairing: NDArray[np.int32]
    machine: NDArray[np.int32]
    nozzle: NDArray[np.int32]
    month: NDArray[np.int8]


FAMILY_CODES = ("tpo", "pvc", "kee")
