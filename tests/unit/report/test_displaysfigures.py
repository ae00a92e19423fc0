"""Displays in figures and sentences: the same offsets in both unit systems, never one guessed."""

from __future__ import annotations

import json
from statistics import mean

import pytest
from tests import cast

from lapwright.job.displays import Series, displays
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.report.displaysfigures import displays_figures, sentences
from lapwright.report.displaystext import displays_text
from lapwright.report.figures import Reader

EN, ES = Reader("en", "us"), Reader("es", "metric")
LESS = (20, 24, 22, 18, 21, 23, 19, 22)  # F that the air is hotter than the display says


def weld(number: int, over: float, day: str) -> Fact:
    """A test weld at 860 F whose air somebody measured."""
    return cast.fact("test_weld", number=f"T{number}", day=day, air="860 f", speed="10 ft_min",
                     measured_air=f"{860 + over} f measured", conditions=cast.CONDITIONS,
                     nozzle_setup=cast.NOZZLE, **cast.CHAIN)  # type: ignore[arg-type]  # fmt: skip


def series(overs: tuple[float, ...] = LESS) -> list[Series]:
    """The displays of the cast after so many readings, one a day."""
    welds = [weld(n, over, f"2026-05-{4 + n:02}") for n, over in enumerate(overs)]
    return list(displays([Record([*cast.SETUP, *welds])], machine="3"))


def air(found: list[Series], reader: Reader = EN) -> dict[str, object]:
    """Figures of the air's display."""
    shown = displays_figures(found, reader)["displays"]
    return next(one for one in shown if one["quantity"] == "air" and one["is_current"])


def test_the_offset_is_the_mean_of_what_was_measured() -> None:
    """Measured less displayed, in F."""
    told = air(series())
    assert told["offset_f"] == pytest.approx(mean(LESS), abs=0.06)
    assert told["offset_low_f"] < told["offset_f"] < told["offset_high_f"]  # type: ignore[operator]


def test_a_difference_is_converted_without_the_32() -> None:
    """21 F of difference are 11.7 K; 860 F on the display are 460 C."""
    told = air(series(), ES)
    assert told["offset_c"] == pytest.approx(mean(LESS) / 1.8, abs=0.06)
    assert told["readings"][0]["shown_c"] == 460.0  # type: ignore[index]


def test_every_reading_is_there() -> None:
    """In order of time, as JSON."""
    told = air(series())
    read = [one["measured_f"] - one["shown_f"] for one in told["readings"]]  # type: ignore[attr-defined]
    assert read == pytest.approx(list(LESS))
    json.dumps(told)


def test_too_few_readings_give_no_figure() -> None:
    """Null in JSON, "not known yet" in words, and how many are needed."""
    few = series(LESS[:2])
    told = air(few)
    assert told["offset_f"] is None
    assert "not known yet, 2 of 5" in next(iter(sentences(few[0], EN)))


def test_a_display_that_moved_is_told_with_its_day() -> None:
    """Sixty degrees more from one day on: out, since that day, not before."""
    found = series((*LESS, 80, 82, 81, 80, 83))
    told = air(found)
    assert told["moved"] is not None
    assert str(told["moved"])[:10] >= "2026-05-12"
    assert "moved" not in str(air(series())["says"])
    assert air(series())["moved"] is None


def test_both_languages_tell_as_much() -> None:
    """As many sentences, no gap left open, no word of the other language."""
    for found in (series(), series(()), series((*LESS, 80, 82, 81, 80, 83))):
        for one in found:
            english, spanish = list(sentences(one, EN)), list(sentences(one, ES))
            assert len(english) == len(spanish)
            assert not any("{" in text for text in (*english, *spanish))
            assert not set(english) & set(spanish)


def test_the_table_has_a_row_for_each_display_that_goes_on() -> None:
    """And says so where there is none."""
    found = series()
    lines = displays_text(found, EN).plain.splitlines()
    current = [one for one in found if one.is_current]
    assert sum(line.startswith("3 ") for line in lines) == len(current)
    assert displays_text([], EN).plain.strip()
