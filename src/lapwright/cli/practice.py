"""``lapwright practice``: a morning on a hidden site, at the desk, before it is done on a roof."""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterator
from typing import Any

import click
import numpy as np

from lapwright.cli.options import Refused, fail, reader_options
from lapwright.errors import LapwrightError
from lapwright.job.hiddensite import Luck, Setting
from lapwright.job.practice import MOST_WELDS, Morning, Tried, practise
from lapwright.job.unveiling import unveil
from lapwright.report.figures import Reader
from lapwright.report.practicefigures import practice_figures
from lapwright.report.practicetext import (
    intro_lines,
    lesson_lines,
    search_lines,
    truth_lines,
    weather_line,
    weld_line,
)
from lapwright.units import UnitSystem, to_si

_MOST_SEED = 1_000_000
_EXAMPLE: dict[UnitSystem, str] = {"us": "850 10", "metric": "450 3"}
_LOOKED = ("look", "mirar")
_OPEN, _DECIDE = "n", "d"
_YES = ("y", "yes", "s", "si", "sí")


def luck_of(seed: int) -> Luck:
    """Luck of a practice morning: of the site, and of each weld whatever it is set to."""
    return lambda number: np.random.default_rng([seed, number])


@click.command("practice")
@click.option("--seed", type=click.IntRange(0, _MOST_SEED), help="Which morning; any unless said.")
@click.option("--weld", "welds", multiple=True, metavar="'AIR SPEED [look]'",
              help="A test weld, without asking. Repeat.")  # fmt: skip
@click.option("--decide", metavar="'AIR SPEED'|n",
              help="The set point, or n: not known yet. Ends the morning.")  # fmt: skip
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object; asks nothing.")
def practice_command(
    seed: int | None,
    welds: tuple[str, ...],
    decide: str | None,
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Weld a morning on an invented site, then see its window and what a sound search does.

    Practice only: nothing is kept. Air and speed in the units of --units.
    """
    reader = Reader(lang, units)
    seed = secrets.randbelow(_MOST_SEED) if seed is None else seed
    luck = luck_of(seed)
    try:
        tried = [_tried(line, reader) for line in welds]
        decided = None if decide is None else _decided(decide, reader)
        morning = practise(tried, luck=luck)
        if as_json:
            end = None if decide is None else unveil(morning, decided, luck=luck)
            figures = practice_figures(morning, reader, seed=seed, end=end)
            click.echo(json.dumps(figures, ensure_ascii=False))
            return
        _say(intro_lines(morning, reader))
        click.echo(reader.say("exercise", "seed", {"seed": seed}))
        _say(_so_far(tried, luck, reader))
        if decide is None:
            morning, decided = _asked(tried, luck, reader)
        _say_end(morning, decided, luck, reader)
    except LapwrightError as error:
        raise Refused(error, reader) from None


def _so_far(tried: list[Tried], luck: Luck, reader: Reader) -> Iterator[str]:
    """Weather and welds in the order in which they came."""
    yield weather_line(practise([], luck=luck), reader)
    for made in range(1, len(tried) + 1):
        yield from _news(practise(tried[:made], luck=luck), reader)


def _news(morning: Morning, reader: Reader) -> Iterator[str]:
    """The last weld, and the weather where it has just turned."""
    yield weld_line(morning.welds[-1], reader)
    if morning.turned_at == len(morning.welds):
        yield weather_line(morning, reader)


def _asked(tried: list[Tried], luck: Luck, reader: Reader) -> tuple[Morning, Setting | None]:
    """Ask for welds until the trainee decides."""
    tried, example = list(tried), {"example": _EXAMPLE[reader.units]}
    while len(tried) < MOST_WELDS:
        number = {"number": len(tried) + 1}
        line = click.prompt(reader.say("exercise", "ask_weld", example | number)).strip().lower()
        if line in (_OPEN, _DECIDE):
            break
        try:
            setting = _setting(line, reader)
        except LapwrightError as error:
            click.echo(fail(error, reader))
            continue
        looked = click.prompt(reader.say("exercise", "ask_look")).strip().lower() in _YES
        tried.append(Tried(setting, looked))
        _say(_news(practise(tried, luck=luck), reader))
    else:
        click.echo(reader.say("exercise", "no_more"))
        line = _DECIDE
    return practise(tried, luck=luck), None if line == _OPEN else _asked_setting(reader)


def _asked_setting(reader: Reader) -> Setting | None:
    """The set point; n takes it back to "not known yet"."""
    while True:
        line = click.prompt(reader.say("exercise", "ask_set", {"example": _EXAMPLE[reader.units]}))
        try:
            return _decided(line.strip().lower(), reader)
        except LapwrightError as error:
            click.echo(fail(error, reader))


def _say_end(morning: Morning, decided: Setting | None, luck: Luck, reader: Reader) -> None:
    end = unveil(morning, decided, luck=luck)
    for heading, lines in (
        (reader.say("exercise", "truth"), truth_lines(end, reader)),
        ("", search_lines(end, reader)),
        (reader.say("exercise", "learnt"), lesson_lines(end, reader)),
    ):
        click.echo("")
        if heading:
            click.secho(heading, bold=True)
        _say(lines)


def _say(lines: Iterator[str]) -> None:
    for line in lines:
        click.echo(line)


def _tried(line: str, reader: Reader) -> Tried:
    words = line.lower().split()
    looked = bool(words) and words[-1] in _LOOKED
    return Tried(_setting(" ".join(words[:-1] if looked else words), reader), looked)


def _decided(line: str, reader: Reader) -> Setting | None:
    return None if line == _OPEN else _setting(line, reader)


def _setting(line: str, reader: Reader) -> Setting:
    """Air and speed as typed, in the reader's units."""
    try:
        air, speed = (float(word.replace(",", ".")) for word in line.split())
    except ValueError:
        example = _EXAMPLE[reader.units]
        raise LapwrightError("practice_line", value=line, example=example) from None
    return Setting(to_si(air, reader.temperature), to_si(speed, reader.speed))
