"""A roof plan for other programs: GeoJSON and DXF, numbered as on paper."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry import Point, mapping

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.plan import RoofPlan
from lapwright.roof.earth import scale_of
from lapwright.roof.outline import Corner
from lapwright.roof.station import FOOT

_LAYERS = {  # name: colour number of DXF, apart also in grey
    "SHEET": 8, "SIDE-LAP": 5, "END-LAP": 4, "T-JOINT": 1, "ROOF": 7, "CURB": 3,
    "WALL": 3, "PIPE": 3, "DRAIN": 3, "NUMBER": 7,
}  # fmt: skip
_TEXT = 0.3  # m; height of numbers in a DXF; our choice
_METRES = 6  # $INSUNITS


def plan_geojson(plan: RoofPlan, *, anchor: Corner | None = None) -> str:
    """Sheets, seams, T-joints and details as features.

    Parameters
    ----------
    plan : RoofPlan
        All areas.
    anchor : (longitude, latitude), optional
        Of a drawing that came in degrees: it goes out in degrees, as RFC 7946 asks. Without it
        coordinates are metres of the drawing, and a member ``"units"`` says so. [deg]

    Returns
    -------
    str
        One feature collection.
    """
    features = [
        {
            "type": "Feature",
            "properties": properties,
            "geometry": _rounded(_placed(shape, anchor), 9 if anchor else 4),
        }
        for properties, shape in _features(plan)
    ]
    collection: dict[str, Any] = {"type": "FeatureCollection", "features": features}
    if anchor is None:
        collection["units"] = "m"
    return json.dumps(collection, ensure_ascii=False)


def save_plan(plan: RoofPlan, path: Path, *, anchor: Corner | None = None) -> None:
    """Write a plan for another program; the end of the name says in which form.

    Raises
    ------
    LapwrightError
        ``export_suffix``; ``needs_drawing_extra`` for DXF.
    FileUnreadable
        ``cannot_write``.
    """
    end = path.suffix.lower()
    if end not in (".geojson", ".dxf"):
        raise LapwrightError("export_suffix", value=path.suffix, known=".geojson, .dxf")
    try:
        if end == ".geojson":
            path.write_text(plan_geojson(plan, anchor=anchor), encoding="utf-8")
        else:
            _dxf(plan).saveas(path)
    except OSError as error:
        raise FileUnreadable("cannot_write", file=str(path), reason=str(error.strerror)) from None


def _features(plan: RoofPlan) -> Iterator[tuple[dict[str, Any], Any]]:
    for area in plan.areas:
        for sheet in area.sheets:
            length = round(sheet.length, 3)
            yield {"kind": "sheet", "id": sheet.id, "row": sheet.row, "half": sheet.is_half,
                   "length_m": length}, sheet.shape  # fmt: skip
        for seam in area.seams:
            spans = [[round(span.start, 3), round(span.end, 3)] for span in seam.spans]
            yield {"kind": f"{seam.kind}_lap", "id": seam.id, "lap_m": round(seam.lap, 4),
                   "spans_m": spans}, seam.line  # fmt: skip
        for joint in area.t_joints:
            yield {"kind": "t_joint", "id": joint.id, "seams": list(joint.seams),
                   "station_m": round(joint.station, 3)}, Point(joint.place)  # fmt: skip
        for detail in area.details:
            yield {"kind": detail.kind, "id": detail.id, "name": detail.name,
                   "by_hand_m": round(detail.length, 3)}, detail.shape  # fmt: skip


def _placed(shape: Any, anchor: Corner | None) -> Any:
    if anchor is None:
        return shape
    across, along = scale_of(anchor)
    return shapely.transform(
        shape, lambda points: points / (across, along) + (anchor[0], anchor[1])
    )


def _rounded(shape: Any, decimals: int) -> dict[str, Any]:
    return dict(mapping(shapely.transform(shape, lambda points: points.round(decimals))))


def _dxf(plan: RoofPlan) -> Any:
    try:
        import ezdxf
    except ImportError:
        raise LapwrightError("needs_drawing_extra") from None
    document = ezdxf.new("R2010", units=_METRES)  # type: ignore[attr-defined]
    for layer, colour in _LAYERS.items():
        document.layers.add(layer, color=colour)
    model = document.modelspace()
    for area in plan.areas:
        for sheet in area.sheets:
            _rings(model, sheet.shape, "SHEET")
            _number(model, sheet.id, shapely.point_on_surface(sheet.shape))
        for seam in area.seams:
            layer = "SIDE-LAP" if seam.kind == "side" else "END-LAP"
            for line in seam.line.geoms:
                start, end = line.coords
                model.add_line(start, end, dxfattribs={"layer": layer})
            _number(model, seam.id, Point(seam.at(seam.spans[0].start + FOOT)))
        for joint in area.t_joints:
            model.add_circle(joint.place, radius=_TEXT / 2, dxfattribs={"layer": "T-JOINT"})
        for detail in area.details:
            _rings(model, detail.shape, "ROOF" if detail.kind == "edge" else detail.kind.upper())
            _number(model, detail.id, shapely.point_on_surface(detail.shape))
    return document


def _rings(model: Any, shape: Any, layer: str) -> None:
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon":
            for ring in (part.exterior, *part.interiors):
                model.add_lwpolyline(ring.coords, close=True, dxfattribs={"layer": layer})


def _number(model: Any, words: str, at: Any) -> None:
    text = model.add_text(words, height=_TEXT, dxfattribs={"layer": "NUMBER"})
    text.set_placement((at.x, at.y))
