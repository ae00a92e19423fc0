"""P(sound) of a set point follows the sheet that was read since."""

from __future__ import annotations

from datetime import datetime

import pytest
from tests import cast

from lapwright.job.chances import Chances
from lapwright.job.crewday import crew_day
from lapwright.job.morning import Morning
from lapwright.job.testing import ask
from lapwright.proof.chains import Chains
from lapwright.proof.runs import welded_runs
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.units import to_si

RULES = read_rule_book([])
MORNING = cast.morning()
DECISION = MORNING[-1]


def at(clock: str) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock))


def now(*facts: Fact, clock: str = "10:00") -> float | None:
    """Chance of the cast's set point at a time."""
    record = cast.record(MORNING, list(facts))
    return Chances(record, RULES).now(Chains(record).of(DECISION), at=at(clock))


def sky(sheet: str | None, clock: str = "09:00") -> Fact:
    """Conditions with this sheet."""
    return cast.fact("conditions", at=clock, sheet=sheet)


def test_the_chance_is_the_windows_at_the_sheet_read_last() -> None:
    """The same number that the morning's belief gives for that sheet."""
    record = cast.record(MORNING)
    asked = ask(record, Chains(record).of(DECISION), at=DECISION.moment, rules=RULES)
    soundness = Morning(asked.question).soundness
    for sheet in (80, 95):
        expected = soundness.at(to_si(860, "f"), speed=to_si(10, "ft_min"), sheet=to_si(sheet, "f"))
        assert now(sky(f"{sheet} f measured")) == pytest.approx(float(expected))


def test_a_far_colder_sheet_is_less_sound() -> None:
    """The same setting on a sheet 25 F colder heats the lap less."""
    cold, warm = now(sky("55 f measured")), now(sky("80 f measured"))
    assert cold is not None
    assert warm is not None
    assert cold < warm


def test_what_is_not_known_has_no_chance() -> None:
    """No sheet read, beyond the tests, no set point yet: None, never a guess."""
    assert now(sky(None)) is None
    assert now(sky("20 f measured")) is None
    assert now(clock="07:30") is None


def test_a_run_with_a_setting_of_its_own_has_its_own_chance() -> None:
    """A run at 700 F on a set point of 860 F is judged at 700 F."""
    runs = [*cast.ran("A-S001", "0 ft", "9 ft", decision=DECISION),
            *cast.ran("A-S002", "0 ft", "9 ft", at="08:20", decision=DECISION, air="700 f"),
            *cast.ran("A-S003", "0 ft", "9 ft", at="08:40")]  # fmt: skip
    record = cast.record(MORNING, runs)
    chances = Chances(record, RULES)
    decided, cooler, none = (chances.of_run(run) for run in welded_runs(record))
    assert decided is not None
    assert cooler is not None
    assert cooler < 0.7 < 0.9 < decided
    assert none is None


def test_a_day_asks_for_a_test_when_the_set_point_is_sound_no_more() -> None:
    """With the chances at hand the banner knows of the window; without them it does not."""
    decided = cast.decided(MORNING, at="07:50", air="740 f")
    record = cast.record(MORNING, decided, cast.ran("A-S001", "0 ft", "9 ft", decision=decided))
    for chances, expected in ((Chances(record, RULES), ["p_sound_low"]), (None, [])):
        day = crew_day(record, at=at("08:15"), rules=RULES, chances=chances)
        assert [trigger.name for trigger in day.standings[0].due] == expected
