"""What any ledger must do, shown on the one in memory."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from lapwright.record.chain import NOTHING, verify
from lapwright.record.fact import Fact
from lapwright.record.ledger import Head, ListLedger, Receipt, extend

Build = Callable[..., Fact]
NOW, LATER = "2026-05-04T13:06:00Z", "2026-05-04T13:07:00Z"


def test_new_facts_are_kept_in_the_order_they_came(fact: Build) -> None:
    """Places count from 1 behind the head, and the entries chain."""
    facts = [fact(3), fact(1), fact(2)]
    entries, receipts = extend(Head(fact(1).job), facts, {}, received_at=NOW)
    assert [entry.fact for entry in entries] == facts
    assert [(receipt.status, receipt.seq) for receipt in receipts] == [
        ("kept", 1), ("kept", 2), ("kept", 3),
    ]  # fmt: skip
    assert entries[0].before == NOTHING
    assert verify(entries) == entries[-1].hash
    assert {entry.received_at for entry in entries} == {NOW}


def test_it_goes_on_behind_the_head(fact: Build) -> None:
    """New entries are chained to the hash of the head, not to nothing."""
    head = Head(fact(1).job, 41, "e" * 64)
    (entry,), _ = extend(head, [fact(1)], {}, received_at=NOW)
    assert (entry.seq, entry.before) == (42, "e" * 64)


def test_a_repeat_is_had_and_changes_nothing(fact: Build) -> None:
    """The same fact again, also twice in one send, gets the receipt of its first place."""
    ledger = ListLedger()
    job = fact(1).job
    first = ledger.append(job, [fact(1), fact(2), fact(1)], received_at=NOW)
    assert [(receipt.status, receipt.seq) for receipt in first] == [
        ("kept", 1), ("kept", 2), ("had", 1),
    ]  # fmt: skip
    whole = ledger.since(job)
    again = ledger.append(job, [fact(2)], received_at=LATER)
    assert again == [Receipt(fact(2).id, "had", 2)]
    assert ledger.since(job) == whole


def test_another_fact_under_a_known_id_is_refused(fact: Build) -> None:
    """The first stays; the refusal names code and field, and what came with it is kept."""
    ledger = ListLedger()
    job = fact(1).job
    ledger.append(job, [fact(1)], received_at=NOW)
    other = fact(1, note="changed")
    receipts = ledger.append(job, [other, fact(2)], received_at=LATER)
    assert receipts[0] == Receipt(other.id, "refused", code="fact_differs", field="id")
    assert receipts[1] == Receipt(fact(2).id, "kept", 2)
    assert [entry.fact for entry in ledger.since(job)] == [fact(1), fact(2)]


def test_a_fact_of_another_job_is_refused(fact: Build) -> None:
    """No fact enters the chain of a job it does not name."""
    ledger = ListLedger()
    stray = replace(fact(1), job="01976d00-0000-7000-8000-00000000000b")
    (receipt,) = ledger.append(fact(1).job, [stray], received_at=NOW)
    assert receipt == Receipt(stray.id, "refused", code="fact_other_job", field="job")
    assert ledger.jobs() == []


def test_it_reads_from_a_place_and_no_more_than_asked(fact: Build) -> None:
    """``since`` gives entries after a place, at most so many; unknown jobs are empty."""
    ledger = ListLedger()
    job = fact(1).job
    ledger.append(job, [fact(number) for number in (1, 2, 3, 4)], received_at=NOW)
    assert [entry.seq for entry in ledger.since(job, 1, limit=2)] == [2, 3]
    assert ledger.since("none") == []
    assert ledger.head("none") == Head("none", 0, NOTHING)
    assert ledger.head(job) == Head(job, 4, ledger.since(job)[-1].hash)
    assert ledger.jobs() == [job]
