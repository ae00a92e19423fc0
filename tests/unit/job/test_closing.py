"""A close-out joins what the rooms below say: its sums against a week counted by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from tests import cast

from lapwright.job.closing import Closeout, close_out
from lapwright.readings.facts import read_facts
from lapwright.readings.rules import read_rule_book
from lapwright.record.chain import NOTHING, Entry
from lapwright.record.fact import Fact
from lapwright.record.ledger import ListLedger
from lapwright.record.replay import Record

FOOT = 0.3048
RULES = read_rule_book([])
MORNING = cast.morning()
DECISION = MORNING[-1]


def at(clock: str, day: str = cast.DAY) -> datetime:
    """A moment of the cast's roof."""
    return datetime.fromisoformat(cast.time(clock, day=day))


@pytest.fixture(scope="module")
def facts() -> list[Fact]:
    """The invented week of the examples."""
    return read_facts(Path(str(files("lapwright").joinpath("examples", "week.jsonl"))))


@pytest.fixture(scope="module")
def week(facts: list[Fact]) -> Closeout:
    """The whole week on its last evening."""
    return close_out(Record(facts), at=at("23:00", "2026-05-08"), rules=RULES)


def closed(*more: Fact | Sequence[Fact], clock: str = "23:00", **asked: Any) -> Closeout:
    """The cast's morning and more, closed."""
    return close_out(cast.record(MORNING, *more), at=at(clock), rules=RULES, **asked)


def feet(metres: float) -> float:
    """Metres as the hand counted."""
    return round(metres / FOOT, 3)


# The week as tests/week.py tells it, in feet. Welded: seams 1 to 6 of 180 but for a gap of 6,
# seams 7 to 11 of 110, six end laps of 10: 1074 + 550 + 60 = 1684.
def test_the_week_adds_up_as_counted_by_hand(week: Closeout) -> None:
    """Each state of the week's seam in feet, counted from the story of the week."""
    sums = week.sums
    assert feet(sums.welded) == 1684
    assert week.planned == pytest.approx(sums.length)  # nothing was welded beyond the plan
    assert feet(sums.states["bare"]) == feet(sums.length) - 1684
    assert feet(sums.states["orphan"]) == 60  # the stand-in on Thursday
    assert feet(sums.states["stale"]) == 90  # behind the second tool on Wednesday
    assert feet(sums.states["set_aside"]) == 180  # a whole seam after Tuesday's overruling
    assert feet(sums.states["unprobed"]) == 110 + 40 + 20  # Thursday's last, Friday's rest
    assert feet(sums.states["open_defect"]) == 1  # her own patch, and a scratch: half a foot each
    assert (feet(sums.backed), feet(sums.probed)) == (1684 - 60, 1684 - 170)
    # Nothing lacks twice but for her patch, which lies on what was set aside.
    assert feet(sums.proved) == 1684 - 60 - 90 - 180 - 170 - 0.5


def test_doubt_lies_where_no_passing_cut_bounds_it(week: Closeout) -> None:
    """The cold tool of Wednesday is covered; Thursday's failed cut is open from 50 ft on."""
    assert [doubt.is_closed for doubt in week.doubts] == [False, True]
    (open_one,) = week.open_doubts
    assert open_one.failure["number"] == "C5"
    ((seam, spans),) = week.doubtful.items()
    assert seam == "A-S009"
    assert [(feet(span.start), feet(span.end)) for span in spans] == [(50, 110)]
    assert feet(week.suspect) == 60
    assert week.proved == pytest.approx(week.sums.proved)  # those feet are unprobed anyway


def test_what_is_open_is_named_and_nothing_else(week: Closeout) -> None:
    """Every kind of open end of the week by its name; what is zero is left out."""
    left = week.open
    lengths = ("bare", "orphan", "stale", "set_aside", "open_defect", "unprobed", "suspect")
    assert {name: feet(left[name]) for name in lengths if name != "bare"} == {
        "orphan": 60, "stale": 90, "set_aside": 180, "open_defect": 1, "unprobed": 170,
        "suspect": 60,
    }  # fmt: skip
    assert (left["doubts"], left["open_defects"]) == (1, 2)
    assert left["open_joints"] == len(week.work.joints) - 4  # six made, two of them not probed
    assert left["missing_fields"] == sum(len(day.work.missing) for day in week.days)
    assert "running" not in left
    assert "unfinished_test_welds" not in left


def test_the_whole_job_holds_its_days(week: Closeout) -> None:
    """Five days in order, each with its own feet; cuts of all of them by time; five signatures."""
    assert [day.work.day for day in week.days] == [f"2026-05-0{n}" for n in (4, 5, 6, 7, 8)]
    assert [feet(day.work.welded) for day in week.days] == [360, 354, 360, 330, 280]
    assert sum(day.work.welded for day in week.days) == pytest.approx(week.sums.welded)
    assert [cut.fact["number"] for cut in week.cuts] == ["C1", "C2", "C3", "C4", "C5", "C6"]
    assert len(week.signed) == 5
    assert week.stretches == tuple(week.trace)
    assert (week.changes, week.photos, week.head) == ((), {}, None)


@pytest.mark.parametrize(("day", "suspect"), [("2026-05-06", 0), ("2026-05-07", 60)])
def test_one_day_says_what_is_the_days(
    facts: list[Fact], week: Closeout, day: str, suspect: float
) -> None:
    """Sums, stretches and doubts of one day only; cuts, changes and open ends of the job stay."""
    one = close_out(Record(facts), at=week.at, rules=RULES, day=day)
    (found,) = one.days
    same = next(each for each in week.days if each.work.day == day)
    assert found.work.stretches == one.stretches == same.work.stretches
    assert one.sums.length == pytest.approx(same.work.welded)
    assert one.sums.states["bare"] == 0
    assert feet(one.suspect) == suspect
    assert one.cuts == week.cuts
    assert one.planned == week.planned
    assert one.open["open_defects"] == week.open["open_defects"]
    assert one.counted == week.counted


def test_a_day_without_a_fact_is_an_empty_day(facts: list[Fact], week: Closeout) -> None:
    """A Sunday has no feet, no chains and no runs; what is open in the job is open on it too."""
    one = close_out(Record(facts), at=week.at, rules=RULES, day="2026-05-03")
    assert (one.sums.length, one.stretches, one.suspect) == (0.0, (), 0)
    assert [(day.work.day, day.chains) for day in one.days] == [("2026-05-03", ())]
    assert one.open["open_defects"] == 2


def test_without_a_fact_there_is_nothing_to_close() -> None:
    """An empty record: no plan, no day, no feet, nothing open."""
    empty = close_out(Record([]), at=at("12:00"), rules=RULES)
    assert (empty.planned, empty.sums.length, empty.proved, empty.open) == (None, 0.0, 0.0, {})


def test_what_happens_later_does_not_count(facts: list[Fact]) -> None:
    """Monday evening's paper is the same whether or not the week went on."""
    evening = at("23:00")
    monday = [fact for fact in facts if fact.moment <= evening]
    then, now = (close_out(Record(each), at=evening, rules=RULES) for each in (monday, facts))
    assert 0 < len(monday) < len(facts)
    assert [day.work.day for day in now.days] == [cast.DAY]
    assert feet(now.sums.welded) == 360
    assert (now.sums, now.open, now.counted) == (then.sums, then.open, then.counted)


RUN = cast.ran("A-S001", "0 ft", "100 ft", at="08:00", decision=DECISION)
PROBE = cast.fact("probe", at="09:00", seam="A-S001", start="0 ft", end="100 ft", prober=cast.LUZ)


def test_proved_is_what_lacks_nothing_and_is_not_in_doubt() -> None:
    """A failed cut takes its feet out of what is proved until passing cuts bound it."""
    assert feet(closed(RUN, PROBE).proved) == 100
    cut, strip = cast.fact("cut", at="10:00", number="C1", seam="A-S001", station="60 ft"), "1"
    failed = cast.fact("strip", at="10:15", of=cut, number=strip, pull="cold")
    alone = closed(RUN, PROBE, cut, failed)
    assert feet(alone.sums.proved) == 100
    assert feet(alone.proved) + feet(alone.suspect) == 100
    bounds: list[Fact] = []
    for place, station in enumerate(("50 ft", "70 ft"), start=2):
        one = cast.fact("cut", at="10:30", number=f"C{place}", seam="A-S001", station=station)
        bounds += [one, cast.fact("strip", at="10:45", of=one, number="1", pull="full")]
    bounded = closed(RUN, PROBE, cut, failed, bounds)
    (span,) = bounded.doubtful["A-S001"]
    # Cuts of 2 ft: sound from 50 to 52 and from 70 on, and a foot is added at each end.
    assert (feet(span.start), feet(span.end)) == (51, 71)
    assert feet(bounded.suspect) == 20
    assert feet(bounded.proved) == 80


def test_a_run_under_way_and_a_weld_not_pulled_are_open() -> None:
    """A run without an end and a test weld without strips are each counted."""
    begun = cast.fact("run", at="09:00", seam="A-S002", station="0 ft", decision=DECISION,
                      **cast.CHAIN)  # fmt: skip
    left = closed(RUN, begun, cast.welded(9, "860 f", "", at="09:10")).open
    assert (left["running"], left["unfinished_test_welds"]) == (1, 1)


def test_photos_are_found_by_what_they_show() -> None:
    """Two photos of a void under the void, in order of time; one of a run under the run."""
    void = cast.fact("defect", at="10:00", number="V1", seam="A-S001", station="9 ft")

    def photo(clock: str, of: Fact, sign: str) -> Fact:
        return cast.fact("photo", at=clock, of=of, file=sign * 64)

    late, early = photo("11:00", void, "b"), photo("10:05", void, "a")
    run = photo("08:30", RUN[0], "c")
    assert closed(RUN, void, late, early, run).photos == {
        void.id: (early, late),
        RUN[0].id: (run,),
    }


def test_corrections_are_told() -> None:
    """What was said otherwise later is part of the paper."""
    new = cast.measure("90 ft")
    change = cast.fact("correction", of=RUN[1], field="station", new=new, at="12:00")
    found = closed(RUN, change)
    assert [each.correction for each in found.changes] == [change]
    assert feet(found.sums.welded) == 90


# --- signatures -----------------------------------------------------------------------------------


def chained(facts: Sequence[Fact]) -> list[Entry]:
    """The facts as a ledger took them."""
    ledger = ListLedger()
    ledger.append(cast.JOB, facts, received_at="2026-05-04T20:00:00Z")
    return ledger.since(cast.JOB)


def test_a_signature_holds_while_the_chain_holds_what_was_signed() -> None:
    """The signed head is found before the signature itself, at its place."""
    before = [*MORNING, *RUN]
    head = chained(before)[-1].hash
    signed = cast.fact("sign_off", at="18:00", head=head, by=cast.ROSA)
    entries = chained([*before, signed, PROBE])
    found = closed(RUN, signed, PROBE, entries=entries)
    assert [(each.fact, each.seq, each.is_compared) for each in found.signed] == [
        (signed, len(before), True)
    ]
    assert found.head is not None
    assert (found.head.job, found.head.seq, found.head.hash) == (
        cast.JOB, len(entries), entries[-1].hash,
    )  # fmt: skip


def test_a_head_that_the_chain_does_not_hold_is_none() -> None:
    """Another record was signed, or a head that came only after the signature: no place."""
    before = [*MORNING, *RUN]
    other = cast.fact("sign_off", at="18:00", head="a" * 64, by=cast.ROSA)
    (signed,) = closed(RUN, other, entries=chained([*before, other])).signed
    assert (signed.seq, signed.is_compared) == (None, True)
    entries = chained([*before, other, PROBE])
    ahead = [
        *entries[:-2],
        replace(entries[-2], fact=replace(other, body=other.body | {"head": entries[-1].hash})),
        entries[-1],
    ]
    found = close_out(
        Record(entry.fact for entry in ahead), at=at("23:00"), rules=RULES, entries=ahead
    )
    assert [(each.seq, each.is_compared) for each in found.signed] == [(None, True)]


def test_who_signs_before_anything_is_kept_signs_nothing() -> None:
    """The head of an empty chain is place 0."""
    signed = cast.fact("sign_off", at="18:00", head=NOTHING, by=cast.ROSA)
    (one,) = closed(signed, entries=chained([*MORNING, signed])).signed
    assert (one.seq, one.is_compared) == (0, True)


def test_without_a_chain_nothing_is_compared() -> None:
    """From facts alone, or from a chain without the signature, a head is not judged."""
    signed = cast.fact("sign_off", at="18:00", head=NOTHING, by=cast.ROSA)
    for entries in ([], chained(MORNING)):
        (one,) = closed(signed, entries=entries).signed
        assert (one.seq, one.is_compared) == (None, False)
