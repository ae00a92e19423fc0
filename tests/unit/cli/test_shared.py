"""``lapwright shared`` on the invented week: a late find leads to all that shares the blame."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main
from lapwright.proof.runs import welded_runs
from lapwright.readings.facts import read_facts
from lapwright.record.replay import Record

WEEK = files("lapwright").joinpath("examples", "week.jsonl")
RECORD = Record(read_facts(WEEK))  # type: ignore[arg-type]
FOOT = 0.3048


def told(*arguments: str) -> Result:
    """What the command prints, asked of the week."""
    return CliRunner().invoke(main, ["shared", *arguments, "--record", str(WEEK)])


def test_a_day_holds_every_run_of_it_and_no_other() -> None:
    """All feet welded on the day of the place, as the record itself adds up."""
    found = json.loads(told("A-S003@20", "--by", "day", "--json").output)
    runs = [run for run in welded_runs(RECORD) if run.run.day == "2026-05-05"]
    assert found["blamed"] == "2026-05-05"
    assert found["length_ft"] == pytest.approx(sum(run.length for run in runs) / FOOT, abs=0.1)
    assert {run["id"] for chain in found["chains"] for run in chain["runs"]} == {
        run.run.id for run in runs
    }


def test_a_generator_is_shared_by_people_who_share_nothing_else() -> None:
    """Two chains on one generator are told apart, the most feet first, in the reader's words."""
    result = told("A-S003@6,1m", "--by", "power_setup", "--lang", "es", "--units", "metric")
    assert result.exit_code == 0
    chains = [line.strip() for line in result.output.splitlines() if "máquina" in line]
    assert [line.partition(": ")[2] for line in chains] == [
        "Tom, máquina 3",
        "Ines, máquina 3",
        "Ines, máquina 7",
    ]
    assert "Nada de eso queda probado como malo" in result.output


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("A-S003", "is no station"),
        ("A-S012@90", "Nothing is welded at A-S012@90"),
        ("A-S099@1", "recorded on seam A-S099"),
    ],
)
def test_a_place_that_leads_nowhere_is_refused(place: str, says: str) -> None:
    """A seam without a station, bare lap, an unknown seam: said in words, nothing guessed."""
    result = told(place, "--by", "day")
    assert result.exit_code == 2
    assert says in " ".join(result.output.split())
