"""Marks of test welds: told apart without colour, never hidden by a neighbour."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from lapwright.job.morning import Morning
from lapwright.report.figures import Reader
from lapwright.report.marks import READINGS, Frame, glyph, weld_marks
from lapwright.window.picture import Mark
from lapwright.words import LANGUAGES


@pytest.mark.parametrize("language", LANGUAGES)
def test_readings_differ_in_shape_and_in_letter(language: Any) -> None:
    """Every two readings that strips can give differ in shape, and all differ in letter."""
    glyphs = {reading: glyph(reading, Reader(language)) for reading in READINGS}
    for one, other in combinations(READINGS, 2):
        assert glyphs[one]["letter"] != glyphs[other]["letter"]
        if "unread" not in (one, other):
            assert glyphs[one]["shape"] != glyphs[other]["shape"]


def test_no_letter_means_another_thing_in_the_other_language() -> None:
    """In a mixed crew F must not be full for one and cold (fría) for the other."""
    meanings: dict[str, set[str]] = {}
    for language in LANGUAGES:
        for reading in READINGS:
            meanings.setdefault(glyph(reading, Reader(language))["letter"], set()).add(reading)
    assert all(len(readings) == 1 for readings in meanings.values())


def test_failed_welds_are_black_and_sound_ones_white() -> None:
    """What passed and what did not is told by fill as well."""
    fills = {reading: glyph(reading, Reader())["fill"] for reading in READINGS}
    assert fills["full"] == "white"
    assert fills["cold"] == fills["partial"] == fills["hot"] != fills["full"]


def _frame(morning: Morning, *airs: float) -> Frame:
    picture = morning.picture(points=60, speeds=2)
    marks = tuple(Mark(str(n), air, air, 0.05, "full", True) for n, air in enumerate(airs))
    return Frame(replace(picture, marks=marks), Reader())


def test_near_welds_get_lanes_of_their_own(whole_morning: Morning) -> None:
    """Welds at one setting lie in different lanes; far ones share the first."""
    rows = weld_marks(_frame(whole_morning, 700.0, 700.0, 702.0, 850.0))
    assert sorted(row["lane"] for row in rows[:3]) == [0, 1, 2]
    assert rows[3]["lane"] == 0


def test_weld_outside_the_picture_is_shown_at_its_border(whole_morning: Morning) -> None:
    """A weld whose heat lies beyond the axis is not lost: border and arrow."""
    frame = _frame(whole_morning, 500.0, 1100.0)
    low, high = weld_marks(frame)
    assert (low["air"], high["air"]) == frame.span
    assert (low["number"], high["number"]) == ("0 ◀", "1 ▶")
