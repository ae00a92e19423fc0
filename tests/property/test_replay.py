"""The state of a job hangs on its facts alone: no order and no repeat of them changes it."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import uuid7
from lapwright.record.replay import Record

JOB = "01976d00-0000-7000-8000-00000000000a"
KINDS = ("t_joint", "person", "event")
NUMBERS = st.integers(1, 6)
CLOCKS = st.builds(  # few, so that many agree; some are the same moment in another zone
    lambda hour, zone: f"2026-05-04T{hour + zone:02d}:00:00{zone:+03d}:00",
    st.integers(8, 10), st.sampled_from((-6, 0, 2)),
)  # fmt: skip


def named(number: int) -> str:
    """The id of a number."""
    return uuid7(1_777_000_000_000, number.to_bytes(10, "big"))


@st.composite
def plain_facts(draw: Any, number: int) -> Fact:
    """A fact under the id of a number."""
    kind = KINDS[number % len(KINDS)]
    body: dict[str, Any] = {
        "t_joint": {"number": str(number), "creased": None, "patched": None, "result": None},
        "person": {"name": "Ana", "language": "es", "units": "us", "tasks": []},
        "event": {"trigger": "wind", "machine": JOB, "operator": JOB, "answer": "happened"},
    }[kind]
    return _made(number, kind, body, at=draw(CLOCKS), typed=draw(CLOCKS))


@st.composite
def corrections(draw: Any, number: int) -> Fact:
    """A correction: sound, of a field that is not there, of a wrong value, or of nothing known."""
    field, new = draw(st.sampled_from([
        ("number", "7"), ("number", "8"), ("number", None), ("name", "Luz"), ("note", "seen"),
        ("at", "2026-05-04T09:30:00-06:00"), ("withdrawn", True), ("withdrawn", False),
        ("answer", "put_off"), ("colour", "red"), ("id", JOB),
    ]))  # fmt: skip
    of = named(draw(st.integers(1, 24)))  # a fact, a correction, or nothing
    body = {"of": of, "field": field, "old": None, "new": new, "reason": "mistyped"}
    return _made(number, "correction", body, at=draw(CLOCKS), typed=draw(CLOCKS))


def _made(number: int, kind: str, body: dict[str, Any], *, at: str, typed: str) -> Fact:
    return read_fact({
        "id": named(number), "job": JOB, "kind": kind, "at": at, "entered_at": typed, "by": "",
        "entered_by": "local", "device": "phone-1", "body": body, "note": "",
    })  # fmt: skip


@st.composite
def jobs(draw: Any) -> list[Fact]:
    """Facts of a job, each under its own id, with corrections between them."""
    facts = [draw(plain_facts(number)) for number in range(1, draw(NUMBERS) + 1)]
    return facts + [draw(corrections(number)) for number in range(11, 11 + draw(NUMBERS))]


def state(facts: list[Fact]) -> Any:
    """All that can be read of a record."""
    record = Record(facts)
    kinds = (*KINDS, "correction")
    return (
        record.held, list(record.held), list(record), [record.all(kind) for kind in kinds],
        [record.latest(kind) for kind in kinds], [record.get(named(n)) for n in range(25)],
    )  # fmt: skip


@given(st.data(), jobs())
def test_no_order_and_no_repeat_changes_the_state(data: st.DataObject, facts: list[Fact]) -> None:
    """Shuffled, and with facts that came twice or more, a job reads the same."""
    shuffled = data.draw(st.permutations(facts))
    repeats = data.draw(st.lists(st.sampled_from(facts)))
    again = data.draw(st.permutations(shuffled + repeats))
    assert state(list(again)) == state(facts)


@given(jobs())
def test_nothing_is_lost_under_corrections(facts: list[Fact]) -> None:
    """Every fact is held with its first reading, whatever was laid over it."""
    held = Record(facts).held
    assert {fact.id: fact for fact in facts} == {key: one.first for key, one in held.items()}


@given(jobs())
def test_state_is_reached_in_parts(facts: list[Fact]) -> None:
    """A phone that knows half and then the rest reads what one reads that got all at once."""
    half = Record(facts[::2])
    assert set(half.held) <= set(Record(facts).held)
    assert state([one.first for one in half.held.values()] + facts[1::2]) == state(facts)
