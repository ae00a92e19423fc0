"""What is still to be probed, repaired and patched, by hand-worked stations and times."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import pytest
from tests import cast

from lapwright.job.checking import Backlog, backlog, defects, joints, punch_list
from lapwright.job.testing import limits_of
from lapwright.proof.trace import trace
from lapwright.readings.rules import read_rule_book
from lapwright.record.fact import Fact

FOOT = 0.3048
RULES = read_rule_book([])  # probing after 20 minutes, a contractor's training standards


def at(clock: str) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock))


def left(*facts: Fact | Sequence[Fact], clock: str) -> Backlog:
    """What is to be probed at a time of the day."""
    found = trace(cast.record(cast.SETUP, *facts), seams={}, limits=limits_of(RULES), late={})
    return backlog(found, at=at(clock), rules=RULES)


def probe(start: int, end: int, clock: str) -> Fact:
    """Luz probes A-S001."""
    return cast.fact(
        "probe", at=clock, seam="A-S001", start=f"{start} ft", end=f"{end} ft", prober=cast.LUZ
    )


def feet(walks: Sequence[object]) -> list[tuple[float, float]]:
    """Spans of walks in feet."""
    return [
        (round(walk.span.start / FOOT, 3), round(walk.span.end / FOOT, 3))  # type: ignore[attr-defined]
        for walk in walks
    ]


def test_feet_cool_one_after_the_other() -> None:
    """100 ft from 8:00 to 8:10: at 8:25 the first 50 ft may be probed, at 8:30 all."""
    run = cast.ran("A-S001", "0 ft", "100 ft", at="08:00")
    assert (feet(left(run, clock="08:19").cool), feet(left(run, clock="08:19").warm)) == (
        [],
        [(0, 100)],
    )
    middle = left(run, clock="08:25")
    assert (feet(middle.cool), feet(middle.warm)) == ([(0, 50)], [(50, 100)])
    assert middle.length == pytest.approx(50 * FOOT)
    assert middle.oldest == at("08:00")
    assert middle.warm[0].cool_at == at("08:30")
    assert feet(left(run, clock="08:30").cool) == [(0, 100)]


def test_a_run_backwards_cools_from_its_beginning() -> None:
    """Welded from 100 ft to 0 ft: at 8:25 the far half is the cool one."""
    run = cast.ran("A-S001", "100 ft", "0 ft", at="08:00")
    found = left(run, clock="08:25")
    assert (feet(found.cool), feet(found.warm)) == ([(50, 100)], [(0, 50)])


def test_probed_feet_leave_the_list() -> None:
    """Probing 20 to 60 ft leaves what is before and after; a cut between them joins nothing."""
    run = cast.ran("A-S001", "0 ft", "100 ft", at="08:00")
    cut = cast.fact("cut", at="09:30", number="C1", seam="A-S001", station="70 ft")
    found = left(run, probe(20, 60, "09:00"), cut, clock="10:00")
    assert feet(found.cool) == [(0, 20), (60, 100)]
    assert left(run, probe(0, 100, "09:00"), clock="10:00").cool == ()


def test_the_oldest_comes_first() -> None:
    """A walk begins where the lap was welded first, whichever seam that is."""
    early = cast.ran("A-S002", "0 ft", "50 ft", at="08:00")
    late = cast.ran("A-S001", "0 ft", "50 ft", at="09:00")
    assert [walk.seam for walk in left(late, early, clock="11:00").cool] == ["A-S002", "A-S001"]
    assert left(clock="11:00").oldest is None


def found_void(number: str, by: str = "probe") -> Fact:
    """A void on A-S001."""
    return cast.fact(
        "defect", at="09:00", number=number, seam="A-S001", station="9 ft", found_by=by
    )


def test_open_defects_come_first_and_the_inspectors_are_his_list() -> None:
    """The closed one stays visible behind the open ones; the punch list holds his alone."""
    one, two, three = found_void("1", "inspector"), found_void("2"), found_void("3", "inspector")
    repair = cast.fact("repair", at="10:00", defect=one, operator=cast.INES)
    closed = cast.fact("reprobe", at="11:00", repair=repair, prober=cast.LUZ)
    record = cast.record(cast.SETUP, one, two, three, repair, closed)
    found = defects(record, rules=RULES)
    assert [(each.defect["number"], each.is_open) for each in found] == [
        ("2", True), ("3", True), ("1", False),
    ]  # fmt: skip
    listed = punch_list(record, rules=RULES)
    assert [each.defect["number"] for each in listed] == ["3", "1"]
    assert listed[1].closed_by == closed


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ({"creased": True, "patched": True, "result": "none"}, ()),
        ({"creased": True, "result": "none"}, ("not_patched",)),
        ({"creased": None, "patched": True, "result": "none"}, ("not_creased",)),
        ({"creased": False, "patched": True, "result": None}, ("not_creased", "not_probed")),
        ({"creased": True, "patched": True, "result": "defects"}, ("defects",)),
    ],
)
def test_a_t_joint_is_open_until_everything_was_looked_at(
    body: dict[str, object], why: tuple[str, ...]
) -> None:
    """Not looked at is not done."""
    fact = cast.fact("t_joint", at="14:00", number="A-T-S001-100", **body)
    (joint,) = joints(cast.record(fact), patched=True)
    assert joint.why_open == why


def test_the_register_holds_planned_joints_and_the_newest_word() -> None:
    """A planned joint nobody touched is open; without a patch rule none is asked for."""
    first = cast.fact("t_joint", at="14:00", number="T1", creased=True, result="defects")
    again = cast.fact("t_joint", at="15:00", number="T1", creased=True, result="none")
    found = joints(cast.record(first, again), planned=("T2", "T1"))
    assert [(joint.number, joint.why_open) for joint in found] == [
        ("T2", ("not_made",)),
        ("T1", ()),
    ]
