"""``lapwright power``: what generator and cord leave of the heat."""

from __future__ import annotations

import json
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, pair_options, reader_options
from lapwright.errors import LapwrightError
from lapwright.job.power import WHAT_IFS, plan_power
from lapwright.readings.powersetup import power_from
from lapwright.report.figures import Reader
from lapwright.report.powerfigures import power_figures
from lapwright.report.powertext import power_text

_WHAT_IFS = {code.replace("_", "-"): code for code in WHAT_IFS}


@click.command("power")
@click.option("--generator-kw", type=float, help="Rated CONTINUOUS kW; house supply unless said.")
@click.option("--volts-open", type=float, help="Volts without load; 240 unless said.")
@click.option("--regulation-percent", type=float, help="Volts lost at full load; 4 unless said.")
@pair_options("altitude", ("ft", "m"), "Altitude")
@pair_options("ambient", ("f", "c"), "Air temperature; 80 F unless said")
@click.option("--derate-altitude", help='As the manual: "3.5% per 1000 ft above 1000 ft", or none.')
@click.option("--derate-heat", help='As the manual: "1% per 10 F above 77 F", or none.')
@click.option(
    "--cord",
    multiple=True,
    help='"10 AWG 100 ft" or "4 mm2 30 m", then "at 120 V" for that outlet, "coiled". Repeat.',
)
@click.option(
    "--tool",
    multiple=True,
    help='"230 V 4600 W 325 L/min", then "on 2" for its cord, "measured 221 V". Repeat.',
)
@pair_options("set-air", ("f", "c"), "Setting to reach; 1000 F unless said")
@click.option(
    "--what-if", multiple=True, type=click.Choice(list(_WHAT_IFS)), help="This change only. Repeat."
)
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def power_command(
    units: Any, lang: Any, as_json: bool, what_if: tuple[str, ...], **stated: Any
) -> None:
    """Volts, heat and hottest air at the welder; computed, not an electrical design."""
    reader = Reader(lang, units)
    try:
        said = power_from(stated)
        codes = [_WHAT_IFS[name] for name in what_if or _WHAT_IFS]
        plan = plan_power(said.setup, air=said.air, what_ifs=codes)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        click.echo(json.dumps(power_figures(plan, said.assumed, reader), ensure_ascii=False))
    else:
        text = power_text(plan, said.assumed, reader)
        Console(highlight=False).print(text, end="", soft_wrap=True)
