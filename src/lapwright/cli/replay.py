"""``lapwright replay``: does a kept decision still come out to the same numbers?"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options
from lapwright.errors import LapwrightError
from lapwright.job.morning import Morning
from lapwright.readings.record import read_answer
from lapwright.report.figures import Reader
from lapwright.report.text import TAPE_CELLS, window_text


@click.command("replay")
@click.argument("file", type=click.Path())
@reader_options
def replay_command(file: str, units: Any, lang: Any) -> None:
    """Work a kept answer out again from its own inputs and compare."""
    reader = Reader(lang, units)
    try:
        kept = read_answer(Path(file))
        morning = Morning(kept.question)
        if morning.answer() != kept:
            raise LapwrightError("replay_differs", file=file, value=f"{kept.version}, {kept.model}")
    except LapwrightError as error:
        raise Refused(error, reader) from None
    console = Console(highlight=False)
    console.print(window_text(kept, morning.picture(points=TAPE_CELLS), reader), end="")
    console.print(reader.say("label", "replayed"), style="bold")
