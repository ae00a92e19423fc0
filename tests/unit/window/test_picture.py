"""What a drawing of the window needs."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lapwright.units import to_si
from lapwright.window.belief import Belief
from lapwright.window.edges import Conditions
from lapwright.window.picture import Picture, Reading, picture, worst_reading
from lapwright.window.prior import Prior
from lapwright.window.soundness import Soundness, Tested
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
HERE = Conditions(speed=to_si(10, "ft_min"), sheet=to_si(80, "f"), ambient=to_si(80, "f"))
AIR = np.linspace(600.0, 900.0, 31)


def draw(*welds: TestWeld, here: Conditions = HERE, speeds: int = 1) -> Picture:
    """Picture after some welds."""
    belief = Belief.before(Prior()).observe_all(welds)
    return picture(belief, Soundness(belief, Tested.of(welds)), here, welds, air=AIR, speeds=speeds)


@pytest.mark.parametrize(
    ("pulls", "heats", "reading"),
    [
        ("fff", "signs", "hot"),
        ("ccc", "signs", "hot"),
        ("fpc", "none", "cold"),
        ("fpf", "none", "partial"),
        ("fff", None, "full"),
        ("sx", "none", "unread"),
    ],
)
def test_worst_reading_counts(weld: Build, pulls: str, heats: str | None, reading: Reading) -> None:
    """Heat signs before cold before partial before full; nothing valid is unread."""
    assert worst_reading(weld(1, 800, pulls, heats)) == reading


def test_a_weld_at_the_conditions_lies_at_its_setting(weld: Build) -> None:
    """Welded as the picture stands, a weld is marked at its own air temperature."""
    (mark,) = draw(weld(7, 800, "fff")).marks
    assert mark.number == "7"
    assert mark.air == pytest.approx(to_si(800, "f"))
    assert mark.set_air == to_si(800, "f")
    assert mark.looked


def test_a_colder_lap_is_marked_cooler(weld: Build) -> None:
    """Welded faster, or met by cooler air than set, a weld lies left of its setting."""
    fast, measured, blind = draw(
        weld(1, 800, "fff", speed=13),
        weld(2, 800, "fff", measured_air_f=760),
        weld(3, 800, "f", None),
    ).marks
    assert fast.air < to_si(800, "f") - 10
    assert fast.speed == pytest.approx(to_si(13, "ft_min"))
    assert measured.air == pytest.approx(to_si(760, "f"))
    assert not blind.looked


def test_the_curve_is_the_map_at_the_conditions(ladder_welds: tuple[TestWeld, ...]) -> None:
    """The middle row of the map is the curve; rows run from slow to fast about it."""
    drawn = draw(*ladder_welds, speeds=5)
    assert drawn.p_map.shape == (5, len(AIR))
    assert drawn.p_map[2] == pytest.approx(drawn.p_sound)
    assert drawn.speed[[0, 2, 4]] == pytest.approx(np.array([1 / 1.6, 1, 1.6]) * HERE.speed)
    peaks = AIR[np.argmax(drawn.p_map[1:4], axis=1)]
    assert np.all(np.diff(peaks) > 0)  # faster needs hotter


def test_one_speed_is_the_curve_alone(ladder_welds: tuple[TestWeld, ...]) -> None:
    """A map of one row is the curve at the stated speed."""
    drawn = draw(*ladder_welds)
    assert drawn.speed == pytest.approx([HERE.speed])
    assert drawn.p_map[0] == pytest.approx(drawn.p_sound)
    assert drawn.p_sound.max() > 0.9
