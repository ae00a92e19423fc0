"""One morning through the command line, as a foreman lives it. Read this test first."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main

HEADER = "weld,air_f,speed_ft_min,ambient_f,sheet_f,strip,pull,overheat\n"
BOTTOM, TOP = 690, 1000  # F; the truth of this invented roof, which the crew cannot see
MOST_WELDS = 8


def lapwright(*arguments: str | Path) -> Result:
    """One command, as typed."""
    return CliRunner().invoke(main, [str(each) for each in arguments])


def told(*arguments: str | Path) -> dict[str, object]:
    """What a command answers about one file, as JSON."""
    result = lapwright(*arguments, "--json")
    assert result.exit_code == 0, result.output
    answer: dict[str, object] = json.loads(result.stdout)
    return answer


def strips(weld: int, air: float) -> str:
    """Three strips of a weld on this roof: cold, partial or full, with or without signs."""
    pull = "full" if air >= BOTTOM + 25 else "partial" if air >= BOTTOM - 25 else "cold"
    signs = "signs" if air >= TOP else "none"
    rows = (f"{weld},{air:g},10,72,80,{strip},{pull},{signs}\n" for strip in (1, 2, 3))
    return "".join(rows)


def test_a_morning(tmp_path: Path) -> None:
    """From an empty file to a set point between the true edges, kept and replayed."""
    file, kept = tmp_path / "morning.csv", tmp_path / "decision.json"

    # Before the first weld: what reaches the machine, and where to start.
    power = told("power", "--generator-kw", "10", "--ambient-f", "72", "--cord", "10 AWG 100 ft")
    assert power["tools"]
    file.write_text(HEADER, encoding="utf-8")
    start = ("--ambient-f", "72", "--sheet-f", "80", "--speed-ft-min", "10")
    asked = told("next", file, *start)
    assert not asked["done"]
    assert told("window", file, *start)["verdict"] == "no_test_weld"

    # Weld what it asks for, pull, look, write down, until it asks for no more.
    for weld in range(1, MOST_WELDS + 1):
        with file.open("a", encoding="utf-8") as rows:
            rows.write(strips(weld, float(str(asked["air_f"]))))
        asked = told("next", file)
        if asked["done"]:
            break
    assert asked["done"]
    assert asked["reason_code"] == "certified"

    # The window holds the truth, the set point lies well inside, and it says how sure it is.
    answer = json.loads(lapwright("window", file, "--json", "--keep", kept).stdout)
    assert answer["certified"]
    assert answer["bottom"]["low_f"] <= BOTTOM <= answer["bottom"]["high_f"]
    assert answer["top"]["low_f"] <= TOP <= (answer["top"]["high_f"] or 2000)
    assert BOTTOM + 25 <= answer["set_point"]["air_f"] < TOP
    assert 0.9 <= answer["set_point"]["p_sound"] < 1

    # Ten years later the decision comes out to the same numbers.
    assert lapwright("replay", kept).exit_code == 0

    # Nothing kept is overwritten, and nobody who did not look gets a certificate.
    assert lapwright("window", file, "--keep", kept).exit_code == 2
    unlooked = tmp_path / "unlooked.csv"
    text = file.read_text(encoding="utf-8").replace(",none", ",").replace(",signs", ",")
    unlooked.write_text(text, encoding="utf-8")
    blind = told("window", unlooked)
    assert blind["verdict"] == "top_unknown"
    assert not blind["certified"]

    # The afternoon: a sheet 50 F hotter is another roof, a colder one wants more heat.
    assert told("window", file, "--sheet-f", "130")["verdict"] == "test_again"
    colder = told("window", file, "--sheet-low-f", "-20", "--sheet-high-f", "-10")
    assert colder["set_point"]["air_f"] > answer["set_point"]["air_f"]  # type: ignore[index]


@pytest.mark.parametrize(("language", "found"), [("en", "Window found"), ("es", "Ventana hallada")])
@pytest.mark.parametrize(("units", "degrees"), [("us", "°F"), ("metric", "°C")])
def test_the_answer_in_words(language: str, found: str, units: str, degrees: str) -> None:
    """The bundled morning is said in both languages and both unit systems."""
    file = str(files("lapwright").joinpath("examples", "morning.csv"))
    result = lapwright("window", file, "--lang", language, "--units", units)
    assert result.exit_code == 0
    assert found in result.output
    assert degrees in result.output
