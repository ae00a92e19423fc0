"""Three rows beside the window: what was not said is never shown as good."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from lapwright.job.now import Said, present
from lapwright.physics.cords import find_gauge
from lapwright.readings.rules import read_rule_book
from lapwright.report.figures import Reader
from lapwright.report.nowfigures import now_figures
from lapwright.units import to_si
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld

RULES = read_rule_book([])
GOOD: dict[str, Any] = {  # as the bundled morning was welded: sheet 80 F, air 72 F
    "sheet": to_si(80, "f"),
    "ambient": to_si(72, "f"),
    "relative_humidity": 0.5,
    "since_pass": 3600.0,
    "gauge": find_gauge("10 AWG"),
    "length": to_si(100, "ft"),
}
NEEDS = {  # row: what has to be said for it
    "power": {"gauge", "length"},
    "dew": {"sheet", "ambient", "relative_humidity"},
    "holds": {"sheet", "ambient", "since_pass"},
}


def rows(welds: tuple[TestWeld, ...], reader: Reader | None = None, **said: Any) -> dict[str, Any]:
    """The rows of the bundled morning with something said."""
    now = present(Question(welds=welds), said=Said(**said), rules=RULES)
    return now_figures(now, RULES, reader or Reader())


def test_a_good_moment_has_three_good_rows(bundled_welds: tuple[TestWeld, ...]) -> None:
    """Everything said, nothing moved."""
    figures = rows(bundled_welds, **GOOD)
    assert [figures[row]["state"] for row in NEEDS] == ["good"] * 3
    assert "dry enough by the rule" in figures["dew"]["says"]
    assert (
        figures["holds"]["says"]
        == f"Set point still {figures['holds']['figure']} sound at sheet 80 °F."
    )


def test_what_is_not_said_is_never_good(bundled_welds: tuple[TestWeld, ...]) -> None:
    """With any one or two of the answers missing, the rows that need them are not said."""
    for missing in [*combinations(GOOD, 1), *combinations(GOOD, 2)]:
        said = {name: value for name, value in GOOD.items() if name not in missing}
        figures = rows(bundled_welds, **said)
        for row, needed in NEEDS.items():
            expected = "not_said" if needed & set(missing) else "good"
            assert figures[row]["state"] == expected, (row, missing)
            text = " ".join([figures[row]["says"], *figures[row]["notes"]])
            assert ("Not said:" in text) == (expected == "not_said")


def test_a_wet_sheet_stops(bundled_welds: tuple[TestWeld, ...]) -> None:
    """The gate is said first, then the figure with a true minus, then the hand."""
    dew = rows(bundled_welds, **{**GOOD, "sheet": to_si(50, "f")})["dew"]
    assert dew["state"] == "stop"
    assert dew["says"] == "Not dry: no weld. Sheet 2 °F below dew."
    assert (dew["figure"], dew["margin_f"]) == ("−2 °F", pytest.approx(-2.4, abs=0.5))
    assert dew["notes"] == ["Feel the lap by hand, too."]


def test_a_moved_sheet_asks_for_a_test_with_its_rule(bundled_welds: tuple[TestWeld, ...]) -> None:
    """Reason, figure, limit; in Spanish and metric with the decimal comma."""
    said = {**GOOD, "sheet": to_si(102, "f"), "since_pass": 4.5 * 3600}
    holds = rows(bundled_welds, **said)["holds"]
    assert holds["state"] == "stop"
    assert holds["says"] == (
        "Test again: sheet warmer by 22 °F (rule: 20 °F); 4.5 h since the last test (rule: 4 h)."
    )
    assert [each["code"] for each in holds["test_because"]] == ["sheet_moved", "time_since_pass"]
    spanish = rows(bundled_welds, Reader("es", "metric"), **said)["holds"]
    assert "12 °C más caliente (regla: 11 °C)" in spanish["says"]
    assert "4,5 h" in spanish["says"]


def test_short_power_is_told_against_what_the_strips_ask(
    bundled_welds: tuple[TestWeld, ...],
) -> None:
    """180 V reach less than the set point: a stop, and the window ends there."""
    power = rows(bundled_welds, volts=180.0)["power"]
    assert power["state"] == "stop"
    assert power["says"].startswith(f"Short: hottest air about {power['figure']}")
    assert power["margin_f"] == pytest.approx(power["max_air_f"] - 860.0, abs=0.2)
    assert power["notes"][0].startswith("The window stops at this heat")
    assert "180 V measured" in power["notes"][-1]


def test_a_cord_that_runs_hot_is_no_good_power(bundled_welds: tuple[TestWeld, ...]) -> None:
    """16 AWG carries 13 A by code; a welder of 4600 W draws some 20 A."""
    said = {**GOOD, "gauge": find_gauge("16 AWG"), "length": 10.0}
    power = rows(bundled_welds, **said)["power"]
    assert power["state"] == "care"
    assert any("its size is rated" in note for note in power["notes"])


def test_a_cord_is_named_as_the_language_writes_it(bundled_welds: tuple[TestWeld, ...]) -> None:
    """2,5 mm² in Spanish; what was assumed is said."""
    said = {**GOOD, "gauge": find_gauge("2.5 mm2"), "length": 10.0}
    note = rows(bundled_welds, Reader("es", "metric"), **said)["power"]["notes"][-1]
    assert "2,5 mm², 10 m" in note
    assert "supuestos" in note


def test_an_unconfirmed_set_point_is_not_said_to_hold(
    bundled_welds: tuple[TestWeld, ...],
) -> None:
    """After two welds there is nothing to hold; no chance is shown for it."""
    holds = rows(bundled_welds[:2], **GOOD)["holds"]
    assert (holds["state"], holds["figure"]) == ("care", None)
    assert "test first" in holds["says"]
