"""The command ``rules``: who governs, what gave way, what is refused. Documents invented."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main
from lapwright.job.rules import RULE_KINDS, TRIGGERS

SPEC = """layer = "specification"
edition = "2026-03"
set_by = "quality lead"

[fused_width]
value = 1.75
unit = "in"
clause = "3.4.B"

[lap_side]
value = 6
unit = "in"
clause = "3.3.A [drawings]"

[lunch]
value = true
clause = "3.5.C"
"""
MAKER = """layer = "sheet_maker"
edition = "2025"
set_by = "quality lead"

[fused_width]
value = 50
unit = "mm"
clause = "page 7"
note = "invented"

[long_stop]
value = false
clause = "page 9"
"""


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    spec, maker = tmp_path / "spec.toml", tmp_path / "maker.toml"
    spec.write_text(SPEC, encoding="utf-8")
    maker.write_text(MAKER, encoding="utf-8")
    return [str(spec), str(maker)]


def _run(*args: str) -> Result:
    return CliRunner().invoke(main, ["rules", *args])


def _line(result: Result, holding: str) -> str:
    (line,) = (line for line in result.stdout.splitlines() if holding in line)
    return line


def test_the_stricter_clause_governs_and_the_others_stay_visible(files: list[str]) -> None:
    """50 mm is wider than 1.75 in and governs: 1.97 in, with who says so and since when."""
    result = _run(*files)
    assert result.exit_code == 0
    governing = _line(result, "fused width, automatic")
    assert "1.97 in" in governing
    assert "page 7 (edition 2025, set by quality lead)" in governing
    assert "gives way: specification: 3.4.B" in _line(result, "1.75 in")
    assert "gives way: default" in _line(result, "1.5 in")


def test_only_rules_of_the_job_are_listed_and_the_rest_counted(files: list[str]) -> None:
    """Four rules differ; defaults are a number, and --all shows them."""
    short, everything = _run(*files), _run(*files, "--all")
    assert re.search(r"^4 of \d+ rules come from your files", short.stdout, re.MULTILINE)
    assert "warm-up" not in short.stdout
    assert "15 min" in _line(everything, "warm-up")
    assert len(everything.stdout.splitlines()) > len(RULE_KINDS) - 10


def test_without_files_it_says_that_nothing_has_authority() -> None:
    """No file: a count, and the rules that nobody has set."""
    result = _run()
    assert "without authority" in result.stdout
    assert "side lap, end lap" in result.stdout
    assert len(result.stdout.splitlines()) == 2


def test_a_clause_is_quoted_as_written(files: list[str]) -> None:
    """Square brackets in a clause are text, not a style."""
    assert "3.3.A [drawings]" in _run(*files).stdout


def test_an_equal_clause_agrees(files: list[str]) -> None:
    """A clause of the same value has not lost."""
    assert "agrees: default" in _run(*files).stdout


def test_explain_says_why_and_where(files: list[str]) -> None:
    """Reason, governing clause with file and line, note, and which way is stricter."""
    for name in ("fused_width", "Fused width, automatic"):
        said = _run(*files, "--explain", name).stdout
        assert "Least continuous fused width" in said
        assert f"{files[1]}:5" in said
        assert "Note: invented" in said
        assert "The higher value is stricter" in said


def test_explain_speaks_of_wire_and_switches_in_their_own_words() -> None:
    """A thicker wire is stricter although its number is lower; on beats off, no beats yes."""
    assert "The thicker wire is stricter" in _run("--explain", "cord_wire").stdout
    assert "On is stricter than off" in _run("--explain", "lunch").stdout
    assert "No is stricter than yes" in _run("--explain", "water_dip").stdout
    assert "The lower value is stricter" in _run("--explain", "long_stop").stdout


def test_explain_a_rule_that_is_not_set() -> None:
    """A rule without default says that it must be entered."""
    assert "lapwright has no default" in _run("--explain", "lap_side").stdout


def test_triggers_by_urgency_and_what_is_off(files: list[str]) -> None:
    """Each trigger stands once, under what it asks for, or under off."""
    said = _run(*files, "--triggers").stdout
    heads = [line for line in said.splitlines() if line and not line.startswith(" ")]
    assert heads[:5] == ["Stop the chain, weld a test", "Weld a test", "Say first", "Note", "Off"]
    assert "P(sound) low (90 %)" in " ".join(said.split())
    assert said.split("Off\n")[1].split("\n")[0] == "  long stop"
    assert "fused width" not in said


def test_json_is_one_object_with_all_rules(files: list[str]) -> None:
    """Every known rule once, the value in the reader's units, the typed one beside it."""
    answer = json.loads(_run(*files, "--json", "--units", "metric").stdout)
    rules = {rule["rule"]: rule for rule in answer["rules"]}
    assert set(rules) | set(answer["not_set"]) == set(RULE_KINDS)
    width = rules["fused_width"]
    assert (width["governing"]["value"], width["governing"]["unit"]) == (50.0, "mm")
    assert [clause["value"] for clause in width["losing"]] == [44.4, 38.1]
    assert rules["long_stop"]["governing"]["value"] is None
    assert rules["lunch"]["governing"]["value"] is True
    triggers = json.loads(_run("--json", "--triggers").stdout)
    assert [rule["rule"] for rule in triggers["rules"]] == list(TRIGGERS)


def test_spanish_and_metric(files: list[str]) -> None:
    """Names, units, decimal comma; clauses stay as written; wire keeps its name."""
    said = _run(*files, "--all", "--lang", "es", "--units", "metric").stdout
    assert "50 mm" in said
    assert "44,4 mm  cede: especificación: 3.4.B" in said
    assert "10 AWG (5,26 mm²)" in said
    assert "apagado" in said
    assert "?" not in said


def test_check_counts_and_claims_no_more_than_form(files: list[str]) -> None:
    """Two files, five clauses; whether they are right is not for a program to say."""
    result = _run("--check", *files)
    assert result.exit_code == 0
    assert result.stdout.startswith("2 files, 5 clauses: well formed")
    assert "for you to check" in result.stdout


@pytest.mark.parametrize(
    ("wrong", "english", "spanish"),
    [
        (("[fused_width]", "[fuzed_width]"), "line 5", "línea 5"),
        (("[fused_width]", "[fuzed_width]"), "Nearest: fused_width", "más parecida: fused_width"),
        (('unit = "in"', 'unit = "inch"'), "line 7", "línea 7"),
        (("value = 1.75", 'value = "wide"'), "cannot be wide", "no puede ser wide"),
        (('layer = "specification"', 'layer = "boss"'), '"boss" is no layer', "no es una capa"),
        (('set_by = "quality lead"\n', ""), "says no set_by", "le falta set_by"),
        (("value = 6\n", "value = 6 in\n"), "line 11", "línea 11"),
        (
            ("[lunch]\nvalue = true", "[no_pass]\nvalue = false"),
            "cannot be switched off",
            "no se puede apagar",
        ),
        (("value = 6\n", "value = 1\n"), "nobody can keep both", "nadie puede cumplir"),
    ],
)
def test_a_bad_file_ends_with_one_sentence(
    tmp_path: Path, wrong: tuple[str, str], english: str, spanish: str
) -> None:
    """Each mistake names file and line in the reader's language; exit status 2."""
    bad = tmp_path / "bad.toml"
    bad.write_text(SPEC.replace(*wrong), encoding="utf-8")
    for lang, sentence in (("en", english), ("es", spanish)):
        result = _run("--check", str(bad), "--lang", lang)
        assert result.exit_code == 2
        assert str(bad) in result.stderr
        assert sentence in result.stderr
        assert result.stdout == ""


def test_a_rule_nobody_knows_names_the_nearest() -> None:
    """A misspelt rule is refused with the nearest ones, in the reader's language."""
    result = _run("--explain", "lunsh")
    assert result.exit_code == 2
    assert 'No rule is called "lunsh". Nearest: lunch' in result.stderr
    assert "parada larga" in _run("--explain", "parada", "--lang", "es").stderr


def test_a_missing_file_is_said() -> None:
    """A file that is not there ends with its name."""
    result = _run("nowhere.toml")
    assert result.exit_code == 2
    assert "nowhere.toml" in result.stderr
