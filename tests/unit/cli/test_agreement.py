"""``lapwright agreement``: from files, from a record, in both languages."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests import cast

from lapwright.cli import main


def run(*arguments: str) -> Result:
    """The command."""
    return CliRunner().invoke(main, ["agreement", *arguments], env={"NO_COLOR": "1"})


def file_of(folder: Path, grader: str, grades: str) -> str:
    """What a phone saves of one person's quiz."""
    words = {"c": "cold", "p": "partial", "f": "full"}
    rows = [f"7-{place},{grader},{words[letter]}" for place, letter in enumerate(grades, start=1)]
    file = folder / f"{grader}.csv"
    file.write_text("strip,grader,grade\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return str(file)


def test_two_files_lie_side_by_side(tmp_path: Path) -> None:
    """Each person's own file; twenty strips give an index, by hand 1 - 0.05/0.5."""
    files = file_of(tmp_path, "Ana", "cf" * 10), file_of(tmp_path, "Ben", "ff" + "cf" * 9)
    told = json.loads(run(*files, "--json").stdout)
    assert (told["same"], told["strips"]) == (19, 20)
    # by hand: 10 and 9 of 20 called cold: chance alike (10x9 + 10x11)/400 = 0.5
    assert told["kappa"]["value"] == pytest.approx(1 - 0.05 / 0.5)
    assert "own" not in told
    assert "Ana: 19 of 20 the same" in run(*files, "--names").stdout
    assert "Ana" not in run(*files).stdout


def test_the_record_is_read_without_a_file(tmp_path: Path) -> None:
    """Second looks of a record of facts; in Spanish."""
    people = [cast.fact("person", name=name) for name in ("Ana", "Luz")]
    weld = cast.welded("1", "860 f", "")[0]
    strips = [
        cast.fact("strip", at=f"08:1{second}", of=weld, number="1", pull="full",
                  second_look=bool(second) or None, by=people[second])
        for second in (0, 1)
    ]  # fmt: skip
    file = tmp_path / "facts.jsonl"
    lines = [json.dumps(fact.plain()) for fact in (cast.JOB_FACT, *people, weld, *strips)]
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    result = run("--record", str(file), "--lang", "es")
    assert result.stdout.startswith("1 de 1 tiras con la misma calificación.")


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "two grades; keep one"), ("es", "calificó dos veces la tira 7-1")],
)
def test_one_person_grades_a_strip_once(tmp_path: Path, language: str, said: str) -> None:
    """The same file twice is refused, with strip and name, exit 2."""
    file = file_of(tmp_path, "Ana", "cf")
    result = run(file, file, "--lang", language)
    assert result.exit_code == 2
    assert said in result.stderr


def test_one_person_alone_agrees_with_nobody(tmp_path: Path) -> None:
    """A single file has nothing to compare."""
    result = run(file_of(tmp_path, "Ana", "cf"))
    assert (result.exit_code, "second person" in result.stderr) == (2, True)
