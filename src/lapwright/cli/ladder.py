"""``lapwright ladder``: plan and paper card for a test-weld ladder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options, start_options
from lapwright.errors import LapwrightError
from lapwright.job.morning import Morning
from lapwright.readings.start import question_from
from lapwright.report.figures import Reader
from lapwright.report.text import ladder_text


@click.command("ladder")
@start_options
@reader_options
@click.option("--card", type=click.Path(), help="Print the paper card: .pdf, .svg or .png.")
def ladder_command(units: Any, lang: Any, card: str | None, **stated: Any) -> None:
    """Rungs of the common test-weld ladder, with a paper card to fill in."""
    reader = Reader(lang, units)
    try:
        morning = Morning(question_from((), stated))
        rungs, here = morning.rungs, morning.conditions
        Console(highlight=False).print(ladder_text(rungs, here, reader))
        if card:
            from lapwright.report.card import card_svg
            from lapwright.report.drawing import save

            save(card_svg(rungs.tolist(), here.speed, reader), Path(card))
    except LapwrightError as error:
        raise Refused(error, reader) from None
