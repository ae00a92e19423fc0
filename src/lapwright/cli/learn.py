"""``lapwright learn``: what past days teach, and what they let expect of a job's next morning."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Any

import click
from rich.console import Console

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.cli.keepfact import keep_facts
from lapwright.cli.options import reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.job.expecting import body_of, expectations, is_news
from lapwright.job.pastwelds import is_invented, past_welds
from lapwright.job.roofclock import day_at, roof_zone
from lapwright.record.replay import Record
from lapwright.report.figures import Reader
from lapwright.report.learnfigures import Taught, learn_figures
from lapwright.report.learntext import learn_text
from lapwright.store import Store
from lapwright.store.pastwelds import past_welds as tested
from lapwright.window.history import learn
from lapwright.window.leftout import left_out


@click.command("learn")
@click.option("--job", help="The job whose morning is asked for: its id or the beginning of it.")
@click.option("--day", help="That morning, as 2026-05-04; today unless said. Earlier days teach.")
@click.option("--keep", is_flag=True, help="Keep it in the job's record: mornings start from it.")
@click.option("--invented", is_flag=True, help="Learn from examples and practice, nothing else.")
@store_option
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def learn_command(
    job: str | None,
    day: str | None,
    keep: bool,
    invented: bool,
    store: str,
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Bottom and width of the window by pairing, machine, nozzle and month, from all test welds."""
    reader = Reader(lang, units)
    with opened_store(store, reader) as opened:
        chosen = chosen_job(opened, job) if job or keep else None
        taught, morning = _taught(opened, chosen, day, invented)
        if as_json:
            click.echo(json.dumps(learn_figures(taught, reader), ensure_ascii=False))
        else:
            console = Console(highlight=False, soft_wrap=True)
            console.print(learn_text(taught, reader), end="")
        if keep and chosen and taught.record:
            told = [
                ("past_days", body_of(one, day=morning))
                for one in taught.expected
                if is_news(taught.record, one, day=morning)
            ]
            keep_facts(opened, job=chosen, facts=told)
            if not as_json:
                said = {"count": len(told), "day": morning}
                click.echo(reader.say("learn", "kept" if told else "no_news", said))


def _taught(opened: Store, job: str | None, day: str | None, invented: bool) -> tuple[Taught, str]:
    """What all days before a morning teach, and that morning's date."""
    record = None if job is None else Record(one.fact for one in opened.ledger.since(job))
    if record is not None:
        invented = is_invented(record)
    morning = _morning(record, day)
    past = past_welds(tested(opened.database), invented=invented, before=morning)
    learnt = learn(past.welds)
    expected = () if record is None else expectations(record, past, learnt, day=morning)
    return Taught(past, learnt, left_out(learnt), record, tuple(expected)), morning


def _morning(record: Record | None, day: str | None) -> str:
    if day is None:
        now = datetime.now().astimezone()
        return now.date().isoformat() if record is None else day_at(now, roof_zone(record))
    try:
        return date.fromisoformat(day).isoformat()
    except ValueError:
        raise LapwrightError("date_wrong", value=day) from None
