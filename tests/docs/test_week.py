"""The invented week of the examples: fresh, replayable, and showing everything it is for."""

from __future__ import annotations

import json
import re
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter
from tests.week import week_facts

from lapwright.job.crewday import crew_day, traced
from lapwright.job.morning import find_window
from lapwright.job.testing import limits_of
from lapwright.proof.suspect import suspicions
from lapwright.readings.facts import read_facts
from lapwright.readings.rules import read_rule_book
from lapwright.record.chain import verify
from lapwright.record.fact import Fact
from lapwright.record.ledger import ListLedger
from lapwright.record.replay import Record
from lapwright.store.archive import read_archive
from lapwright.window.answer import Answer

FILE = Path(str(files("lapwright").joinpath("examples", "week.jsonl")))
RULES = read_rule_book([])
FACTS = read_facts(FILE)
RECORD = Record(FACTS)
_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def _as_told(fact: Fact) -> dict[str, Any]:
    """A fact without figures that another machine may round otherwise, and without their hash."""
    body = {name: value for name, value in fact.body.items()
            if name not in ("question", "answer", "head")}  # fmt: skip
    return {**fact.plain(), "id": "", "body": body}


def test_the_file_is_what_the_week_tells() -> None:
    """`scripts/week` was run after the last change of the week or of the rules behind it."""
    told = week_facts()
    assert len(FACTS) == len(told)
    names = {one.id: str(place) for place, one in enumerate(FACTS)}
    names |= {one.id: str(place) for place, one in enumerate(told)}

    def named(fact: Fact) -> str:
        text = json.dumps(_as_told(fact), sort_keys=True)
        return _ID.sub(lambda found: names.get(found[0], found[0]), text)

    assert [named(one) for one in FACTS] == [named(one) for one in told]


def test_the_archive_holds_the_same_week() -> None:
    """`week.zip`, which `make run` takes in, holds the facts of `week.jsonl` in a whole chain."""
    with FILE.with_name("week.zip").open("rb") as archive:
        done = read_archive(archive, name="week.zip")
    assert (done.head.seq, done.unmatched) == (len(FACTS), ())
    ledger = ListLedger()
    for fact in FACTS:
        ledger.append(fact.job, [fact], received_at=fact.entered_at)
    assert done.head == ledger.head(FACTS[0].job)


def test_it_is_marked_invented() -> None:
    """The job says that there is no such roof, in the fact that every page shows."""
    (job,) = RECORD.all("job")
    assert job["invented"] is True


def test_every_decision_of_the_server_replays() -> None:
    """The kept question gives the kept answer: verdict, set point and its chance."""
    decisions = [one for one in RECORD.all("decision") if one["worked_out"] == "server"]
    assert len(decisions) >= 10
    for decision in decisions:
        kept = TypeAdapter(Answer).validate_python(decision["answer"])
        again = find_window(kept.question)
        assert again.verdict == kept.verdict
        assert again.set_point is not None
        assert kept.set_point is not None
        assert again.set_point.air == pytest.approx(kept.set_point.air)
        assert again.set_point.p_sound == pytest.approx(kept.set_point.p_sound)


def test_sign_offs_hold_the_chain_as_it_stood() -> None:
    """Facts received one by one when they were entered give the heads that were signed."""
    ledger = ListLedger()
    for fact in FACTS:
        if fact.kind == "sign_off":
            assert ledger.head(fact.job).hash == fact["head"]
        ledger.append(fact.job, [fact], received_at=fact.entered_at)
    job = FACTS[0].job
    assert verify(ledger.since(job)) == ledger.head(job).hash
    assert len(RECORD.all("sign_off")) == 5


def test_each_signed_count_is_what_was_open_then() -> None:
    """What a sign-off froze is what the record says of that moment."""
    for signed in RECORD.all("sign_off"):
        before = Record(one for one in FACTS if one.moment < signed.moment)
        day = crew_day(before, at=signed.moment, rules=RULES, day=signed.day)
        assert day.counts == signed["open"]


def test_the_week_shows_every_state() -> None:
    """Orphan, stale, put off, open and unprobed feet; a closed and an open doubt."""
    lengths = traced(RECORD, RULES).lengths()
    assert all(length > 0 for length in lengths.values()), lengths
    closed = [each.is_closed for each in suspicions(RECORD, limits_of(RULES))]
    assert closed == [False, True]
    friday = crew_day(RECORD, at=datetime.fromisoformat("2026-05-08T18:00:00-05:00"), rules=RULES)
    assert friday.open_defects
    assert friday.open_joints
