"""Accounts from the machine that serves: made, listed, given another password, shut out."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main
from lapwright.record.ids import CREW_CHAIN
from lapwright.store import Store, open_store
from lapwright.web.accounts import is_password

PASSWORD = "four words, all invented"
TWICE = f"{PASSWORD}\n{PASSWORD}\n"


@pytest.fixture(autouse=True)
def folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Each test has a store of its own."""
    monkeypatch.setenv("LAPWRIGHT_STORE", str(tmp_path / "crew.db"))


def account(*arguments: str, typed: str = TWICE) -> Result:
    """Run the command, typing what it asks for."""
    return CliRunner().invoke(main, ["account", *arguments], input=typed)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """What the commands keep."""
    return open_store(str(tmp_path / "crew.db"))


def test_an_account_is_made_with_its_password(store: Store) -> None:
    """Typed twice, shown never, kept as a hash, and told in the chain of access."""
    result = account("add", "Rosa", "--role", "foreman")
    assert result.exit_code == 0, result.output
    assert PASSWORD not in result.output
    rosa = store.people.account_named("Rosa")
    assert rosa is not None
    assert (rosa.role, is_password(rosa, PASSWORD)) == ("foreman", True)
    (told,) = store.ledger.since(CREW_CHAIN)
    assert (told.fact["what"], told.fact["account"]) == ("account_made", rosa.id)
    store.close()


def test_a_slip_makes_no_account(store: Store) -> None:
    """A short password, two different ones, a name that is taken, a role there is none of."""
    assert account("add", "Tom", "--role", "welder", typed="short\nshort\n").exit_code == 2
    assert account("add", "Tom", "--role", "welder", typed=f"{PASSWORD}\nother\n").exit_code == 1
    assert account("add", "Tom", "--role", "roofer").exit_code == 2
    assert store.people.accounts() == []
    account("add", "Tom", "--role", "welder", "--by-invite", typed="")
    again = account("add", "Tom", "--role", "prober", "--by-invite", "--lang", "es", typed="")
    assert again.exit_code == 2
    assert "Tom" in again.output
    assert [one.role for one in store.people.accounts()] == ["welder"]
    store.close()


def test_accounts_are_listed_without_hashes() -> None:
    """Who, in which role, with a password or by link only."""
    account("add", "Rosa", "--role", "foreman")
    account("add", "Luz", "--role", "prober", "--by-invite", typed="")
    listed = account("list").output
    rows = {name: line for line in listed.splitlines() for name in ("Rosa", "Luz") if name in line}
    assert "yes" in rows["Rosa"]
    assert "no" in rows["Luz"]
    assert "argon2" not in listed


def test_another_password_replaces_the_first(store: Store) -> None:
    """The old one opens nothing any more."""
    account("add", "Rosa", "--role", "foreman")
    other = "other words, also invented"
    assert account("password", "Rosa", typed=f"{other}\n{other}\n").exit_code == 0
    rosa = store.people.account_named("Rosa")
    assert [is_password(rosa, typed) for typed in (PASSWORD, other)] == [False, True]
    store.close()


def test_a_revoked_account_stays_and_opens_nothing(store: Store) -> None:
    """Its facts still have their author; an unknown name is said to be unknown."""
    account("add", "Luz", "--role", "prober")
    assert account("revoke", "Luz").exit_code == 0
    luz = store.people.account_named("Luz")
    assert luz is not None
    assert not is_password(luz, PASSWORD)
    assert not is_password(luz, "")
    for command in ("revoke", "password"):
        refused = account(command, "Nobody")
        assert refused.exit_code == 2
        assert "Nobody" in refused.output
    store.close()
