"""``lapwright rules --keep`` and everything that judges a record by what was kept."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests import cast

from lapwright.cli import main
from lapwright.record.fact import Fact
from lapwright.store import open_store

SPEC = """layer = "specification"
edition = "2026-03"
set_by = "quality lead"

[fused_width]
value = 1.75
unit = "in"
clause = "3.4.B"

[time_since_pass]
value = 1
unit = "h"
clause = "3.5.C"
"""
DECISION = cast.morning()[-1]
FACTS = [
    *cast.SETUP,
    *cast.morning(),
    *cast.ran("A-S001", "0 ft", "300 ft", at="08:00", decision=DECISION),
    *cast.ran("A-S002", "0 ft", "300 ft", at="09:30", decision=DECISION),
]


def kept_in(path: Path, *facts: Fact) -> str:
    """A store with these facts."""
    place = str(path / "job.db")
    store = open_store(place)
    store.ledger.append(cast.JOB, facts, received_at="2026-05-05T00:00:00+00:00")
    store.close()
    return place


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A store with an invented day, and a rule file beside it."""
    (tmp_path / "spec.toml").write_text(SPEC, encoding="utf-8")
    return kept_in(tmp_path, *FACTS)


def run(*args: str) -> Result:
    """What a command says."""
    return CliRunner().invoke(main, args)


def spec(place: str) -> str:
    """The rule file beside a store."""
    return str(Path(place).with_name("spec.toml"))


def kept(place: str) -> list[Fact]:
    """Rules in the record."""
    store = open_store(place)
    found = [entry.fact for entry in store.ledger.since(cast.JOB) if entry.fact.kind == "rules"]
    store.close()
    return found


def test_files_are_kept_as_one_fact(place: str) -> None:
    """Once: the same files again add nothing, other files replace them and say so."""
    first = run("rules", spec(place), "--keep", "--store", place)
    assert first.exit_code == 0, first.output
    assert "2 clauses, in force from now" in first.output
    again = run("rules", spec(place), "--keep", "--store", place, "--lang", "es")
    assert "Nada nuevo" in again.output
    (fact,) = kept(place)
    assert fact["edition"] == "2026-03"
    assert [clause["rule"] for clause in fact["clauses"]] == ["fused_width", "time_since_pass"]
    Path(spec(place)).write_text(SPEC.replace("1.75", "2"), encoding="utf-8")
    changed = run("rules", spec(place), "--keep", "--store", place)
    assert "no longer count" in changed.output
    assert len(kept(place)) == 2


def test_rules_in_force_are_shown_with_files_on_top(place: str, tmp_path: Path) -> None:
    """The record's clause governs; a stricter file takes over, a milder one gives way."""
    run("rules", spec(place), "--keep", "--store", place)
    shown = run("rules", "--in-force", "--store", place, "--explain", "fused_width")
    assert "3.4.B" in shown.stdout.split("\n")[2]
    other = tmp_path / "maker.toml"
    text = SPEC.replace("specification", "sheet_maker").replace("3.4.B", "p. 7")
    other.write_text(text.replace("1.75", "2"), encoding="utf-8")
    figures = json.loads(run("rules", str(other), "--in-force", "--store", place, "--json").stdout)[
        "rules"
    ]
    width = next(rule for rule in figures if rule["rule"] == "fused_width")
    assert width["governing"]["clause"] == "p. 7"
    assert [clause["layer"] for clause in width["losing"]] == ["specification", "default"]


def test_a_mistake_keeps_nothing(place: str, tmp_path: Path) -> None:
    """No file named, or a unit that is none: refused in words, and no fact is made."""
    refused = run("rules", "--keep", "--store", place)
    assert (refused.exit_code, "No rule file is named" in refused.stderr) == (2, True)
    bad = tmp_path / "bad.toml"
    bad.write_text(SPEC.replace('"in"', '"furlong"'), encoding="utf-8")
    assert run("rules", str(bad), "--keep", "--store", place).exit_code == 2
    assert kept(place) == []


def stale(place: str, *more: str) -> set[str]:
    """Why stretches of the trace are out of date."""
    figures = json.loads(run("trace", "--store", place, "--json", *more).stdout)
    return {
        trigger["code"]
        for seam in figures["seams"]
        for stretch in seam["stretches"]
        for trigger in (stretch.get("late") or {"triggers": []})["triggers"]
    }


def test_the_trace_judges_by_the_kept_rules(place: str) -> None:
    """A test weld an hour, not four: the feet of the second run are out of date."""
    text = SPEC.replace("1.75", "1.5")  # the strips are 1.6 in: only the hours bind
    Path(spec(place)).write_text(text, encoding="utf-8")
    assert "time_since_pass" not in stale(place)
    assert "time_since_pass" in stale(place, "--rules", spec(place))
    run("rules", spec(place), "--keep", "--store", place)
    assert "time_since_pass" in stale(place)


def test_suspects_are_judged_by_the_kept_rules(tmp_path: Path) -> None:
    """A strip of a cut fused 1.6 in wide is sound by default, and too narrow by the job's."""
    cut = cast.fact("cut", at="11:00", number="C1", seam="A-S001", station="60 ft")
    strips = [
        cast.fact("strip", at="11:10", of=cut, number=str(number), pull="full") for number in (1, 2)
    ]
    (tmp_path / "spec.toml").write_text(SPEC, encoding="utf-8")
    place = kept_in(tmp_path, *FACTS, cut, *strips)
    doubts = ("suspect", "--store", place, "--json")
    assert json.loads(run(*doubts).stdout)["doubts"] == []
    run("rules", spec(place), "--keep", "--store", place)
    assert len(json.loads(run(*doubts).stdout)["doubts"]) > 0


def test_what_cannot_be_read_is_said_beside_the_answer(tmp_path: Path) -> None:
    """On stderr, so that JSON stays JSON, in the reader's language."""
    clause = {"rule": "from_tomorrow", "value": 1, "layer": "code", "clause": "9", "set_by": "QL"}
    place = kept_in(tmp_path, *FACTS, cast.fact("rules", edition="3", clauses=[clause]))
    for command in (("trace",), ("suspect",), ("symptom",), ("rules", "--in-force")):
        result = run(*command, "--store", place, "--json", "--lang", "es")
        assert result.exit_code == 0, result.output
        assert "from_tomorrow" in result.stderr
        assert "no cuenta" in result.stderr
        json.loads(result.stdout)
