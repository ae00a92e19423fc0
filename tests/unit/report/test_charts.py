"""The window chart: it says the verdict, shows what was found and nothing more."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import altair
import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from lapwright.job.morning import Morning
from lapwright.report.charts import LEVELS, SHADES, window_chart
from lapwright.report.figures import Reader
from lapwright.units import from_si
from lapwright.window.edges import Edge
from lapwright.words import LANGUAGES, say

READERS = [Reader(language, units) for language in LANGUAGES for units in ("us", "metric")]


def _drawn(morning: Morning, reader: Reader, **changed: Any) -> dict[str, Any]:
    answer = replace(morning.answer(), **changed)
    return window_chart(answer, morning.picture(points=60, speeds=40), reader)


def _layers(spec: dict[str, Any], mark: str) -> list[dict[str, Any]]:
    return [one for part in spec["vconcat"] for one in part["layer"] if one["mark"]["type"] == mark]


def _texts(spec: dict[str, Any]) -> list[str]:
    fixed = [one["mark"]["text"] for one in _layers(spec, "text") if "text" in one["mark"]]
    named = [
        row[one["encoding"]["text"]["field"]]
        for one in _layers(spec, "text")
        if "text" in one["encoding"]
        for row in one["data"]["values"]
    ]
    return fixed + named


def _uprights(spec: dict[str, Any]) -> list[float]:
    lines = [one for one in _layers(spec, "rule") if set(one["encoding"]) == {"x"}]
    return [row["x"] for line in lines for row in line["data"]["values"]]


@pytest.mark.parametrize("reader", READERS)
def test_chart_is_valid(whole_morning: Morning, early_morning: Morning, reader: Reader) -> None:
    """The definition obeys the published schema of Vega-Lite, checked by altair."""
    for morning in (whole_morning, early_morning):
        spec = _drawn(morning, reader)
        for layer in (one for part in spec["vconcat"] for one in part["layer"]):
            del layer["data"]["values"][3:]  # a schema reads every row, slowly
        altair.VConcatChart.from_dict(spec, validate=True)


@pytest.mark.parametrize("language", LANGUAGES)
def test_title_is_the_verdict(early_morning: Morning, language: Any) -> None:
    """The first thing read is the verdict, in the reader's language."""
    title = _drawn(early_morning, Reader(language))["title"]
    assert " ".join(title["text"]) == say("verdict", "not_known_yet", language=language)


def test_every_shade_is_what_the_picture_says(whole_morning: Morning) -> None:
    """A bar of the map has the shade of P(sound) at its middle, read by another interpolator."""
    picture = whole_morning.picture(points=60, speeds=40)
    bars = _layers(_drawn(whole_morning, Reader()), "rect")[0]["data"]["values"]
    air = [from_si(float(value), "f") for value in picture.air]
    speed = [from_si(float(value), "ft_min") for value in picture.speed]
    read = RegularGridInterpolator((speed, air), picture.p_map)
    middles = [((bar["y"] + bar["y2"]) / 2, (bar["x"] + bar["x2"]) / 2) for bar in bars]
    assert [SHADES[step] for step in np.searchsorted(LEVELS, read(middles))] == [
        bar["shade"] for bar in bars
    ]
    assert {bar["shade"] for bar in bars} == set(SHADES[1:])


def _lightness(colour: str) -> float:
    """CIE 1976 L* of an sRGB colour, by the formulas of IEC 61966-2-1 and CIE 15 (from memory)."""
    shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
    y = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return float(116 * y ** (1 / 3) - 16)


def test_steps_survive_grey_print() -> None:
    """Each step is clearly darker than the last, so that grey paper and any eye keep the order."""
    assert _lightness("#777777") == pytest.approx(50.0, abs=0.5)  # the middle grey, from memory
    lightness = [_lightness(shade) for shade in SHADES]
    assert min(-np.diff(lightness)) > 10


def test_crosshair_stands_at_the_confirmed_set_point(whole_morning: Morning) -> None:
    """A certified answer shows its set point as a cross through map, curve and lanes."""
    point = whole_morning.answer().set_point
    assert point is not None
    spec = _drawn(whole_morning, Reader())
    air = from_si(point.air, "f")
    assert any(text.startswith(f"set {air:.0f} °F, 10.0 ft/min") for text in _texts(spec))
    assert _uprights(spec) == [pytest.approx(air)] * 6  # black on white, in three panels


def test_crosshair_stands_at_the_next_weld_until_then(early_morning: Morning) -> None:
    """While a weld is missing the cross tells which, not the best guess so far."""
    following = early_morning.answer().next
    texts = _texts(_drawn(early_morning, Reader()))
    assert any(
        text.startswith(f"weld next: {from_si(following.air, 'f'):.0f} °F") for text in texts
    )


def test_no_crosshair_without_a_setting(whole_morning: Morning) -> None:
    """Where there is no window no setting is shown, though a best guess exists."""
    answer = whole_morning.answer()
    spec = _drawn(
        whole_morning, Reader(), verdict="no_window", next=replace(answer.next, done=True)
    )
    assert not _uprights(spec)
    assert not any(text.startswith(("set ", "weld next")) for text in _texts(spec))


@pytest.mark.parametrize(
    ("low", "high", "signs"),
    [(650.0, 690.0, set()), (None, 690.0, {"◀"}), (650.0, None, {"▶"})],
)
def test_open_end_is_an_arrow(
    whole_morning: Morning, low: float | None, high: float | None, signs: set[str]
) -> None:
    """An end that no test weld closed shows an arrow, a closed one none."""
    spec = _drawn(whole_morning, Reader(), bottom=Edge(low, 670.0, high))
    assert {text for text in _texts(spec) if text in ("◀", "▶")} == signs


def test_unknown_edge_draws_no_bar(whole_morning: Morning) -> None:
    """An edge that is not known gets words and nothing that looks like an interval."""
    known = _layers(_drawn(whole_morning, Reader()), "rect")
    unknown = Edge(None, None, None)
    spec = _drawn(whole_morning, Reader(), bottom=unknown, top=unknown)
    assert len(known) - len(_layers(spec, "rect")) == 2
    assert "not known" in _texts(spec)


def test_small_print_counts_the_evidence(whole_morning: Morning) -> None:
    """Below the picture stands how little it rests on, and that it speaks of no roof."""
    below = _drawn(whole_morning, Reader())["vconcat"][-1]["title"]["text"]
    assert "6 test welds, 18 strips" in below[0]
    assert "Not a statement about a roof" in below[0]


def test_pictures_speak_one_language(whole_morning: Morning) -> None:
    """A Spanish metric picture holds no English word and no field unit of the other system."""
    spec = _drawn(whole_morning, Reader("es", "metric"))
    axes = [one["encoding"].get(way, {}).get("axis") for part in spec["vconcat"]
            for one in part["layer"] for way in ("x", "y")]  # fmt: skip
    texts = [
        *_texts(spec),
        *spec["title"]["text"],
        *spec["title"]["subtitle"],
        *spec["vconcat"][-1]["title"]["text"],
        *(axis["title"] for axis in axes if axis and axis["title"]),
    ]
    said = "\n".join(texts)
    for foreign in ("°F", "ft/min", "weld", "sound", "bottom", "heat", "speed", "temperature"):
        assert not re.search(rf"\b{foreign}\b|{foreign}$", said, re.MULTILINE), foreign
    assert "3,05 m/min" in said
    assert "temperatura del aire, °C" in said
