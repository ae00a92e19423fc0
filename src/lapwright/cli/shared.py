"""``lapwright shared``: a late find, and all that was welded with what is blamed for it."""

from __future__ import annotations

import json
from typing import Any, get_args

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options
from lapwright.cli.trace import judged_by, opened_record, place_of, record_options
from lapwright.errors import LapwrightError
from lapwright.job.crewday import traced
from lapwright.proof.shared import Blame, sharing
from lapwright.report.figures import Reader
from lapwright.report.sharedfigures import LateFind, shared_figures, shared_text


@click.command("shared")
@click.argument("place", metavar="SEAM@STATION")
@click.option("--by", type=click.Choice(get_args(Blame)), required=True,
              help="What is thought to be bad.")  # fmt: skip
@record_options
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def shared_command(
    place: str,
    by: Blame,
    store: str,
    record: str | None,
    job: str | None,
    rules: tuple[str, ...],
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """A leak, a bad lot, a bad generator: which other feet were welded with the same?"""
    reader = Reader(lang, units)
    try:
        facts = opened_record(store, record, job, reader)
        trace = traced(facts, judged_by(facts, rules, reader))
        seam, station = place_of(place, trace, reader)
        if seam is None or station is None:
            raise LapwrightError("bad_station", value=place)
        found = trace.at(seam, station)
        if found is None or found.run is None:
            raise LapwrightError("nothing_welded", place=place)
        find = LateFind(facts, found.run, by, sharing(facts, found.run.run.id, by))
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        click.echo(json.dumps(shared_figures(find, reader), ensure_ascii=False))
        return
    Console(highlight=False).print(shared_text(find, reader), end="")
