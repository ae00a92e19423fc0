"""The roof beside the trace: what a failure puts in doubt, what a symptom comes from, a plan."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request
from pydantic import BaseModel, ConfigDict, Field

from lapwright.errors import LapwrightError
from lapwright.job.clues import clues
from lapwright.job.doubting import doubted
from lapwright.job.plan import plan_roof
from lapwright.job.planned import plan_body
from lapwright.job.symptoms import BY_NAME, likely
from lapwright.job.testing import limits_of
from lapwright.proof.bounding import COVER, Cause, Rates
from lapwright.proof.shared import Blame, sharing
from lapwright.proof.suspect import suspicions
from lapwright.readings.inforce import rules_of
from lapwright.readings.layout import plan_from
from lapwright.readings.outline import FileUnit, gather
from lapwright.readings.outlinecsv import parse_corners
from lapwright.readings.rules import read_rule_book
from lapwright.report.figures import Reader, caution_figures
from lapwright.report.planfigures import plan_figures
from lapwright.report.planmap import plan_svg
from lapwright.report.sharedfigures import LateFind, shared_figures
from lapwright.report.suspectfigures import Doubt, doubt_figures
from lapwright.report.symptomtext import symptom_figures
from lapwright.units import FIELD_UNITS, UnitSystem, to_si
from lapwright.web.door import Guarded
from lapwright.web.shapes import UUID, Reads
from lapwright.web.standing import OfJob
from lapwright.words import Language

router = APIRouter(route_class=Guarded)

MOST_CORNERS = 200_000  # signs of a drawing; some 5,000 corners, typed by nobody
_DRAWING = "page"  # what errors call it
_SIZES = {
    "roll_width": ("ft", "m"), "roll_length": ("ft", "m"), "lap": ("in", "mm"),
    "end_lap": ("in", "mm"), "half_width": ("ft", "m"), "zone": ("ft", "m"),
    "stagger": ("ft", "m"), "clear": ("in", "mm"), "first_cut": ("ft", "m"),
}  # fmt: skip
SIZES = frozenset(f"{name}_{unit}" for name, units in _SIZES.items() for unit in units)
_RUN = Annotated[str, Query(pattern=UUID, description="id of the run at the place")]
_MONEY = Annotated[float | None, Query(ge=0, le=1e6)]


@router.get("/api/jobs/{job}/suspects")
def suspects(
    record: OfJob,
    reader: Reads,
    cause: Cause = "local",
    cover_cost: _MONEY = None,
    cut_cost: _MONEY = None,
    probe_cost: _MONEY = None,
) -> dict[str, Any]:
    """Every doubt that a failure raises: feet, chances, next cuts, cost."""
    book = rules_of(record)
    length = FIELD_UNITS[reader.units]["length"]
    unit = to_si(1.0, length)
    rates = Rates(
        cover=COVER if cover_cost is None else cover_cost / unit,
        cut=cut_cost,
        probe=None if probe_cost is None else probe_cost / unit,
    )
    doubts = (
        Doubt(record, found, cause, rates, doubted(record, found, rules=book))
        for found in suspicions(record, limits_of(book))
    )
    return {
        "doubts": [doubt_figures(doubt, reader) for doubt in doubts],
        f"cover_{length}": round(rates.cover * unit, 2),
        "cautions": caution_figures(book.cautions, reader),
    }


@router.get("/api/jobs/{job}/shared")
def shared(record: OfJob, reader: Reads, run: _RUN, by: Blame) -> dict[str, Any]:
    """What was welded with the same machine, person, power or sheets as one run, or that day."""
    found = sharing(record, run, by)
    own = next(each for group in found for each in group.runs if each.run.id == run)
    return shared_figures(LateFind(record, own, by, found), reader)


@router.get("/api/jobs/{job}/symptoms")
def symptoms(record: OfJob, reader: Reads) -> dict[str, Any]:
    """Every symptom with its causes and what to do; ``spoken``: those the record speaks of."""
    rules = rules_of(record)
    found = clues(record, rules)
    spoken = [each.symptom.name for each in likely(clues=found) if each.clues]
    told = [each for name in BY_NAME for each in likely(name, clues=found)]
    cautions = caution_figures(rules.cautions, reader)
    return {**symptom_figures(told, reader), "spoken": spoken, "cautions": cautions}


class Drawn(BaseModel):
    """A roof as drawn on the page: corners as CSV, and what is known of rolls and laps."""

    model_config = ConfigDict(extra="forbid")

    corners: Annotated[str, Field(max_length=MOST_CORNERS)]
    file_units: FileUnit | None = None
    sizes: dict[str, float] = {}
    attachment: Literal["fastened", "adhered"] | None = None
    half_rows: Annotated[int, Field(ge=0, le=1000)] = 0
    run_deg: float | None = None
    flow_deg: float | None = None
    units: UnitSystem = "us"
    lang: Language = "en"


@router.post("/api/plan")
def plan(asked: Drawn, request: Request) -> dict[str, Any]:
    """Sheets, seams and quantities of a drawn roof: figures, the map, the facts to keep."""
    request.state.reader = (asked.units, asked.lang)
    reader = Reader(asked.lang, asked.units)
    unknown = sorted(set(asked.sizes) - SIZES)
    if unknown:
        raise LapwrightError("bad_request", field=unknown[0])
    areas = gather(
        parse_corners(asked.corners, file=_DRAWING, unit=asked.file_units), file=_DRAWING
    )
    stated = asked.model_dump(include={"attachment", "half_rows", "run_deg", "flow_deg"})
    said = plan_from(asked.sizes | stated, areas, read_rule_book([]))
    found = plan_roof(areas, said.layouts, crew=said.crew)
    return {
        "figures": plan_figures(found, said.assumed, reader),
        "svg": plan_svg(found, reader),
        "plans": [plan_body(area) for area in found.areas],
    }
