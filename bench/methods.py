"""What every compared method must answer.

A method asks for the next setting, learns what its strips showed, and says at any time
which setting it would use. Temperatures in F of air at the reference condition.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from lapwright.window.strips import Strip

Strips = tuple[Strip, ...]
Interval = tuple[float, float, float]  # 5 %, middle, 95 %
UNKNOWN: Interval = (np.nan, np.nan, np.nan)


@dataclass(frozen=True)
class Estimate:
    """What a method says after some welds: a set point by each policy, and the edges."""

    set_points: dict[str, float]
    bottom: Interval = UNKNOWN
    top: Interval = UNKNOWN


class Method(Protocol):
    """One run of a method at one site."""

    def suggest(self) -> float:
        """Setting of the next test weld."""
        ...

    def observe(self, air: float, strips: Strips) -> None:
        """Learn what the strips of a test weld at ``air`` showed."""
        ...

    def estimate(self) -> Estimate:
        """Set points and edges after the welds so far."""
        ...


@dataclass(frozen=True)
class Plan:
    """What a run may know before its first weld.

    ``welds``: how many it will make at most. ``earlier_*``: bottom and gap as they were
    on an earlier day. [F]
    """

    welds: int
    earlier_bottom: float
    earlier_gap: float


Start = Callable[[Plan], Method]


def full_strips(strips: Strips) -> int:
    """Strips that tore the film over the full width."""
    return sum(strip.pull == "full" for strip in strips)


def signs_seen(strips: Strips) -> int:
    """Strips with overheat signs."""
    return sum(strip.overheat == "signs" for strip in strips)
