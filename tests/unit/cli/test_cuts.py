"""The commands ``cuts`` and ``tally``: what is typed, read and refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main

DAYS = "day,operator,machine,probed_ft,voids,strips,bad\n" + "".join(
    f"d{k},{'Ana' if k % 2 else 'Ben'},W1,1000,{3 if k < 8 else 12},6,0\n" for k in range(12)
)


def _run(*args: str) -> Result:
    return CliRunner().invoke(main, list(args))


# Bad shares still possible, none bad: the table of the trade notes, 1 - 0.05^(1/n).
@pytest.mark.parametrize(("taken", "left"), [(3, 0.63), (5, 0.45), (10, 0.26), (59, 0.05)])
def test_clean_cuts_prove_what_the_table_says(taken: int, left: float) -> None:
    """The JSON carries the exact limit."""
    answer = json.loads(_run("cuts", "--taken", str(taken), "--json").stdout)
    assert answer["proved"]["bad_share_limit"] == pytest.approx(left, abs=0.005)


# Voids per 1,000 ft still possible after probing F feet without one: 2,996/F.
@pytest.mark.parametrize(("feet", "left"), [(1000, 2.996), (1815, 1.651), (14200, 0.211)])
def test_probed_feet_prove_what_the_table_says(feet: int, left: float) -> None:
    """Every void certain to be found, none found."""
    answer = json.loads(_run("cuts", "--probed-ft", str(feet), "--json").stdout)
    assert answer["probed"]["voids_limit_per_1000_ft"] == pytest.approx(left, abs=1.5e-3)


def test_metric_question_gets_the_same_answer() -> None:
    """304.8 m are 1,000 ft; the limit is then told per 100 m."""
    answer = json.loads(_run("cuts", "--probed-m", "304.8", "--units", "metric", "--json").stdout)
    assert answer["probed"]["voids_limit_per_100_m"] == pytest.approx(2.996 / 3.048, abs=1e-3)


def test_groups_file_and_spanish(tmp_path: Path) -> None:
    """A file of groups is answered in the reader's language."""
    file = tmp_path / "groups.csv"
    file.write_text("group,taken,bad,length_m\nmano,6,0,240\n", encoding="utf-8")
    result = _run("cuts", "--groups", str(file), "--lang", "es", "--units", "metric")
    assert "mano  0 malos de 6 en 240 m: hasta 39 %" in result.stdout


def test_tally_warns(tmp_path: Path) -> None:
    """Days with four times the voids are out, by the first eight days."""
    file = tmp_path / "days.csv"
    file.write_text(DAYS, encoding="utf-8")
    result = _run("tally", str(file), "--base", "8", "--compare", "Ana", "Ben")
    assert result.exit_code == 0
    assert "Out of its limits on d8, d9, d10, d11" in result.stdout
    assert "Ana against Ben" in result.stdout
    charts = json.loads(_run("tally", str(file), "--by", "operator", "--json").stdout)["charts"]
    assert [chart["who"] for chart in charts] == ["Ben", "Ben", "Ana", "Ana"]


@pytest.mark.parametrize(
    ("args", "sentence"),
    [
        (["cuts"], "Nothing is asked"),
        (["cuts", "--taken", "3", "--bad", "5"], "number of bad strips is 5"),
        (["cuts", "--taken", "9", "--places", "5"], "cannot have been looked at"),
        (["cuts", "--good-percent", "1"], "go together"),
        (["cuts", "--good-percent", "9", "--poor-percent", "5"], "must be better"),
        (["cuts", "--good-percent", "1", "--poor-percent", "2", "--places", "9"], "same number"),
        (["tally", "nothere.csv"], "is not there"),
    ],
)
def test_mistakes_are_one_sentence(args: list[str], sentence: str) -> None:
    """What is wrong stands on stderr, exit status 2."""
    result = _run(*args)
    assert result.exit_code == 2
    assert sentence in result.stderr
