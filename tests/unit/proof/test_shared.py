"""A late find leads to every run that shares what is blamed."""

from __future__ import annotations

import pytest
from tests import cast

from lapwright.errors import LapwrightError
from lapwright.proof.shared import Blame, sharing

FOOT = 0.3048
RUNS = [
    cast.ran("A-S001", "0 ft", "50 ft", at="08:00"),
    cast.ran("A-S002", "0 ft", "90 ft", at="09:00", operator=cast.INES),
    cast.ran("A-S003", "0 ft", "20 ft", at="10:00", machine=cast.OTHER_MACHINE,
             power_setup=cast.OTHER_POWER),
    cast.ran("A-E001-1", "0 ft", "5 ft", at="08:00", day="2026-05-05", power_setup=None),
]  # fmt: skip
RECORD = cast.record(cast.SETUP, *RUNS)


@pytest.mark.parametrize(
    ("blame", "lengths"),
    [
        ("machine", [90, 50, 5]),
        ("operator", [50, 20, 5]),
        ("power_setup", [90, 50]),
        ("pairing", [90, 50, 20, 5]),
        ("day", [90, 50, 20]),
    ],
)
def test_runs_that_share_it_come_chain_by_chain(blame: Blame, lengths: list[int]) -> None:
    """Each chain with its feet, the most feet first."""
    found = sharing(RECORD, RUNS[0][0].id, blame)
    assert [round(each.length / FOOT) for each in found] == lengths


def test_nobody_is_blamed_for_what_is_not_known() -> None:
    """Power that was not recorded is shared with nobody, and a run must be one."""
    with pytest.raises(LapwrightError, match="not_known_of_run"):
        sharing(RECORD, RUNS[3][0].id, "power_setup")
    with pytest.raises(LapwrightError, match="no_such_run"):
        sharing(RECORD, cast.TOM.id, "day")
