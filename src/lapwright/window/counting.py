"""What the strips near the set point prove by counting alone, without any model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lapwright.counts import bad_share_limit
from lapwright.window.belief import Belief
from lapwright.window.edges import Conditions
from lapwright.window.setpoint import CONFIRM_WITHIN, SetPoint, air_distance
from lapwright.window.strips import TestWeld


@dataclass(frozen=True)
class Counted:
    """Strips welded at about the heat of the set point.

    Parameters
    ----------
    strips, bad : int
        Valid strips, and those short of full or with heat signs.
    bad_share_limit : float
        Share of bad strips still possible by counting alone. [-]
    """

    strips: int
    bad: int
    bad_share_limit: float


def counted(
    belief: Belief, conditions: Conditions, point: SetPoint, welds: Sequence[TestWeld]
) -> Counted:
    """Strips within 30 F of the set point's heat, and what they prove by counting.

    Parameters
    ----------
    belief : Belief
        Gives kappa, to bring each weld to the conditions now.
    conditions : Conditions
        Of the day now.
    point : SetPoint
        Where strips are counted.
    welds : sequence of TestWeld
        Test welds so far.

    Returns
    -------
    Counted
        Strips that are not valid do not count.
    """
    near = [
        strip
        for weld in welds
        if air_distance(belief, conditions, point, weld) <= CONFIRM_WITHIN
        for strip in weld.strips
        if strip.pull != "invalid"
    ]
    bad = sum(strip.pull != "full" or strip.overheat == "signs" for strip in near)
    return Counted(len(near), bad, bad_share_limit(bad, of=len(near)))
