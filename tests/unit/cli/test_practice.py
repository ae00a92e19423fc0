"""``lapwright practice``: a whole morning through pipes, options and JSON."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main

FIRST = "PRACTICE on an invented site. No record, no roof."


def run(*arguments: str, typed: str = "") -> Result:
    """The command with what a trainee types."""
    return CliRunner().invoke(main, ["practice", *arguments], input=typed, env={"NO_COLOR": "1"})


def test_a_morning_through_a_pipe() -> None:
    """Weld, look, weld blind, a slip of the pen, decide: then, and not before, the truth."""
    result = run("--seed", "7", typed="700 10\ny\nabc\n1050 10\nn\nd\n850 10\n")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0] == FIRST
    assert sum("while it was hot" in line for line in lines) == 1
    assert '"abc" will not do' in result.stdout
    before, after = result.stdout.split("What was there")
    assert "the bottom was" not in before
    assert "You set 850 °F, 10.0 ft/min." in after
    assert "Your test welds: 2." in after
    assert "What this morning teaches" in after


def test_not_known_yet_is_an_answer() -> None:
    """Typed at once, or as the set point; both end the morning."""
    for typed in ("n\n", "d\nn\n"):
        assert "You said: not known yet." in run("--seed", "7", typed=typed).stdout


def test_options_ask_nothing_and_give_the_same() -> None:
    """What was typed may be said at once; the truth comes out the same."""
    asked = run("--seed", "7", typed="700 10\ny\nd\n850 10\n").stdout
    said = run("--seed", "7", "--weld", "700 10 look", "--decide", "850 10").stdout
    assert asked.partition("What was there")[2] == said.partition("What was there")[2]
    assert run("--seed", "7", "--weld", "700 10", "--decide", "850 10").stdout != said


def test_spanish_and_metric() -> None:
    """Decimal comma, "mirar", Celsius."""
    result = run("--seed", "7", "--lang", "es", "--units", "metric", "--weld", "371,1 3,05 mirar",
                 "--decide", "n")  # fmt: skip
    assert "1  371 °C, 3,05 m/min:" in result.stdout
    assert "nadie miró" not in result.stdout.splitlines()[4]
    assert result.stdout.startswith("PRÁCTICA")


def test_the_figures_hold_the_end_only_once_decided() -> None:
    """JSON asks nothing; without --decide it knows no truth."""
    open_ = json.loads(run("--seed", "7", "--weld", "700 10", "--json").stdout)
    assert (open_["practice"], open_["end"]) == (True, None)
    ended = json.loads(run("--seed", "7", "--decide", "n", "--json").stdout)
    assert ended["end"]["decided"] is None


def test_a_morning_ends_by_itself() -> None:
    """After twelve welds only the set point is asked for."""
    result = run("--seed", "7", typed="700 10\nn\n" * 12 + "800 10\n")
    assert result.exit_code == 0
    assert "The morning is over: decide." in result.stdout


def test_without_a_seed_it_says_which_it_was() -> None:
    """Any morning can be done again."""
    line = next(one for one in run("--decide", "n").stdout.splitlines() if "--seed" in one)
    seed = line.rstrip(".").split()[-1]
    assert f"Practice number {seed}" in run("--seed", seed, "--decide", "n").stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--decide", "850"), '"850" will not do'),
        (("--weld", "850 ten"), '"850 ten" will not do'),
        (("--weld", "9000 10"), "ust lie between"),
    ],
    ids=["short", "word", "hot"],
)
def test_what_no_machine_takes_is_refused(arguments: tuple[str, ...], said: str) -> None:
    """Exit 2 and one sentence."""
    result = run("--seed", "7", *arguments, "--json")
    assert result.exit_code == 2
    assert said in result.stderr
