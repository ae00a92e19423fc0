"""A roof plan on paper and for other programs: the same figures, numbers and places."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from shapely.geometry import box, shape

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.plan import Crew, RoofPlan, plan_roof
from lapwright.readings.outline import read_outline
from lapwright.report.drawing import save
from lapwright.report.figures import Reader
from lapwright.report.planfigures import plan_figures
from lapwright.report.planfiles import plan_geojson, save_plan
from lapwright.report.planmap import plan_svg
from lapwright.report.plantext import plan_text
from lapwright.roof.earth import scale_of
from lapwright.roof.layout import Layout
from lapwright.roof.outline import Opening, disc, outline
from lapwright.roof.quantities import Rate

LAYOUT = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, half_rows=1, run=0.0)
READERS = [Reader(language, units) for language in ("en", "es") for units in ("us", "metric")]  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def plan() -> RoofPlan:
    """Two levels, every kind of opening, a crew with rates and cords."""
    openings = [
        Opening("curb", box(10, 6, 14, 9), "unit"),
        Opening("wall", box(30, 3, 30.3, 12), "party wall"),
        Opening("pipe", disc((5, 2), diameter=0.1, name=""), "stack"),
        Opening("drain", disc((20, 2.9), diameter=0.3, name=""), "drain 1"),
    ]
    main = outline("A", box(0, 0, 50, 15), openings=openings, level="main")
    dock = outline("B", box(60, 0, 70, 10), level="dock")
    crew = Crew(weld=Rate(0.02, 0.03), hand=Rate(0.002, 0.003), probe=Rate(0.05, 0.08), reach=20.0)
    return plan_roof([main, dock], [LAYOUT] * 2, crew=crew)


@pytest.mark.parametrize("reader", READERS)
def test_text_says_the_plan_in_every_language_and_unit(plan: RoofPlan, reader: Reader) -> None:
    """No sentence lacks a value, each area and each conflict has its line, one caution ends it."""
    text = plan_text(plan, {"lap": 0.1524, "roll_width": 3.048}, reader).plain
    assert "?" not in text
    unit = "in 6" if reader.units == "us" else "mm 152.4"
    assert f"--lap-{unit}" in text
    assert text.count("drain 1") == sum(
        each.opening == "drain 1" for each in plan.areas[0].conflicts[:6]
    )
    last = text.strip().splitlines()[-1]
    assert last.startswith("! ")


def test_text_asks_for_rates_that_nobody_gave() -> None:
    """Hours are the crew's own or none."""
    roof = outline("A", box(0, 0, 50, 15))
    text = plan_text(plan_roof([roof], [LAYOUT], crew=Crew()), {}, Reader()).plain
    assert all(f"--{name}-rate" in text for name in ("weld", "hand", "probe"))


def test_many_conflicts_are_counted_not_listed() -> None:
    """A screen of warnings is none: six are shown, the others counted."""
    drains = [
        Opening("drain", disc((x, 1.425), diameter=0.2, name=""), f"d{x}") for x in range(2, 40, 3)
    ]
    roof = outline("A", box(0, 0, 50, 15), openings=drains)
    found = plan_roof([roof], [LAYOUT], crew=Crew())
    text = plan_text(found, {}, Reader()).plain
    left = len(found.areas[0].conflicts) - 6
    assert left > 0
    assert f"and {left} more" in text


@pytest.mark.parametrize("reader", READERS)
def test_figures_are_the_plan_in_field_units(plan: RoofPlan, reader: Reader) -> None:
    """Feet and square feet, or metres: the same roof."""
    figures = json.loads(json.dumps(plan_figures(plan, ["lap"], reader)))
    foot = 0.3048 if reader.units == "us" else 1.0
    unit, square = ("ft", "sqft") if reader.units == "us" else ("m", "m2")
    total = figures["total"]
    assert total[f"side_length_{unit}"] == pytest.approx(plan.total.side_length / foot, abs=0.06)
    assert total[f"roof_area_{square}"] == pytest.approx(plan.total.roof_area / foot**2, abs=0.06)
    assert [area["area"] for area in figures["areas"]] == ["A", "B"]
    seam = figures["areas"][0]["seams"][0]
    assert seam["id"] == "A-S001"
    assert seam["origin"][f"y_{unit}"] == pytest.approx(1.425 / foot, abs=0.06)
    assert len(figures["power_places"]) == sum(map(len, plan.places))
    assert figures["crew"]["machine_h"] == [
        pytest.approx(plan.machine_length / rate / 3600, abs=0.06) for rate in (0.03, 0.02)
    ]


def test_map_carries_every_number(plan: RoofPlan) -> None:
    """Sheets, side laps, end laps, details and both levels can be read off, in well-formed SVG."""
    svg = plan_svg(plan, Reader())
    root = ElementTree.fromstring(svg)
    said = [each.text for each in root.iter("{http://www.w3.org/2000/svg}text")]
    for area in plan.areas:
        for found in (*area.sheets, *area.details[1:]):
            assert found.id.partition("-")[2] in said
        for seam in area.seams:
            name = seam.id.partition("-")[2]
            assert (f"{name} 0" if seam.kind == "side" else name) in said
    assert {"main", "dock", "50", "100", "G"} <= set(said)


def test_map_draws_a_seam_where_the_plan_has_it(plan: RoofPlan) -> None:
    """The map is to scale and upright: 50 m of roof wide, first lap above the lower edge."""
    svg = plan_svg(plan, Reader())
    edge = re.search(r'<path d="M([\d. LMZ]+)" fill-rule="evenodd" fill="none"', svg)
    line = re.search(r'<path d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)[M"]', svg)
    assert edge is not None
    assert line is not None
    corners = [tuple(map(float, pair.split())) for pair in edge[1].rstrip("Z").split("L")]
    xs, ys = zip(*corners, strict=True)
    scale = (max(xs) - min(xs)) / 50.0
    assert (max(ys) - min(ys)) / scale == pytest.approx(15.0, rel=0.01)
    x0, y0, _, y1 = map(float, line.groups())
    assert y0 == y1 == pytest.approx(max(ys) - 1.425 * scale, abs=0.2)
    assert x0 == pytest.approx(min(xs), abs=0.2)


@pytest.mark.parametrize("end", [".svg", ".pdf", ".png"])
def test_map_is_saved_as_a_picture(plan: RoofPlan, end: str, tmp_path: Path) -> None:
    """The first bytes are those of the format."""
    path = tmp_path / f"map{end}"
    save(plan_svg(plan, Reader("es", "metric")), path)
    signs = {".svg": b"<svg", ".pdf": b"%PDF", ".png": b"\x89PNG"}
    assert path.read_bytes().startswith(signs[end])


def test_geojson_holds_the_plan_in_metres(plan: RoofPlan) -> None:
    """Each sheet, seam, T-joint and detail is a feature; sheet areas are those planned."""
    tree = json.loads(plan_geojson(plan))
    assert tree["units"] == "m"
    found = {each["properties"]["id"]: each for each in tree["features"]}
    assert len(found) == len(tree["features"])
    for area in plan.areas:
        for sheet in area.sheets:
            drawn = shape(found[sheet.id]["geometry"])
            assert drawn.area == pytest.approx(sheet.shape.area, abs=0.02)
        for seam in area.seams:
            assert shape(found[seam.id]["geometry"]).length == pytest.approx(seam.length, abs=0.01)
        assert {joint.id for joint in area.t_joints} <= found.keys()


def test_geojson_goes_back_to_degrees(plan: RoofPlan) -> None:
    """What came in degrees goes out in degrees: 50 m of edge at 40 north."""
    anchor = (-95.0, 40.0)
    tree = json.loads(plan_geojson(plan, anchor=anchor))
    assert "units" not in tree
    edge = next(each for each in tree["features"] if each["properties"]["id"] == "A-D001")
    x0, y0, x1, y1 = shape(edge["geometry"]).bounds
    across, along = scale_of(anchor)
    assert ((x1 - x0) * across, (y1 - y0) * along) == pytest.approx((50, 15), abs=1e-3)
    assert (x0, y0) == pytest.approx(anchor, abs=1e-9)


def test_dxf_is_read_back_as_the_same_roof(plan: RoofPlan, tmp_path: Path) -> None:
    """Another program finds edges, curbs, walls, pipes and drains where they were."""
    path = tmp_path / "plan.dxf"
    save_plan(plan, path)
    again = read_outline(path)
    assert [area.edge.area for area in again.areas] == pytest.approx([750, 100])
    assert sorted(each.kind for each in again.areas[0].openings) == [
        "curb", "drain", "pipe", "wall",
    ]  # fmt: skip
    document = ezdxf.readfile(path)
    lines = document.modelspace().query('LINE[layer=="SIDE-LAP"]')
    drawn = sum(line.dxf.start.distance(line.dxf.end) for line in lines)
    assert drawn == pytest.approx(plan.total.side_length)
    assert document.header["$INSUNITS"] == 6


def test_plan_is_exported_in_known_forms_only(plan: RoofPlan, tmp_path: Path) -> None:
    """Another end, or a place that cannot be written, is refused."""
    with pytest.raises(LapwrightError, match="export_suffix"):
        save_plan(plan, tmp_path / "plan.xlsx")
    with pytest.raises(FileUnreadable, match="cannot_write"):
        save_plan(plan, tmp_path / "none" / "plan.geojson")
    save_plan(plan, tmp_path / "plan.geojson")
    assert json.loads((tmp_path / "plan.geojson").read_text(encoding="utf-8"))["features"]
