"""Whatever is sent, in whatever order and how often: the ledger keeps each fact once, for good."""

from __future__ import annotations

import io
import shutil
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    multiple,
    rule,
    run_state_machine_as_test,
)

from lapwright.record.chain import NOTHING, canonical, verify
from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import uuid7
from lapwright.record.ledger import Head, ListLedger
from lapwright.record.replay import Record
from lapwright.store import Store, open_store
from lapwright.store.archive import read_archive, write_archive
from lapwright.store.check import check_job

JOB = "01976d00-0000-7000-8000-00000000000a"
AT = "2026-05-04T07:05:00-06:00"
NOTES = ("", "looked again", 'ñ "x" \\ \u00e9\U0001f525')
NUMBERS = st.integers(1, 12)


def made(number: int, kind: str, note: str = "", /, **body: Any) -> Fact:
    """A checked fact; its id follows from the number alone."""
    return read_fact({
        "id": uuid7(1_777_000_000_000, number.to_bytes(10, "big")), "job": JOB, "kind": kind,
        "at": AT, "entered_at": AT, "by": "", "entered_by": "local", "device": "phone-1",
        "body": body, "note": note,
    })  # fmt: skip


def seam(number: int, note: str = "") -> Fact:
    """A fact that may differ under one id: by its note."""
    asked = {"creased": None, "patched": None, "result": None}
    return made(number, "t_joint", note, number=str(number), **asked)


class Keeping(RuleBasedStateMachine):
    """Sends to a store and to a plain dict beside it, which says what must be there.

    The dict holds the first fact under each id, in the order they first came: all that a
    ledger promises.
    """

    sent = Bundle("sent")

    @initialize()
    def empty(self) -> None:
        """An empty store in a folder of its own."""
        self.folder = Path(mkdtemp(prefix="lapwright-"))
        self.store: Store = open_store(str(self.folder / "a.db"))
        self.memory = ListLedger()
        self.first: dict[str, Fact] = {}
        self.clock = 0
        self.heads = [Head(JOB)]

    def teardown(self) -> None:
        """Leave nothing behind."""
        self.store.close()
        shutil.rmtree(self.folder)

    @rule(target=sent, numbers=st.lists(NUMBERS, max_size=5), note=st.sampled_from(NOTES))
    def append(self, numbers: list[int], note: str) -> Any:
        """Facts in any order, some twice in one send, some under an id that is taken."""
        facts = [seam(number, note) for number in numbers]
        self._send(facts)
        return multiple(*facts)

    @rule(fact=sent)
    def repeat(self, fact: Fact) -> None:
        """The same again, as a phone does that never saw the receipt."""
        self._send([fact])

    @rule(number=NUMBERS, serial=st.integers(100, 110), new=st.sampled_from(("1", "7", None)))
    def correct(self, number: int, serial: int, new: str | None) -> None:
        """A correction, also of what has not come yet; the fact itself stays."""
        of = seam(number).id
        self._send([made(serial, "correction", of=of, field="number", old=None, new=new,
                         reason="mistyped")])  # fmt: skip

    @rule()
    def reopen(self) -> None:
        """The program ends and starts again."""
        self.store.close()
        self.store = open_store(str(self.folder / "a.db"), migrate=False)

    @rule()
    def through_an_archive(self) -> None:
        """Out to an archive, into an empty store, and out again: the same to the byte."""
        if not self.first:
            return
        assert check_job(self.store, JOB).head == self.heads[-1]
        file = io.BytesIO()
        write_archive(self.store, job=JOB, file=file)
        other = open_store(str(self.folder / f"b{self.clock}.db"))
        self.clock += 1
        read_archive(file, name="roof.zip", store=other)
        assert other.ledger.since(JOB) == self.store.ledger.since(JOB)
        again = io.BytesIO()
        write_archive(other, job=JOB, file=again)
        assert again.getvalue() == file.getvalue()
        other.close()

    def _send(self, facts: list[Fact]) -> None:
        self.clock += 1
        now = f"2026-05-04T13:{self.clock // 60 % 60:02d}:{self.clock % 60:02d}Z"
        receipts = self.store.ledger.append(JOB, facts, received_at=now)
        assert receipts == self.memory.append(JOB, facts, received_at=now)
        for fact, receipt in zip(facts, receipts, strict=True):
            known = self.first.get(fact.id)
            if known is None:
                assert receipt.status == "kept"
                self.first[fact.id] = fact
                assert receipt.seq == len(self.first)
            elif canonical(known) == canonical(fact):
                assert receipt.status == "had"
                assert receipt.seq == [*self.first].index(fact.id) + 1
            else:
                assert (receipt.status, receipt.code) == ("refused", "fact_differs")
        self.heads.append(self.store.ledger.head(JOB))

    @invariant()
    def holds(self) -> None:
        """Each first fact is there once, in order; every head ever given is still in the chain."""
        entries = self.store.ledger.since(JOB)
        assert [entry.fact for entry in entries] == list(self.first.values())
        end = verify(entries)
        assert self.store.ledger.head(JOB) == Head(JOB, len(entries), end)
        hashes = [NOTHING, *(entry.hash for entry in entries)]
        assert all(hashes[head.seq] == head.hash for head in self.heads)

    @invariant()
    def replays_alike(self) -> None:
        """The state of the job is that of the first facts, in the store's order or reversed."""
        facts = [entry.fact for entry in self.store.ledger.since(JOB)]
        assert Record(facts).held == Record(reversed(facts)).held


def test_a_ledger_keeps_each_fact_once_and_for_good() -> None:
    """No order, repeat, clash, correction, restart or archive loses, doubles or changes a fact."""
    run_state_machine_as_test(Keeping, settings=settings(max_examples=20, stateful_step_count=15))
