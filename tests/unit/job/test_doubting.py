"""Suspect feet ranked by the window of their morning and the sky they met."""

from __future__ import annotations

import pytest
from tests import cast

from lapwright.job.doubting import doubted
from lapwright.job.morning import Morning
from lapwright.job.testing import ask, limits_of
from lapwright.proof.suspect import suspicions
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.units import to_si

RULES = read_rule_book([])
MORNING = cast.morning()
DECISION = MORNING[-1]


def chances(*facts: Fact) -> list[tuple[str, float | None]]:
    """Seam and P(bad) of the feet that a failed cut puts in doubt."""
    cut = cast.fact("cut", at="16:00", number="C1", seam="A-S001", station="50 ft")
    strip = cast.fact("strip", at="16:20", of=cut, number="1", pull="cold")
    record = cast.record(MORNING, list(facts), cut, strip)
    (doubt,) = suspicions(record, limits_of(RULES))
    return [(each.suspect.seam, each.p_bad) for each in doubted(record, doubt, rules=RULES)]


def test_the_chance_is_the_windows_at_the_sheet_then() -> None:
    """P(bad) is 1 - P(sound) of the morning's belief at the run's setting and sheet."""
    run = cast.ran("A-S001", "0 ft", "100 ft", decision=DECISION)
    ((_, p_bad),) = chances(*run)
    record = cast.record(MORNING)
    from lapwright.proof.chains import Chains

    asked = ask(record, Chains(record).of(DECISION), at=DECISION.moment, rules=RULES)
    soundness = Morning(asked.question).soundness
    sheet, speed = to_si(80, "f"), to_si(10, "ft_min")
    assert p_bad == pytest.approx(
        1 - float(soundness.at(to_si(860, "f"), speed=speed, sheet=sheet))
    )
    assert 0.0 < p_bad < 0.2


def test_the_worst_feet_come_first_and_unknown_ones_last() -> None:
    """A far cooler setting is likelier bad; without a set point nobody knows."""
    runs = [
        *cast.ran("A-S001", "0 ft", "100 ft", at="08:00", decision=DECISION),
        *cast.ran("A-S002", "0 ft", "100 ft", at="08:20", decision=DECISION, air="700 f"),
        *cast.ran("A-S003", "0 ft", "100 ft", at="08:40"),
    ]
    told = chances(*runs)
    assert [seam for seam, _ in told] == ["A-S002", "A-S001", "A-S003"]
    assert told[0][1] is not None
    assert told[0][1] > 0.3
    assert told[2][1] is None


def test_what_was_not_read_gives_no_chance() -> None:
    """No sheet read, a dial mark, a sheet far beyond the tests: None, never a guess."""
    unread = cast.fact("conditions", at="08:30", sheet=None)
    cold = cast.fact("conditions", at="09:30", sheet="20 f measured")
    runs = [
        *cast.ran("A-S001", "0 ft", "100 ft", at="08:00", decision=DECISION, air="6 dial"),
        *cast.ran("A-S002", "0 ft", "100 ft", at="08:40", decision=DECISION),
        *cast.ran("A-S003", "0 ft", "100 ft", at="09:40", decision=DECISION),
    ]
    told = dict(chances(unread, cold, *runs))
    assert told["A-S002"] is None
    assert told["A-S003"] is None
    assert told["A-S001"] is not None  # the dial stands for the decided setting


def test_a_decision_without_a_question_gives_no_chance() -> None:
    """A set point that no test weld or weather stands behind has no window to ask."""
    later = cast.fact("machine", at="07:39", number="3", hottest_air="400 f", coolest_air="500 f")
    run = cast.ran("A-S001", "0 ft", "100 ft", decision=DECISION)
    assert chances(later, *run) == [("A-S001", None)]
