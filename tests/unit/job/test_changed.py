"""What was said otherwise later: each correction with what stood there before it."""

from __future__ import annotations

import random
from typing import Any

from tests import cast

from lapwright.job.changed import Change, changes
from lapwright.record.fact import Fact
from lapwright.record.replay import Record

VOID = cast.fact("defect", at="09:00", number="V1", seam="A-S001", station="9 ft", note="near")


def correct(field: str, new: Any, *, at: str, of: Fact = VOID, **more: Any) -> Fact:
    """A correction of the void."""
    return cast.fact("correction", of=of, field=field, new=new, at=at, **more)


def told(*facts: Fact) -> list[Change]:
    """Changes of the cast's record."""
    return list(changes(cast.record(cast.SETUP, *facts)))


def test_each_correction_tells_what_it_changed() -> None:
    """The first of two changes what was recorded, the second what the first had said."""
    first = correct("number", "V2", at="10:00")
    second = correct("number", "V3", at="11:00")
    found = told(VOID, first, second)
    assert [each.correction for each in found] == [first, second]
    assert [each.before for each in found] == ["V1", "V2"]
    assert all(each.target == VOID and each.is_laid for each in found)
    assert not any(each.is_withdrawal for each in found)


def test_what_stood_before_is_worked_out_and_not_believed() -> None:
    """A correction's own word for the old value counts for nothing; the record says it."""
    (one,) = told(VOID, correct("number", "V2", at="10:00", old="V9"))
    assert one.before == "V1"


def test_fields_are_followed_apart() -> None:
    """Number, moment, person and note each have their own history."""
    number = correct("number", "V2", at="10:00")
    moment = correct("at", cast.time("08:55"), at="10:01")
    person = correct("by", cast.LUZ.id, at="10:02")
    note = correct("note", "far", at="10:03")
    found = told(VOID, number, moment, person, note)
    assert [each.before for each in found] == ["V1", cast.time("09:00"), "", "near"]


def test_taken_back_and_given_again() -> None:
    """Before a fact was taken back it was not; a second one gives it again."""
    gone = correct("withdrawn", True, at="10:00")
    again = correct("withdrawn", False, at="11:00")
    found = told(VOID, gone, again)
    assert [each.before for each in found] == [False, True]
    assert all(each.is_withdrawal for each in found)
    assert all(each.target == VOID for each in told(VOID, gone))  # taken back, and still named


def test_what_its_field_cannot_hold_changes_nothing() -> None:
    """A correction that no field can hold is told, and neither laid nor a step of the history."""
    wrong = correct("type", "no such type", at="10:00")
    late = correct("number", "V2", at="10:30")
    idle, laid = told(VOID, wrong, late)
    assert (idle.correction, idle.target, idle.before, idle.is_laid) == (wrong, VOID, None, False)
    assert (laid.before, laid.is_laid) == ("V1", True)


def test_what_it_corrects_may_not_be_here() -> None:
    """A correction of a fact that never arrived has no target and changes nothing."""
    (one,) = told(correct("number", "V2", at="10:00"))
    assert (one.target, one.before, one.is_laid) == (None, None, False)


def test_the_order_of_facts_changes_nothing() -> None:
    """Changes come by the time they were made, in whatever order facts arrived."""
    other = cast.fact("defect", at="09:10", number="V7", seam="A-S002", station="3 ft")
    facts = [
        VOID, other, correct("number", "V2", at="10:00"), correct("number", "V8", at="09:30",
        of=other), correct("type", "no such type", at="09:45"), correct("number", "V3", at="11:00"),
    ]  # fmt: skip
    expected = told(*facts)
    assert [each.correction.at[11:16] for each in expected] == ["09:30", "09:45", "10:00", "11:00"]
    for seed in range(5):
        mixed = random.Random(seed).sample(facts, len(facts))
        assert list(changes(Record([*cast.SETUP, *mixed]))) == expected


def test_without_a_correction_nothing_changed() -> None:
    """Facts alone are no changes."""
    assert told(VOID) == []
