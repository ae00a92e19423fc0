"""``lapwright displays`` on a file and on a store."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from tests import cast
from tests.handed import week

from lapwright.cli import main
from lapwright.record.fact import Fact


def run(*args: str) -> tuple[int, str]:
    """Exit and output."""
    told = CliRunner().invoke(main, ["displays", *args])
    return told.exit_code, told.output


@pytest.fixture
def file(tmp_path: Path) -> str:
    """The week and one reading of machine 3, as a file."""
    measured = cast.fact("test_weld", number="T9", day="2026-05-08", at="17:00", air="860 f",
                         speed="10 ft_min", measured_air="881 f measured",
                         conditions=cast.CONDITIONS, **cast.CHAIN)  # type: ignore[arg-type]  # fmt: skip
    facts: list[Fact] = [*week(), cast.CONDITIONS, measured]
    place = tmp_path / "facts.jsonl"
    place.write_text("\n".join(json.dumps(one.plain()) for one in facts), encoding="utf-8")
    return str(place)


def test_a_machine_of_a_file_is_told(file: str) -> None:
    """One reading is too few: said, in both languages, with no offset."""
    assert (
        run("--record", file, "--machine", "3")[1].count("No. 3, air: not known yet, 1 of 5") == 1
    )
    code, spanish = run("--record", file, "--lang", "es")
    assert code == 0
    assert "not known" not in spanish


def test_one_machine_leaves_out_the_others(file: str) -> None:
    """As JSON, which holds the reading."""
    shown = json.loads(run("--record", file, "--machine", "3", "--json")[1])["displays"]
    assert {one["machine"] for one in shown} == {"3"}
    (reading,) = [each for one in shown for each in one["readings"] if one["quantity"] == "air"]
    assert (reading["shown_f"], reading["measured_f"]) == (860.0, 881.0)


@pytest.mark.parametrize(
    "args", [("--record", "none.jsonl"), ("--job", "ffff"), ("--store", "none/x.db")]
)
def test_what_is_not_there_is_refused(
    args: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In one sentence on the error stream, with exit 2."""
    monkeypatch.chdir(tmp_path)
    code, output = run(*args)
    assert code == 2
    assert "Traceback" not in output
