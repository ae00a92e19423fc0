"""Back up, restore and move: everything there, in either database, chains whole."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from lapwright.errors import LapwrightError
from lapwright.record.fact import Fact
from lapwright.store import Store
from lapwright.store.backup import Copied, move, read_backup, write_backup
from lapwright.store.check import check_job
from lapwright.store.people import Account, Device, Invite, Session

Build = Callable[..., Fact]
NOW = datetime(2026, 5, 4, 13, 5, tzinfo=UTC)
AT = "2026-05-04T13:06:00Z"
OTHER_JOB = "01976d00-0000-7000-8000-00000000000b"
PNG = bytes.fromhex("89504e470d0a1a0a0000000d49484452")
SHA = hashlib.sha256(PNG).hexdigest()
WHOLE = Copied(jobs=2, entries=4, photos=1, accounts=1)


@pytest.fixture
def full(store: Store, fact: Build) -> Store:
    """Two jobs, a photo, an account with a phone that is signed in, an open invite."""
    store.ledger.append(fact(1).job, [fact(1), fact(2), fact(3)], received_at=AT)
    store.ledger.append(OTHER_JOB, [fact(1, job=OTHER_JOB)], received_at=AT)
    store.photos.put(SHA, PNG)
    store.people.add_account(Account("a-1", "Rosa", "foreman", "hash", NOW))
    store.people.add_device(Device("d-1", "a-1", "phone", NOW))
    store.people.add_session(Session("5" * 64, "d-1", NOW + timedelta(hours=1), "csrf"))
    store.people.add_invite(Invite("1" * 64, "welder", "a-1", NOW + timedelta(hours=1)))
    return store


@pytest.fixture(params=["sqlite", "postgresql"])
def empty(
    request: pytest.FixtureRequest, new_place: Callable[[str], str], opened: Callable[..., Store]
) -> Store:
    """A second store, of each engine in turn."""
    return opened(new_place(request.param))


def same(one: Store, other: Store) -> bool:
    """Whether two stores hold the same, read through all their doors."""
    jobs = one.ledger.jobs()
    return (
        other.ledger.jobs() == jobs
        and all(one.ledger.since(job) == other.ledger.since(job) for job in jobs)
        and all(check_job(one, job) == check_job(other, job) for job in jobs)
        and list(one.photos) == list(other.photos)
        and one.people.accounts() == other.people.accounts()
        and one.people.devices() == other.people.devices()
        and one.people.signed_in("5" * 64, now=NOW) == other.people.signed_in("5" * 64, now=NOW)
    )


def backup_of(store: Store) -> io.BytesIO:
    """A backup, ready to be read."""
    file = io.BytesIO()
    write_backup(store, file=file)
    file.seek(0)
    return file


def test_what_was_backed_up_comes_back(full: Store, empty: Store) -> None:
    """A backup restores into either database to the same facts, photos, people and sessions."""
    file = io.BytesIO()
    assert write_backup(full, file=file) == WHOLE
    assert not same(full, empty)
    assert read_backup(empty, file=file, name="b.zip") == WHOLE
    assert same(full, empty)
    assert empty.people.use_invite("1" * 64, now=NOW) is not None


def test_a_restore_may_be_repeated(full: Store, empty: Store, fact: Build) -> None:
    """Restoring again doubles nothing, and what came since stays."""
    file = backup_of(full)
    read_backup(empty, file=file, name="b.zip")
    empty.ledger.append(fact(1).job, [fact(9)], received_at=AT)
    read_backup(empty, file=file, name="b.zip")
    assert empty.ledger.head(fact(1).job).seq == 4
    assert len(empty.people.accounts()) == 1


def test_a_move_takes_everything_and_may_be_repeated(
    full: Store, empty: Store, fact: Build
) -> None:
    """After a move both stores hold the same; a second move brings what came in between."""
    assert move(full, target=empty) == WHOLE
    assert same(full, empty)
    full.ledger.append(fact(1).job, [fact(9)], received_at=AT)
    assert not same(full, empty)
    move(full, target=empty)
    assert same(full, empty)


def test_people_of_another_store_are_left_alone(full: Store, empty: Store) -> None:
    """A store that has accounts of its own is not mixed with others."""
    empty.people.add_account(Account("a-9", "Luz", "prober", "", NOW))
    for fill in (
        lambda: read_backup(empty, file=backup_of(full), name="b.zip"),
        lambda: move(full, target=empty),
    ):
        with pytest.raises(LapwrightError, match="store_has_others"):
            fill()
    assert [account.id for account in empty.people.accounts()] == ["a-9"]
    assert empty.ledger.jobs() == []


def test_a_broken_chain_is_not_backed_up_or_moved(full: Store, empty: Store) -> None:
    """A store that was tampered with is told while it is copied, not years later."""
    with full.database.writing() as connection:
        connection.exec_driver_sql("UPDATE facts SET received_at = 'x' WHERE seq = 2")
    with pytest.raises(LapwrightError, match="chain_broken"):
        write_backup(full, file=io.BytesIO())
    with pytest.raises(LapwrightError, match="chain_broken"):
        move(full, target=empty)


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("backup.json", b"{}", "archive_unreadable"),
        ("backup.json", b'{"format":"lapwright archive","version":1,"jobs":[]}',
         "archive_unreadable"),
        ("backup.json", b'{"format":"lapwright backup","version":9,"jobs":[]}', "archive_version"),
        (f"jobs/{OTHER_JOB}.jsonl", b"", "chain_short"),
        ("people.json", b"{}", "archive_unreadable"),
        (f"photos/{SHA}.png", b"else", "photo_differs"),
    ],
)  # fmt: skip
def test_a_broken_backup_is_refused(
    full: Store, empty: Store, name: str, content: bytes, code: str
) -> None:
    """Something else, a later format, a short chain or another photo is refused by name."""
    broken = io.BytesIO()
    with zipfile.ZipFile(backup_of(full)) as old, zipfile.ZipFile(broken, "w") as new:
        for part in old.namelist():
            new.writestr(part, content if part == name else old.read(part))
    with pytest.raises(LapwrightError, match=code):
        read_backup(empty, file=broken, name="b.zip")
    assert OTHER_JOB not in empty.ledger.jobs()
