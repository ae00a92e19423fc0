"""Inside the lap: against the closed form, and what must not matter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.heat import interface_temperature
from lapwright.physics.lap import SUBSTRATES, Lap
from lapwright.physics.membrane import MEMBRANES
from lapwright.units import to_si

TPO = MEMBRANES["tpo"]
USUAL = Lap(
    air=to_si(850, "f"),
    sheet=to_si(80, "f"),
    ambient=to_si(80, "f"),
    speed=to_si(10, "ft_min"),
    kappa=0.1016,
)


def _celsius(values: object) -> np.ndarray:
    return np.asarray(values) - 273.15


@pytest.mark.parametrize("thickness", [0.0011, 0.0015, 0.0020])
@pytest.mark.parametrize("ft_min", [6.0, 10.0, 18.0])
def test_contact_temperature_is_the_closed_forms(thickness: float, ft_min: float) -> None:
    """While heat has not crossed the sheet, cells and closed form agree within 0.2 K."""
    lap = replace(
        USUAL,
        air=USUAL.sheet + 450.0,
        speed=to_si(ft_min, "ft_min"),
        membrane=replace(TPO, thickness=thickness),
    )
    closed = interface_temperature(lap.air, sheet=lap.sheet, speed=lap.speed, kappa=lap.kappa)
    assert lap.contact_temperature == pytest.approx(float(closed), abs=0.2)


def test_interface_cools_fast_after_contact() -> None:
    """At 850 F, 80 F and 10 ft/min: 180 C at contact, 119 at a quarter second, 87 at one."""
    # Worked by a separate program before this one was written.
    history = USUAL.history([0.0, 0.25, 1.0])
    assert _celsius(history.interface) == pytest.approx([180, 119, 87], abs=0.5)


def test_heated_lap_agrees_with_a_method_of_lines() -> None:
    """500 C air, 40 C sheet, h 300, 0.8 s: 192.7 C, as a separate time-stepping solver found."""
    # That solver's own figure was 192.66 C; 0.2 K for two ways of cutting into cells.
    membrane = replace(TPO, thickness=0.0015)
    kappa = 300.0 * np.sqrt(0.040) / membrane.effusivity
    lap = replace(
        USUAL, air=773.15, sheet=313.15, speed=0.040 / 0.8, kappa=kappa, membrane=membrane
    )
    assert lap.contact_temperature - 273.15 == pytest.approx(192.66, abs=0.2)


def test_what_lies_below_does_not_reach_the_face_in_time() -> None:
    """Substrate, thickness and ambient move the contact temperature by no more than 0.2 K."""
    slow = replace(USUAL, speed=to_si(4, "ft_min"), membrane=replace(TPO, thickness=0.0011))
    faces = [replace(slow, substrate=name).contact_temperature for name in SUBSTRATES]
    assert np.ptp(faces) < 0.25
    for other in (
        replace(USUAL, membrane=replace(TPO, thickness=0.0020)),
        replace(USUAL, ambient=USUAL.ambient - 20.0),
    ):
        assert other.contact_temperature == pytest.approx(USUAL.contact_temperature, abs=0.1)


def test_colder_face_governs() -> None:
    """Slow and thin on concrete the lower face is the colder one, and it alone is reported."""
    slow = replace(
        USUAL,
        speed=to_si(3, "ft_min"),
        membrane=replace(TPO, thickness=0.0011),
        substrate="concrete",
    )
    # The ambient reaches the upper face only, so it must not change the answer.
    warmer = replace(slow, ambient=slow.ambient + 50.0)
    assert warmer.contact_temperature == pytest.approx(slow.contact_temperature, abs=1e-9)
    foam = replace(slow, substrate="polyiso")
    assert slow.contact_temperature < foam.contact_temperature - 0.1


def test_deck_matters_after_contact() -> None:
    """Slow and thin, a lap on concrete falls below 120 C sooner than one on foam."""
    slow = replace(USUAL, speed=to_si(4, "ft_min"), membrane=replace(TPO, thickness=0.0011))
    on = {name: replace(slow, substrate=name).time_above(393.15) for name in SUBSTRATES}
    assert on["concrete"] < on["gypsum"] < on["wood_fibre"] < on["polyiso"]


def test_history_runs_from_untouched_to_cold() -> None:
    """Before the nozzle all is sheet; then the faces heat, meet, and cool to the ambient."""
    times = [-USUAL.under_nozzle - 1, -USUAL.under_nozzle / 2, 0.0, 0.5, 5.0, 1e5]
    history = USUAL.history(times)
    assert history.temperature.shape == (6, history.depth.size)
    assert history.temperature[0] == pytest.approx(np.full(history.depth.size, USUAL.sheet))
    assert history.interface[0] == pytest.approx(USUAL.sheet)
    assert history.interface[0] < history.interface[1] < history.interface[2]
    assert np.all(np.diff(history.interface[2:]) < 0)
    assert history.interface[2] == pytest.approx(USUAL.contact_temperature)
    assert history.interface[-1] == pytest.approx(USUAL.ambient, abs=0.1)


def test_heat_sits_at_the_faces() -> None:
    """At contact the hottest cells are the two that meet; the outer face is still cold."""
    history = USUAL.history(0.0)
    row = history.temperature[0]
    meet = TPO.thickness
    assert abs(history.depth[np.argmax(row)] - meet) < 2e-5
    assert row[0] < USUAL.sheet + 2.0
    later = USUAL.history(3.0).temperature[0]
    assert later[0] > row[0] + 5.0  # heat reaches the outer face after a while


def test_contact_keeps_the_heat() -> None:
    """In the first moments after contact the lap holds what the nozzle gave it."""
    upper, _, seam = USUAL._stacks
    before, after = USUAL.history([0.0, 0.02]).temperature
    heat = (before - USUAL.sheet) @ seam.capacity
    assert (after - USUAL.sheet) @ seam.capacity == pytest.approx(heat, rel=1e-3)
    given = (before[: upper.capacity.size] - USUAL.sheet) @ upper.capacity
    assert given == pytest.approx(heat / 2, rel=0.01)  # each sheet swallowed half


def test_time_above_agrees_with_the_history() -> None:
    """At the moment time_above names, the interface has just that temperature."""
    moment = USUAL.time_above(393.15)
    assert USUAL.history(moment).interface == pytest.approx([393.15], abs=1e-3)
    assert USUAL.time_above(373.15) > moment
    assert USUAL.time_above(USUAL.contact_temperature + 1.0) == 0.0


def test_interface_lies_between_the_two_sheets() -> None:
    """After contact the interface is what the cells on both sides of the lap say."""
    slow = replace(USUAL, speed=to_si(4, "ft_min"), substrate="concrete")
    history = slow.history([0.1, 2.0])
    for row, interface in zip(history.temperature, history.interface, strict=True):
        assert interface == pytest.approx(np.interp(TPO.thickness, history.depth, row), rel=1e-12)


def test_temperature_that_the_seam_cools_to_is_refused() -> None:
    """A seam stays above its surroundings for ever: no time is given for that."""
    with pytest.raises(OutOfRange) as caught:
        replace(USUAL, ambient=310.0).time_above(305.0)
    assert caught.value.data["above"] == 310.0


def test_sheet_in_the_sun_is_hotter_than_the_air_above() -> None:
    """A sheet warmer than the ambient raises the contact temperature, the ambient does not."""
    warm = replace(USUAL, sheet=USUAL.sheet + 10.0)
    rise = warm.contact_temperature - USUAL.contact_temperature
    assert rise == pytest.approx(6.4, abs=0.1)  # 1 - phi(beta) of 10 K, phi 0.358 by hand


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_impossible_laps_are_refused(bad: float) -> None:
    """Speed, kappa and thickness must lie above zero."""
    for change in ({"speed": bad}, {"kappa": bad}, {"membrane": replace(TPO, thickness=bad)}):
        with pytest.raises(OutOfRange):
            replace(USUAL, **change)


def test_unknown_substrate_is_refused_with_the_known_ones() -> None:
    """A substrate that nobody described is an error that lists those known."""
    with pytest.raises(LapwrightError) as caught:
        replace(USUAL, substrate="moss")
    assert caught.value.code == "unknown_substrate"
    assert caught.value.data == {"value": "moss", "known": ", ".join(sorted(SUBSTRATES))}
