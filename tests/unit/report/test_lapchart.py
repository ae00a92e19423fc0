"""The picture of a lap: what the heat model says, marked as computed."""

from __future__ import annotations

from statistics import NormalDist
from typing import Any

import altair
import pytest

from lapwright.physics.heat import HEATED_LENGTH
from lapwright.physics.lap import Lap
from lapwright.physics.membrane import MEMBRANES
from lapwright.report.figures import Reader
from lapwright.report.lapchart import SHADES, lap_chart
from lapwright.units import from_si
from lapwright.words import LANGUAGES

LAP = Lap(air=727.6, sheet=299.8, ambient=295.4, speed=0.0508, kappa=0.1016)


def _layers(panel: dict[str, Any], mark: str) -> list[dict[str, Any]]:
    return [one for one in panel["layer"] if one["mark"]["type"] == mark]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_chart_is_valid(language: Any, units: Any) -> None:
    """The definition obeys the published schema of Vega-Lite, checked by altair."""
    spec = lap_chart(LAP, Reader(language, units))
    for layer in (one for part in spec["vconcat"] for one in part["layer"]):
        del layer["data"]["values"][3:]  # a schema reads every row, slowly
    altair.VConcatChart.from_dict(spec, validate=True)


@pytest.mark.parametrize(
    ("language", "words"), [("en", "Computed, not measured"), ("es", "Calculado, no medido")]
)
def test_picture_says_that_it_is_computed(language: Any, words: str) -> None:
    """Nobody may take the picture for a measurement."""
    assert lap_chart(LAP, Reader(language))["title"]["subtitle"][0].startswith(words)


def test_faces_are_hottest_as_they_meet() -> None:
    """The curve peaks at the contact temperature of the lap, and the line stands there."""
    _, depths, faces = lap_chart(LAP, Reader())["vconcat"]
    rows = _layers(faces, "line")[-1]["data"]["values"]
    peak = max(rows, key=lambda row: row["y"])
    step = rows[1]["x"] - rows[0]["x"]
    assert abs(peak["x"]) <= step
    assert peak["y"] == pytest.approx(from_si(LAP.contact_temperature, "f"), abs=3.0)
    for panel in (depths, faces):
        times = {row.get("x") for one in _layers(panel, "rule") for row in one["data"]["values"]}
        assert times - {None} == {0.0, -HEATED_LENGTH / LAP.speed}


def test_bands_hold_ninety_percent_of_the_family() -> None:
    """Bottom and top are drawn from the 5 % to the 95 % point of the family's belief."""
    pvc = MEMBRANES["pvc"]
    lap = Lap(air=727.6, sheet=299.8, ambient=295.4, speed=0.0508, kappa=0.122, membrane=pvc)
    faces = lap_chart(lap, Reader("es", "metric"))["vconcat"][2]
    bands = [row for one in _layers(faces, "rect") for row in one["data"]["values"]]
    for band, mean, sd in zip(
        bands, (pvc.bottom, pvc.top), (pvc.bottom_sd, pvc.top_sd), strict=True
    ):
        belief = NormalDist(mean - 273.15, sd)
        assert band["y"] == pytest.approx(belief.inv_cdf(0.05), abs=0.05)
        assert band["y2"] == pytest.approx(belief.inv_cdf(0.95), abs=0.05)


def _steps_at(time: float) -> list[int]:
    """Steps of the map from the top down at one time."""
    bars = _layers(lap_chart(LAP, Reader())["vconcat"][1], "rect")[0]["data"]["values"]
    found = {bar["y"]: SHADES.index(bar["shade"]) for bar in bars if bar["x"] <= time < bar["x2"]}
    heights = sorted({bar["y"] for bar in bars})
    return [found.get(height, 0) for height in heights]


@pytest.mark.parametrize("time", [-0.3, 0.2])
def test_heat_falls_off_to_both_sides_of_the_faces(time: float) -> None:
    """The map is hottest at the faces, cooler with depth, and alike in both sheets."""
    steps = _steps_at(time)
    hottest = steps.index(max(steps))
    assert steps[: hottest + 1] == sorted(steps[: hottest + 1])
    assert steps[hottest:] == sorted(steps[hottest:], reverse=True)
    assert sum(a != b for a, b in zip(steps, steps[::-1], strict=True)) <= 2
    assert max(steps) > 1


@pytest.mark.parametrize(
    ("units", "unit", "total"), [("us", "mil", 120.0), ("metric", "mm", 3.048)]
)
def test_depth_is_in_the_unit_sheets_are_bought_in(units: Any, unit: str, total: float) -> None:
    """Two sheets of 60 mil are 120 mil, or 3.05 mm, from top to deck."""
    depths = lap_chart(LAP, Reader(units=units))["vconcat"][1]
    y = _layers(depths, "rect")[0]["encoding"]["y"]
    assert y["axis"]["title"] == f"depth, {unit}"
    assert y["scale"]["domain"] == [0, pytest.approx(total)]
