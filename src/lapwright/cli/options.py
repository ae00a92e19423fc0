"""Options that several commands share, and how errors end a command."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import Any, TypeVar, get_args

import click

from lapwright.errors import LapwrightError
from lapwright.report.figures import Reader
from lapwright.units import SYMBOLS, UnitSystem
from lapwright.window.answer import Plan
from lapwright.window.nextweld import Vary
from lapwright.window.prior import FAMILIES
from lapwright.window.setpoint import POLICIES
from lapwright.words import LANGUAGES, say_error

Command = TypeVar("Command", bound=Callable[..., Any])
BAD_INPUT = 2  # exit status
_SIGNS = (
    {"f": "F", "c": "C"}
    | {unit: sign for unit, sign in SYMBOLS.items() if len(unit) > 1}
    | {"m": "m"}
)


def _all(*options: Callable[[Command], Command]) -> Callable[[Command], Command]:
    return lambda command: reduce(lambda inner, option: option(inner), reversed(options), command)


def pair_options(name: str, units: tuple[str, str], text: str) -> Callable[[Command], Command]:
    """One quantity as two options, one per unit."""
    return _all(
        *(
            click.option(
                f"--{name}-{unit.replace('_', '-')}", type=float, help=f"{text} ({_SIGNS[unit]})."
            )
            for unit in units
        )
    )


def _choice(name: str, allowed: Sequence[str], text: str) -> Callable[[Any], Any]:
    return click.option(f"--{name}", type=click.Choice(allowed), help=text)


store_option = click.option(
    "--store",
    default="lapwright.db",
    envvar="LAPWRIGHT_STORE",
    help="Where facts are kept: a file, or postgresql://...",
)

reader_options = _all(
    click.option(
        "--units", type=click.Choice(get_args(UnitSystem)), default="us", help="Units to print."
    ),
    click.option("--lang", type=click.Choice(LANGUAGES), default="en", help="Language to print."),
)

start_options = _all(
    _choice("membrane", sorted(FAMILIES), "Family of the sheet; tpo unless said."),
    pair_options("speed", ("ft_min", "m_min"), "Travel speed; stated wins over the latest weld"),
    pair_options("ambient", ("f", "c"), "Air temperature on the roof"),
    pair_options("sheet", ("f", "c"), "Sheet temperature, measured"),
    pair_options("max-air", ("f", "c"), "Hottest air reached; hotter welds count as this"),
    pair_options("min-air", ("f", "c"), "Coolest air the machine holds"),
    pair_options("thickness", ("mil", "mm"), "Sheet thickness"),
)

choice_options = _all(
    _choice("policy", POLICIES, "How the set point is chosen; steady unless said."),
    click.option("--level", type=float, help="P(sound) a set point must reach; 0.9 unless said."),
    _choice("vary", get_args(Vary), "The one setting that test welds change; air unless said."),
    _choice("plan", get_args(Plan), "Next weld by what it teaches, or the common ladder."),
    click.option("--strips", type=int, help="Strips per test weld; 3 unless said."),
    pair_options("sheet-low", ("f", "c"), "Coldest change of the sheet in the hours ahead"),
    pair_options("sheet-high", ("f", "c"), "Warmest change of the sheet in the hours ahead"),
    click.option("--wind-words", type=int, help="Words the wind rises: calm light breezy strong."),
    click.option("--volts-percent", type=float, help="Change of volts under load ahead, in %."),
    click.option("--earlier", type=click.Path(), help="Kept answer of an earlier day, in doubt."),
)


def fail(error: LapwrightError, reader: Reader) -> str:
    """The sentence of an error, for the reader."""
    return say_error(error.code, error.data, language=reader.language, units=reader.units)


class Refused(click.ClickException):
    """A mistake in the input: its sentence on stderr, exit status 2."""

    exit_code = BAD_INPUT

    def __init__(self, error: LapwrightError, reader: Reader) -> None:
        super().__init__(fail(error, reader))

    def show(self, file: Any = None) -> None:
        """The sentence alone, without a banner."""
        click.echo(self.message, err=True, file=file)
