"""Facts to state: corrections laid over, first values kept beneath, nothing erased."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lapwright.record.fact import Fact
from lapwright.record.replay import Record

Build = Callable[..., Fact]


def corrects(fact: Build, number: int, of: Fact, field: str, new: Any, **more: Any) -> Fact:
    """A correction typed at minute ``number`` past eight, unless said otherwise."""
    usual = {"entered_at": f"2026-05-04T08:{number:02d}:00-06:00", "reason": "mistyped"}
    return fact(100 + number, "correction", of=of.id, field=field, old=None, new=new,
                **(usual | more))  # fmt: skip


def test_facts_of_a_kind_stand_by_the_clock_of_the_roof(fact: Build) -> None:
    """Not the order of arrival counts but when it happened; ids decide where clocks agree."""
    late = fact(1, at="2026-05-04T09:00:00-06:00")
    early = fact(2, at="2026-05-04T16:00:00+02:00")  # eight o'clock on the roof
    twin = fact(3, at=late.at)
    record = Record([twin, late, early])
    assert record.all("t_joint") == [early, late, twin]
    assert record.all("photo") == []
    assert list(record) == [early, late, twin]


def test_latest_is_the_newest_with_these_values(fact: Build) -> None:
    """The latest fact of a kind counts, among those whose fields fit."""
    one, two = fact(1, number="7"), fact(2, number="7", at="2026-05-04T08:00:00-06:00")
    other = fact(3, number="8", at="2026-05-04T09:00:00-06:00")
    record = Record([two, one, other])
    assert record.latest("t_joint") == other
    assert record.latest("t_joint", number="7") == two
    assert record.latest("t_joint", number="9") is None


def test_a_correction_is_laid_over_and_the_first_stays(fact: Build) -> None:
    """Reading gives the corrected value; the first and the correction stay visible."""
    one = fact(1, number="7")
    fix = corrects(fact, 1, one, "number", "8")
    held = Record([one, fix]).held[one.id]
    assert held.fact["number"] == "8"
    assert held.first == one
    assert held.corrections == (fix,)


def test_the_later_typed_correction_counts(fact: Build) -> None:
    """Of two corrections of a field the one typed later holds, whichever arrived first."""
    one = fact(1, number="7")
    first, second = corrects(fact, 1, one, "number", "8"), corrects(fact, 2, one, "number", "9")
    assert Record([second, one, first]).get(one.id) == fact(1, number="9")
    at_once = corrects(fact, 3, one, "number", "5", entered_at=second.entered_at)
    assert Record([at_once, one, second]).get(one.id) == fact(1, number="5")  # the higher id


def test_note_time_and_person_can_be_corrected(fact: Build) -> None:
    """Common fields that people type can be corrected, and a corrected time moves the fact."""
    one, other = fact(1), fact(2, at="2026-05-04T08:00:00-06:00")
    fixes = [
        corrects(fact, 1, one, "note", "was Tom's"), corrects(fact, 2, one, "by", "tom"),
        corrects(fact, 3, one, "at", "2026-05-04T09:00:00-06:00"),
    ]  # fmt: skip
    record = Record([one, other, *fixes])
    now = record.get(one.id)
    assert now is not None
    assert (now.note, now.by, now.at) == ("was Tom's", "tom", "2026-05-04T09:00:00-06:00")
    assert record.all("t_joint") == [other, now]


def test_a_correction_that_cannot_be_changes_nothing(fact: Build) -> None:
    """A value the field cannot hold, a field nobody knows, an id or an author: no effect."""
    one = fact(1)
    for number, (field, new) in enumerate(
        [("number", None), ("number", 3), ("colour", "red"), ("id", "x"), ("job", one.id),
         ("entered_by", "else"), ("kind", "photo")]
    ):  # fmt: skip
        record = Record([one, corrects(fact, number, one, field, new)])
        assert record.held[one.id].fact == one
        assert record.held[one.id].corrections == ()


def test_withdrawn_counts_for_nothing_and_stays_visible(fact: Build) -> None:
    """A fact taken back is in no list, is still held, and can be brought back."""
    one = fact(1)
    back = corrects(fact, 1, one, "withdrawn", True, reason="twice")
    record = Record([one, back])
    assert record.all("t_joint") == []
    assert record.get(one.id) is None
    assert one not in list(record)
    assert record.held[one.id].is_withdrawn
    assert record.held[one.id].first == one
    again = corrects(fact, 2, one, "withdrawn", False, reason="twice")
    assert Record([one, again, back]).all("t_joint") == [one]


def test_a_correction_cannot_be_corrected(fact: Build) -> None:
    """To undo a correction, correct again: one that aims at a correction has no effect."""
    one = fact(1, number="7")
    fix = corrects(fact, 1, one, "number", "8")
    record = Record([one, fix, corrects(fact, 2, fix, "new", "9")])
    now = record.get(one.id)
    assert now is not None
    assert now["number"] == "8"


def test_an_unknown_fact_is_none(fact: Build) -> None:
    """No id, an unknown one, one not arrived: None. A correction waits for what it corrects."""
    fix = corrects(fact, 1, fact(1), "number", "8")
    record = Record([fix])
    assert record.get(None) is record.get("") is record.get(fact(1).id) is None
    assert Record([fix, fact(1)]).get(fact(1).id) == fact(1, number="8")
