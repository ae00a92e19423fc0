"""One word for where the morning stands, and whether to weld another test."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lapwright.window.answer import Verdict
from lapwright.window.setpoint import SetPoint
from lapwright.window.strips import TestWeld

ENOUGH_WELDS = 3  # test welds before "no window" or "saturated" is said; our choice
NO_WINDOW = 0.10  # -; P(window) at or below which there is none; our choice
SATURATED = 0.90  # -; P(bottom beyond the machine) from which it is; our choice


@dataclass(frozen=True)
class Standing:
    """What a verdict rests on.

    Parameters
    ----------
    welds : sequence of TestWeld
        Test welds so far.
    near : bool
        The asked conditions are within reach of the tested ones.
    p_window, p_beyond : float
        P(there is a window); P(the bottom lies beyond the machine). [-]
    set_point : SetPoint or None
        By the asked policy.
    is_odd : bool
        A weld does not fit the others and nobody repeated it.
    certified : bool
        From :func:`lapwright.window.setpoint.is_certified`.
    level : float
        P(sound) that a set point must reach. [-]
    """

    welds: Sequence[TestWeld]
    near: bool
    p_window: float
    p_beyond: float
    set_point: SetPoint | None
    is_odd: bool
    certified: bool
    level: float


def verdict(standing: Standing) -> Verdict:
    """The one code that says where the morning stands.

    Parameters
    ----------
    standing : Standing
        What is known.

    Returns
    -------
    str
        The first that applies, in the order: nothing tested, too far from the tests,
        machine too weak, no window, an odd weld to repeat, certified, nobody looked for
        heat signs, nothing passed, only the confirming weld missing, bottom not found,
        not known yet.
    """
    welds, point = standing.welds, standing.set_point
    cold, partial, full = (sum(weld.bond_counts[grade] for weld in welds) for grade in range(3))
    if not welds:
        return "no_test_weld"
    if not standing.near:
        return "test_again"
    if len(welds) >= ENOUGH_WELDS and standing.p_beyond >= SATURATED:
        return "saturated"
    if len(welds) >= ENOUGH_WELDS and standing.p_window <= NO_WINDOW:
        return "no_window"
    if standing.is_odd:
        return "repeat"
    if standing.certified:
        return "certified"
    if not any(any(weld.heat_counts) for weld in welds):
        return "top_unknown"
    if not full:
        return "none_passed"
    if point is not None and point.p_sound >= standing.level:
        return "confirm"
    if not cold + partial:
        return "no_bottom"
    return "not_known_yet"
