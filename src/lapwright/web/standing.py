"""What the record says now: the day, the window, the sample table, the trace."""

from __future__ import annotations

from dataclasses import asdict
from datetime import UTC, datetime
from functools import lru_cache
from typing import Annotated, Any

import numpy as np
from fastapi import APIRouter, Depends, Query, Request
from pydantic import AwareDatetime

from lapwright.errors import LapwrightError
from lapwright.job.chances import Chances
from lapwright.job.crewday import crew_day, traced
from lapwright.job.displays import displays, moved
from lapwright.job.morning import Morning
from lapwright.job.phone import phone_rules, sample_table
from lapwright.job.testing import Asked, ask
from lapwright.job.welding import Welding
from lapwright.proof.chains import Chain, Chains
from lapwright.readings.inforce import rules_of
from lapwright.record.ids import CREW_CHAIN
from lapwright.record.replay import Record
from lapwright.report.charts import CHART_POINTS, CHART_SPEEDS, window_chart
from lapwright.report.displaysfigures import moved_figures
from lapwright.report.figures import answer_figures, caution_figures
from lapwright.report.recordfigures import trace_figures
from lapwright.report.todayfigures import today_figures
from lapwright.web.answers import picture_figures
from lapwright.web.door import Guarded
from lapwright.web.records import Records
from lapwright.web.shapes import UUID, Id, Line, Reads

router = APIRouter(route_class=Guarded)

Ref = Annotated[str | None, Query(pattern=UUID)]
Moment = Annotated[
    AwareDatetime | None,
    Query(
        ge=datetime(2000, 1, 1, tzinfo=UTC),
        lt=datetime(2100, 1, 1, tzinfo=UTC),
        description="moment it is asked for; now unless said",
    ),
]
_morning = lru_cache(maxsize=16)(Morning)  # several phones ask the same


def record_of(job: Id, request: Request) -> Record:
    """All facts of the job in the address as they hold."""
    records: Records = request.app.state.records
    if job == CREW_CHAIN:
        raise LapwrightError("not_found")
    return records.of(job)


OfJob = Annotated[Record, Depends(record_of)]


@router.get("/api/jobs/{job}/today")
def today(
    record: OfJob,
    reader: Reads,
    day: Annotated[str | None, Query(pattern=r"^\d{4}-\d\d-\d\d$")] = None,
    at: Moment = None,
) -> dict[str, Any]:
    """A day's runs, feet and everything open; the day of the moment unless said."""
    now = at or datetime.now(UTC)
    rules = rules_of(record, at=now)
    chances = Chances(record, rules)
    found = crew_day(record, at=now, rules=rules, day=day, chances=chances)
    return {
        **today_figures(found, record, reader),
        "displays": moved_figures(moved(displays([record])), reader),
        "rules": phone_rules(rules),
    }


@router.get("/api/jobs/{job}/trace")
def trace(
    record: OfJob, reader: Reads, seam: Annotated[Line | None, Query()] = None
) -> dict[str, Any]:
    """Each stretch of a seam, or of all: who welded it, what stands behind it, what is open."""
    rules = rules_of(record)
    figures = trace_figures(traced(record, rules), record, reader, seam=seam)
    return {**figures, "cautions": caution_figures(rules.cautions, reader)}


def asked(
    record: OfJob,
    machine: Ref = None,
    operator: Ref = None,
    power_setup: Ref = None,
    pairing: Ref = None,
    at: Moment = None,
) -> Asked:
    """The question of the window for a chain; for the newest at work unless said."""
    now = at or datetime.now(UTC)
    rules = rules_of(record, at=now)
    if machine is None or operator is None:
        chain = next(iter(Welding(record, rules).current(at=now)), None)
    else:
        first = Chains(record).first
        chain = Chain(
            first(machine) or machine,
            first(operator) or operator,
            first(power_setup),
            first(pairing),
        )
    if chain is None:
        raise LapwrightError("no_chain")
    found = ask(record, chain, at=now, rules=rules)
    question = found.question
    if not question.welds and question.ambient is None and question.sheet is None:
        raise LapwrightError("no_conditions")
    return found


OfChain = Annotated[Asked, Depends(asked)]


@router.get("/api/jobs/{job}/window")
def window(found: OfChain, reader: Reads) -> dict[str, Any]:
    """Window, set point and next test weld of a chain, with the question they answer."""
    morning = _morning(found.question)
    figures = answer_figures(morning.answer(), reader)
    doubts = caution_figures(found.cautions, reader)
    return {
        **figures,
        "cautions": [*doubts, *figures["cautions"]],
        **picture_figures(morning, reader),
        **_behind(found),
        "question": asdict(found.question),
    }


@router.get("/api/jobs/{job}/chart")
def chart(found: OfChain, reader: Reads) -> dict[str, Any]:
    """The window over air and speed as a Vega-Lite definition, the same as on paper."""
    morning = _morning(found.question)
    picture = morning.picture(points=CHART_POINTS, speeds=CHART_SPEEDS)
    return window_chart(morning.answer(), picture, reader)


@router.get("/api/jobs/{job}/table")
def table(found: OfChain) -> dict[str, Any]:
    """What a phone takes along to weigh strips itself, drawn anew."""
    drawn = sample_table(found.question, rng=np.random.default_rng())
    return {**drawn.as_json(), **_behind(found)}


def _behind(found: Asked) -> dict[str, Any]:
    return {
        "chain": asdict(found.chain),
        "test_welds": found.test_welds,
        "waiting": list(found.waiting),
    }
