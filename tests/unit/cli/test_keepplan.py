"""``lapwright plan --job``: the plan goes into the record, and the trace knows its seams."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests import cast

from lapwright.cli import main
from lapwright.job.planned import planned_seams
from lapwright.record.replay import Record
from lapwright.store import open_store

EXAMPLE = Path(__file__).parents[3] / "src" / "lapwright" / "examples" / "roof.geojson"


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A store with one job in it."""
    file = str(tmp_path / "roof.db")
    store = open_store(file)
    store.ledger.append(cast.JOB, [cast.JOB_FACT], received_at="2026-05-04T12:00:00+00:00")
    store.close()
    return file


def _planned(place: str, *more: str) -> Result:
    arguments = ["plan", str(EXAMPLE), "--lap-in", "6", "--store", place, *more]
    return CliRunner().invoke(main, arguments)


def _seams(place: str) -> list[str]:
    store = open_store(place)
    facts = [entry.fact for entry in store.ledger.since(cast.JOB)]
    store.close()
    return list(planned_seams(Record(facts)))


def test_a_plan_is_kept_in_its_job(place: str) -> None:
    """Both areas of the example, by the beginning of the job's id; said once for each."""
    result = _planned(place, "--job", cast.JOB[:8])
    assert result.exit_code == 0, result.output
    assert f"Plan of area A kept in job {cast.JOB}" in result.output
    assert f"Plan of area B kept in job {cast.JOB}" in result.output
    seams = _seams(place)
    assert seams[0] == "A-S001"
    assert any(seam.startswith("B-S") for seam in seams)


def test_without_a_job_nothing_is_kept(place: str) -> None:
    """A plan is only looked at unless somebody says whose it is."""
    assert _planned(place).exit_code == 0
    assert _seams(place) == []


def test_an_unknown_job_is_refused(place: str) -> None:
    """Another id than that of the one job keeps nothing and says which jobs there are."""
    result = _planned(place, "--job", "ffff")
    assert result.exit_code == 2
    assert cast.JOB in result.stderr
    assert _seams(place) == []
