"""``lapwright symptom``: what a seam shows, what likely lies behind it, what to do."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options
from lapwright.cli.trace import judged_by, opened_record, record_options
from lapwright.errors import LapwrightError
from lapwright.job.clues import clues
from lapwright.job.symptoms import BY_NAME, likely
from lapwright.record.replay import Record
from lapwright.report.figures import Reader
from lapwright.report.symptomtext import symptom_figures, symptom_text


@click.command("symptom")
@click.argument("name", required=False, type=click.Choice(list(BY_NAME)), metavar="[SYMPTOM]")
@click.option("--day", help="Only this day of the record: 2026-05-04.")
@record_options
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def symptom_command(
    name: str | None,
    day: str | None,
    store: str,
    record: str | None,
    job: str | None,
    rules: tuple[str, ...],
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """What the seam shows: likely cause and what to do. Needs no record, ranks by one.

    Without SYMPTOM: all of them, or those that the record speaks for.
    """
    reader = Reader(lang, units)
    has_log = record is not None or "://" in store or Path(store).exists()
    try:
        facts = opened_record(store, record, job, reader) if has_log else Record(())
        found = clues(facts, judged_by(facts, rules, reader), day=day)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    told = likely(name, clues=found)
    if as_json:
        click.echo(json.dumps(symptom_figures(told, reader), ensure_ascii=False))
    else:
        Console(highlight=False).print(symptom_text(told, reader), end="")
