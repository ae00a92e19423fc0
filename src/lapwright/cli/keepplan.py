"""A roof plan into the record of a job: one fact for each area."""

from __future__ import annotations

import secrets
import time
from datetime import datetime

import click

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.job.plan import RoofPlan
from lapwright.job.planned import plan_body
from lapwright.record.fact import Fact, read_fact
from lapwright.record.ids import uuid7
from lapwright.report.figures import Reader
from lapwright.roof.plan import AreaPlan

_HERE = "local"  # account and device of who types on this machine


def keep_plan(plan: RoofPlan, *, store: str, job: str, reader: Reader) -> None:
    """Keep each area as a fact of the job; a plan of the same area stays below it.

    Raises
    ------
    Refused
        No such store or job.
    """
    with opened_store(store, reader) as opened:
        chosen = chosen_job(opened, job)
        now = datetime.now().astimezone()
        facts = [_fact(area, chosen, now) for area in plan.areas]
        opened.ledger.append(chosen, facts, received_at=now.isoformat())
    for area in plan.areas:
        told = {"area": area.outline.area, "job": chosen, "count": len(area.seams)}
        click.echo(reader.say("label", "plan_kept", told))


def _fact(area: AreaPlan, job: str, now: datetime) -> Fact:
    return read_fact(
        {
            "id": uuid7(time.time_ns() // 1_000_000, secrets.token_bytes(10)),
            "job": job,
            "kind": "plan",
            "at": now.isoformat(timespec="milliseconds"),
            "entered_at": now.isoformat(timespec="milliseconds"),
            "by": "",
            "entered_by": _HERE,
            "device": _HERE,
            "body": plan_body(area),
        }
    )
