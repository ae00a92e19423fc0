"""``lapwright trace`` and ``lapwright suspect``: which test weld stands behind each foot."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, get_args

import click
from rich.console import Console

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.job.crewday import traced
from lapwright.job.doubting import doubted
from lapwright.job.rules import RuleBook
from lapwright.job.testing import limits_of
from lapwright.proof.bounding import COVER, Cause, Rates
from lapwright.proof.suspect import suspect, suspicions
from lapwright.proof.trace import Trace
from lapwright.readings.facts import read_facts
from lapwright.readings.inforce import rules_of
from lapwright.readings.rules import read_layer
from lapwright.record.replay import Record
from lapwright.report.figures import Reader, caution_figures
from lapwright.report.recordfigures import trace_figures
from lapwright.report.suspectfigures import Doubt, doubt_figures
from lapwright.report.suspecttext import doubt_text
from lapwright.report.tracetext import trace_text
from lapwright.units import FIELD_UNITS, from_si, to_si

_PLACE = re.compile(r"([^@]+)(?:@(\d+(?:[.,]\d+)?)\s*(ft|m)?)?")


def record_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Where the record is read from, and by which rules it is judged."""
    for option in (
        click.option(
            "--rules", multiple=True, type=click.Path(), help="Rule file, on top of the record's."
        ),
        click.option(
            "--job", help="Id of the job or the beginning of it; the only one unless said."
        ),
        click.option("--record", type=click.Path(), help="A file of facts instead of a store."),
        store_option,
    ):
        command = option(command)
    return command


def opened_record(place: str, file: str | None, job: str | None, reader: Reader) -> Record:
    """All facts of one job, from a file of facts or from a store."""
    if file is not None:
        return Record(read_facts(Path(file)))
    with opened_store(place, reader) as store:
        chosen = chosen_job(store, job)
        return Record(entry.fact for entry in store.ledger.since(chosen))


def judged_by(record: Record, files: Iterable[str], reader: Reader) -> RuleBook:
    """The record's rules with the files laid on top; recorded ones that do not count are said."""
    book = rules_of(record, extra=[read_layer(Path(file)) for file in files])
    for caution in caution_figures(book.cautions, reader):
        click.echo(caution["says"], err=True)
    return book


@click.command("trace")
@click.argument("place", required=False, metavar="[SEAM[@STATION]]")
@record_options
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def trace_command(
    place: str | None,
    store: str,
    record: str | None,
    job: str | None,
    rules: tuple[str, ...],
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Who welded a seam, which test welds stand behind it, what is open.

    Without SEAM: every stretch of the job that lacks something.
    """
    reader = Reader(lang, units)
    try:
        facts = opened_record(store, record, job, reader)
        trace = traced(facts, judged_by(facts, rules, reader))
        seam, station = place_of(place, trace, reader)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        figures = trace_figures(trace, facts, reader, seam=seam)
        click.echo(json.dumps(figures, ensure_ascii=False))
        return
    text = trace_text(trace, facts, reader, seam=seam, station=station)
    Console(highlight=False).print(text, end="")


def place_of(place: str | None, trace: Trace, reader: Reader) -> tuple[str | None, float | None]:
    """Seam and station that somebody typed; a bare number is in the reader's unit."""
    if place is None:
        return None, None
    found = _PLACE.fullmatch(place.strip())
    if found is None:
        raise LapwrightError("bad_station", value=place)
    seam, number, unit = found.groups()
    stretches = trace.seams.get(seam, ())
    if not stretches:
        known = ", ".join(list(trace.seams)[:20]) or "-"
        raise LapwrightError("no_such_seam", seam=seam, known=known)
    if number is None:
        return seam, None
    unit = unit or FIELD_UNITS[reader.units]["length"]
    station = to_si(float(number.replace(",", ".")), unit)
    if trace.at(seam, station) is None:
        start, end, asked = (
            reader.write("length", at)
            for at in (stretches[0].span.start, stretches[-1].span.end, station)
        )
        raise LapwrightError("no_such_station", seam=seam, station=asked, start=start, end=end)
    return seam, station


@click.command("suspect")
@click.argument("fact", required=False)
@click.option("--cause", type=click.Choice(get_args(Cause)), default="local",
              help="local: step out both ways; change: one change in time, halve.")  # fmt: skip
@click.option("--cover-cost", type=float, help="Cover strip, money per ft or m of --units.")
@click.option("--cut-cost", type=float, help="One cut with its patch, money.")
@click.option("--probe-cost", type=float, help="Probing again, money per ft or m of --units.")
@record_options
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def suspect_command(
    fact: str | None,
    cause: Cause,
    cover_cost: float | None,
    cut_cost: float | None,
    probe_cost: float | None,
    units: Any,
    lang: Any,
    as_json: bool,
    **source: Any,
) -> None:
    """After a failed test weld or cut: which feet are in doubt, and where to cut next.

    FACT is the id of one failure; without it every doubt of the job is told.
    """
    reader = Reader(lang, units)
    try:
        record = opened_record(source["store"], source["record"], source["job"], reader)
        book = judged_by(record, source["rules"], reader)
        limits = limits_of(book)
        found = [suspect(record, fact, limits)] if fact else suspicions(record, limits)
        unit = FIELD_UNITS[reader.units]["length"]
        rates = Rates(
            cover=COVER if cover_cost is None else cover_cost * from_si(1.0, unit),
            cut=cut_cost,
            probe=None if probe_cost is None else probe_cost * from_si(1.0, unit),
        )
        doubts = [
            Doubt(record, each, cause, rates, doubted(record, each, rules=book)) for each in found
        ]
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        figures = {"doubts": [doubt_figures(each, reader) for each in doubts]}
        click.echo(json.dumps(figures, ensure_ascii=False))
        return
    console = Console(highlight=False)
    if not doubts:
        console.print(reader.say("suspect", "none"))
    for doubt in doubts:
        console.print(doubt_text(doubt, reader), end="")
