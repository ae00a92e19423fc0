"""What strips near the set point prove by counting alone."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lapwright.units import to_si
from lapwright.window.belief import Belief
from lapwright.window.counting import Counted, counted
from lapwright.window.drift import Drift, cases
from lapwright.window.edges import Conditions
from lapwright.window.prior import Prior
from lapwright.window.setpoint import Choice, SetPoint, set_point_at
from lapwright.window.soundness import Soundness, Tested
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
HERE = Conditions(speed=to_si(10, "ft_min"), sheet=to_si(80, "f"), ambient=to_si(80, "f"))
AIR = np.array([to_si(870, "f")])


def at_870(*welds: TestWeld) -> tuple[Belief, SetPoint]:
    """The belief after some welds, and a set point of 870 F."""
    belief = Belief.before(Prior()).observe_all(welds)
    soundness = Soundness(belief, Tested.of(welds))
    choice = Choice(
        belief, soundness, HERE, cases(Drift()), AIR, np.array([HERE.speed]), to_si(1148, "f")
    )
    return belief, set_point_at(choice, float(AIR[0]), HERE.speed)


def test_only_valid_strips_near_the_set_point_count(weld: Build) -> None:
    """Within 30 F, without the invalid; anything short of full or with signs is bad."""
    welds = [weld(1, 840, "fff"), weld(2, 900, "fpx"), weld(3, 910, "ccc"), weld(4, 700, "ccc")]
    belief, point = at_870(*welds)
    found = counted(belief, HERE, point, welds)
    assert (found.strips, found.bad) == (5, 1)
    signed = [weld(1, 870, "fff", "signs")]
    assert counted(belief, HERE, point, signed).bad == 3


def test_nothing_near_proves_nothing(weld: Build) -> None:
    """Without a strip near the set point every strip may be bad."""
    far = weld(1, 700, "fff")
    belief, point = at_870(far)
    assert counted(belief, HERE, point, [far]) == Counted(0, 0, 1.0)
