"""``lapwright lap``: what happens inside the lap at a setting."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, pair_options, reader_options, start_options
from lapwright.errors import LapwrightError
from lapwright.physics.air import standard_pressure
from lapwright.physics.heat import REFERENCE_SPEED, kappa_scaled
from lapwright.physics.lap import SUBSTRATES, Lap
from lapwright.physics.membrane import MEMBRANES
from lapwright.readings.start import question_from, stated_in_si
from lapwright.report.figures import Reader
from lapwright.report.text import lap_text

_AIR = 727.59  # K; 850 F, when nothing is said
_SHEET = 299.82  # K; 80 F, when nothing is said


@click.command("lap")
@pair_options("air", ("f", "c"), "Air temperature at the nozzle; 850 F unless said")
@pair_options("altitude", ("ft", "m"), "Altitude: thinner air heats the lap less")
@click.option("--flow-percent", type=float, default=100.0, help="Air flow of the machine, in %.")
@click.option(
    "--substrate", type=click.Choice(sorted(SUBSTRATES)), default="polyiso", help="Below."
)
@start_options
@reader_options
@click.option("--chart", type=click.Path(), help="Draw it: .svg, .png, .pdf or .html.")
def lap_command(
    units: Any, lang: Any, flow_percent: float, substrate: str, chart: str | None, **stated: Any
) -> None:
    """Temperature in the lap over depth and time; computed, not measured."""
    reader = Reader(lang, units)
    try:
        air = stated_in_si("air", ("f", "c"), stated, otherwise=_AIR)
        altitude = stated_in_si("altitude", ("ft", "m"), stated, otherwise=0.0)
        question = question_from((), stated)
        sheet = question.sheet or question.ambient or _SHEET
        membrane = replace(MEMBRANES[question.membrane], thickness=question.thickness)
        lap = Lap(
            air=air,
            sheet=sheet,
            ambient=question.ambient or sheet,
            speed=question.speed or REFERENCE_SPEED,
            kappa=kappa_scaled(
                membrane.kappa,
                flow_ratio=flow_percent / 100,
                pressure_ratio=standard_pressure(altitude) / standard_pressure(0.0),
            ),
            membrane=membrane,
            substrate=substrate,
        )
        Console(highlight=False).print(lap_text(lap, reader))
        if chart:
            from lapwright.report.drawing import save
            from lapwright.report.lapchart import lap_chart

            save(lap_chart(lap, reader), Path(chart))
    except LapwrightError as error:
        raise Refused(error, reader) from None
