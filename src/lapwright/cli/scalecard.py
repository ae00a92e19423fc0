"""``lapwright scale-card``: the card that a strip lies on when its photo is measured."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from lapwright.cli.options import Refused, reader_options
from lapwright.errors import LapwrightError
from lapwright.report.drawing import save
from lapwright.report.figures import Reader
from lapwright.report.scalecard import scale_card_svg


@click.command("scale-card")
@click.argument("file", type=click.Path())
@click.option("--number", default="", help="Printed on it, so that the card can be named.")
@reader_options
def scale_card_command(file: str, number: str, units: Any, lang: Any) -> None:
    """Print the scale card into FILE (.pdf, .svg or .png), on letter or with metric units A4."""
    reader = Reader(lang, units)
    try:
        save(scale_card_svg(reader, number=number), Path(file))
    except LapwrightError as error:
        raise Refused(error, reader) from None
