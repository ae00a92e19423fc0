"""``lapwright tally``: voids and strips by day, person and machine, with limits."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options
from lapwright.errors import LapwrightError
from lapwright.job.tally import BYS, tally
from lapwright.readings.tally import read_days
from lapwright.report.figures import Reader
from lapwright.report.tallyfigures import tally_figures
from lapwright.report.tallytext import tally_text


@click.command("tally")
@click.argument("file", type=click.Path())
@click.option("--by", type=click.Choice(BYS), default="all", help="What gets a chart of its own.")
@click.option(
    "--base", type=int, help="First days that are the measure of the rest; all unless said."
)
@click.option("--compare", nargs=2, metavar="A B", help="Two operators or machines side by side.")
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def tally_command(
    file: str,
    by: Any,
    base: int | None,
    compare: tuple[str, str] | None,
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Does the work drift? Voids and bad strips in FILE (CSV) by day, against their limits."""
    reader = Reader(lang, units)
    try:
        counted = tally(read_days(Path(file)), by=by, compare=compare, base=base)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        click.echo(json.dumps(tally_figures(counted, reader), ensure_ascii=False))
    else:
        Console(highlight=False).print(tally_text(counted, reader), end="", soft_wrap=True)
