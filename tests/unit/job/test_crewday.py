"""Today at a glance adds up what the rooms below say, and counts what is missing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import pytest
from tests import cast

from lapwright.job.crewday import CrewDay, as_of, crew_day
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact

FOOT = 0.3048
RULES = read_rule_book([])
MORNING = cast.morning()
DECISION = MORNING[-1]


def at(clock: str, day: str = cast.DAY) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock, day=day))


def today(*facts: Fact | Sequence[Fact], clock: str = "12:00", day: str = cast.DAY) -> CrewDay:
    """The cast's day with more facts."""
    return crew_day(cast.record(MORNING, *facts), at=at(clock, day), rules=RULES)


def test_a_day_adds_up_its_feet() -> None:
    """100 ft proved and 40 ft without a set point, 60 ft of it all probed."""
    runs = [
        cast.ran("A-S001", "0 ft", "100 ft", at="08:00", decision=DECISION),
        cast.ran("A-S002", "0 ft", "40 ft", at="08:12"),
    ]
    probe = cast.fact("probe", at="09:00", seam="A-S001", start="0 ft", end="60 ft",
                      prober=cast.LUZ)  # fmt: skip
    day = today(*runs, probe)
    assert (day.day, len(day.runs)) == (cast.DAY, 2)
    assert day.welded == pytest.approx(140 * FOOT)
    assert day.length("orphan") == pytest.approx(40 * FOOT)
    assert day.length("unprobed") == day.backlog.length == pytest.approx(80 * FOOT)
    assert day.counts["welded_mm"] == 42672
    assert [standing.chain.machine for standing in day.standings] == [cast.MACHINE.id]


def test_what_is_open_is_open_for_the_whole_job() -> None:
    """Yesterday's void and unprobed feet are still there this morning; its runs are not."""
    run = cast.ran("A-S001", "0 ft", "50 ft", at="08:00", decision=DECISION)
    void = cast.fact("defect", at="09:00", number="V1", seam="A-S001", station="9 ft")
    joint = cast.fact("t_joint", at="09:00", number="T1", creased=True)
    day = today(run, void, joint, clock="07:00", day="2026-05-05")
    assert (day.runs, day.welded) == ((), 0.0)
    assert [each.defect for each in day.open_defects] == [void]
    assert [each.number for each in day.open_joints] == ["T1"]
    assert day.backlog.length == pytest.approx(50 * FOOT)
    assert day.counts["open_defects"] == day.counts["open_joints"] == 1


def test_sign_off_is_told_every_field_it_still_needs() -> None:
    """A run of band and evenness left out of two strips; a value given later closes it."""
    weld = cast.welded(8, "860 f", "", at="08:00")
    strip = cast.fact("strip", at="08:20", of=weld[0], number="1", pull="full", band=None,
                      evenness=None)  # fmt: skip
    fix = cast.fact("correction", at="08:30", of=strip, field="evenness", new="full")

    def missing(*facts: Fact) -> list[str]:
        return [each.field for each in today(weld, *facts).missing if each.fact.kind == "strip"]

    assert missing(strip) == ["band", "evenness"]
    assert missing(strip, fix) == ["band"]
    assert [each["number"] for each in today(weld, strip).unfinished] == ["8"]


def test_a_day_is_as_it_stood_at_the_moment() -> None:
    """At noon nobody knows of the afternoon, neither of its runs nor of its corrections."""
    run = cast.ran("A-S001", "0 ft", "50 ft", at="08:00", decision=DECISION)
    later = cast.ran("A-S001", "50 ft", "90 ft", at="14:00", decision=DECISION)
    fix = cast.fact("correction", at="15:00", of=run[1], field="station", new=cast.measure("40 ft"))
    noon, evening = today(run, later, fix), today(run, later, fix, clock="17:00")
    assert noon.welded == pytest.approx(50 * FOOT)
    assert evening.welded == pytest.approx(80 * FOOT)


def test_a_clock_that_is_ahead_is_told() -> None:
    """Facts of tomorrow are not lost in silence; ten minutes are no matter."""
    ahead = cast.ran("A-S001", "0 ft", "50 ft", at="08:00", day="2026-05-05")
    day = today(ahead)
    assert [(each.code, each.data) for each in day.cautions] == [("facts_ahead", {"count": "2"})]
    assert today(cast.fact("conditions", at="12:05")).cautions == ()


def test_what_lies_past_the_plan_is_told_where_there_is_a_plan() -> None:
    """A run past its seam's planned end is a doubt about the record; without a plan it is not."""
    plan = cast.fact("plan", at="06:00", area="A", outline=[],
                     seams=[{"id": "A-S001", "spans": [[0, 10]]}])  # fmt: skip
    run = cast.ran("A-S001", "0 ft", "50 ft", decision=DECISION)
    assert [each.data for each in today(plan, run).cautions] == [{"seams": "A-S001"}]
    assert today(run).cautions == ()


def test_a_record_without_later_facts_is_left_as_it_is() -> None:
    """Looking at the end of the day costs nothing."""
    record = cast.record(MORNING)
    assert as_of(record, at("23:00")) is record
    assert as_of(record, at("06:00")).all("test_weld") == []
