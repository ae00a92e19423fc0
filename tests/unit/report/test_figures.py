"""An answer as plain figures in field units."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from typing import Any, get_args

import pytest

from lapwright.job.morning import Morning, find_window
from lapwright.report.figures import Reader, answer_figures, next_figures, set_point_figures
from lapwright.units import from_si, to_si
from lapwright.window.answer import Answer, Question, Verdict
from lapwright.window.setpoint import SetPoint
from lapwright.words import LANGUAGES

READERS = [Reader(language, units) for language, units in product(LANGUAGES, ("us", "metric"))]
POINT = SetPoint(733.15, 0.0508, 0.9304, 0.8996, 100.0, 50.0, 0.0254, None)


@pytest.fixture(scope="module")
def answer(whole_morning: Morning) -> Answer:
    """The bundled morning's answer."""
    return whole_morning.answer()


def keys(thing: Any) -> Iterator[str]:
    """Every key in nested figures."""
    if isinstance(thing, dict):
        for key, value in thing.items():
            yield key
            yield from keys(value)
    elif isinstance(thing, list):
        for each in thing:
            yield from keys(each)


@pytest.mark.parametrize("reader", READERS, ids=str)
def test_figures_are_json_in_the_readers_units(answer: Answer, reader: Reader) -> None:
    """Ready for JSON, and no key carries a unit of the other system."""
    figures = answer_figures(answer, reader)
    assert json.loads(json.dumps(figures)) == figures
    other = {"us": ("_c", "_m_min"), "metric": ("_f", "_ft_min")}[reader.units]
    assert not [key for key in keys(figures) if key.endswith(other)]


def test_the_interface_of_the_command_is_kept(answer: Answer) -> None:
    """The keys that the window command promises, with the answer's own values in F."""
    figures = answer_figures(answer, Reader())
    for name, edge in (("bottom", answer.bottom), ("top", answer.top)):
        assert sorted(figures[name]) == ["high_f", "low_f", "mid_f"]
        for end in ("low", "mid", "high"):
            assert figures[name][f"{end}_f"] == pytest.approx(
                from_si(getattr(edge, end), "f"), abs=0.051
            )
    point = answer.set_point
    assert point is not None
    assert figures["set_point"]["air_f"] == pytest.approx(from_si(point.air, "f"), abs=0.051)
    assert figures["set_point"]["speed_ft_min"] == pytest.approx(
        from_si(point.speed, "ft_min"), abs=0.0051
    )
    assert figures["set_point"]["p_sound"] == pytest.approx(point.p_sound, abs=0.00051)
    assert figures["verdict"] == answer.verdict
    assert figures["certified"] is answer.certified


def test_next_figures_keep_the_interface(answer: Answer) -> None:
    """The keys that the next command promises."""
    figures = next_figures(answer.next, Reader())
    assert {"air_f", "speed_ft_min", "reason", "done"} <= set(figures)
    assert figures["done"] is answer.next.done
    assert figures["air_f"] == pytest.approx(from_si(answer.next.air, "f"), abs=0.051)
    assert figures["reason_code"] == answer.next.reason != figures["reason"]


def test_margins_are_differences() -> None:
    """100 K of margin is 180 F or 100 C, not an air temperature; no speed is null."""
    us, metric = (set_point_figures(POINT, Reader("en", units)) for units in ("us", "metric"))
    assert us == {
        "air_f": 860.0, "speed_ft_min": 10.0, "p_sound": 0.93, "p_sound_drift": 0.9,
        "margin_bottom_f": 180.0, "margin_top_f": 90.0, "faster_ft_min": 5.0,
        "slower_ft_min": None,
    }  # fmt: skip
    assert metric == {
        "air_c": 460.0, "speed_m_min": 3.05, "p_sound": 0.93, "p_sound_drift": 0.9,
        "margin_bottom_c": 100.0, "margin_top_c": 50.0, "faster_m_min": 1.52,
        "slower_m_min": None,
    }  # fmt: skip


def test_open_ends_and_missing_points_are_null() -> None:
    """Not known is null, never zero or a made-up value."""
    figures = answer_figures(find_window(Question(ambient=300.0)), Reader())
    assert figures["bottom"] == {"low_f": None, "mid_f": None, "high_f": None}
    assert figures["fastest"] is None
    assert figures["confirmed_by"] is None
    assert set_point_figures(None, Reader()) is None


@pytest.mark.parametrize("reader", READERS, ids=str)
@pytest.mark.parametrize("code", get_args(Verdict))
def test_each_verdict_is_said(answer: Answer, reader: Reader, code: Verdict) -> None:
    """Every verdict comes with its sentence and what to do, in the reader's language."""
    figures = answer_figures(replace(answer, verdict=code), reader)
    assert figures["verdict"] == code
    assert figures["says"] == reader.say("verdict", code)
    assert figures["do"] == reader.say("do", code)


def test_cautions_come_with_their_sentences(answer: Answer) -> None:
    """In the answer's order, nothing left out, no gap in a sentence."""
    for reader in READERS:
        said = answer_figures(answer, reader)["cautions"]
        assert [each["code"] for each in said] == [each.code for each in answer.cautions]
        assert not [each for each in said if re.search(r"[{}?]", each["says"])]


def test_changes_are_told_worst_first(answer: Answer) -> None:
    """All sensitivities, the one that hurts most in front."""
    told = answer_figures(answer, Reader())["changes_most"]
    assert [each["change"] for each in told] == [each.change for each in answer.sensitivities]
    assert [each["p_sound"] for each in told] == sorted(each["p_sound"] for each in told)


def test_reader_writes_numbers_as_they_are() -> None:
    """Only the decimals that a number has, with the language's comma."""
    assert Reader().plain(3.0) == "3"
    assert Reader("es").plain(0.25) == "0,25"
    assert Reader("es", "metric").write("air", to_si(460, "c")) == "460 °C"
    assert Reader().air(None) is None
    assert Reader().travel(None) is None
