"""The command ``power``: what a foreman types, what he reads, what is refused."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main

BASE = ["power", "--volts-open", "230", "--ambient-f", "80"]


def _run(*args: str) -> Result:
    return CliRunner().invoke(main, args)


# 230 V held, 325 L/min, 80 F (26.7 C): figures of the design notes, worked by another
# program from the same model.
@pytest.mark.parametrize(
    ("cord", "volts", "share", "hottest_f"),
    [
        ("10 AWG 100 ft", 225.7, 0.963, 1168),
        ("12 AWG 100 ft", 223.2, 0.942, 1145),
        ("12 AWG 200 ft", 216.8, 0.888, 1088),
        ("12 AWG 60.96 m", 216.8, 0.888, 1088),
    ],
)
def test_json_holds_the_figures_of_the_notes(
    cord: str, volts: float, share: float, hottest_f: float
) -> None:
    """One object with volts, heat and hottest air of the welder."""
    result = _run(*BASE, "--cord", cord, "--tool", "230 V 4600 W 325 L/min", "--json")
    answer = json.loads(result.stdout)
    (tool,) = answer["tools"]
    assert tool["volts"] == pytest.approx(volts, abs=0.06)
    assert tool["heat_share"] == pytest.approx(share, abs=0.0006)
    assert tool["max_air_f"] == pytest.approx(hottest_f, abs=0.6)
    assert answer["assumed"] == ["altitude", "set_air"]
    assert answer["supply"]["rated_w"] is None


def test_metric_json_is_the_same_tool_in_celsius() -> None:
    """Keys carry the reader's units; 1088 F is 587 C."""
    result = _run(*BASE, "--cord", "12 AWG 200 ft", "--units", "metric", "--json")
    answer = json.loads(result.stdout)
    assert answer["tools"][0]["max_air_c"] == pytest.approx(587, abs=0.5)
    assert answer["cords"][0]["length_m"] == 61.0
    assert answer["supply"]["altitude_m"] == 0.0


def test_json_names_the_cautions_and_the_rules_that_contradict() -> None:
    """Both rules about the generator stay visible, kept or not."""
    answer = json.loads(_run("power", "--generator-kw", "7", "--ambient-f", "30", "--json").stdout)
    kept = {check["code"]: check["kept"] for check in answer["practices"]}
    assert (kept["generator_10_kw"], kept["generator_6_5_kw"]) == (False, True)
    assert [caution["code"] for caution in answer["cautions"]][-2:] == [
        "generator_outdoors",
        "not_an_electrical_design",
    ]


def test_nothing_said_is_answered_and_every_assumption_named() -> None:
    """Without any option it answers for a usual welder and says what it assumed."""
    result = _run("power")
    assert result.exit_code == 0
    assert "Assumed until you say it: --volts-open, --ambient-f, --altitude-ft" in result.stdout
    assert "licensed electrician" in result.stdout


def test_the_ladder_takes_the_hottest_air_that_power_prints() -> None:
    """No rung of the ladder lies above what the power check says the machine reaches."""
    said = _run(
        "power", "--generator-kw", "6.5", "--ambient-f", "30",
        "--cord", "12 AWG 200 ft", "--cord", "12 AWG 200 ft",
    ).stdout  # fmt: skip
    option, limit = said[said.index("--max-air-f") :].split()[:2]
    rungs = _run("ladder", "--ambient-f", "30", option, limit).stdout
    assert 700 < int(limit) < 800  # computed: two welders on 6.5 kW are far from 1000 F
    assert "700 °F" in rungs
    assert "800 °F" not in rungs


def test_one_what_if_alone() -> None:
    """Asked for one change, it shows that one."""
    said = _run("power", "--what-if", "colder", "--ambient-f", "80").stdout
    assert "air at 50 °F" in said
    assert "twice as long" not in said


def test_spanish_and_metric_on_request() -> None:
    """The same in Spanish, Celsius and metres."""
    said = _run("power", "--lang", "es", "--units", "metric", "--cord", "4 mm2 30 m").stdout
    assert "Red del edificio" in said
    assert "--ambient-c" in said
    assert "4 mm2, 30 m" in said
    assert "°F" not in said


@pytest.mark.parametrize(
    ("args", "english", "spanish"),
    [
        (["--cord", "10 AWG 100"], 'Write it like "10 AWG 100 ft" or "4', "Escríbalo como"),
        (["--cord", "11 AWG 9 ft"], "No cord size 11 AWG", "No hay calibre 11 AWG"),
        (["--tool", "230 V"], '--tool "230 V" cannot be read', '--tool "230 V" no se entiende'),
        (["--tool", "230 V 4600 W on 3"], "no cord 3 (cords given: 1)", "no hay cable 3"),
        (
            ["--cord", "10 AWG 9 ft", "--cord", "10 AWG 9 ft", "--tool", "230 V 4600 W"],
            "No tool hangs on cord 2",
            "El cable 2 no tiene máquina",
        ),
        (["--derate-heat", "none"], "--derate-heat belongs to a", "--derate-heat es de un"),
        (
            ["--generator-kw", "10", "--derate-heat", "none"],
            "write none",
            "escriba none",
        ),
        (["--ambient-f", "300"], "−10 °F and 140 °F", "−10 °F y 140 °F"),
        (["--set-air-f", "2000"], "air temperature is 2000 °F", "temperatura del aire es"),
        (["--altitude-ft", "99999"], "altitude is 99999 ft", "altura es 99999 ft"),
    ],
)
def test_bad_input_ends_with_one_sentence(args: list[str], english: str, spanish: str) -> None:
    """A mistake is one sentence on stderr in the reader's language, and exit status 2."""
    for lang, sentence in (("en", english), ("es", spanish)):
        result = _run("power", *args, "--lang", lang)
        assert result.exit_code == 2
        assert sentence in result.stderr
        assert result.stdout == ""
