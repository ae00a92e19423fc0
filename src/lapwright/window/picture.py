"""What a drawing of the window needs: P(sound) along air and speed, and where welds lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from lapwright.physics.heat import air_at, equivalent_air
from lapwright.window.belief import Belief
from lapwright.window.edges import Conditions
from lapwright.window.prior import Values
from lapwright.window.soundness import Soundness
from lapwright.window.strips import TestWeld

Reading = Literal["hot", "cold", "partial", "full", "unread"]
_SPEED_SPAN = 1.6  # -; the map runs from 1/1.6 to 1.6 times the speed; our choice


@dataclass(frozen=True)
class Mark:
    """A test weld in the picture.

    Parameters
    ----------
    number : str
        The crew's number.
    air : float
        Air temperature that gives its heat at the picture's conditions. [K]
    set_air, speed : float
        As welded. [K, m/s]
    reading : str
        Worst reading: ``"hot"``, ``"cold"``, ``"partial"``, ``"full"`` or ``"unread"``.
    looked : bool
        Whether somebody looked for heat signs.
    """

    number: str
    air: float
    set_air: float
    speed: float
    reading: Reading
    looked: bool


@dataclass(frozen=True)
class Picture:
    """P(sound) over air temperature at the conditions, and over air and speed.

    Parameters
    ----------
    air, p_sound : ndarray, shape (n,)
        Curve at the conditions. [K, -]
    speed : ndarray, shape (m,)
        Speeds of the map. [m/s]
    p_map : ndarray, shape (m, n)
        P(sound) at each speed and air temperature. [-]
    marks : tuple of Mark
        Test welds, in order of their numbers.
    """

    air: Values
    p_sound: Values
    speed: Values
    p_map: Values
    marks: tuple[Mark, ...]


def worst_reading(weld: TestWeld) -> Reading:
    """The reading that says most against a weld; overheat signs first.

    Examples
    --------
    >>> from lapwright.window.strips import Strip
    >>> worst_reading(TestWeld("1", 700.0, 0.05, 300.0, 300.0, (Strip("1", "full", "signs"),)))
    'hot'
    """
    cold, partial, full = weld.bond_counts
    if weld.heat_counts[1]:
        return "hot"
    return "cold" if cold else "partial" if partial else "full" if full else "unread"


def picture(
    belief: Belief,
    soundness: Soundness,
    conditions: Conditions,
    welds: Sequence[TestWeld],
    *,
    air: Values,
    speeds: int = 1,
) -> Picture:
    """Draw the belief at the conditions.

    Parameters
    ----------
    belief, soundness : Belief, Soundness
        After ``welds``.
    conditions : Conditions
        Sheet temperature and speed of the curve.
    welds : sequence of TestWeld
        Marked where their heat lies.
    air : ndarray
        Air temperatures along the curve. [K]
    speeds : int
        Rows of the map; 1 gives the curve alone.

    Returns
    -------
    Picture
    """
    span = np.geomspace(1 / _SPEED_SPAN, _SPEED_SPAN, speeds) if speeds > 1 else np.ones(1)
    speed = conditions.speed * span
    kappa, sheet = belief.mean_kappa, conditions.sheet

    def here(weld: TestWeld) -> float:
        x = equivalent_air(weld.true_air, sheet=weld.sheet, speed=weld.speed, kappa=kappa)
        return float(air_at(x, sheet=sheet, speed=conditions.speed, kappa=kappa))

    return Picture(
        air=air,
        p_sound=soundness.at(air, speed=conditions.speed, sheet=sheet),
        speed=speed,
        p_map=soundness.at(air[None, :], speed=speed[:, None], sheet=sheet),
        marks=tuple(
            Mark(
                weld.number,
                here(weld),
                weld.air,
                weld.speed,
                worst_reading(weld),
                any(weld.heat_counts),
            )
            for weld in welds
        ),
    )
