"""One day for its paper: what each chain did, in order, and all that hangs on a test weld."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import datetime

import pytest
from tests import cast

from lapwright.job.closingday import ClosedDay, Tester, closed_days
from lapwright.job.crewday import crew_days
from lapwright.job.testing import limits_of
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact
from lapwright.record.replay import Record

FOOT = 0.3048
RULES = read_rule_book([])
LIMITS = limits_of(RULES)


def days(*facts: Fact | Sequence[Fact]) -> tuple[ClosedDay, ...]:
    """Every day of the cast's set-up and more."""
    record = cast.record(cast.SETUP, *facts)
    at = datetime.fromisoformat(cast.time("23:00", day="2026-05-08"))
    return closed_days(record, crew_days(record, at=at, rules=RULES), Tester(record, LIMITS))


WELD = cast.welded(1, "860 f", "fpfffffffff", at="07:05")
OTHER = cast.welded(2, "860 f", "fff", at="07:30", machine=cast.OTHER_MACHINE)
SET = cast.decided([*WELD], at="07:40")
RUN = cast.ran("A-S001", "0 ft", "60 ft", at="08:00", decision=SET)


def test_a_test_weld_comes_with_all_that_hangs_on_it() -> None:
    """Strips by their number (2 before 10), second looks, hot looks and force traces in order."""
    weld, look, *strips = WELD
    again = cast.fact("strip", at="08:30", of=weld, number="2", pull="skin", second_look=True)
    pulls = [
        cast.fact("peel_trace", at=at, strip=strip, file=sign * 64, rate="2 in_min", width="1 in")
        for at, strip, sign in (("09:00", strips[9], "a"), ("09:05", strips[0], "b"))
    ]
    record = cast.record(cast.SETUP, strips[::-1], again, weld, look, pulls, OTHER)
    found = Tester(record, LIMITS).of(weld)
    assert [strip["number"] for strip in found.strips] == [
        "1", "2", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11",
    ]  # fmt: skip
    assert found.fact == weld
    assert found.looks == (look,)
    assert [pull["file"][0] for pull in found.pulls] == ["b", "a"]
    assert (found.result.verdict, found.result.reasons) == ("failed", ("skin",))


def test_a_cut_is_judged_like_a_weld() -> None:
    """A cut has strips and a verdict and nobody looked at it while hot; without strips, none."""
    cut = cast.fact("cut", number="C1", seam="A-S001", station="9 ft", at="10:00")
    strip = cast.fact("strip", of=cut, number="1", pull="full", at="10:15")
    bare = cast.fact("cut", number="C2", seam="A-S001", station="19 ft", at="10:00")
    tester = Tester(cast.record(cast.SETUP, cut, strip, bare), LIMITS)
    found, empty = tester.of(cut), tester.of(bare)
    assert (found.result.verdict, found.strips, found.looks) == ("passed", (strip,), ())
    assert (empty.result.verdict, empty.strips, empty.pulls) == ("unfinished", (), ())


def test_each_chain_has_its_welds_set_points_and_runs() -> None:
    """What one machine did stands together; a set-up told anew is no other machine."""
    told_anew = cast.fact("machine", at="07:50", number="3", coolest_air="500 f")
    more = cast.ran("A-S002", "0 ft", "40 ft", at="08:30", decision=SET, machine=told_anew)
    (day,) = days(WELD, OTHER, SET, RUN, told_anew, more)
    first, second = day.chains
    assert (first.chain.machine, second.chain.machine) == (cast.MACHINE.id, cast.OTHER_MACHINE.id)
    assert [each.fact for each in first.tested] == [WELD[0]]
    assert first.decisions == (SET,)
    assert [run.run for run in first.runs] == [RUN[0], more[0]]
    assert first.length == pytest.approx(100 * FOOT)
    assert [each.fact for each in second.tested] == [OTHER[0]]
    assert (second.decisions, second.runs, second.length) == ((), (), 0)


def test_a_run_over_a_run_counts_twice_in_what_the_chain_ran() -> None:
    """Welded anew is run over again; what the seam has of it is once."""
    (day,) = days(WELD, SET, RUN, cast.ran("A-S001", "0 ft", "60 ft", at="09:00", decision=SET))
    assert day.chains[0].length == pytest.approx(120 * FOOT)
    assert day.work.welded == pytest.approx(60 * FOOT)


def test_who_only_ran_or_only_decided_is_a_chain_too() -> None:
    """A run without a test weld, or a set point alone, is not lost."""
    run = cast.ran("A-S001", "0 ft", "10 ft", operator=cast.INES)
    point = cast.decided([*WELD], machine=cast.OTHER_MACHINE)
    (day,) = days(run, point)
    assert [(len(each.tested), len(each.decisions), len(each.runs)) for each in day.chains] == [
        (0, 1, 0), (0, 0, 1),
    ]  # fmt: skip


def test_each_day_has_its_own_facts_by_kind_and_time() -> None:
    """Cuts, voids and welds stand under the day on the roof on which they happened, in order."""
    voids = [
        cast.fact("defect", at=at, day=day, number=at, seam="A-S001", station="9 ft")
        for day, at in (("2026-05-05", "09:00"), (cast.DAY, "11:00"), (cast.DAY, "10:00"))
    ]
    cut = cast.fact("cut", day="2026-05-05", at="23:30", number="C1", seam="A-S001",
                    station="9 ft")  # fmt: skip
    early = cast.fact("defect", at="12:00", number="07:00", seam="A-S001", station="9 ft")
    moved = cast.fact("correction", of=early, field="at", new=cast.time("07:00"), at="12:30")
    # 23:30 on the roof is Wednesday in Greenwich.
    monday, tuesday = days(WELD, voids, cut, early, moved)
    assert (monday.work.day, tuesday.work.day) == (cast.DAY, "2026-05-05")
    assert [each["number"] for each in monday.all("defect")] == ["07:00", "10:00", "11:00"]
    assert [each["number"] for each in tuesday.all("defect")] == ["09:00"]
    assert (monday.cuts, [each.fact for each in tuesday.cuts]) == ((), [cut])
    assert (tuesday.chains, tuesday.all("test_weld")) == ((), ())
    assert len(monday.all("strip")) == 11


def test_days_not_asked_for_are_left_out() -> None:
    """Only the days given come, in their order, also one without a fact."""
    record = cast.record(cast.SETUP, WELD)
    at = datetime.fromisoformat(cast.time("23:00"))
    works = crew_days(record, at=at, rules=RULES, days=["2026-05-09"])
    (day,) = closed_days(record, works, Tester(record, LIMITS))
    assert (day.work.day, day.chains, day.cuts, day.facts) == ("2026-05-09", (), (), {})


def test_the_order_of_facts_changes_nothing() -> None:
    """A day reads the same from facts in any order."""
    facts = [*cast.SETUP, *WELD, *OTHER, SET, *RUN]
    at = datetime.fromisoformat(cast.time("23:00"))

    def told(facts: Sequence[Fact]) -> list[object]:
        record = Record(facts)
        works = crew_days(record, at=at, rules=RULES)
        (day,) = closed_days(record, works, Tester(record, LIMITS))
        return [day.chains, day.cuts, {kind: day.all(kind) for kind in sorted(day.facts)}]

    for seed in range(3):
        assert told(random.Random(seed).sample(facts, len(facts))) == told(facts)
