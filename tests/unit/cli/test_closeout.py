"""``closeout``, ``key``, ``verify FILE.pdf``: what is refused, and that nothing is left behind."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import pikepdf
import pytest
from click.testing import CliRunner

from lapwright.cli import main
from lapwright.store import open_store
from lapwright.store.archive import read_archive

DAY = "2026-05-06"


def run(*args: str, **more: str) -> tuple[int, str]:
    """Exit and output."""
    told = CliRunner().invoke(main, list(args), env={"LAPWRIGHT_PASSPHRASE": None, **more})
    return told.exit_code, told.output


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A store with the invented week."""
    place = str(tmp_path_factory.mktemp("closeout") / "week.db")
    store = open_store(place)
    with files("lapwright").joinpath("examples", "week.zip").open("rb") as archive:
        read_archive(archive, name="week", store=store)  # type: ignore[arg-type]
    store.close()
    return place


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--job", "ffffffff"), "job"),
        (("--day", "2031-01-01"), "2026-05-04"),  # the days there are
        (("--day", "yesterday"), "yesterday"),
        (("--rules", "none.toml"), "none.toml"),
        (("--key", "none.pem"), "none.pem"),
        (("--out", "no/such/folder/a.pdf"), "no/such/folder"),
    ],
)
def test_a_closeout_that_cannot_be_made_leaves_nothing(
    place: str, folder: Path, args: tuple[str, ...], says: str
) -> None:
    """A sentence that names what is wrong, exit 2, and no file."""
    code, output = run("closeout", "--store", place, "--day", DAY, *args)
    assert code == 2
    assert says in output
    assert "Traceback" not in output
    assert not list(folder.rglob("*"))


def test_a_file_named_after_the_job_and_never_written_over(place: str, folder: Path) -> None:
    """The name is fit for every file system; --replace is needed, and says so by its absence."""
    code, output = run("closeout", "--store", place, "--day", DAY, "--json")
    told = json.loads(output)
    assert code == 0
    (file,) = folder.iterdir()
    assert told["file"] == file.name == f"invented-roof-a-school-annex-{DAY}.pdf"
    assert told["bytes"] == file.stat().st_size
    file.write_bytes(b"mine")
    assert run("closeout", "--store", place, "--day", DAY)[0] == 2
    assert file.read_bytes() == b"mine"
    assert run("closeout", "--store", place, "--day", DAY, "--replace")[0] == 0
    assert file.read_bytes().startswith(b"%PDF-")


def test_what_is_open_is_printed_as_in_the_paper(place: str) -> None:
    """In the reader's language, with the hash to note."""
    code, output = run("closeout", "--store", place, "--day", DAY, "--lang", "es", "--out", "a.pdf")
    assert code == 0
    assert "soldada cuando ya tocaba probar: 90 ft" in output
    assert "f8ad21d5" in output or "hash" in output.lower()


def test_a_key_is_never_written_over_and_needs_a_name(folder: Path) -> None:
    """Whoever loses a key can sign no more; a name that no certificate bears is refused."""
    assert run("key", "k.pem", "--name", "Invented")[0] == 0
    first = (folder / "k.pem").read_bytes()
    assert run("key", "k.pem", "--name", "Other")[0] == 2
    assert (folder / "k.pem").read_bytes() == first
    assert run("key", "l.pem", "--name", "x" * 65)[0] == 2
    assert run("key", "l.pem")[0] == 2
    assert not (folder / "l.pem").exists()


def test_a_locked_key_opens_with_its_passphrase_alone(place: str, folder: Path) -> None:
    """Taken from the environment; a wrong one writes no paper."""
    assert run("key", "k.pem", "--name", "Invented", LAPWRIGHT_PASSPHRASE="open")[0] == 0
    assert b"ENCRYPTED" in (folder / "k.pem").read_bytes()
    write = ("closeout", "--store", place, "--day", DAY, "--key", "k.pem", "--out", "a.pdf")
    code, output = run(*write, LAPWRIGHT_PASSPHRASE="shut")
    assert (code, (folder / "a.pdf").exists()) == (2, False)
    assert "passphrase" in output
    assert run(*write, LAPWRIGHT_PASSPHRASE="open")[0] == 0


def blank(file: Path) -> None:
    """A page of somebody else."""
    pdf = pikepdf.new()
    pdf.add_blank_page()
    pdf.save(file)


def test_what_verify_cannot_prove_is_refused(folder: Path) -> None:
    """No such file, no PDF, half a PDF, a PDF of somebody else: exit 2 and why."""
    (folder / "a.txt").write_text("no paper")
    (folder / "half.pdf").write_bytes(b"%PDF-1.7\nhalf")
    blank(folder / "other.pdf")
    for name in ("none.pdf", "a.txt", "half.pdf", "other.pdf"):
        code, output = run("verify", name)
        assert code == 2
        assert name in output
        assert "Traceback" not in output


def test_another_s_certificate_vouches_for_nothing(place: str, folder: Path) -> None:
    """The signature fits, but nobody trusted stands behind it; a file without any is refused."""
    for name in ("k", "other"):
        assert run("key", f"{name}.pem", "--name", f"Invented {name}")[0] == 0
    write = ("closeout", "--store", place, "--day", DAY, "--key", "k.pem", "--out", "a.pdf")
    assert run(*write)[0] == 0
    own, other = (run("verify", "a.pdf", "--trust", f"{name}.pem") for name in ("k", "other"))
    assert own[0] == other[0] == 0
    assert own[1] != other[1]
    assert "self-made" in other[1]
    assert "self-made" not in own[1]
    (folder / "empty.pem").write_text("")
    assert run("verify", "a.pdf", "--trust", "empty.pem")[0] == 2


def test_a_hash_that_was_noted_is_looked_for(place: str) -> None:
    """Found, or the paper is refused."""
    write = ("closeout", "--store", place, "--day", DAY, "--out", "a.pdf", "--json")
    head = json.loads(run(*write)[1])["hash"]
    assert run("verify", "a.pdf", "--hash", head)[0] == 0
    assert run("verify", "a.pdf", "--hash", "0" * 64)[0] != 0
