"""Rule files into the record of a job: one fact with every clause, in force from now."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.cli.keepfact import keep_facts
from lapwright.errors import LapwrightError
from lapwright.readings.inforce import rules_body, rules_fact
from lapwright.readings.rules import read_layer
from lapwright.record.replay import Record
from lapwright.report.figures import Reader


def keep_rules(files: Sequence[str], *, store: str, job: str | None, reader: Reader) -> None:
    """Keep the clauses of the files as the job's rules; those recorded before give way, whole.

    Raises
    ------
    Refused
        No such store or job; no files.
    """
    with opened_store(store, reader) as opened:
        if not files:
            raise LapwrightError("rules_no_file")
        chosen = chosen_job(opened, job)
        body = rules_body([read_layer(Path(file)) for file in files])
        before = rules_fact(Record(entry.fact for entry in opened.ledger.since(chosen)))
        told = {"job": chosen, "clauses": len(body["clauses"])}
        if before is not None and before.body == body:
            click.echo(reader.say("label", "rules_had", told))
            return
        keep_facts(opened, job=chosen, facts=[("rules", body)])
        code = "rules_kept" if before is None else "rules_replaced"
        click.echo(reader.say("label", code, told))
