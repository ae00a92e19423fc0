"""``lapwright cuts``: what clean cuts and probed feet prove, and how many cuts to take."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, pair_options, reader_options
from lapwright.errors import LapwrightError
from lapwright.job.proving import prove
from lapwright.readings.cuts import asked_from
from lapwright.report.cutsfigures import cuts_figures
from lapwright.report.cutstext import cuts_text
from lapwright.report.figures import Reader


@click.command("cuts")
@click.option("--taken", type=int, help="Cuts, strips or T-joints looked at.")
@click.option("--bad", type=int, default=0, help="Bad ones among them; 0 unless said.")
@click.option("--places", type=int, help="All places there are, where they can be counted.")
@click.option("--groups", type=click.Path(), help="CSV: group,taken,bad,length_ft (or length_m).")
@pair_options("probed", ("ft", "m"), "Seam probed")
@click.option("--voids", type=int, default=0, help="Voids found on it; 0 unless said.")
@click.option("--noticed-percent", type=float, default=100.0, help="Of voids the prober notices.")
@click.option("--good-percent", type=float, help="Plan: bad share of seam that should pass.")
@click.option("--poor-percent", type=float, help="Plan: bad share of seam that should not.")
@pair_options("every", ("ft", "m"), "Spacing: from one cut to the next")
@pair_options("stretch", ("ft", "m"), "Spacing: length of a bad stretch; 50 ft unless said")
@click.option("--sure-percent", type=float, default=95.0, help="One-sided; 95 unless said.")
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def cuts_command(units: Any, lang: Any, as_json: bool, groups: str | None, **stated: Any) -> None:
    """What clean cuts prove, and a plan for taking them; counted, without any model."""
    reader = Reader(lang, units)
    try:
        answers = prove(asked_from(stated, groups=None if groups is None else Path(groups)))
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        click.echo(json.dumps(cuts_figures(answers, reader), ensure_ascii=False))
    else:
        console = Console(highlight=False)
        console.print(cuts_text(answers, reader), end="", soft_wrap=True)
