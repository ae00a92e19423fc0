"""What a strip can tell, and what it cannot."""

from __future__ import annotations

from collections.abc import Callable
from itertools import permutations

import pytest

from lapwright.window.strips import PULLS, TestWeld, in_order

Build = Callable[..., TestWeld]


@pytest.mark.parametrize(
    ("pulls", "counts"),
    [
        ("cpf", (1, 1, 1)),
        ("kkc", (3, 0, 0)),  # a skin bond opened at the faces
        ("bff", (0, 0, 3)),  # the sheet broke beside a weld that held
        ("sxx", (0, 0, 0)),  # nothing learnt of the bottom
        ("", (0, 0, 0)),
    ],
)
def test_a_pull_grade_speaks_of_the_bottom(
    weld: Build, pulls: str, counts: tuple[int, int, int]
) -> None:
    """Each grade counts as cold, partial or full, or not at all."""
    assert weld(1, 800, pulls).bond_counts == counts


def test_every_grade_has_a_reading(weld: Build) -> None:
    """No grade is left out of the builder or of the table of readings."""
    strips = weld(1, 800, "ckpfbsx").strips
    assert sorted(strip.pull for strip in strips) == sorted(PULLS)


def test_not_looked_is_not_none(weld: Build) -> None:
    """A strip nobody looked at counts on neither side."""
    assert weld(1, 800, "ffff", [None, "none", "none", "signs"]).heat_counts == (2, 1)


def test_pulls_leave_the_heat_count_alone(weld: Build) -> None:
    """Overheat counts do not depend on how the strips came apart."""
    assert weld(1, 800, "ccc", "signs").heat_counts == weld(1, 800, "fff", "signs").heat_counts


@pytest.mark.parametrize(
    ("pulls", "heats", "clean"),
    [
        ("fff", "none", True),
        ("ffx", "none", True),  # an invalid strip says nothing
        ("fff", ["none", None, None], True),  # one answer for the weld
        ("fff", None, False),
        ("fff", ["none", "signs", "none"], False),
        ("ffp", "none", False),
        ("ffb", "none", False),
        ("ffs", "none", False),
        ("xxx", "none", False),
        ("", "none", False),
    ],
)
def test_a_clean_weld_is_full_and_looked_at(
    weld: Build, pulls: str, heats: str | None, clean: bool
) -> None:
    """Clean means: every valid strip full, somebody looked, nobody saw a sign."""
    assert weld(1, 800, pulls, heats).is_clean is clean


def test_measured_air_wins(weld: Build) -> None:
    """The air measured in the nozzle counts, the setting only without it."""
    assert weld(1, 800, "f").true_air == weld(1, 800, "f").air
    measured = weld(1, 800, "f", measured_air_f=760)
    assert measured.true_air == measured.measured_air != measured.air


def test_welds_go_by_number_then_by_name(weld: Build) -> None:
    """Numbers count as numbers, names come after them; the order given does not matter."""
    names = ("2", "10", "1.5", "A", "b")
    for given in permutations(names):
        found = in_order(tuple(weld(name, 800, "f") for name in given))
        numbers = [each.number for each in found]
        assert numbers.index("2") < numbers.index("10") < numbers.index("A") < numbers.index("b")
        assert numbers == [each.number for each in in_order(found)]
