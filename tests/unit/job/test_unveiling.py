"""The end of a practice morning: truth, outcome, search and lessons."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from lapwright.job.hiddensite import Luck, Setting
from lapwright.job.practice import Morning, Tried, practise
from lapwright.job.unveiling import MOST_LESSONS, SEARCH_WELDS, unveil

SPEED = 0.0508  # 10 ft/min
STEADY = 5  # seed of a morning without a turn, its window wide and its top within reach


def luck_of(seed: int) -> Luck:
    """Luck of a morning."""
    return lambda number: np.random.default_rng([seed, number])


def morning_of(welds: Sequence[tuple[float, bool]], *, seed: int = STEADY) -> Morning:
    """Welds at 10 ft/min: air and whether looked at."""
    tried = [Tried(Setting(air, SPEED), looked) for air, looked in welds]
    return practise(tried, luck=luck_of(seed))


def lessons(morning: Morning, air: float | None = None, *, seed: int = STEADY) -> list[str]:
    """Codes of what a morning teaches."""
    decided = None if air is None else Setting(air, SPEED)
    return [lesson.code for lesson in unveil(morning, decided, luck=luck_of(seed)).lessons]


def edges(*, seed: int = STEADY) -> tuple[float, float, float, float]:
    """Bottom, window and top of a morning at 10 ft/min, as air."""
    end = unveil(morning_of([(700.0, True)], seed=seed), None, luck=luck_of(seed))
    return end.bottom, end.sound_from, end.sound_to, end.top


def test_the_truth_is_the_sites() -> None:
    """At each told edge the heat met is the site's own edge."""
    morning = morning_of([(700.0, True)])
    end = unveil(morning, Setting(700.0, SPEED), luck=luck_of(STEADY))
    site, weather = morning.site, morning.weather
    for air, heat in (
        (end.bottom, site.bottom),
        (end.sound_from, site.sound_from),
        (end.sound_to, site.sound_to),
    ):
        assert site.heat(Setting(air, SPEED), weather) == pytest.approx(heat)


@pytest.mark.parametrize(
    ("end", "edge", "beyond"),
    [
        ("below_bottom", 0, -7), ("near_bottom", 1, -3), ("sound", 1, 5), ("sound", 2, -4),
        ("near_top", 2, 2), ("above_top", 3, 6),
    ],
    ids=["below", "near-bottom", "in-low", "in-high", "near-top", "above"],
)  # fmt: skip
def test_a_set_point_lies_where_it_lies(end: str, edge: int, beyond: float) -> None:
    """Outcome and distance, so many kelvin from an edge known from the site."""
    air = edges()[edge] + beyond
    found = unveil(morning_of([(700.0, True)]), Setting(air, SPEED), luck=luck_of(STEADY))
    assert (found.end, round(found.margin, 6)) == (end, abs(beyond))
    assert (found.end == "sound") == found.morning.site.is_sound(
        Setting(air, SPEED), found.morning.weather
    )


def test_not_known_yet_is_judged_by_what_was_there() -> None:
    """Right where nothing is sound within reach; left open where a window was."""
    assert unveil(morning_of([(700.0, True)]), None, luck=luck_of(STEADY)).end == "left_open"
    seed = next(
        seed for seed in range(60)
        if not practise([], luck=luck_of(seed)).site.has_window(
            SPEED, practise([], luck=luck_of(seed)).weather)
        and practise([], luck=luck_of(seed)).site.sound_from < 850
    )  # fmt: skip
    morning = morning_of([(700.0, True)], seed=seed)
    end = unveil(morning, None, luck=luck_of(seed))
    assert (end.end, end.has_window, end.sound_share) == ("rightly_open", False, None)
    between = (end.bottom + end.top) / 2
    decided = unveil(morning, Setting(between, SPEED), luck=luck_of(seed))
    assert decided.end in ("no_window", "below_bottom")


def test_without_a_weld_nobody_knows() -> None:
    """The first lesson of a morning without a test weld."""
    assert lessons(morning_of([])) == ["nothing_welded"]
    assert unveil(morning_of([]), None, luck=luck_of(STEADY)).at.air == morning_of([]).site.max_air


def test_the_top_needs_its_own_look() -> None:
    """Whoever never looked hears of it first, whatever the pulls said."""
    bottom, _, _, top = edges()
    blind = [(bottom - 40, False), (top + 40, False), ((bottom + top) / 2, False)]
    assert lessons(morning_of(blind), (bottom + top) / 2)[0] == "top_never_looked"


def test_edges_that_were_not_found_are_named() -> None:
    """All clean: neither bottom nor top was found."""
    bottom, _, _, top = edges()
    assert lessons(morning_of([((bottom + top) / 2, True)])) == [
        "bottom_not_found", "top_not_found",
    ]  # fmt: skip


def test_both_edges_and_a_clean_weld_leave_nothing_to_say() -> None:
    """Below, above, and a clean one at the set point."""
    bottom, low, high, top = edges()
    middle = (low + high) / 2
    welds = [(bottom - 60, True), (top + 60, True), (middle, True)]
    assert lessons(morning_of(welds), middle) == ["both_edges"]
    assert lessons(morning_of(welds[:2]), middle) == ["not_confirmed"]
    assert lessons(morning_of([*welds, (middle + 1, False)]), middle) == ["sometimes_looked"]


def test_welds_alike_are_counted() -> None:
    """Three within 20 F at one speed."""
    bottom, low, high, top = edges()
    middle = (low + high) / 2
    welds = [(bottom - 60, True), (top + 60, True), *((middle + by, True) for by in (0, 3, 6))]
    (lesson,) = unveil(morning_of(welds), Setting(middle, SPEED), luck=luck_of(STEADY)).lessons
    assert (lesson.code, lesson.count) == ("welds_alike", 3)


def test_one_thing_at_a_time() -> None:
    """Air and speed changed together between two welds."""
    bottom, _, _, top = edges()
    tried = [Tried(Setting(bottom - 60, SPEED), True), Tried(Setting(top + 80, SPEED * 1.1), True)]
    assert "two_at_once" in lessons(practise(tried, luck=luck_of(STEADY)))


def test_a_turn_of_the_weather_asks_for_a_weld() -> None:
    """Decided right after the turn, without a weld in the new weather."""
    seed = next(
        seed for seed in range(60)
        if (site := practise([], luck=luck_of(seed)).site).early != site.late
    )  # fmt: skip
    turns = practise([], luck=luck_of(seed)).site.turns_after
    welds = [(600.0 + 100 * place, True) for place in range(turns)]
    assert "weather_not_tested" in lessons(morning_of(welds, seed=seed), 700.0, seed=seed)
    more = [*welds, (700.0, True)]
    assert "weather_not_tested" not in lessons(morning_of(more, seed=seed), 700.0, seed=seed)


def test_the_search_meets_the_same_luck() -> None:
    """A trainee who welds what the search welded, and looks, sees the same strips."""
    end = unveil(morning_of([]), None, luck=luck_of(STEADY))
    assert 2 <= len(end.search) <= SEARCH_WELDS
    again = practise([step.seen.tried for step in end.search], luck=luck_of(STEADY))
    assert again.welds == tuple(step.seen for step in end.search)
    assert all(step.seen.tried.looked for step in end.search)


def test_lessons_are_few() -> None:
    """Never more than two, whatever went wrong."""
    assert len(lessons(morning_of([(700.0, False)] * 5), 700.0)) == MOST_LESSONS
