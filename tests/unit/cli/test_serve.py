"""How the service is started: whom it lets in, and what it says before it opens up."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main
from lapwright.store import open_store
from lapwright.web.access import LOCAL
from lapwright.web.accounts import add_account
from lapwright.web.door import Door
from lapwright.web.serving import Serving


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[Serving]:
    """What would have been started, in a folder of its own."""
    found: list[Serving] = []
    monkeypatch.setattr("lapwright.cli.serve.start", found.append)
    monkeypatch.chdir(tmp_path)
    return found


def serve(*options: str) -> Result:
    """Run the command on a port that is free."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    return CliRunner().invoke(main, ["serve", "--port", str(port), *options])


def foreman(password: str = "four words, all invented") -> None:
    """A foreman's account in the store of this folder."""
    store = open_store("lapwright.db")
    add_account(store, LOCAL, "Rosa", role="foreman", password=password)
    store.close()


def test_on_this_machine_nobody_signs_in(started: list[Serving]) -> None:
    """Neither account nor password is asked for, and the address is told."""
    result = serve()
    assert result.exit_code == 0, result.output
    (serving,) = started
    assert serving.door == Door(login=False, secure=False)
    assert f"http://127.0.0.1:{serving.port}/" in result.output
    assert Path("lapwright.db").is_file()


@pytest.mark.parametrize(
    "options", [("--host", "0.0.0.0"), ("--host", "::"), ("--behind-proxy", "127.0.0.1")]
)
def test_without_a_foreman_it_opens_to_nobody_else(
    started: list[Serving], options: tuple[str, ...]
) -> None:
    """It refuses and says which command makes the account, in both languages."""
    foreman(password="")  # comes in by link only: who would make the link?
    for language in ("en", "es"):
        result = serve(*options, "--lang", language)
        assert result.exit_code == 2
        assert "lapwright account add" in result.output
    assert started == []


def test_without_tls_it_says_what_phones_cannot_do(started: list[Serving]) -> None:
    """Off this machine and in clear: login is on, and the lack is told in both languages."""
    foreman()
    for language, word in (("en", "without signal"), ("es", "sin señal")):
        result = serve("--host", "0.0.0.0", "--lang", language)
        assert result.exit_code == 0, result.output
        assert word in result.stderr
    assert [each.door for each in started] == [Door(login=True, secure=False)] * 2


def test_behind_a_proxy_nothing_is_missing(started: list[Serving]) -> None:
    """The proxy does TLS: cookies travel over it only, and only its word is taken."""
    foreman()
    result = serve("--behind-proxy", "127.0.0.1", "--workers", "2")
    assert (result.exit_code, result.stderr) == (0, "")
    (serving,) = started
    assert serving.door == Door(login=True, secure=True)
    assert (serving.proxy, serving.workers) == ("127.0.0.1", 2)


def test_half_a_certificate_is_none(started: list[Serving]) -> None:
    """File and key belong together, and both must be what they are called."""
    foreman()
    Path("roof.pem").write_text("no certificate", encoding="utf-8")
    for options, words in (
        (("--cert", "roof.pem"), "--cert and --key"),
        (("--key", "roof.pem"), "--cert and --key"),
        (("--cert", "roof.pem", "--key", "roof.pem"), "roof.pem"),
        (("--cert", "lost.pem", "--key", "roof.pem"), "lost.pem"),
    ):
        result = serve("--host", "0.0.0.0", *options)
        assert result.exit_code == 2
        assert words in result.output
        assert "?" not in result.output
    assert started == []


def test_a_taken_port_is_named(started: list[Serving]) -> None:
    """Before anything is said to be served there."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        result = CliRunner().invoke(main, ["serve", "--port", str(port)])
    assert result.exit_code == 2
    assert f"127.0.0.1:{port}" in result.output
    assert started == []
