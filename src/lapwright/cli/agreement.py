"""``lapwright agreement``: do people grade the same strips alike?"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.cli.trace import opened_record
from lapwright.errors import LapwrightError
from lapwright.job.agreeing import agreement, agreement_on_record
from lapwright.readings.grades import read_looks
from lapwright.report.agreetext import agreement_figures, agreement_text
from lapwright.report.figures import Reader


@click.command("agreement")
@click.argument("files", nargs=-1, type=click.Path())
@click.option("--record", type=click.Path(), help="A file of facts instead of a store.")
@click.option("--job", help="Id of the job or the beginning of it; the only one unless said.")
@click.option("--names", is_flag=True, help="Each grader by name: for the quality lead alone.")
@store_option
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def agreement_command(
    files: tuple[str, ...],
    record: str | None,
    job: str | None,
    names: bool,
    store: str,
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Strips that two people graded, blind to each other: how often alike, and beyond luck?

    FILES (CSV) have the columns strip, grader, grade; without any, the record's second looks.
    """
    reader = Reader(lang, units)
    try:
        if files:
            found = agreement(look for file in files for look in read_looks(Path(file)))
        else:
            found = agreement_on_record(opened_record(store, record, job, reader))
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        figures = agreement_figures(found, reader, with_names=names)
        click.echo(json.dumps(figures, ensure_ascii=False))
    else:
        text = agreement_text(found, reader, with_names=names)
        Console(highlight=False).print(text, end="", soft_wrap=True)
