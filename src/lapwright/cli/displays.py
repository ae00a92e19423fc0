"""``lapwright displays``: do the machines' displays tell the truth, and do they still?"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.job.displays import displays
from lapwright.readings.facts import read_facts
from lapwright.record.ids import CREW_CHAIN
from lapwright.record.replay import Record
from lapwright.report.displaysfigures import displays_figures
from lapwright.report.displaystext import displays_text
from lapwright.report.figures import Reader


@click.command("displays")
@click.option("--machine", help="Only the machine of this number.")
@click.option("--job", help="Only this job: its id or the beginning of it; all unless said.")
@click.option("--record", type=click.Path(), help="A file of facts instead of a store.")
@store_option
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object, earlier series included.")
def displays_command(
    machine: str | None,
    job: str | None,
    record: str | None,
    store: str,
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Displayed against measured air and speed, machine by machine: offset, trend, alarm."""
    reader = Reader(lang, units)
    try:
        records = [Record(read_facts(Path(record)))] if record else _kept(store, job, reader)
        found = displays(records, machine=machine)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        click.echo(json.dumps(displays_figures(found, reader), ensure_ascii=False))
    else:
        console = Console(highlight=False, soft_wrap=True)
        console.print(displays_text(found, reader), end="")


def _kept(place: str, job: str | None, reader: Reader) -> Iterator[Record]:
    with opened_store(place, reader) as store:
        jobs = [chosen_job(store, job)] if job else store.ledger.jobs()
        for one in jobs:
            if one != CREW_CHAIN:
                yield Record(entry.fact for entry in store.ledger.since(one))
