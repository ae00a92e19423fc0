"""What a person asks about cuts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.job.proving import STRETCH
from lapwright.readings.cuts import asked_from

NOTHING: dict[str, Any] = {"taken": None, "bad": 0, "places": None, "voids": 0,
                           "noticed_percent": 100.0, "good_percent": None, "poor_percent": None,
                           "sure_percent": 95.0}  # fmt: skip


def test_percent_and_feet_become_shares_and_metres() -> None:
    """What is typed in field units is asked in SI."""
    asked = asked_from(
        NOTHING
        | {"good_percent": 1.0, "poor_percent": 10.0, "every_ft": 500.0, "probed_m": 100.0,
           "noticed_percent": 80.0}
    )  # fmt: skip
    assert (asked.good, asked.poor, asked.noticed) == (0.01, 0.1, 0.8)
    assert asked.spacing == pytest.approx(152.4)
    assert (asked.probed, asked.stretch) == (100.0, STRETCH)


def test_no_question_and_half_a_question_are_refused() -> None:
    """Something must be asked; good and poor go together; one unit at a time; 95, not 0.95."""
    with pytest.raises(LapwrightError, match="cuts_nothing_asked"):
        asked_from(dict(NOTHING))
    with pytest.raises(LapwrightError, match="goes_together"):
        asked_from(NOTHING | {"good_percent": 1.0})
    with pytest.raises(LapwrightError, match="stated_twice"):
        asked_from(NOTHING | {"every_ft": 500.0, "every_m": 150.0})
    with pytest.raises(OutOfRange):
        asked_from(NOTHING | {"taken": 3, "sure_percent": 0.95})


def test_groups_come_from_a_file(tmp_path: Path) -> None:
    """A file alone is a question."""
    file = tmp_path / "groups.csv"
    file.write_text("group,taken,bad,length_ft\nhand,3,0,100\n", encoding="utf-8")
    (group,) = asked_from(dict(NOTHING), groups=file).groups
    assert (group.name, group.taken, group.length) == ("hand", 3, pytest.approx(30.48))
