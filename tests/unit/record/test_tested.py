"""The row of a test weld: what was read around it, as typed, as it holds now."""

from __future__ import annotations

import json

from tests import cast

from lapwright.record.fact import Fact
from lapwright.record.tested import Tested, each_tested, looks_of, strips_of


def rows(*facts: Fact | list[Fact]) -> list[Tested]:
    """Rows of the cast's record."""
    return list(each_tested(cast.record(cast.SETUP, *facts)))


def test_a_row_holds_what_was_typed_around_the_weld() -> None:
    """Measures come as typed with unit and source; refs are the ids that the weld names."""
    [row] = rows(cast.welded(1, "454,5 c set", "fp", heat="smoke", measured_speed="9.5 ft_min"))
    assert (row.job, row.day, row.machine) == (cast.JOB, cast.DAY, cast.MACHINE.id)
    assert row.pairing == cast.PAIRING.id
    assert json.loads(row.air or "") == {"typed": "454,5", "unit": "c", "how": "set"}
    assert json.loads(row.measured_speed or "")["typed"] == "9.5"
    assert json.loads(row.sheet or "")["how"] == "measured"
    assert json.loads(row.nozzle_width or "")["unit"] == "in"
    assert row.measured_air is None
    assert [(one["number"], one["pull"]) for one in strips_of(row.strips)] == [
        ("1", "full"), ("2", "partial"),
    ]  # fmt: skip
    [look] = looks_of(row.looks)
    assert (look["corner"], look["smoke"], look["brittle"]) == ("holds", True, False)


def test_what_is_not_here_is_not_known() -> None:
    """Without strips, look, nozzle, or conditions that arrived, a row says nothing of them."""
    elsewhere = cast.fact("conditions", at="06:00", day="2026-05-03")
    [row] = rows(cast.welded(1, "860 f", "", heat=None, nozzle=None, conditions=elsewhere))
    assert (row.sheet, row.ambient, row.nozzle_width) == (None, None, None)
    assert (row.strips, row.looks) == (None, None)
    assert strips_of(None) == looks_of(None) == []


def test_a_sign_nobody_looked_for_is_not_no() -> None:
    """None of a hot look stays None, and two looks stay two."""
    weld = cast.welded(1, "860 f", "", heat=None)
    looks = [
        cast.fact("hot_look", at=at, test_weld=weld[0], smoke=False) for at in ("07:09", "07:11")
    ]
    [row] = rows(weld, looks)
    assert [(one["corner"], one["smoke"], one["glaze"]) for one in looks_of(row.looks)] == [
        (None, False, None)
    ] * 2


def test_corrections_are_laid_over_the_row() -> None:
    """A strip moved to another weld counts there, a withdrawn weld has no row."""
    one, two = cast.welded(1, "860 f", "fp"), cast.welded(2, "900 f", "c", at="07:30")
    moved = cast.fact("correction", of=one[-1], field="of", new=two[0].id, at="08:00")
    gone = cast.fact("correction", of=one[0], field="withdrawn", new=True, at="08:01")
    assert [len(strips_of(row.strips)) for row in rows(one, two, moved)] == [1, 2]
    [row] = rows(one, two, moved, gone)
    assert row.id == two[0].id
