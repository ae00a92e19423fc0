"""The command ``peel``: files in, verdict with its clause out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import lapwright
from lapwright.cli import main

EXAMPLE = str(Path(lapwright.__file__).parent / "examples" / "peel.csv")


def _run(*args: str) -> Result:
    return CliRunner().invoke(main, ["peel", *args])


@pytest.fixture
def rules(tmp_path: Path) -> str:
    """A rule file that asks 300 N/50 mm."""
    file = tmp_path / "rules.toml"
    file.write_text(
        'layer = "specification"\nedition = "2026"\nset_by = "QL"\n\n'
        '[peel_strength]\nvalue = 300\nunit = "N/50 mm"\nclause = "3.4"\n',
        encoding="utf-8",
    )
    return str(file)


def test_without_a_clause_force_is_recorded_only() -> None:
    """No rule file asks for force: figures, and no verdict on them."""
    result = _run(EXAMPLE, "--invalid", "3")
    assert result.exit_code == 0
    assert result.stdout.startswith("Force recorded, not judged")


def test_the_clause_of_the_job_decides(rules: str) -> None:
    """The same set fails strip by strip and passes by four of five."""
    every = json.loads(_run(EXAMPLE, "--rules", rules, "--invalid", "3", "--json").stdout)
    four = json.loads(
        _run(
            EXAMPLE, "--rules", rules, "--invalid", "3", "--passing", "four-of-five", "--json"
        ).stdout
    )
    assert (every["verdict"], four["verdict"]) == ("fail", "pass")
    assert four["rule"]["clause"] == "3.4"
    waiting = json.loads(
        _run(EXAMPLE, "--rules", rules, "--valid", "3", "--strips", "7", "--json").stdout
    )
    assert waiting["verdict"] == "fail"


def test_width_and_columns_can_be_stated(tmp_path: Path) -> None:
    """Bare numbers, said to be mm and lbf on 50 mm: half the force over width of 25 mm."""
    rows = "".join(f"{k},{min(k, 20)}\n" for k in range(100))
    file = tmp_path / "bare.csv"
    file.write_text(rows, encoding="utf-8")
    wide, narrow = (
        json.loads(_run(str(file), "--columns", "mm,lbf", "--width-mm", mm, "--json").stdout)
        for mm in ("50.8", "25.4")
    )
    peaks = [answer["strips"][0]["peak_lbf_in"] for answer in (wide, narrow)]
    assert peaks == [10.0, 20.0]


def test_strips_of_two_files_keep_apart(tmp_path: Path) -> None:
    """Names that both files use are led by the name of the file."""
    text = "mm,N\n" + "".join(f"{k},{min(10 * k, 150)}\n" for k in range(60))
    for name in ("north", "south"):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    answer = json.loads(
        _run(str(tmp_path / "north.csv"), str(tmp_path / "south.csv"), "--json").stdout
    )
    assert [strip["strip"] for strip in answer["strips"]] == ["north:1", "south:1"]


def test_chart_is_drawn(tmp_path: Path) -> None:
    """The picture says the verdict in words."""
    picture = tmp_path / "peel.svg"
    assert _run(EXAMPLE, "--chart", str(picture), "--lang", "es").exit_code == 0
    assert "Sin juzgar" in picture.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("args", "sentence"),
    [
        (["nothere.csv"], "nothere.csv is not there"),
        ([EXAMPLE, "--invalid", "9"], "There is no strip 9"),
        ([EXAMPLE, "--width-in", "1", "--width-mm", "25"], "are both given"),
        ([EXAMPLE, "--columns", "mm,psi"], '"psi" is no unit of a column'),
    ],
)
def test_mistakes_are_one_sentence(args: list[str], sentence: str) -> None:
    """What is wrong stands on stderr, exit status 2."""
    result = _run(*args)
    assert result.exit_code == 2
    assert sentence in result.stderr
