"""The commands that keep the record, run as people run them."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main
from lapwright.record.fact import Fact
from lapwright.store import Store, open_store

Build = Callable[..., Fact]
NOW = "2026-05-04T13:06:00Z"
PNG = bytes.fromhex("89504e470d0a1a0a0000000d49484452")
SHA = hashlib.sha256(PNG).hexdigest()


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty current folder, without settings of the person who runs the tests."""
    monkeypatch.chdir(tmp_path)
    for name in ("LAPWRIGHT_STORE", "LAPWRIGHT_PHOTOS"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


@pytest.fixture
def crew(folder: Path, fact: Build) -> Store:
    """The default store of a folder, with one job and one photo."""
    store = open_store("lapwright.db")
    store.photos.put(SHA, PNG)
    facts = [fact(1, "job", name="Invented roof", invented=True), fact(2)]
    facts.append(fact(3, "photo", file=SHA, of=fact(2).id))
    store.ledger.append(fact(1).job, facts, received_at=NOW)
    store.close()
    assert (folder / "lapwright.db").exists()
    return store


def run(*arguments: str, env: dict[str, str] | None = None) -> Result:
    """One command, as typed."""
    terminal = {"COLUMNS": "100", "NO_COLOR": "1", **(env or {})}
    return CliRunner().invoke(main, arguments, env=terminal)


def refused(result: Result, *words: str) -> None:
    """The command ended with status 2 and one sentence that holds the words."""
    assert result.exit_code == 2, result.output
    assert result.stderr.count("\n") == 1
    for word in words:
        assert word in result.stderr


def test_jobs_and_verify_say_what_is_kept(crew: Store, fact: Build) -> None:
    """``jobs`` lists id, name and entries; ``verify`` says the last hash, in each language."""
    job, head = fact(1).job, crew.ledger.head(fact(1).job)
    listed = run("jobs")
    assert all(word in listed.output for word in (job, "Invented roof", "3"))
    assert head.hash in run("verify").output
    spanish = run("verify", "--lang", "es")
    assert "la cadena está entera" in spanish.output
    assert spanish.exit_code == 0


def test_verify_finds_a_hash_that_was_noted(crew: Store, fact: Build) -> None:
    """A hash written down earlier is found though the chain has grown; another is not."""
    early = crew.ledger.since(fact(1).job)[1].hash
    assert run("verify", "--hash", early.upper()).exit_code == 0
    refused(run("verify", "--hash", "0" * 64), "0" * 64)


def test_verify_refuses_what_was_changed(crew: Store) -> None:
    """A change in the file of the store is told with its place, status 2."""
    with crew.database.writing() as connection:
        connection.exec_driver_sql("UPDATE facts SET received_at = 'x' WHERE seq = 2")
    crew.close()
    refused(run("verify"), "entry 2")


def test_verify_refuses_a_sign_off_of_another_chain(crew: Store, fact: Build) -> None:
    """A sign-off whose hash is not in the chain before it is told, though each link fits."""
    wrong = fact(9, "sign_off", scope="day", statement="seen", open={}, head="1" * 64)
    crew.ledger.append(wrong.job, [wrong], received_at=NOW)
    crew.close()
    result = run("verify")
    assert result.exit_code == 2
    assert wrong.id in result.output


def test_export_verify_import_go_round(crew: Store, fact: Build, folder: Path) -> None:
    """An exported job verifies without a store, and imports into a new one, photos too."""
    assert run("export", "roof.zip").exit_code == 0
    head = crew.ledger.head(fact(1).job)
    assert head.hash in run("verify", "roof.zip", "--store", "none.db").output
    assert not (folder / "none.db").exists()
    assert head.hash in run("import", "roof.zip", "--store", "new.db").output
    assert (folder / "new-photos" / SHA[:2] / SHA).read_bytes() == PNG
    assert head.hash in run("verify", env={"LAPWRIGHT_STORE": "new.db"}).output


def test_export_never_overwrites_and_leaves_no_part(crew: Store, fact: Build, folder: Path) -> None:
    """A file that is there stays; after a refusal there is no half of an archive."""
    assert crew.ledger.jobs() == [fact(1).job]
    crew.close()
    (folder / "roof.zip").write_text("mine")
    refused(run("export", "roof.zip"), "roof.zip")
    assert (folder / "roof.zip").read_text() == "mine"
    refused(run("export", "other.zip", "--job", "ffff"), "ffff", fact(1).job)
    refused(run("export", "no/folder/x.zip"), "no/folder/x.zip")
    assert not list(folder.glob("*.part"))
    assert not (folder / "other.zip").exists()


def test_backup_and_restore(crew: Store, fact: Build, folder: Path) -> None:
    """A backup is for its owner's eyes only, and a new store made of it verifies."""
    done = run("backup", "safe.zip")
    assert "1 jobs, 3 entries, 1 photos" in done.output
    assert (folder / "safe.zip").stat().st_mode & 0o077 == 0
    assert run("restore", "safe.zip", "--store", "new.db").exit_code == 0
    assert crew.ledger.head(fact(1).job).hash in run("verify", "--store", "new.db").output


def test_move_takes_sqlite_to_postgresql(
    crew: Store, fact: Build, new_place: Callable[[str], str], folder: Path
) -> None:
    """``move`` copies the file's store to PostgreSQL, photos to the folder that is set for it."""
    target = new_place("postgresql")
    photos = folder / "shared"
    env = {"LAPWRIGHT_PHOTOS": str(photos)}
    assert run("move", target, env=env).exit_code == 0
    assert crew.ledger.head(fact(1).job).hash in run("verify", "--store", target, env=env).output
    assert (photos / SHA[:2] / SHA).read_bytes() == PNG


@pytest.mark.parametrize("command", ["jobs", "verify", "export x.zip", "backup x.zip", "move x.db"])
def test_a_store_that_is_not_there_is_not_made(folder: Path, command: str) -> None:
    """Reading a store under a mistyped name makes no empty one."""
    refused(run(*command.split(), "--store", "tpyo.db"), "tpyo.db")
    assert not list(folder.iterdir())


@pytest.mark.parametrize("command", ["import", "restore", "verify"])
def test_a_file_that_is_not_there_is_told(folder: Path, command: str) -> None:
    """A missing archive is named in one sentence."""
    refused(run(command, "none.zip"), "none.zip")
    assert folder.exists()
