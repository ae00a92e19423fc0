"""Past test welds joined in the database: the same rows as folding every fact here."""

from __future__ import annotations

import pytest
from tests import cast
from tests.week import week_facts

from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.record.tested import each_tested
from lapwright.store import Store
from lapwright.store.pastwelds import past_welds

WEEK = [*week_facts()]


def corrected() -> list[Fact]:
    """The week with facts of its test welds put right, or taken back, afterwards."""
    weld, look, strip = (
        next(fact for fact in WEEK if fact.kind == kind)
        for kind in ("test_weld", "hot_look", "strip")
    )
    last = [fact for fact in WEEK if fact.kind == "test_weld"][-1]
    more = [
        (weld, "air", {"typed": "866", "unit": "f", "how": "set"}),
        (look, "smoke", True),
        (strip, "pull", "no such grade"),
        (last, "withdrawn", True),
    ]
    return [
        *WEEK,
        *(
            cast.fact("correction", at="17:00", day="2026-05-09", job=weld.job, of=of.id,
                      field=field, old=None, new=new, reason="mistyped")
            for of, field, new in more
        ),
    ]  # fmt: skip


@pytest.mark.parametrize("batch", [1, 100_000])
@pytest.mark.parametrize("facts", [WEEK, corrected()], ids=["week", "corrected"])
def test_the_database_joins_what_replay_folds(store: Store, facts: list[Fact], batch: int) -> None:
    """Weld by weld and to the letter, also where corrections were laid over them."""
    for job in dict.fromkeys(fact.job for fact in facts):
        own = [fact for fact in facts if fact.job == job]
        store.ledger.append(job, own, received_at="2026-05-10T00:00:00+00:00")
    found = sorted(weld for span in past_welds(store.database, batch=batch) for weld in span.welds)
    assert found == sorted(each_tested(Record(facts)))
    assert len(found) > 20
