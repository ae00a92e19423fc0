"""The bundled morning, worked out once for all tests of paper and pictures."""

from __future__ import annotations

from pathlib import Path

import pytest

import lapwright
from lapwright.job.morning import Morning
from lapwright.readings.strips import read_welds
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld


@pytest.fixture(scope="session")
def bundled_welds() -> tuple[TestWeld, ...]:
    """The six test welds of the bundled example."""
    return read_welds(Path(lapwright.__file__).parent / "examples" / "morning.csv")


@pytest.fixture(scope="session")
def whole_morning(bundled_welds: tuple[TestWeld, ...]) -> Morning:
    """All six test welds: the window is found."""
    return Morning(Question(welds=bundled_welds))


@pytest.fixture(scope="session")
def early_morning(bundled_welds: tuple[TestWeld, ...]) -> Morning:
    """After two test welds: one more is needed."""
    return Morning(Question(welds=bundled_welds[:2]))
