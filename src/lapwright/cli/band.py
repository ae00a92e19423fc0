"""``lapwright band``: width and evenness of the scrim band, proposed from photos."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, pair_options, reader_options
from lapwright.errors import LapwrightError
from lapwright.readings.photo.measure import Measured, check_share, read_band
from lapwright.report.bandfigures import band_figures, band_text
from lapwright.report.figures import Reader


@click.command("band")
@click.argument("photos", nargs=-1, required=True, type=click.Path())
@pair_options("check", ("in", "mm"), "What 0 to 4 in or 0 to 100 mm on the card measures by tape")
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object per photo.")
@click.option("--out", type=click.Path(), help="Draw what was measured: .png or .jpg.")
def band_command(
    photos: tuple[str, ...], units: Any, lang: Any, as_json: bool, out: str | None, **stated: Any
) -> None:
    """Width of the scrim band on PHOTOS of strips that lie on the scale card.

    Proposes only: the person who holds the strip decides.
    """
    reader = Reader(lang, units)
    console = Console(highlight=False)
    try:
        if out and len(photos) > 1:
            raise LapwrightError("band_one_picture")
        check = check_share(stated["check_in"], stated["check_mm"])
        for photo in photos:
            found = read_band(Path(photo), check=check)
            told = (photo, found.band, found.sight, reader)
            if as_json:
                click.echo(json.dumps(band_figures(*told), ensure_ascii=False))
            else:
                console.print(band_text(*told), end="", soft_wrap=True)
            if out:
                _draw(found, Path(out), reader)
    except LapwrightError as error:
        raise Refused(error, reader) from None


def _draw(found: Measured, out: Path, reader: Reader) -> None:
    from lapwright.report.bandpicture import band_picture, save_picture

    strip = found.strip
    save_picture(band_picture(strip.colours, strip.length, found.band, reader), out)
