"""Hygiene and builders for every test: no test may fail because a machine is slow."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence

import pytest
from hypothesis import settings

from lapwright.units import to_si
from lapwright.window.strips import Overheat, Pull, Strip, TestWeld

# The same examples on every run where a failure would only stop somebody; new ones elsewhere.
settings.register_profile(
    "patient", deadline=None, print_blob=True, derandomize=bool(os.environ.get("CI"))
)
settings.load_profile("patient")

WORDS: dict[str, Pull] = {"c": "cold", "p": "partial", "f": "full", "k": "skin", "b": "break",
                          "s": "split", "x": "invalid"}  # fmt: skip


def _weld(
    number: int | str,
    air_f: float,
    pulls: str,
    heats: Overheat | Sequence[Overheat | None] | None = "none",
    *,
    speed: float = 10.0,
    sheet: float = 80.0,
    ambient: float = 80.0,
    measured_air_f: float | None = None,
) -> TestWeld:
    """A test weld in field units: one letter per pull, heat signs for all strips or each."""
    each = [heats] * len(pulls) if heats is None or isinstance(heats, str) else list(heats)
    return TestWeld(
        number=str(number),
        air=to_si(air_f, "f"),
        speed=to_si(speed, "ft_min"),
        ambient=to_si(ambient, "f"),
        sheet=to_si(sheet, "f"),
        strips=tuple(
            Strip(str(place), WORDS[letter], seen)
            for place, (letter, seen) in enumerate(zip(pulls, each, strict=True), start=1)
        ),
        measured_air=None if measured_air_f is None else to_si(measured_air_f, "f"),
    )


@pytest.fixture(scope="session")
def weld() -> Callable[..., TestWeld]:
    """Builder of test welds: ``weld(1, 800, "fff", "none", speed=10, sheet=80)``."""
    return _weld


@pytest.fixture(scope="session")
def ladder_welds() -> tuple[TestWeld, ...]:
    """The practice ladder at 80 F sheet and 10 ft/min: cold, bottom, sound, sound, sound, hot.

    600 F opens, 700 F tears part of the film, 800 to 1000 F tear all of it without a heat
    sign, 1148 F shows signs. Common practice, no source; that 1000 F is a usual first trial
    and 1148 F was judged too hot is from trade talk.
    """
    return (
        _weld(1, 600, "ccc"),
        _weld(2, 700, "pfp"),
        _weld(3, 800, "fff"),
        _weld(4, 900, "fff"),
        _weld(5, 1000, "fff"),
        _weld(6, 1148, "fff", "signs"),
    )
