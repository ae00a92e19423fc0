"""A doubt as figures: feet, chances, cuts and a cost that claims no more than it knows."""

from __future__ import annotations

import pytest
from tests import cast

from lapwright.job.doubting import doubted
from lapwright.job.testing import limits_of
from lapwright.proof.bounding import Cause, Rates
from lapwright.proof.suspect import suspicions
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.report.figures import Reader
from lapwright.report.suspectfigures import Doubt, doubt_figures, two_figures
from lapwright.report.suspecttext import doubt_text

RULES = read_rule_book([])
MORNING = cast.morning()
FACTS = [
    *MORNING,
    *cast.ran("A-S001", "0 ft", "400 ft", at="08:00", until="08:40", decision=MORNING[-1]),
    *cast.ran("A-S002", "0 ft", "50 ft", at="08:10", operator=cast.INES),
]


def doubt(*facts: Fact, cause: Cause = "local", rates: Rates | None = None) -> Doubt:
    """The first doubt of a cut that failed at 150 ft."""
    cut = cast.fact("cut", at="10:00", number="C1", seam="A-S001", station="150 ft")
    strip = cast.fact("strip", at="10:20", of=cut, number="1", pull="cold")
    record = cast.record(FACTS, cut, strip, list(facts))
    found = suspicions(record, limits_of(RULES))[0]
    return Doubt(record, found, cause, rates or Rates(), doubted(record, found, rules=RULES))


def test_figures_hold_all_that_a_page_shows() -> None:
    """What failed, who, the bounds, feet with chances, next cuts, cost, sisters."""
    figures = doubt_figures(doubt(), Reader())
    assert figures["says"] == "Cut C1 failed"
    assert (figures["operator"], figures["machine"]) == ("Tom", "3")
    assert figures["length_ft"] == 400.0
    assert figures["since"]["number"] == "7"
    assert figures["until"] is None
    assert (figures["bounded"], figures["closed"]) == (False, False)
    assert [(cut["station_ft"], cut["why"]) for cut in figures["next_cuts"]] == [
        (140.0, "step_back"),
        (162.0, "step_on"),
    ]
    assert 0.0 < figures["spans"][0]["p_bad"] < 0.2
    assert [sister["why"] for sister in figures["sisters"]] == ["generator"]
    # $4.50 x 2 ft and x 400 ft; 14 steps within 150 ft, 24 within 248 ft
    assert figures["cost"] == {
        "low": 9, "high": 1800, "fewest_cuts": 2, "most_cuts": 38, "cuts_counted": False,
    }  # fmt: skip


def test_the_text_says_the_same_in_each_language() -> None:
    """Feet, cuts and cost in words; halving comes with its warning."""
    text = str(doubt_text(doubt(cause="change", rates=Rates(cut=60.0)), Reader()))
    assert "400 ft suspect: Tom, machine 3" in text
    assert "A-S001 75 ft: half-way back to the last pass" in text
    assert "confirm with one more cut" in text
    assert "cover strip 4.5 a ft" in text
    spanish = str(doubt_text(doubt(), Reader("es", "metric")))
    assert "122 m en duda" in spanish
    assert "Los cortes cuentan sin costo" in spanish


def test_a_failed_test_weld_and_a_false_weld_are_named() -> None:
    """Whatever failed is told by its kind and number."""
    failed = cast.welded("T9", "860 f", "cc", at="08:50", purpose="trigger")
    record = cast.record(FACTS, failed)
    (found,) = suspicions(record, limits_of(RULES))
    told = Doubt(record, found, "local", Rates(), ())
    assert doubt_figures(told, Reader())["says"] == "Test weld T9 failed"
    false = cast.fact("defect", at="10:00", number="D1", seam="A-S001", station="9 ft",
                      type="false_weld")  # fmt: skip
    record = cast.record(FACTS, false)
    (found,) = suspicions(record, limits_of(RULES))
    told = Doubt(record, found, "local", Rates(), ())
    assert doubt_figures(told, Reader())["says"] == "Defect D1: false weld"


@pytest.mark.parametrize(
    ("value", "rounded"), [(0, 0), (4.4, 4), (99.4, 99), (129, 130), (1849, 1800), (45_500, 46_000)]
)
def test_money_keeps_two_figures(value: float, rounded: int) -> None:
    """More figures than two would claim what nobody knows."""
    assert two_figures(value) == rounded
