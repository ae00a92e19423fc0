"""Rules that hold for the files of this project as a whole, whoever writes them."""

from __future__ import annotations

import ast
import os
import re
import tomllib
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "lapwright"
CORE = ("physics", "window", "proof", "roof", "job")
LONGEST_FILE = 400  # lines; past it a file holds two ideas
LOCKS = {  # and the dependency groups in each
    "requirements.txt": ["build"],
    "requirements-test.txt": ["build", "test"],
    "requirements-bench.txt": ["build", "test", "bench"],
}
NOT_OURS = {"vendor", "out", "build", "dist", "__pycache__"}
TEXT = {".py", ".js", ".mjs", ".css", ".html", ".md", ".toml", ".txt", ".csv", ".json", ".svg", ""}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def _files(top: Path = ROOT) -> Iterator[Path]:
    """Every file that people wrote, without what was vendored or made."""
    for folder, folders, names in os.walk(top):
        folders[:] = [
            name
            for name in folders
            if name not in NOT_OURS and (name == ".ci" or not name.startswith("."))
        ]
        yield from (Path(folder, name) for name in names if name != ".coverage")


def _named(*suffixes: str, top: Path = ROOT) -> list[Path]:
    return sorted(path for path in _files(top) if path.suffix in suffixes)


def _short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _setup_files() -> list[Path]:
    """What decides where packages come from."""
    lists = [ROOT / name for name in (*LOCKS, "Makefile", "pyproject.toml")]
    scripts = [*_files(ROOT / "scripts"), *_files(ROOT / ".ci")]
    return [*lists, *scripts, *SOURCE.rglob("vendor.toml")]


@pytest.mark.parametrize("path", _setup_files(), ids=_short)
def test_setup_names_no_place_that_packages_come_from(path: Path) -> None:
    """Where packages come from is the machine's setting, never the project's."""
    text = path.read_text(encoding="utf-8")
    found = re.findall(r"\S*://\S*|--find-links|--(?:extra-)?index-url|\bfile:[/.]\S*", text)
    assert not found


def test_no_file_names_a_folder_of_one_machine() -> None:
    """A clone works anywhere: no file names somebody's home or workplace."""
    # Written in two parts so that this file passes its own rule.
    own_folder = re.compile(r"(?<![\w.])/" + r"(?:home|work|root|Users)/|[A-Z]:\\" + r"Users\\")
    guilty = [
        f"{_short(path)}:{number}"
        for path in _files()
        if path.suffix in TEXT
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if own_folder.search(line)
    ]
    assert not guilty


def test_no_file_holds_two_ideas() -> None:
    """A Python or page file stays within 400 lines."""
    long = {
        _short(path): count
        for path in _named(".py", ".js", ".mjs")
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_FILE
    }
    assert not long


def test_every_room_has_a_floor() -> None:
    """Each room under src stands in the layers of pyproject.toml, also one without __init__."""
    layers = PROJECT["tool"]["importlinter"]["contracts"][0]["layers"]
    declared = {name.strip(" ()") for line in layers for name in line.split("|")}
    rooms = {path.relative_to(SOURCE).parts[0] for path in _named(".py", top=SOURCE)}
    assert {room.removesuffix(".py") for room in rooms} - {"__init__"} <= declared


def test_every_python_file_tells_its_story() -> None:
    """Each Python file that holds anything begins with a docstring."""
    silent = [
        _short(path)
        for path in [*_named(".py"), ROOT / "scripts" / "sizes"]
        if ast.get_docstring(_tree(path)) is None
    ]
    assert not silent


def test_every_test_states_its_rule() -> None:
    """The docstring of each test says what rule it proves."""
    silent = [
        f"{_short(path)}::{node.name}"
        for path in _named(".py", top=ROOT / "tests")
        for node in ast.walk(_tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.name.startswith("test_")
        and ast.get_docstring(node) is None
    ]
    assert not silent


def test_the_core_reads_no_clock_and_draws_no_chance() -> None:
    """In the core, time and chance come in as arguments, files not at all."""
    forbidden = re.compile(
        r"open|print|input|(datetime\.)?(datetime|date)\.(now|utcnow|today)|.*\bdefault_rng"
    )
    guilty = [
        f"{_short(path)}:{node.lineno} {called}"
        for room in CORE
        for path in _named(".py", top=SOURCE / room)
        for node in ast.walk(_tree(path))
        if isinstance(node, ast.Call) and forbidden.fullmatch(called := ast.unparse(node.func))
    ]
    assert not guilty


def _locked(name: str) -> dict[str, list[Requirement]]:
    """Packages of one lock file by name; a package may be locked once per Python version."""
    locked: dict[str, list[Requirement]] = {}
    for line in (ROOT / name).read_text(encoding="utf-8").splitlines():
        if not line.startswith(" "):
            requirement = Requirement(line.removesuffix("\\"))
            locked.setdefault(requirement.name.lower(), []).append(requirement)
    return locked


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_follows_the_project(lock: str) -> None:
    """What pyproject.toml asks for is locked, in a version that it allows."""
    asked = [*PROJECT["project"]["dependencies"]]
    asked += [line for group in LOCKS[lock] for line in PROJECT["dependency-groups"][group]]
    locked = _locked(lock)
    for wanted in map(Requirement, asked):
        for pin in locked[wanted.name.lower()]:
            (version,) = pin.specifier
            assert wanted.specifier.contains(version.version), wanted


@pytest.mark.parametrize("lock", LOCKS)
def test_every_locked_package_carries_its_hash(lock: str) -> None:
    """No package is installed unchecked: each locked one is followed by its hash."""
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    for line, after in pairwise([*lines, ""]):
        if not line.startswith(" "):
            assert after.startswith("    --hash=sha256:"), line


def test_locks_agree() -> None:
    """Testing never changes the version that a crew runs."""
    run, test, bench = (
        {f"{pin.name}{pin.specifier}" for pins in _locked(lock).values() for pin in pins}
        for lock in LOCKS
    )
    assert run < test < bench


def test_links_between_pages_lead_somewhere() -> None:
    """Each relative link in a page of the docs points at a file or folder that is there."""
    dead = [
        f"{_short(page)}: {target}"
        for page in _named(".md")
        for target in re.findall(r"\]\(([^)#\s]+)", page.read_text(encoding="utf-8"))
        if ":" not in target and not (page.parent / target).exists()
    ]
    assert not dead
