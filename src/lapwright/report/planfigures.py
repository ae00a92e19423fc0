"""A roof plan as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from lapwright.job.plan import RoofPlan
from lapwright.report.figures import Figures, Reader
from lapwright.roof.conflicts import Conflict
from lapwright.roof.details import Detail
from lapwright.roof.plan import AreaPlan
from lapwright.roof.quantities import Quantities
from lapwright.roof.seams import Seam, TJoint
from lapwright.units import FIELD_UNITS, from_si

_AREAS = ("roof_area", "sheet_area", "lap_area", "roll_area", "waste_area")
_LENGTHS = (
    "side_length", "end_length", "seam_length", "edge_length", "hand_length", "near_length",
)  # fmt: skip
_COUNTS = (
    "sheets", "half_sheets", "rolls", "half_rolls", "side_laps", "end_laps", "t_joints",
    "detail_t_joints", "curbs", "walls", "pipes", "drains", "corners",
)  # fmt: skip


def area_unit(reader: Reader) -> str:
    """Unit of areas: ``sqft`` or ``m2``."""
    return "sqft" if reader.units == "us" else "m2"


def area_in(reader: Reader, square_metres: float) -> float:
    """Area in the reader's unit.

    Examples
    --------
    >>> round(area_in(Reader(), 9.290304), 6), area_in(Reader(units="metric"), 9.29)
    (100.0, 9.29)
    """
    unit = FIELD_UNITS[reader.units]["length"]
    return from_si(from_si(square_metres, unit), unit)


def plan_figures(plan: RoofPlan, assumed: Iterable[str], reader: Reader) -> Figures:
    """A roof plan in the reader's units and language.

    Parameters
    ----------
    plan : RoofPlan
        All areas.
    assumed : iterable of str
        Names of what nobody stated.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix; coordinates as the drawing has
        them, in the reader's unit of length; null for hours without the crew's rate.

    Examples
    --------
    >>> from lapwright.job.plan import Crew, plan_roof
    >>> from lapwright.roof.layout import Layout
    >>> from lapwright.roof.outline import outline, ring
    >>> roof = outline("A", ring([(0, 0), (40, 0), (40, 10), (0, 10)], name="A"))
    >>> layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
    >>> figures = plan_figures(plan_roof([roof], [layout], crew=Crew()), (), Reader())
    >>> figures["total"]["side_laps"], figures["total"]["side_length_ft"]
    (3, 393.7)
    """
    return {
        "assumed": list(assumed),
        "total": quantity_figures(plan.total, reader),
        "levels": [
            {"level": level, **quantity_figures(found, reader)}
            for level, found in plan.levels.items()
        ],
        "crew": _crew(plan, reader),
        "areas": [
            _area(area, found, reader) for area, found in zip(plan.areas, plan.sums, strict=True)
        ],
        "power_places": [
            {"area": area.outline.area, **_place(place, reader)}
            for area, places in zip(plan.areas, plan.places, strict=True)
            for place in places
        ],
    }


def quantity_figures(found: Quantities, reader: Reader) -> Figures:
    """Sums of one area, one level or the whole roof."""
    unit = FIELD_UNITS[reader.units]["length"]
    return {
        **{
            f"{name}_{area_unit(reader)}": round(area_in(reader, getattr(found, name)), 1)
            for name in _AREAS
        },
        **{f"{name}_{unit}": _length(getattr(found, name), reader) for name in _LENGTHS},
        **{name: getattr(found, name) for name in _COUNTS},
        "waste_share": round(found.waste_share, 4),
        "closure": round(found.closure, 9),
    }


def conflict_figures(conflict: Conflict, reader: Reader) -> Figures:
    """A conflict with its sentence and place."""
    place = {} if conflict.place is None else _place(conflict.place, reader)
    return {
        "code": conflict.code,
        "says": reader.say("conflict", conflict.code, conflict_words(conflict, reader)),
        "seam": conflict.seam,
        **place,
    }


def conflict_words(conflict: Conflict, reader: Reader) -> dict[str, Any]:
    """What the sentence of a conflict names."""
    return {
        "seam": conflict.seam,
        "opening": conflict.opening,
        "length": _short(conflict.length, reader),
        "limit": _short(conflict.limit, reader),
    }


def _short(metres: float, reader: Reader) -> str:
    """A length small enough that whole feet would hide it."""
    unit = FIELD_UNITS[reader.units]["length"]
    field = from_si(metres, unit)
    return f"{reader.plain(round(field, 0 if field >= 20 else 1))} {unit}"


def _length(metres: float, reader: Reader) -> float:
    return round(from_si(metres, FIELD_UNITS[reader.units]["length"]), 1)


def _place(place: tuple[float, float], reader: Reader) -> Figures:
    unit = FIELD_UNITS[reader.units]["length"]
    return {f"x_{unit}": _length(place[0], reader), f"y_{unit}": _length(place[1], reader)}


def _crew(plan: RoofPlan, reader: Reader) -> Figures:
    unit = FIELD_UNITS[reader.units]["length"]

    def hours(times: tuple[float, float] | None) -> list[float] | None:
        return None if times is None else [round(from_si(time, "h"), 1) for time in times]

    tests = plan.test_welds
    return {
        f"machine_length_{unit}": _length(plan.machine_length, reader),
        f"by_hand_length_{unit}": _length(plan.hand_length, reader),
        "machine_h": hours(plan.machine_time),
        "hand_h": hours(plan.hand_time),
        "probe_h": hours(plan.probe_time),
        "days": None if plan.days is None else list(plan.days),
        "test_welds": None if tests is None else list(tests),
        "strips": None if tests is None else [plan.crew.strips * count for count in tests],
        "t_joint_patches": plan.total.t_joints,
    }


def _area(area: AreaPlan, found: Quantities, reader: Reader) -> Figures:
    return {
        "area": area.outline.area,
        "level": area.outline.level,
        "run_deg": round(math.degrees(area.run) % 360, 2),
        **quantity_figures(found, reader),
        "sheets_laid": [
            {
                "id": sheet.id,
                f"width_{FIELD_UNITS[reader.units]['length']}": _length(sheet.width, reader),
                f"length_{FIELD_UNITS[reader.units]['length']}": _length(sheet.length, reader),
            }
            for sheet in area.sheets
        ],
        "seams": [_seam(seam, reader) for seam in area.seams],
        "t_joints_numbered": [_joint(joint, reader) for joint in area.t_joints],
        "details": [_detail(detail, reader) for detail in area.details],
        "conflicts": [conflict_figures(each, reader) for each in area.conflicts],
    }


def _seam(seam: Seam, reader: Reader) -> Figures:
    unit = FIELD_UNITS[reader.units]["length"]
    return {
        "id": seam.id,
        f"length_{unit}": _length(seam.length, reader),
        f"spans_{unit}": [
            [_length(span.start, reader), _length(span.end, reader)] for span in seam.spans
        ],
        "origin": _place(seam.origin, reader),
        "end": _place(seam.at(seam.spans[-1].end), reader),
    }


def _joint(joint: TJoint, reader: Reader) -> Figures:
    unit = FIELD_UNITS[reader.units]["length"]
    return {
        "id": joint.id,
        "seams": list(joint.seams),
        f"station_{unit}": round(from_si(joint.station, unit)),
        **_place(joint.place, reader),
    }


def _detail(detail: Detail, reader: Reader) -> Figures:
    unit = FIELD_UNITS[reader.units]["length"]
    return {
        "id": detail.id,
        "kind": detail.kind,
        "name": detail.name,
        f"by_hand_{unit}": _length(detail.length, reader),
        "corners": detail.corners,
    }
