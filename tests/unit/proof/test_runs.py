"""Runs as they lie on the seams, by hand-worked places and times."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from tests import cast

from lapwright.proof.runs import by_seam, run_over, welded_runs
from lapwright.record.fact import Fact

FOOT = 0.3048


def at(clock: str) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock))


def test_a_run_knows_where_it_was_when() -> None:
    """100 ft in ten minutes: 30 ft after three minutes, whichever way the machine ran."""
    forward, back = (
        welded_runs(cast.record(cast.ran("A-S001", start, end, at="08:00")))[0]
        for start, end in (("0 ft", "100 ft"), ("100 ft", "0 ft"))
    )
    assert forward.station_at(at("08:03")) == pytest.approx(30 * FOOT)
    assert back.station_at(at("08:03")) == pytest.approx(70 * FOOT)
    assert forward.welded_at(30 * FOOT) == at("08:03")
    assert back.welded_at(30 * FOOT) == at("08:07")
    assert forward.span == back.span
    assert forward.length == back.length == pytest.approx(100 * FOOT)


def test_before_and_after_a_run_the_machine_stands_at_its_ends() -> None:
    """Outside its time a run is where it began or ended."""
    (run,) = welded_runs(cast.record(cast.ran("A-S001", "10 ft", "20 ft", at="08:00")))
    assert run.station_at(at("07:00")) == pytest.approx(10 * FOOT)
    assert run.station_at(at("09:00")) == pytest.approx(20 * FOOT)


def test_feet_and_metres_meet() -> None:
    """A run set down in feet and lifted in metres has its length in metres."""
    (run,) = welded_runs(cast.record(cast.ran("A-S001", "100 ft", "40.48 m")))
    assert run.length == pytest.approx(10.0)


def test_a_run_without_an_end_covers_nothing_yet() -> None:
    """Nobody said how far it went: no span, no length."""
    begun = cast.ran("A-S001", "5 ft", "50 ft")[:1]
    (run,) = welded_runs(cast.record(begun))
    assert (run.span, run.length, run.end) == (None, 0.0, None)


def test_of_two_ends_the_later_counts() -> None:
    """A run lifted twice went as far as the later end says."""
    first = cast.ran("A-S001", "0 ft", "50 ft", at="08:00")
    later = cast.fact("run_end", at="08:20", run=first[0], station="60 ft")
    (run,) = welded_runs(cast.record(first, later))
    assert run.length == pytest.approx(60 * FOOT)


def test_an_end_before_the_beginning_takes_no_time() -> None:
    """A clock that is off by an hour breaks nothing: the run lies where it was said to lie."""
    run = cast.ran("A-S001", "0 ft", "50 ft", at="08:00", until="07:00")
    (welded,) = welded_runs(cast.record(run))
    assert welded.ended == welded.began
    assert welded.station_at(welded.began) == pytest.approx(50 * FOOT)
    assert welded.station_at(welded.began - timedelta(seconds=1)) == 0.0


def test_the_last_run_lies_on_top() -> None:
    """At a station the newest run before the moment is the one asked for; a gap has none."""
    runs: list[Fact] = [
        *cast.ran("A-S001", "0 ft", "50 ft", at="08:00"),
        *cast.ran("A-S001", "40 ft", "90 ft", at="09:00"),
        *cast.ran("A-S002", "0 ft", "90 ft", at="10:00"),
    ]
    seam = by_seam(welded_runs(cast.record(runs)))["A-S001"]
    over = {clock: run_over(seam, station=45 * FOOT, at=at(clock)) for clock in ("08:30", "09:30")}
    assert over["08:30"] is not None
    assert over["09:30"] is not None
    assert [run.run for run in (over["08:30"], over["09:30"])] == [runs[0], runs[2]]
    assert run_over(seam, station=95 * FOOT, at=at("11:00")) is None
    assert run_over(seam, station=90 * FOOT, at=at("11:00")) is None  # half-open
