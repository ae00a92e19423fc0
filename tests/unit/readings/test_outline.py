"""Drawings of a roof: the same roof from every format, and every slip named."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.readings.outline import Drawn, gather, kind_of, read_outline

FOOT = 0.3048  # m; exact
EDGE = [(0, 0), (60, 0), (60, 40), (0, 40)]
CURB = [(10, 10), (14, 10), (14, 13), (10, 13)]


def _geojson(folder: Path, **more: Any) -> Path:
    features = [
        _feature("roof", {"type": "Polygon", "coordinates": [[*EDGE, EDGE[0]]]}, area="A"),
        _feature("curb", {"type": "Polygon", "coordinates": [[*CURB, CURB[0]]]}, height="12 in"),
        _feature("drain", {"type": "Point", "coordinates": [30, 20]}, diameter="12 in"),
        _feature("pipe", {"type": "Point", "coordinates": [40, 20]}, diameter_in=4),
    ]
    path = folder / "roof.geojson"
    tree = {"type": "FeatureCollection", "units": "ft", "features": features} | more
    path.write_text(json.dumps(tree))
    return path


def _feature(kind: str, geometry: dict[str, Any], **said: Any) -> dict[str, Any]:
    return {"type": "Feature", "properties": {"kind": kind, **said}, "geometry": geometry}


def _csv(folder: Path) -> Path:
    rows = ["kind,name,x,y,diameter,height"]
    rows += [f"roof,,{x}',{y}' 0\",," for x, y in EDGE]
    rows += [f'curb,unit,{x} ft,{y * 12}",,12 in' for x, y in CURB]
    rows += ["desagüe,d1,30',20',12 in,", "pipe,p1,40',20',4 in,"]
    path = folder / "roof.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    return path


def _dxf(folder: Path) -> Path:
    document = ezdxf.new(units=2)  # feet
    model = document.modelspace()
    model.add_lwpolyline(EDGE, close=True, dxfattribs={"layer": "ROOF-A"})
    model.add_lwpolyline([*CURB, CURB[0]], dxfattribs={"layer": "x_curb"})
    model.add_circle((30, 20), 0.5, dxfattribs={"layer": "DRAIN"})
    model.add_circle((40, 20), 2 / 12, dxfattribs={"layer": "PIPE"})
    model.add_line((0, 0), (5, 5), dxfattribs={"layer": "GRID"})
    path = folder / "roof.dxf"
    document.saveas(path)
    return path


@pytest.mark.parametrize("write", [_geojson, _csv, _dxf])
def test_every_format_gives_the_same_roof(write: Any, tmp_path: Path) -> None:
    """60 x 40 ft less a curb of 4 x 3 ft, a 12 in drain and a 4 in pipe, in metres."""
    (area,) = read_outline(write(tmp_path)).areas
    assert area.area == "A"
    assert area.roof.area / FOOT**2 == pytest.approx(2400 - 12)
    sizes = {each.kind: each.shape.bounds for each in area.openings}
    assert set(sizes) == {"curb", "drain", "pipe"}
    assert sizes["curb"] == pytest.approx([side * FOOT for side in (10, 10, 14, 13)])
    assert sizes["drain"] == pytest.approx([side * FOOT for side in (29.5, 19.5, 30.5, 20.5)])
    assert (sizes["pipe"][2] - sizes["pipe"][0]) / FOOT == pytest.approx(4 / 12)


def test_height_of_a_curb_is_read(tmp_path: Path) -> None:
    """12 in of height go with its four corners."""
    for write in (_geojson, _csv):
        (area,) = read_outline(write(tmp_path)).areas
        heights = [each.height for each in area.openings if each.kind == "curb"]
        assert heights == [pytest.approx(FOOT)]


def test_stated_unit_beats_the_file(tmp_path: Path) -> None:
    """A drawing that says feet and is in metres is read in metres when told so."""
    (area,) = read_outline(_geojson(tmp_path), unit="m").areas
    assert area.edge.area == pytest.approx(2400)


def test_degrees_are_laid_flat_around_the_roof(tmp_path: Path) -> None:
    """RFC 7946 without units: 0.001 by 0.0005 degrees at 45 north are 78.8 by 55.6 m."""
    corners = [(10, 45), (10.001, 45), (10.001, 45.0005), (10, 45.0005), (10, 45)]
    path = tmp_path / "roof.json"
    path.write_text(json.dumps({"type": "Polygon", "coordinates": [corners]}))
    drawing = read_outline(path)
    x0, y0, x1, y1 = drawing.areas[0].edge.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((78.85, 55.57), abs=0.02)
    assert drawing.anchor == pytest.approx((10.0005, 45.00025))


def test_holes_and_many_parts_are_curbs_and_areas(tmp_path: Path) -> None:
    """Interior rings are curbs; each part of a MultiPolygon is an area with a free letter."""
    hole = [(10, 10), (10, 12), (12, 12), (12, 10), (10, 10)]
    parts = [[[*EDGE, EDGE[0]], hole], [[(100, 0), (120, 0), (120, 20), (100, 0)]]]
    path = tmp_path / "roof.json"
    tree = {"type": "MultiPolygon", "coordinates": parts, "units": "m"}
    path.write_text(json.dumps(tree))
    first, second = read_outline(path).areas
    assert [first.area, second.area] == ["A", "B"]
    assert [each.kind for each in first.openings] == ["curb"]
    assert second.openings == ()


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("{", "bad_json"),
        ("[]", "not_geojson"),
        ('{"type": "FeatureCollection"}', "not_geojson"),
        ('{"type": "LineString", "coordinates": [[0, 0], [1, 1]]}', "not_geojson"),
        ('{"type": "Polygon", "coordinates": [[["a", 0]]]}', "not_geojson"),
        ('{"type": "Polygon", "coordinates": []}', "not_geojson"),
        ('{"type": "Polygon", "units": "yd", "coordinates": [[[0, 0]]]}', "not_geojson"),
        ('{"type": "Polygon", "coordinates": [[[0, 0], [400, 0], [400, 300]]]}', "outline_no_unit"),
        ('{"type": "FeatureCollection", "features": []}', "no_roof_drawn"),
        ('{"type": "Feature", "geometry": null, "properties": null}', "no_roof_drawn"),
        (json.dumps(_feature("tree", {"type": "Point", "coordinates": [0, 0]})), "unknown_kind"),
        ('{"type": "Polygon", "units": "mm", "coordinates": [[[0,0],[60,0],[60,40]]]}',
         "outline_size"),
        ('{"type": "Polygon", "coordinates": [[[0,0],[60,0],[60,40]]]}', "outline_size"),
    ],
)  # fmt: skip
def test_geojson_that_is_odd_is_refused(text: str, code: str, tmp_path: Path) -> None:
    """Each slip by its own name, the wrong unit by the size it makes."""
    path = tmp_path / "odd.geojson"
    path.write_text(text)
    with pytest.raises(LapwrightError) as refused:
        read_outline(path)
    assert refused.value.code == code


@pytest.mark.parametrize(
    ("text", "code", "row"),
    [
        ("", "file_empty", None),
        ("a,b\n1,2\n", "no_header", 1),
        ("x_ft,y_ft,colour\n", "unknown_column", 1),
        ("x_ft,x_ft,y_ft\n", "duplicate_column", 1),
        ("x_ft,x_m,y_ft\n", "column_twice", None),
        ("x_ft,kind\n", "column_missing", None),
        ("x_ft,y_ft\n1,2\n3,\n", "blank_cell", 3),
        ("x_ft,y_ft\n1,2\n3,4x\n", "not_a_length", 3),
        ("x_ft,y_ft\n1,nan\n", "not_a_length", 2),
        ("x,y\n1,2\n", "length_without_unit", 2),
        ("x_ft,y_ft\n1,2,3\n", "too_many_cells", 2),
        ("kind,x_ft,y_ft\ntree,2,3\n", "unknown_word", 2),
        ("x_ft,y_ft\n" + "9" * 70 + ",2\n", "not_a_length", 2),
        ("kind,x_ft,y_ft\ncurb,1,2\n", "no_roof_drawn", None),
    ],
)
def test_csv_that_is_odd_is_refused(text: str, code: str, row: int | None, tmp_path: Path) -> None:
    """Each slip names its row as a spreadsheet shows it."""
    path = tmp_path / "odd.csv"
    path.write_text(text)
    with pytest.raises(FileUnreadable) as refused:
        read_outline(path)
    assert (refused.value.code, refused.value.data["row"]) == (code, row)


def test_csv_takes_stated_units_and_decimal_commas(tmp_path: Path) -> None:
    """Semicolons as a spreadsheet in Spanish writes them; the unit from the command."""
    path = tmp_path / "techo.csv"
    path.write_text("x;y\n0;0\n12,5;0\n12,5;10\n0;10\n")
    (area,) = read_outline(path, unit="m").areas
    assert area.edge.area == pytest.approx(125)


def _drawn(folder: Path, units: int, **layers: list[tuple[float, float]]) -> Path:
    document = ezdxf.new(units=units)
    for layer, corners in layers.items():
        document.modelspace().add_lwpolyline(corners, dxfattribs={"layer": layer})
    path = folder / f"odd-{units}-{len(layers)}-{'-'.join(layers)}.dxf"
    document.saveas(path)
    return path


def test_dxf_that_is_odd_is_refused(tmp_path: Path) -> None:
    """No unit, an open line, no roof layer, no DXF at all."""
    closed = [*EDGE, EDGE[0]]
    for path, code in (
        (_drawn(tmp_path, 0, ROOF=closed), "dxf_no_unit"),
        (_drawn(tmp_path, 2, A_ROOF=EDGE), "dxf_open"),
        (_drawn(tmp_path, 2, GRID=closed), "dxf_no_roof"),
    ):
        with pytest.raises(FileUnreadable, match=code):
            read_outline(path)
    broken = tmp_path / "broken.dxf"
    broken.write_text("this is no drawing")
    with pytest.raises(FileUnreadable, match="dxf_unreadable"):
        read_outline(broken)
    with pytest.raises(FileUnreadable, match="file_missing"):
        read_outline(tmp_path / "none.dxf")


def test_dxf_arc_follows_its_curve(tmp_path: Path) -> None:
    """Two half circles of 10 m radius drawn as bulges are a round roof of 314 m2."""
    document = ezdxf.new(units=6)
    document.modelspace().add_lwpolyline(
        [(0, 0, 1), (20, 0, 1)], format="xyb", close=True, dxfattribs={"layer": "CUBIERTA"}
    )
    path = tmp_path / "round.dxf"
    document.saveas(path)
    (area,) = read_outline(path).areas
    assert area.edge.area == pytest.approx(314.16, rel=1e-3)


def test_other_endings_are_refused(tmp_path: Path) -> None:
    """A picture is no outline."""
    with pytest.raises(LapwrightError, match="outline_suffix"):
        read_outline(tmp_path / "roof.png")


def test_openings_go_to_the_area_they_lie_in_or_name() -> None:
    """Two areas over each other on two levels: an opening must then say which it means."""
    low = Drawn("roof", tuple(EDGE), area="A", level="low")
    high = Drawn("roof", tuple(EDGE), area="B", level="high")
    curb = Drawn("curb", tuple(CURB), name="unit")
    assert len(gather([low, curb], file="f")[0].openings) == 1
    named = Drawn("curb", tuple(CURB), area="B")
    assert [len(area.openings) for area in gather([low, high, named], file="f")] == [0, 1]
    for shapes in ([low, high, curb], [low, Drawn("drain", ((99.0, 99.0),))]):
        with pytest.raises(FileUnreadable, match="opening_astray"):
            gather(shapes, file="f")


def test_area_letters_are_free_ones() -> None:
    """An area that is not named takes the first letter nobody uses; none comes twice."""
    shifted = tuple((x + 100, y) for x, y in EDGE)
    plain, named = Drawn("roof", tuple(EDGE)), Drawn("roof", shifted, area="A")
    assert [area.area for area in gather([plain, named], file="f")] == ["B", "A"]
    with pytest.raises(LapwrightError, match="area_twice"):
        gather([named, named], file="f")


def test_kinds_are_known_in_both_languages() -> None:
    """Capitals, accents and plurals do not matter."""
    words = ("ROOF", "Cubierta", "desagüe", "tubo", "Drains", "tree")
    meant = ["roof", "roof", "drain", "pipe", "drain", None]
    assert [kind_of(word) for word in words] == meant
