"""``lapwright trace``, ``suspect`` and ``symptom`` on the invented week and on a store."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests import cast

from lapwright.cli import main
from lapwright.store import open_store

WEEK = str(files("lapwright").joinpath("examples", "week.jsonl"))


def told(*arguments: str) -> Result:
    """What a command prints, asked of the week."""
    return CliRunner().invoke(main, [*arguments, "--record", WEEK])


def test_a_seam_tells_who_stands_behind_it() -> None:
    """Operator, machine, setting, test welds and weather of each stretch."""
    result = told("trace", "A-S006")
    assert result.exit_code == 0
    lines = result.output
    assert lines.startswith("Invented example")
    assert "Tom, machine 3, 2026-05-06" in lines
    assert "test welds behind it: T" in lines
    assert "welded after a test was due" in lines
    assert "defect D4, cold weld: closed" in lines


def test_a_station_is_asked_for_in_either_unit() -> None:
    """80 ft, 24.4 m and the reader's own unit lead to one stretch."""
    feet, metres, reader = (
        told("trace", place, *more).output
        for place, more in (
            ("A-S006@80.2", ()),
            ("A-S006@24.45m", ()),
            ("A-S006@24,45", ("--units", "metric")),
        )
    )
    assert feet == metres
    assert "80 ft to 81 ft" in feet
    assert "24.4 m to 24.7 m" in reader
    assert feet.count("machine 3") == 1


def test_without_a_seam_all_that_lacks_something_is_told() -> None:
    """Orphan, stale, put off, open and unprobed feet, then the totals."""
    result = told("trace", "--lang", "es", "--units", "metric")
    assert "sin soldadura de prueba que la respalde" in result.output
    assert "En total" in result.output
    for seam in ("A-S004", "A-S008", "A-S009"):
        assert f"Costura {seam}" in result.output
    assert "A-S007" not in result.output


def test_figures_come_as_json() -> None:
    """The same as one object, for whoever counts."""
    figures = json.loads(told("trace", "A-S008", "--json").output)
    (seam,) = figures["seams"]
    orphan = seam["stretches"][0]
    assert (orphan["end_ft"], orphan["why_orphan"]["code"]) == (60.0, "no_decision")


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("A-S099", "Nothing is planned or recorded on seam A-S099. Known seams: A-S001,"),
        ("A-S006@900", "Seam A-S006 has no station 900 ft: it reaches from 0 ft to 180 ft."),
        ("A-S006@far", '"A-S006@far" is no station'),
    ],
)
def test_a_place_that_is_not_there_is_told(place: str, says: str) -> None:
    """One sentence, exit status 2."""
    result = told("trace", place)
    assert result.exit_code == 2
    assert says in result.output


def test_a_doubt_is_told_with_the_next_cut() -> None:
    """The week's open doubt: bounded on one side by a cut, half-way on to the next pass."""
    result = told("suspect", "--cause", "change", "--cut-cost", "80")
    assert "Cut C5 failed" in result.output
    assert "60 ft suspect: Tom, machine 3" in result.output
    assert "A-S009 85.5 ft: half-way on to the next pass" in result.output
    assert "bounded on both sides and covered" in result.output  # Wednesday's, below it
    figures = json.loads(told("suspect", "--json").output)
    assert [each["closed"] for each in figures["doubts"]] == [False, True]
    one = figures["doubts"][0]
    alone = json.loads(told("suspect", one["failure"], "--json").output)["doubts"]
    assert alone == [one]


def test_rates_are_the_readers_own() -> None:
    """$6 a foot for 60 ft; the same money a metre says less."""

    def most(*more: str) -> int:
        found = json.loads(told("suspect", "--json", "--cover-cost", "6", *more).output)
        return int(found["doubts"][0]["cost"]["high"])

    assert most() == 360
    assert most("--units", "metric") == 110


def test_what_is_no_failure_is_refused() -> None:
    """A passing fact raises no doubt, and the sentence says what would."""
    result = told("suspect", cast.TOM.id)
    assert result.exit_code == 2
    assert "name a failed test weld" in result.output


def test_a_symptom_needs_no_record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In an empty folder the table answers, in either language."""
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, ["symptom", "groove", "--lang", "es"])
    assert result.exit_code == 0
    assert "boquilla o zapata desalineada" in result.output
    whole = json.loads(CliRunner().invoke(main, ["symptom", "--json"]).output)
    assert len(whole["symptoms"]) == 17


def test_the_record_ranks_the_symptoms() -> None:
    """Wednesday speaks of cold peels first, and of the volts."""
    result = told("symptom", "--day", "2026-05-06", "--json")
    first = json.loads(result.output)["symptoms"][0]
    assert (first["code"], first["causes"][0]["code"]) == ("peels_clean", "volts_low")


def test_the_store_is_read_like_the_file(tmp_path: Path) -> None:
    """The same facts in a store give the same trace; an unknown job is refused."""
    place = str(tmp_path / "crew.db")
    store = open_store(place)
    run = cast.ran("A-S001", "0 ft", "20 ft")
    store.ledger.append(cast.JOB, [*cast.SETUP, *run], received_at="2026-05-04T18:00:00+00:00")
    store.close()
    result = CliRunner().invoke(main, ["trace", "A-S001", "--store", place])
    assert "nobody named a set point for this run" in result.output
    wrong = CliRunner().invoke(main, ["trace", "--store", place, "--job", "f"])
    assert wrong.exit_code == 2
    missing = CliRunner().invoke(main, ["trace", "--store", str(tmp_path / "none.db")])
    assert missing.exit_code == 2
