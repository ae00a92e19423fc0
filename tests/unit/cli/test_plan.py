"""The command ``plan``: what is typed, read, drawn and refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lapwright.cli import main

EXAMPLE = Path(__file__).parents[3] / "src" / "lapwright" / "examples" / "roof.geojson"
CHECK_ROOF = "x,y\n0',0'\n431',0'\n431',290'\n0',290'\n"


def _run(*args: str) -> Result:
    return CliRunner().invoke(main, ["plan", *args])


# The check roof of the design notes; its arithmetic stands in tests/reference/test_roof.py.
def test_check_roof_from_corners_in_feet(tmp_path: Path) -> None:
    """33 side laps of 14,223 ft, 136 end laps, 264 T-joints on laps and 8 end laps at the edge."""
    corners = tmp_path / "check.csv"
    corners.write_text(CHECK_ROOF)
    result = _run(str(corners), "--lap-in", "6", "--half-rows", "3", "--json")
    found = json.loads(result.stdout)
    total = found["total"]
    assert (total["side_laps"], total["side_length_ft"]) == (33, 14_223.0)
    assert (total["end_laps"], total["t_joints"]) == (136, 264)
    assert total["roof_area_sqft"] == 124_990.0
    assert abs(total["closure"]) < 0.001
    assert found["assumed"] == ["roll_width", "roll_length", "stagger", "clear"]


def test_text_in_spanish_and_metric() -> None:
    """The same example in the other language and units."""
    result = _run(str(EXAMPLE), "--attachment", "fastened", "--lang", "es", "--units", "metric",
                  "--weld-rate", "75-100 m/h", "--reach-m", "30")  # fmt: skip
    assert result.exit_code == 0
    assert "1745 m²" in result.stdout
    assert "Área B (dock)" in result.stdout
    assert "--lap-mm 152.4" in result.stdout


def test_optimised_plan_has_no_more_seam_near_openings() -> None:
    """With the run kept, moving the first row brings fewer feet near curbs and drains."""
    near = []
    for more in ([], ["--optimise", "--weight", "near 1000"]):
        result = _run(str(EXAMPLE), "--lap-in", "6", "--run-deg", "0", "--json", *more)
        near.append(json.loads(result.stdout)["total"]["near_length_ft"])
    assert near[1] < near[0]


def test_map_and_export_are_written(tmp_path: Path) -> None:
    """A picture for the deck, a file for another program."""
    drawn, sent = tmp_path / "map.svg", tmp_path / "plan.geojson"
    result = _run(str(EXAMPLE), "--lap-in", "6", "--map", str(drawn), "--export", str(sent))
    assert result.exit_code == 0
    assert drawn.read_text(encoding="utf-8").startswith("<svg")
    assert json.loads(sent.read_text(encoding="utf-8"))["units"] == "m"


def test_one_area_has_its_own_rows() -> None:
    """Area B across, area A along."""
    result = _run(str(EXAMPLE), "--lap-in", "6", "--area", "B run 90", "--json")
    runs = {each["area"]: each["run_deg"] for each in json.loads(result.stdout)["areas"]}
    assert runs == {"A": 0.0, "B": 90.0}


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ([str(EXAMPLE)], "--attachment"),
        ([str(EXAMPLE), "--lap-in", "70"], "side lap"),
        ([str(EXAMPLE), "--lap-in", "6", "--file-units", "mm"], "--file-units"),
        (["none.dxf", "--lap-in", "6"], "none.dxf"),
        ([str(EXAMPLE), "--lap-in", "6", "--weld-rate", "fast"], "250-330 ft/h"),
        ([str(EXAMPLE), "--lap-in", "6", "--map", "map.bmp"], ".svg"),
    ],
)
def test_mistakes_end_with_one_sentence_and_status_2(args: list[str], says: str) -> None:
    """What is wrong, on stderr, in words."""
    result = _run(*args)
    assert result.exit_code == 2
    assert says in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1
