"""A roof plan into the record of a job: one fact for each area."""

from __future__ import annotations

import click

from lapwright.cli.keep import chosen_job, opened_store
from lapwright.cli.keepfact import keep_facts
from lapwright.job.plan import RoofPlan
from lapwright.job.planned import plan_body
from lapwright.report.figures import Reader


def keep_plan(plan: RoofPlan, *, store: str, job: str, reader: Reader) -> None:
    """Keep each area as a fact of the job; a plan of the same area stays below it.

    Raises
    ------
    Refused
        No such store or job.
    """
    with opened_store(store, reader) as opened:
        chosen = chosen_job(opened, job)
        keep_facts(opened, job=chosen, facts=[("plan", plan_body(area)) for area in plan.areas])
    for area in plan.areas:
        told = {"area": area.outline.area, "job": chosen, "count": len(area.seams)}
        click.echo(reader.say("label", "plan_kept", told))
