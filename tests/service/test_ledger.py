"""The ledger in SQLite and in PostgreSQL: nothing lost, nothing doubled, nothing replaced."""

from __future__ import annotations

import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text

from lapwright.errors import LapwrightError
from lapwright.record.chain import NOTHING, seal, verify
from lapwright.record.fact import Fact
from lapwright.record.ledger import Head, ListLedger
from lapwright.store import Store, open_store
from lapwright.store.check import check_job
from lapwright.store.ledger import columns_of
from lapwright.store.schema import MIGRATIONS
from lapwright.store.tables import VERSION, facts, metadata

Build = Callable[..., Fact]
NOW = "2026-05-04T13:06:00Z"
LATER = "2026-05-04T13:07:00Z"
OTHER_JOB = "01976d00-0000-7000-8000-00000000000b"


def test_it_keeps_what_a_list_keeps(store: Store, fact: Build) -> None:
    """Receipts, entries and heads are those of the ledger in memory, through any mix of sends."""
    memory = ListLedger()
    sends = [[fact(1), fact(2)], [fact(2), fact(3)], [fact(3, note="changed")], [], [fact(1)]]
    for sent in sends:
        job = fact(1).job
        kept = store.ledger.append(job, sent, received_at=NOW)
        assert kept == memory.append(job, sent, received_at=NOW)
        assert store.ledger.since(job) == memory.since(job)
        assert store.ledger.head(job) == memory.head(job)
    assert store.ledger.jobs() == memory.jobs()


def test_it_reads_on_from_a_place(store: Store, fact: Build) -> None:
    """``since`` gives what stands after a place, in order, and no more than asked."""
    store.ledger.append(fact(1).job, [fact(number) for number in (5, 3, 9, 1)], received_at=NOW)
    whole = store.ledger.since(fact(1).job)
    assert [entry.fact for entry in whole] == [fact(number) for number in (5, 3, 9, 1)]
    assert store.ledger.since(fact(1).job, 1, limit=2) == whole[1:3]
    assert store.ledger.since(fact(1).job, 4) == []


def test_an_unknown_job_leaves_no_trace(store: Store, fact: Build) -> None:
    """Asking for a job, or sending it only what is refused, does not make it."""
    refused = store.ledger.append(OTHER_JOB, [fact(1)], received_at=NOW)
    assert [receipt.code for receipt in refused] == ["fact_other_job"]
    assert store.ledger.head(OTHER_JOB) == Head(OTHER_JOB, 0, NOTHING)
    assert store.ledger.jobs() == []
    with pytest.raises(LapwrightError, match="chain_short"):
        check_job(store, OTHER_JOB)


def test_jobs_have_chains_of_their_own(store: Store, fact: Build) -> None:
    """The same fact id in two jobs is two facts; each chain begins at nothing."""
    for job in (fact(1).job, OTHER_JOB):
        (receipt,) = store.ledger.append(job, [fact(1, job=job)], received_at=NOW)
        assert (receipt.status, receipt.seq) == ("kept", 1)
        assert store.ledger.since(job)[0].before == NOTHING
    assert store.ledger.jobs() == sorted([fact(1).job, OTHER_JOB])


def test_it_finds_facts_by_day_and_kind(store: Store, fact: Build) -> None:
    """The day is that of the roof, not of UTC; both reads keep the order of arrival."""
    late = fact(1, at="2026-05-04T23:30:00-06:00")  # already the fifth in UTC
    early = fact(2, at="2026-05-05T00:30:00+02:00")  # still the fourth in UTC
    named = fact(3, "job", name="Invented roof")
    other = fact(4, job=OTHER_JOB)
    store.ledger.append(late.job, [late, early, named], received_at=NOW)
    store.ledger.append(OTHER_JOB, [other], received_at=NOW)
    assert store.ledger.facts_of_day(late.job, "2026-05-04") == [late, named]
    assert store.ledger.facts_of_day(late.job, "2026-05-05") == [early]
    assert store.ledger.facts_of_kinds(late.job, ["job", "photo"]) == [named]
    assert store.ledger.facts_of_kinds(late.job, []) == []
    assert store.ledger.facts_with_ids(late.job, [named.id, other.id]) == [named]


def test_it_outlives_the_program(place: str, opened: Callable[..., Store], fact: Build) -> None:
    """What was kept is there when the store is opened again, also without leave to migrate."""
    first = opened(place)
    first.ledger.append(fact(1).job, [fact(1), fact(2)], received_at=NOW)
    whole = first.ledger.since(fact(1).job)
    first.close()
    again = opened(place, migrate=False)
    assert again.ledger.since(fact(1).job) == whole
    (receipt,) = again.ledger.append(fact(1).job, [fact(2)], received_at=LATER)
    assert (receipt.status, receipt.seq) == ("had", 2)


def test_any_text_comes_back(store: Store, fact: Build) -> None:
    """Signs that databases and JSON treat specially come back as they went in."""
    strange = 'ñ 表 \U0001f525 "quoted" \\ \t \n % :name {x} \u2028 \u00a0'
    one = fact(1, "decision", machine=fact(2).id, operator=fact(3).id, test_welds=[],
               question={"nul": "\0", "half": 0.1, "no": None, strange: [1, -0.0, 1e-7]},
               answer={}, worked_out="phone", model="m", accepted=True)  # fmt: skip
    store.ledger.append(one.job, [one], received_at=NOW)
    (entry,) = store.ledger.since(one.job)
    assert entry.fact == one
    assert check_job(store, one.job).head.hash == entry.hash


def test_many_writers_make_one_chain(place: str, opened: Callable[..., Store], fact: Build) -> None:
    """Workers that send at once, some of it the same, get one chain without gap or double."""
    stores = [opened(place) for _ in range(4)]
    shared = [fact(number) for number in range(1, 21)]

    def send(worker: int) -> int:
        own = [fact(100 * (worker + 1) + number) for number in range(20)]
        kept = 0
        for mine, ours in zip(own, shared, strict=True):
            receipts = stores[worker].ledger.append(
                mine.job, [ours, mine] if worker % 2 else [mine, ours], received_at=NOW
            )
            assert {receipt.status for receipt in receipts} <= {"kept", "had"}
            kept += sum(receipt.status == "kept" for receipt in receipts)
        return kept

    with ThreadPoolExecutor(len(stores)) as workers:
        kept = sum(workers.map(send, range(len(stores))))
    entries = stores[0].ledger.since(fact(1).job)
    assert len(entries) == kept == 20 + 4 * 20
    assert verify(entries) == stores[1].ledger.head(fact(1).job).hash


def test_a_failed_send_keeps_nothing(store: Store, fact: Build) -> None:
    """When the database fails half way, not one fact of the call is kept."""
    with store.database.writing() as connection:
        connection.execute(text("DROP INDEX facts_by_id"))
        row = columns_of(seal(fact(9), seq=3, received_at=NOW, before=NOTHING))
        connection.execute(facts.insert(), row)
    with pytest.raises(Exception, match=r"(?i)unique"):
        store.ledger.append(fact(1).job, [fact(number) for number in range(1, 5)], received_at=NOW)
    assert [receipt.seq for receipt in store.ledger.append(
        fact(1).job, [fact(1)], received_at=NOW)] == [1]  # fmt: skip


# --- what verifying sees ----------------------------------------------------------------------

TAMPERED = {
    "a value": (
        "UPDATE facts SET fact = replace(fact, 'A-T-2', 'A-T-7') WHERE seq = 2", "chain_broken", 2,
    ),
    "a value with its own hash anew": ("anew", "chain_broken", 3),
    "an entry taken out": ("DELETE FROM facts WHERE seq = 2", "chain_broken", 2),
    "the last entry taken out": ("DELETE FROM facts WHERE seq = 4", "chain_short", 3),
    "the end moved": ("UPDATE heads SET seq = 3", "chain_short", 4),
    "the clock": ("UPDATE facts SET received_at = '2026-05-03' WHERE seq = 4", "chain_broken", 4),
    "the day it is found by": ("UPDATE facts SET day = 'x' WHERE seq = 1", "row_differs", 1),
    "the kind it is found by": ("UPDATE facts SET kind = 'job' WHERE seq = 3", "row_differs", 3),
    "the account": ("UPDATE facts SET account = 'else' WHERE seq = 3", "row_differs", 3),
    "no JSON any more": ("UPDATE facts SET fact = '{' WHERE seq = 3", "chain_broken", 3),
    "no fact any more": ("UPDATE facts SET fact = '{\"a\":1}' WHERE seq = 3", "chain_broken", 3),
    "no time any more": (
        "UPDATE facts SET fact = replace(fact, '2026', 'soon') WHERE seq = 3", "row_differs", 3,
    ),
    "two swapped": (
        "UPDATE facts SET seq = CASE seq WHEN 2 THEN 30 ELSE 2 END WHERE seq IN (2, 3)",
        "chain_broken", 2,
    ),
}  # fmt: skip


@pytest.mark.parametrize("change", TAMPERED)
def test_a_later_change_shows(store: Store, fact: Build, change: str) -> None:
    """Whatever somebody changes in the tables afterwards, verifying names the first bad place."""
    job = fact(1).job
    store.ledger.append(job, [fact(number) for number in range(1, 5)], received_at=NOW)
    assert check_job(store, job).head == store.ledger.head(job)
    statement, code, place = TAMPERED[change]
    with store.database.writing() as connection:
        if statement == "anew":
            _rewrite(connection, store, fact)
        else:
            connection.execute(text(statement.replace(":", "\\:")))
    with pytest.raises(LapwrightError) as caught:
        check_job(store, job)
    assert (caught.value.code, caught.value.data["at"]) == (code, place)


def _rewrite(connection: object, store: Store, fact: Build) -> None:
    """What a careful forger does: another fact with a hash that fits itself."""
    second = store.ledger.since(fact(1).job)[1]
    forged = seal(fact(2, number="A-T-7"), seq=2, received_at=NOW, before=second.before)
    row = columns_of(forged)
    connection.execute(  # type: ignore[attr-defined]
        text("UPDATE facts SET fact = :fact, hash = :hash WHERE seq = 2"), row
    )


def test_a_rewritten_chain_shows_by_what_was_signed(store: Store, fact: Build) -> None:
    """A chain made anew from the start fits itself, but not the hash that somebody signed."""
    job = fact(1).job

    def signed(seen: str) -> Fact:
        return fact(9, "sign_off", scope="day", statement="seen", open={}, head=seen)

    store.ledger.append(job, [fact(1), fact(2)], received_at=NOW)
    honest = signed(store.ledger.head(job).hash)
    store.ledger.append(job, [honest], received_at=LATER)
    checked = check_job(store, job)
    assert (checked.sign_offs, checked.unmatched) == (1, ())

    store.ledger.append(OTHER_JOB, [fact(1, job=OTHER_JOB, note="changed")], received_at=NOW)
    rewritten = Fact(**{**honest.plain(), "job": OTHER_JOB})
    store.ledger.append(OTHER_JOB, [rewritten], received_at=LATER)
    assert check_job(store, OTHER_JOB).unmatched == (honest.id,)


# --- versions of the tables -------------------------------------------------------------------


def test_migrations_make_the_tables_that_the_program_uses(store: Store) -> None:
    """A migrated database and the tables in the code do not differ, and its version is known."""
    with store.database.reading() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, metadata) == []
        assert context.get_current_revision() == VERSION
    assert ScriptDirectory(str(MIGRATIONS)).get_current_head() == VERSION


def test_tables_of_another_version_are_refused(place: str, opened: Callable[..., Store]) -> None:
    """A store of a newer program is left alone; an older one is migrated only with leave."""
    with pytest.raises(LapwrightError, match="store_older"):
        open_store(place, migrate=False)
    store = opened(place)
    with store.database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(LapwrightError, match="store_newer"):
        open_store(place)


def test_workers_that_start_together_migrate_once(place: str, opened: Callable[..., Store]) -> None:
    """Opening one new store from several workers at once works for each of them."""
    with ThreadPoolExecutor(4) as workers:
        stores = list(workers.map(opened, [place] * 4))
    assert [store.ledger.jobs() for store in stores] == [[]] * 4


@pytest.mark.parametrize(
    "place", ["mysql://a/b", "sqlite://", "sqlite:///:memory:", "postgresql://host", "://"]
)
def test_an_address_of_nothing_we_know_is_refused(place: str) -> None:
    """Only a file or a named database is a store; the refusal does not repeat a password."""
    with pytest.raises(LapwrightError, match="store_address"):
        open_store(place)


@pytest.mark.parametrize("place", ["{tmp}/no/such/folder/a.db", "postgresql://x@127.0.0.1:1/a"])
def test_a_store_that_is_not_there_is_told(place: str, tmp_path: Path) -> None:
    """A database that cannot be reached is one error with the reason, not a traceback."""
    with pytest.raises(LapwrightError) as caught:
        open_store(place.format(tmp=tmp_path))
    assert caught.value.code == "store_unreachable"
    assert caught.value.data["reason"]


def test_a_damaged_file_is_told(tmp_path: Path) -> None:
    """A file that is no database is refused and left as it is."""
    file = tmp_path / "a.db"
    file.write_bytes(b"not a database" * 100)
    with pytest.raises(LapwrightError, match="store_unreachable"):
        open_store(str(file))
    assert file.read_bytes() == b"not a database" * 100


def test_facts_lie_as_canonical_json(store: Store, fact: Build) -> None:
    """What stands in the table is plain JSON that any program reads, the same in both."""
    store.ledger.append(fact(1).job, [fact(1)], received_at=NOW)
    with store.database.reading() as connection:
        (lies,) = connection.scalars(text("SELECT fact FROM facts"))
    plain = fact(1).plain()
    assert lies == json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
