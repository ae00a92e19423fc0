"""Bottom and top with their intervals."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED, air_at
from lapwright.window.belief import Belief
from lapwright.window.edges import Conditions, Edge, bottom_edge, top_edge
from lapwright.window.prior import BOTTOM, STEP, Prior
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
WEAK = Belief.before(Prior())
REFERENCE = Conditions(speed=REFERENCE_SPEED, sheet=REFERENCE_SHEET, ambient=300.0)


def edges(*welds: TestWeld, here: Conditions = REFERENCE) -> tuple[Edge, Edge]:
    """Both edges after some welds."""
    belief = WEAK.observe_all(welds)
    return bottom_edge(belief, here, welds), top_edge(belief, here, welds)


def ends(edge: Edge) -> tuple[bool, bool]:
    """Whether the low and the high end are told."""
    return edge.low is not None, edge.high is not None


@pytest.mark.parametrize(
    ("pulls", "told"),
    [("fff", (False, True)), ("ccc", (True, False)), ("ppp", (True, False)), ("cff", (True, True))],
)
def test_the_bottom_is_open_where_nothing_bounds_it(
    weld: Build, pulls: str, told: tuple[bool, bool]
) -> None:
    """Without a strip short of full the low end is open, without a full one the high end."""
    bottom, _ = edges(weld(1, 720, pulls))
    assert ends(bottom) == told
    assert bottom.mid is not None


@pytest.mark.parametrize(
    ("heats", "told"),
    [
        (["none"] * 2, (True, False)),
        (["signs"] * 2, (False, True)),
        (["none", "signs"], (True, True)),
    ],
)
def test_the_top_is_open_where_nothing_bounds_it(
    weld: Build, heats: list[str], told: tuple[bool, bool]
) -> None:
    """Without a sign the high end of the top is open, without a look at no sign the low end."""
    _, top = edges(weld(1, 1000, "ff", heats))
    assert ends(top) == told


def test_nobody_looked_nothing_said(weld: Build) -> None:
    """If nobody looked the top is not known at all, however the strips pulled."""
    bottom, top = edges(weld(1, 700, "ccc", None), weld(2, 800, "fff", None))
    assert top == Edge(None, None, None)
    assert ends(bottom) == (True, True)


def test_nothing_pulled_nothing_said(weld: Build) -> None:
    """Split strips alone leave the bottom unknown."""
    assert edges(weld(1, 700, "sss", "none"))[0] == Edge(None, None, None)


def test_quantiles_are_those_of_the_belief(ladder_welds: tuple[TestWeld, ...]) -> None:
    """At the reference, 5, 50 and 95 % of the lattice belief lie below the three values."""
    bottom, _ = edges(*ladder_welds)
    mass = WEAK.observe_all(ladder_welds).joint.sum(axis=(0, 2))
    upper = np.append(BOTTOM[0] - STEP / 2, BOTTOM + STEP / 2)  # cells, belief even within
    for value, share in ((bottom.low, 0.05), (bottom.mid, 0.5), (bottom.high, 0.95)):
        assert value is not None
        assert np.interp(value, upper, np.append(0, np.cumsum(mass))) == pytest.approx(share)


@pytest.mark.parametrize(("speed", "sheet"), [(14.0, 80.0), (10.0, 50.0)])
def test_edges_move_with_the_conditions(
    ladder_welds: tuple[TestWeld, ...], speed: float, sheet: float
) -> None:
    """Faster or on a colder sheet, both edges need hotter air: as the heat model says."""
    belief = WEAK.observe_all(ladder_welds)
    there = Conditions(speed=speed * 0.00508, sheet=(sheet + 459.67) / 1.8, ambient=300.0)
    for edge, mean in zip(edges(*ladder_welds, here=there), belief.mean_edges, strict=True):
        moved = air_at(mean, sheet=there.sheet, speed=there.speed, kappa=belief.mean_kappa)
        assert edge.low is not None
        assert edge.mid is not None
        assert edge.high is not None
        assert edge.low < edge.mid < edge.high
        assert edge.mid > mean + 20
        assert edge.mid == pytest.approx(float(moved), abs=6)


def test_doubt_about_kappa_widens_what_is_carried(ladder_welds: tuple[TestWeld, ...]) -> None:
    """At another speed the interval widens by more than the edge's own scale."""
    there = Conditions(speed=REFERENCE_SPEED * 1.4, sheet=REFERENCE_SHEET, ambient=300.0)

    def width(edge: Edge) -> float:
        assert edge.low is not None
        assert edge.high is not None
        return edge.high - edge.low

    top_here, top_there = (edges(*ladder_welds, here=here)[1] for here in (REFERENCE, there))
    scale = air_at([700.0, 701.0], sheet=there.sheet, speed=there.speed, kappa=WEAK.mean_kappa)
    assert width(top_there) > 1.01 * width(top_here) * (scale[1] - scale[0])
