"""The answer in the terminal: few lines, the window as a tape of characters."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from lapwright.job.morning import Morning
from lapwright.physics.lap import Lap
from lapwright.report.figures import Reader
from lapwright.report.text import (
    TAPE_CELLS,
    edge_text,
    ladder_text,
    lap_text,
    margins_text,
    next_text,
    setting_text,
    start_rule_text,
    tape,
    window_text,
)
from lapwright.units import to_si
from lapwright.window.answer import NO_SETTING, Question
from lapwright.window.edges import Conditions, Edge
from lapwright.window.picture import Mark, Picture
from lapwright.window.setpoint import SetPoint
from lapwright.window.strips import TestWeld
from lapwright.words import LANGUAGES

READERS = [Reader(language, units) for language, units in product(LANGUAGES, ("us", "metric"))]
POINT = SetPoint(733.15, 0.0508, 0.93, 0.90, 100.0, 50.0, 0.0254, 0.0127)
LOW, MID, HIGH = (to_si(f, "f") for f in (700, 720, 745))


def text_of(morning: Morning, reader: Reader) -> str:
    """The answer as plain text."""
    return window_text(morning.answer(), morning.picture(points=TAPE_CELLS), reader).plain


@pytest.mark.parametrize(
    ("edge", "said"),
    [
        (Edge(LOW, MID, HIGH), "720 °F (700 °F to 745 °F)"),
        (Edge(None, MID, HIGH), "below 745 °F"),
        (Edge(LOW, MID, None), "above 700 °F"),
        (Edge(None, None, None), "not known"),
    ],
)
def test_an_open_end_is_said_as_open(edge: Edge, said: str) -> None:
    """Interval, one side or nothing: never a bare median where an end is open."""
    assert edge_text(edge, Reader()) == said


def test_margins_in_speed_only_where_a_speed_reaches() -> None:
    """Both margins in air; the one no speed reaches in air alone."""
    both = margins_text(POINT, Reader())
    assert both.startswith("180 °F or 5.0 ft/min faster")
    assert "90 °F or 2.5 ft/min slower" in both
    alone = margins_text(replace(POINT, slower=None), Reader())
    assert "90 °F" in alone
    assert "slower" not in alone


@pytest.fixture
def flat() -> Picture:
    """Eleven cells from 600 to 1100 F, sound in the middle, welds at 600, 850, 1300 F."""
    air = to_si(600, "f") + np.linspace(0, 500 / 1.8, 11)
    sound = np.array([0, 0, 0.3, 0.6, 0.9, 1, 0.9, 0.6, 0.3, 0, 0.0])
    marks = tuple(
        Mark(str(n), to_si(f, "f"), to_si(f, "f"), 0.0508, reading, True)
        for n, (f, reading) in enumerate(((600, "cold"), (850, "full"), (1300, "hot")))
    )
    return Picture(air, sound, np.array([0.0508]), sound[None, :], marks)


def test_the_tape_marks_welds_where_they_lie(flat: Picture) -> None:
    """One cell per point, welds by sign in their cell, those beyond in the last one."""
    welds, shades, scale, meaning = tape(flat, None, Reader())
    assert welds == "□    ■    ▲"
    assert len(shades) == 11
    assert (shades[0], shades[5], shades[10]) == (" ", "█", " ")
    assert shades == shades[::-1]
    assert scale.startswith("600 °F")
    assert scale.endswith("1100 °F")
    assert {"□", "■", "▲"} <= set(meaning)
    assert "◧" not in meaning  # only signs that are there


def test_the_tape_points_at_the_set_point(flat: Picture) -> None:
    """The arrow stands under the cell of the set point."""
    rows = tape(flat, replace(POINT, air=to_si(900, "f")), Reader())
    assert rows[2].index("↑") == 6


@pytest.mark.parametrize("reader", READERS, ids=str)
def test_a_found_window_is_told_in_a_few_lines(whole_morning: Morning, reader: Reader) -> None:
    """Verdict first, then what to do; set point, edges and next weld in the reader's units."""
    answer = whole_morning.answer()
    lines = text_of(whole_morning, reader).splitlines()
    assert lines[0] == reader.say("verdict", answer.verdict)
    assert lines[1] == reader.say("do", answer.verdict)
    assert len(lines) <= 22
    text = "\n".join(lines)
    assert answer.set_point is not None
    setting = setting_text(answer.set_point.air, answer.set_point.speed, reader)
    assert setting in text
    assert edge_text(answer.bottom, reader) in text
    assert margins_text(answer.set_point, reader) in text
    assert next_text(answer, reader) in text
    both_units = (reader.say("label", "changes"), "! ")  # these sentences carry both
    wrong = {"us": ("°C", "m/min"), "metric": ("°F", "ft/min")}[reader.units]
    figures = [line for line in lines if not line.startswith(both_units)]
    assert not [line for line in figures if any(unit in line for unit in wrong)]


def test_at_most_three_cautions_are_shown(weld: Callable[..., TestWeld]) -> None:
    """No wall of warnings: the three most urgent, the rest are in the figures."""
    welds = (weld(1, 700, "kkb", None), weld(2, 850, "sff"), weld(3, 1200, "ccc", None))
    morning = Morning(Question(welds, membrane="pvc"))
    assert len(morning.answer().cautions) > 3
    shown = [line for line in text_of(morning, Reader()).splitlines() if line.startswith("! ")]
    assert len(shown) == 3
    first = morning.answer().cautions[0]
    assert shown[0] == "! " + Reader().say("caution", first.code, first.data)


@pytest.mark.parametrize("verdict", NO_SETTING)
def test_no_setting_is_offered_where_none_is_sound(whole_morning: Morning, verdict: str) -> None:
    """No window, a weak machine or nothing tested: no set point to weld a roof with."""
    answer = replace(whole_morning.answer(), verdict=verdict)  # type: ignore[arg-type]
    text = window_text(answer, whole_morning.picture(points=TAPE_CELLS), Reader()).plain
    assert answer.set_point is not None
    assert "↑" not in text
    assert Reader().say("label", "margins") not in text
    assert Reader().say("label", "best_so_far") not in text


def test_a_set_point_not_yet_found_is_the_best_so_far(
    early_morning: Morning, whole_morning: Morning
) -> None:
    """Only a found window has a set point; before, it is the best so far."""
    assert Reader().say("label", "best_so_far") in text_of(early_morning, Reader())
    assert Reader().say("label", "best_so_far") not in text_of(whole_morning, Reader())


def test_an_unchecked_top_is_said_beside_the_chance(weld: Callable[..., TestWeld]) -> None:
    """P(sound) is never shown bare when nobody looked for heat signs."""
    welds = (weld(1, 700, "cpf", None), weld(2, 800, "fff", None))
    said = Reader().say("label", "top_not_checked")
    assert said in text_of(Morning(Question(welds)), Reader())
    looked = (weld(1, 700, "cpf"), weld(2, 800, "fff"))
    assert said not in text_of(Morning(Question(looked)), Reader())


def test_next_is_a_setting_and_its_reason_or_the_reason_alone(whole_morning: Morning) -> None:
    """When nothing more is asked for, no setting is read as a further test."""
    answer = whole_morning.answer()
    done = replace(answer.next, done=True, reason="certified")
    assert next_text(replace(answer, next=done), Reader()) == Reader().say("reason", "certified")
    more = replace(answer.next, done=False, reason="learn")
    said = next_text(replace(answer, next=more), Reader())
    assert (
        said == f"{setting_text(more.air, more.speed, Reader())}: {Reader().say('reason', 'learn')}"
    )


def test_the_start_rule_warns_in_cold() -> None:
    """Above 60 F the rule stands alone; below, how hot it runs is said with it."""
    warm, cold = (start_rule_text(to_si(f, "f"), Reader()) for f in (80, 40))
    assert "10.0 ft/min" in warm
    assert "°F of air" not in warm
    assert "6.0 ft/min" in cold
    assert "of air" in cold


def test_before_the_first_weld_the_rule_of_thumb_is_shown() -> None:
    """Only a start shows the common speed rule."""
    start = Morning(Question(ambient=to_si(80, "f")))
    assert start_rule_text(to_si(80, "f"), Reader()) in text_of(start, Reader())


@pytest.mark.parametrize("reader", READERS, ids=str)
def test_the_ladder_is_one_line_a_rung(reader: Reader) -> None:
    """Numbered rungs at one speed, then what to do and the speed rule."""
    here = Conditions(speed=to_si(10, "ft_min"), sheet=300.0, ambient=300.0)
    rungs = [to_si(f, "f") for f in (600, 700, 800)]
    lines = ladder_text(rungs, here, reader).splitlines()
    assert [line.split()[0] for line in lines[:3]] == ["1", "2", "3"]
    for line, rung in zip(lines, rungs, strict=False):
        assert setting_text(rung, here.speed, reader) in line
    assert lines[3:] == [reader.say("do", "no_test_weld"), start_rule_text(here.ambient, reader)]


@pytest.mark.parametrize("reader", READERS, ids=str)
def test_the_lap_is_told_in_one_sentence(reader: Reader) -> None:
    """Setting, sheet, face at contact and how long it stays hot, without a gap."""
    lap = Lap(air=to_si(850, "f"), sheet=300.0, ambient=300.0, speed=0.0508, kappa=0.1016)
    said = lap_text(lap, reader)
    for name, value in (
        ("air", lap.air), ("sheet", lap.sheet), ("interface", lap.contact_temperature),
    ):  # fmt: skip
        assert reader.write(name, value) in said
    assert "?" not in said
