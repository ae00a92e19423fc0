"""Accounts, devices, sessions and invites in both databases."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone

import pytest

from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.store.people import Account, Device, Invite, People, Session, SignedIn

NOW = datetime(2026, 5, 4, 13, 5, tzinfo=UTC)
HOUR = timedelta(hours=1)
ROSA = Account("a-1", "Rosa", "foreman", "hash-1", NOW)
TOM = Account("a-2", "Tom", "welder", "", NOW + HOUR)
PHONE = Device("d-1", "a-2", "Tom's phone", NOW + HOUR)
SESSION = Session("5" * 64, "d-1", NOW + 8 * HOUR, "csrf-1")
INVITE = Invite("1" * 64, "welder", "a-2", NOW + HOUR)


@pytest.fixture
def people(store: Store) -> People:
    """Two accounts, one phone that is signed in, one open invite."""
    for account in (TOM, ROSA):
        store.people.add_account(account)
    store.people.add_device(PHONE)
    store.people.add_session(SESSION)
    store.people.add_invite(INVITE)
    return store.people


def test_accounts_are_found_by_id_and_name(people: People) -> None:
    """An account comes back whole, oldest first in the list; an unknown one is None."""
    assert people.accounts() == [ROSA, TOM]
    assert people.account("a-1") == people.account_named("Rosa") == ROSA
    assert people.account("a-9") is None
    assert people.account_named("rosa") is None


@pytest.mark.parametrize("taken", [("a-1", "Luz"), ("a-3", "Rosa")])
def test_an_id_or_name_is_given_once(people: People, taken: tuple[str, str]) -> None:
    """A second account under a known id or name is refused and changes nothing."""
    with pytest.raises(LapwrightError, match="account_taken"):
        people.add_account(Account(*taken, "prober", "", NOW))
    assert people.accounts() == [ROSA, TOM]


def test_password_and_role_change_for_one_account(people: People) -> None:
    """A change reaches the account meant and no other; an unknown account is told."""
    assert people.set_hash("a-2", "hash-2")
    assert people.set_role("a-2", "prober")
    changed = people.account("a-2")
    assert changed is not None
    assert (changed.hash, changed.role) == ("hash-2", "prober")
    assert people.account("a-1") == ROSA
    assert not people.set_hash("a-9", "hash")
    assert not people.set_role("a-9", "foreman")


def test_a_session_says_whose_it_is_until_it_ends(people: People) -> None:
    """A session holds up to, not at, the moment it expires; a zone of the clock is no matter."""
    whose = SignedIn(SESSION, PHONE, TOM)
    end = SESSION.expires
    assert people.signed_in(SESSION.token_hash, now=NOW) == whose
    elsewhere = (end - timedelta(microseconds=1)).astimezone(timezone(-6 * HOUR))
    assert people.signed_in(SESSION.token_hash, now=elsewhere) == whose
    assert people.signed_in(SESSION.token_hash, now=end) is None
    assert people.signed_in("6" * 64, now=NOW) is None


def test_a_session_can_be_prolonged_and_ended(people: People) -> None:
    """Used sessions run on; a signed-out one is gone and cannot be prolonged."""
    later = SESSION.expires + HOUR
    assert people.prolong(SESSION.token_hash, expires=later)
    assert people.signed_in(SESSION.token_hash, now=SESSION.expires) is not None
    people.end_session(SESSION.token_hash)
    assert people.signed_in(SESSION.token_hash, now=NOW) is None
    assert not people.prolong(SESSION.token_hash, expires=later)


def test_ending_the_sessions_of_an_account_leaves_others(people: People) -> None:
    """After another password all devices of that account are out, those of others stay."""
    people.add_device(Device("d-2", "a-1", "desk", NOW))
    people.add_session(Session("7" * 64, "d-2", NOW + HOUR, "csrf-2"))
    people.end_sessions("a-2")
    assert people.signed_in(SESSION.token_hash, now=NOW) is None
    assert people.signed_in("7" * 64, now=NOW) is not None


def test_a_revoked_device_is_out_at_once_and_for_good(people: People) -> None:
    """Revoking ends the sessions of the device, keeps its row, and works once."""
    assert people.revoke("d-1", now=NOW)
    assert people.signed_in(SESSION.token_hash, now=NOW) is None
    people.add_session(Session("8" * 64, "d-1", NOW + HOUR, "csrf-3"))
    assert people.signed_in("8" * 64, now=NOW) is None
    revoked = Device(PHONE.id, PHONE.account, PHONE.name, PHONE.joined, NOW)
    assert people.device("d-1") == revoked
    assert people.devices() == [revoked]
    assert not people.revoke("d-1", now=NOW + HOUR)
    assert not people.revoke("d-9", now=NOW)
    assert people.device("d-1") == revoked


def test_an_invite_works_once_and_in_time(people: People) -> None:
    """The first to follow a link gets in; a second, a late one and a guessed one do not."""
    assert people.use_invite(INVITE.token_hash, now=INVITE.expires) is None
    assert people.use_invite("2" * 64, now=NOW) is None
    used = people.use_invite(INVITE.token_hash, now=NOW)
    assert used == Invite(INVITE.token_hash, "welder", "a-2", INVITE.expires, NOW)
    assert people.use_invite(INVITE.token_hash, now=NOW) is None


def test_of_many_that_follow_one_link_one_gets_in(
    people: People, place: str, opened: Callable[..., Store]
) -> None:
    """An invite is used once, also when several workers are asked at the same moment."""
    stores = [opened(place) for _ in range(6)]

    def follow(store: Store) -> bool:
        return store.people.use_invite(INVITE.token_hash, now=NOW) is not None

    with ThreadPoolExecutor(len(stores)) as workers:
        assert sum(workers.map(follow, stores)) == 1
    assert people.use_invite(INVITE.token_hash, now=NOW) is None


def test_what_has_run_out_is_swept(people: People, store: Store) -> None:
    """Sweeping forgets sessions and invites that ended, and keeps those that run."""
    people.sweep(now=NOW + 2 * HOUR)
    assert people.use_invite(INVITE.token_hash, now=NOW) is None
    assert people.signed_in(SESSION.token_hash, now=NOW) is not None
    people.sweep(now=SESSION.expires)
    assert people.signed_in(SESSION.token_hash, now=NOW) is None
    assert store.people.devices() == [PHONE]
