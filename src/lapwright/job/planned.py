"""The roof plan as one fact, and back: where the seams are and which T-joints they have."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.roof.plan import AreaPlan
from lapwright.roof.seams import Seam
from lapwright.roof.station import Span


def plan_body(plan: AreaPlan) -> dict[str, Any]:
    """The body of a ``plan`` fact; places and stations in metres.

    Notes
    -----
    ``outline`` holds the corners of the edge; each of ``openings`` its ``id``, ``kind``, ``name``
    and ``corners``. Each of ``seams`` holds ``id``, ``kind``, where on the drawing its station 0
    is (``origin``) and which way stations grow (``heading``), ``spans`` (pairs of stations) and
    ``t_joints`` (``id`` and ``station``). A detail with T-joints stands there without spans.
    """
    joints: dict[str, list[dict[str, Any]]] = {}
    for joint in plan.t_joints:
        place = {"id": joint.id, "station": round(joint.station, 4)}
        joints.setdefault(joint.seams[0], []).append(place)
    drawn = {seam.id: _seam(seam) for seam in plan.seams}
    return {
        "area": plan.outline.area,
        "level": plan.outline.level,
        "outline": _corners(plan.outline.edge),
        "openings": [
            {
                "id": detail.id,
                "kind": detail.kind,
                "name": detail.name,
                "corners": _corners(detail.shape),
            }
            for detail in plan.details
            if detail.kind != "edge"
        ],
        "seams": [
            {"id": name, **drawn.get(name, {"spans": []}), "t_joints": joints.get(name, [])}
            for name in dict.fromkeys((*drawn, *joints))
        ],
    }


def _seam(seam: Seam) -> dict[str, Any]:
    return {
        "kind": seam.kind,
        "origin": _rounded(seam.origin),
        "heading": [round(part, 9) for part in seam.heading],
        "spans": [_rounded((span.start, span.end)) for span in seam.spans],
    }


def _rounded(pair: tuple[float, float]) -> list[float]:
    """To a tenth of a millimetre: finer than any tape, short enough for a phone. [m]"""
    return [round(pair[0], 4), round(pair[1], 4)]


def _corners(shape: Any) -> list[list[float]]:
    return [_rounded(corner) for corner in shape.exterior.coords]


def planned_seams(record: Record) -> dict[str, tuple[Span, ...]]:
    """Where each planned seam is, by the newest plan of each area. [m]

    Notes
    -----
    A seam in a plan that somebody wrote by hand and that cannot be read is as good as unplanned:
    its facts still count, see :func:`lapwright.proof.trace.trace`.
    """
    return {
        seam["id"]: tuple(Span(float(start), float(end)) for start, end in seam["spans"])
        for seam in _seams(record)
        if seam["spans"]
    }


def planned_joints(record: Record) -> tuple[str, ...]:
    """Numbers of the T-joints by the newest plan of each area."""
    return tuple(joint["id"] for seam in _seams(record) for joint in _joints(seam))


def planned_joints_at(record: Record) -> dict[str, list[float]]:
    """Stations of the T-joints on each seam. [m]"""
    return {
        seam["id"]: [float(joint["station"]) for joint in _joints(seam)] for seam in _seams(record)
    }


def _joints(seam: dict[str, Any]) -> Iterator[dict[str, Any]]:
    joints = seam.get("t_joints")
    for joint in joints if isinstance(joints, list) else ():
        is_one = isinstance(joint, dict) and isinstance(joint.get("id"), str)
        if is_one and _is_number(joint.get("station")):
            yield joint


def _seams(record: Record) -> Iterator[dict[str, Any]]:
    newest: dict[str, Fact] = {plan["area"]: plan for plan in record.all("plan")}
    for plan in newest.values():
        if isinstance(plan["seams"], list):
            yield from (seam for seam in plan["seams"] if _is_seam(seam))


def _is_seam(seam: object) -> bool:
    if not isinstance(seam, dict) or not isinstance(seam.get("id"), str):
        return False
    spans = seam.get("spans")
    return isinstance(spans, list) and all(_is_span(span) for span in spans)


def _is_span(span: object) -> bool:
    if not isinstance(span, list) or len(span) != 2:
        return False
    return all(map(_is_number, span)) and span[0] < span[1]


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
