"""What strips near the set point prove by counting alone."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.units import to_si
from lapwright.window.belief import Belief
from lapwright.window.counting import Counted, bad_share_limit, counted
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


def test_a_count_must_be_possible() -> None:
    """More bad strips than strips, or fewer than none, are refused."""
    for bad in (-1, 4):
        with pytest.raises(OutOfRange):
            bad_share_limit(bad, strips=3)


def test_more_clean_strips_prove_more() -> None:
    """The limit falls with clean strips and rises with bad ones."""
    limits = [bad_share_limit(0, strips=n) for n in range(30)]
    assert limits == sorted(limits, reverse=True)
    assert bad_share_limit(1, strips=10) > bad_share_limit(0, strips=10)
