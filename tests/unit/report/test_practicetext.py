"""A practice morning in sentences and figures: marked as practice, silent until the end."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from lapwright.job.hiddensite import Luck, Setting
from lapwright.job.practice import Morning, Tried, practise
from lapwright.job.unveiling import Unveiled, unveil
from lapwright.report.figures import Reader
from lapwright.report.practicefigures import drawn_weld, practice_figures
from lapwright.report.practicetext import (
    intro_lines,
    lesson_lines,
    search_lines,
    truth_lines,
    weather_line,
    weld_line,
)
from lapwright.words import LANGUAGES, Language

SEED = 5
ES_LINE = "1  427 °C, 3,05 m/min: completa, completa, completa; nadie miró mientras estaba caliente"
TRUTHS = ("bottom", "top", "spread", "kappa", "window", "outcome", "sound_share", "shared")


def luck_of(seed: int) -> Luck:
    """Luck of a morning."""
    return lambda number: np.random.default_rng([seed, number])


def morning(*welds: tuple[float, bool], seed: int = SEED) -> Morning:
    """Welds at 10 ft/min: air and whether looked at."""
    tried = [Tried(Setting(air, 0.0508), looked) for air, looked in welds]
    return practise(tried, luck=luck_of(seed))


def ended(air: float | None, *welds: tuple[float, bool]) -> Unveiled:
    """A morning to its end."""
    decided = None if air is None else Setting(air, 0.0508)
    return unveil(morning(*welds), decided, luck=luck_of(SEED))


@pytest.mark.parametrize("language", LANGUAGES)
def test_it_is_marked_as_practice(language: Language) -> None:
    """The first line of every practice says what it is, in capitals."""
    first = next(iter(intro_lines(morning(), Reader(language))))
    assert first.split()[0] in ("PRACTICE", "PRÁCTICA")
    assert practice_figures(morning(), Reader(language), seed=SEED)["practice"] is True


def test_nothing_of_the_truth_is_told_before_the_end() -> None:
    """No key and no figure of the hidden site but what a trainee knows."""
    whole = morning((700.0, True), (800.0, False))
    figures = practice_figures(whole, Reader(), seed=SEED)
    assert figures["end"] is None
    text = json.dumps(figures)
    assert not [name for name in TRUTHS if f'"{name}' in text]
    for heat in (whole.site.bottom, whole.site.top):
        for unit in ("us", "metric"):
            assert str(Reader("en", unit).air(heat)) not in text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("language", "units", "line"),
    [
        ("en", "us", "1  800 °F, 10.0 ft/min: full, full, full; nobody looked while it was hot"),
        ("es", "metric", ES_LINE),
    ],
    ids=["en", "es"],
)
def test_a_weld_is_one_line(language: Language, units: str, line: str) -> None:
    """Setting and grades in the reader's words; not looked is never "none"."""
    (seen,) = morning(((800 + 459.67) / 1.8, False)).welds
    assert weld_line(seen, Reader(language, units)) == line  # type: ignore[arg-type]


def test_looks_tell_how_many_places() -> None:
    """No sign is told as looked; a sign with its name and places."""
    site = morning().site
    cool, hot = site.bottom, site.top + 90
    seen = morning((cool, True), (hot, True)).welds
    assert weld_line(seen[0], Reader()).endswith("looked, no heat sign")
    assert weld_line(seen[1], Reader()).endswith("at 3 of 3 places")


def test_the_weather_is_told_and_its_turn() -> None:
    """Once, right after the weld that it followed."""
    seed = next(
        seed for seed in range(50)
        if (site := practise([], luck=luck_of(seed)).site).early != site.late
    )  # fmt: skip
    turns = practise([], luck=luck_of(seed)).site.turns_after
    lines = [
        weather_line(morning(*[(700.0, True)] * made, seed=seed), Reader())
        for made in range(turns + 2)
    ]
    assert ["turns" in line for line in lines] == [False] * turns + [True, False]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    "place",
    [
        lambda e: e.bottom - 10, lambda e: e.sound_from - 1, lambda e: e.sound_from + 9,
        lambda e: e.sound_to + 1, lambda e: e.top + 5, lambda _: None,
    ],
    ids=["below", "near-bottom", "sound", "near-top", "above", "open"],
)  # fmt: skip
def test_every_end_has_its_sentences(
    language: Language, place: Callable[[Unveiled], float | None]
) -> None:
    """Whatever was decided: truth, search and lessons are whole sentences without a gap."""
    end = ended(place(ended(None, (700.0, True))), (700.0, True))
    reader = Reader(language)
    lines = [*truth_lines(end, reader), *search_lines(end, reader), *lesson_lines(end, reader)]
    assert len(lines) >= 6
    assert not [line for line in lines if "?" in line or "{" in line]
    assert not [line for line in lines if "100 %" in line]  # never certain


def test_no_window_and_a_low_limit_are_told() -> None:
    """Where nothing is sound it says so; where the machine ends first, that is the end."""
    end = ended(None, (700.0, True))
    none = replace(end, has_window=False, end="rightly_open")
    assert any(line.startswith("No air that this") for line in truth_lines(none, Reader()))
    capped = replace(end, sound_to=end.morning.site.max_air + 50)
    assert any("up to what the machine" in line for line in truth_lines(capped, Reader()))
    between = replace(end, decided=Setting(700.0, 0.0508), end="no_window", has_window=False)
    assert any("No set point was right" in line for line in truth_lines(between, Reader()))


def test_a_search_that_did_not_end_says_best_so_far() -> None:
    """Only what the search would have welded with is called set."""
    end = ended(None)
    assert any(line.startswith("It would have set") for line in search_lines(end, Reader()))
    open_end = replace(end.answer, next=replace(end.answer.next, done=False))
    lines = list(search_lines(replace(end, answer=open_end), Reader()))
    assert any(line.startswith("Its best so far") for line in lines)
    no_window = replace(end.answer, verdict="no_window")
    lines = list(search_lines(replace(end, answer=no_window), Reader()))
    assert not any("sound strips" in line for line in lines)


def test_figures_carry_the_end_once_it_is_there() -> None:
    """Edges in the reader's unit, the search weld by weld."""
    end = ended(700.0, (700.0, True))
    figures = practice_figures(end.morning, Reader("en", "metric"), seed=SEED, end=end)
    told = figures["end"]
    assert told["bottom_c"] == pytest.approx(end.bottom - 273.15, abs=0.06)
    assert told["decided"] == {"air_c": 426.9, "speed_m_min": 3.05}
    assert [weld["number"] for weld in told["search"]] == list(range(1, len(end.search) + 1))


def test_pictures_follow_what_was_seen() -> None:
    """Three strips always; looks only where somebody looked."""
    blind, looked = morning((700.0, False), (700.0, True)).welds
    assert [len(drawn_weld(blind, Reader(), luck=luck_of(1))[name])
            for name in ("strips", "looks")] == [3, 0]  # fmt: skip
    assert len(drawn_weld(looked, Reader(), luck=luck_of(1))["looks"]) == 3
