"""Layers: what heat does in any stack, whatever the materials."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.physics.layers import Layer, Stack

SHEET = Layer(thickness=0.0015, conductivity=0.22, heat_capacity=2.0e6, cells=40, finest_below=True)
BOARD = Layer(thickness=0.050, conductivity=0.025, heat_capacity=46_400.0, cells=25)
STACK = Stack((SHEET, BOARD), 15.0, 300.0)
CLOSED = Stack((SHEET, BOARD), 0.0, 0.0)
TIMES = np.array([0.0, 0.01, 0.5, 3.0, 600.0])
UNEVEN = np.linspace(300.0, 500.0, 65)


def test_cells_fill_the_layer_and_are_finest_where_asked() -> None:
    """Cell widths add up to the layer; the thinnest lies on the side asked for."""
    assert SHEET.widths.sum() == pytest.approx(0.0015)
    assert np.argmin(SHEET.widths) == 39
    assert np.argmin(BOARD.widths) == 0
    assert STACK.depth[0] == pytest.approx(SHEET.widths[0] / 2)
    assert np.all(np.diff(STACK.depth) > 0)
    assert STACK.depth[-1] + BOARD.widths[-1] / 2 == pytest.approx(0.0515)


def test_uniform_temperature_stays() -> None:
    """Nothing moves where stack and air on both sides are equally warm."""
    found = STACK.temperature(300.0, above=300.0, below=300.0, times=TIMES)
    assert found == pytest.approx(np.full((5, 65), 300.0), rel=1e-9)


def test_start_is_kept_at_time_zero() -> None:
    """At time zero the cells have the temperatures they were given."""
    found = STACK.temperature(UNEVEN, above=800.0, below=200.0, times=0.0)
    assert found[0] == pytest.approx(UNEVEN, rel=1e-9)


def test_influences_add_up_to_one() -> None:
    """Start and the two airs each have a share in every cell; the shares sum to one."""
    start = STACK.temperature(1.0, above=0.0, below=0.0, times=TIMES)
    above = STACK.temperature(0.0, above=1.0, below=0.0, times=TIMES)
    below = STACK.temperature(0.0, above=0.0, below=1.0, times=TIMES)
    assert start + above + below == pytest.approx(np.ones((5, 65)), rel=1e-9)
    mixed = STACK.temperature(310.0, above=700.0, below=290.0, times=TIMES)
    assert 310 * start + 700 * above + 290 * below == pytest.approx(mixed, rel=1e-9)
    assert min(start.min(), above.min(), below.min()) > -1e-9


def test_insulated_stack_keeps_its_heat_and_evens_out() -> None:
    """Without films no heat is lost, and after long the stack has one temperature."""
    found = CLOSED.temperature(UNEVEN, above=900.0, below=0.0, times=[0.0, 1.0, 5e4])
    heat = found @ CLOSED.capacity
    assert heat == pytest.approx(np.full(3, UNEVEN @ CLOSED.capacity), rel=1e-8)
    mean = heat[0] / CLOSED.capacity.sum()
    assert found[2] == pytest.approx(np.full(65, mean), rel=1e-8)


def test_steady_heat_flow_is_the_series_of_resistances() -> None:
    """After long, faces divide the air difference as film, sheet, board and film resist."""
    found = STACK.temperature(300.0, above=400.0, below=300.0, times=1e7)
    resistance = np.array([1 / 15, 0.0015 / 0.22, 0.050 / 0.025, 1 / 300])
    share = np.cumsum(resistance) / resistance.sum()
    above, below = STACK.face_above(found, air=400.0), STACK.face_below(found, air=300.0)
    assert above == pytest.approx(400 - 100 * share[0], abs=1e-6)
    assert below == pytest.approx(400 - 100 * share[2], abs=1e-6)


def test_turned_over_stack_mirrors() -> None:
    """Turning stack and airs over turns the temperatures over."""
    single = Stack((SHEET,), 15.0, 300.0)
    turned = Stack(
        (Layer(thickness=0.0015, conductivity=0.22, heat_capacity=2.0e6, cells=40),), 300.0, 15.0
    )
    found = single.temperature(300.0, above=310.0, below=750.0, times=TIMES)
    mirror = turned.temperature(300.0, above=750.0, below=310.0, times=TIMES)
    assert found == pytest.approx(mirror[:, ::-1], rel=1e-9)
    assert single.face_below(found, air=750.0) == pytest.approx(
        turned.face_above(mirror, air=750.0), rel=1e-9
    )


def test_waiting_twice_is_waiting_once() -> None:
    """Exact in time: one long step and two short ones end alike."""
    once = STACK.temperature(300.0, above=310.0, below=750.0, times=0.8)
    half = STACK.temperature(300.0, above=310.0, below=750.0, times=0.3)
    again = STACK.temperature(half[0], above=310.0, below=750.0, times=0.5)
    assert again == pytest.approx(once, rel=1e-9)
