"""The end of a practice morning: what was there, what a sound search would have done, lessons.

There is no score. The search is lapwright's own next weld, on the same site and with the same
luck; the lessons are one or two sentences about what was done or left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from lapwright.job.hiddensite import HiddenSite, Luck, Setting, Weather
from lapwright.job.morning import find_window
from lapwright.job.practice import Morning, Seen, Tried, as_test_weld, weld_seen
from lapwright.window.answer import MIN_AIR, Answer, Question
from lapwright.window.nextweld import SPEED_STEP, STRIPS

SEARCH_WELDS = 8  # of the sound search; our choice, as the benchmark's
MOST_LESSONS = 2  # more are not kept in mind; our choice
ALIKE_AIR = 20 / 1.8  # K; welds so near each other teach hardly more than one; our choice
ALIKE_SPEED = 1.05  # -; ratio, likewise
CLOSE = 10 / 1.8  # K; 10 F, the step of a dial

End = Literal[
    "sound", "below_bottom", "near_bottom", "above_top", "near_top", "no_window",
    "rightly_open", "left_open",
]  # fmt: skip


@dataclass(frozen=True)
class Lesson:
    """One thing this morning teaches.

    Parameters
    ----------
    code : str
        Key of the sentence.
    count : int
        Welds that the sentence names, if any.
    """

    code: str
    count: int = 0


@dataclass(frozen=True)
class Step:
    """One weld of the sound search.

    Parameters
    ----------
    seen : Seen
        The weld.
    reason : str
        Why this setting.
    """

    seen: Seen
    reason: str


@dataclass(frozen=True)
class Unveiled:
    """The end of a practice morning.

    Parameters
    ----------
    morning : Morning
        All of it.
    decided : Setting or None
        What the trainee would weld with; None is "not known yet".
    at : Setting
        Setting at whose speed the edges are told.
    bottom, top, sound_from, sound_to : float
        Edges, and the window within them, as air at that speed and the weather now. [K]
    has_window : bool
        Whether the machine reaches some sound air at that speed.
    end : str
        How it came out; one of :data:`End`.
    margin : float
        How far the set point lies beyond the edge that ``end`` names, outside the window, or
        inside from its nearer end; 0 without a set point. [K of air]
    sound_share : float or None
        Share of strips sound at the set point. [-]
    search : tuple of Step
        What a sound search would have welded.
    answer : Answer
        What it would have said at its end.
    search_share : float or None
        Share of strips sound at its set point. [-]
    lessons : tuple of Lesson
        At most two, the weightiest first.
    """

    morning: Morning
    decided: Setting | None
    at: Setting
    bottom: float
    top: float
    sound_from: float
    sound_to: float
    has_window: bool
    end: End
    margin: float
    sound_share: float | None
    search: tuple[Step, ...]
    answer: Answer
    search_share: float | None
    lessons: tuple[Lesson, ...]


def unveil(morning: Morning, decided: Setting | None, *, luck: Luck) -> Unveiled:
    """The truth, a sound search beside it, and what this morning teaches.

    Parameters
    ----------
    morning : Morning
        From :func:`practise`.
    decided : Setting or None
        The set point; None is "not known yet".
    luck : callable
        The same as the morning's.
    """
    site, weather = morning.site, morning.weather
    last = morning.welds[-1].tried.setting if morning.welds else None
    at = decided or last or Setting(site.max_air, morning.start_speed)

    def air(heat: float) -> float:
        return site.air_for(heat, speed=at.speed, weather=weather)

    has_window = site.has_window(at.speed, weather)
    end, margin = _end(site, decided, weather, has_window=has_window)
    search, answer = _sound_search(site, morning.start_speed, luck)
    point = answer.set_point
    found = None if point is None else Setting(point.air, point.speed)
    then = site.weather(len(search))
    return Unveiled(
        morning=morning,
        decided=decided,
        at=at,
        bottom=air(site.bottom),
        top=air(site.top),
        sound_from=air(site.sound_from),
        sound_to=air(site.sound_to),
        has_window=has_window,
        end=end,
        margin=margin,
        sound_share=None if decided is None else site.sound_share(decided, weather),
        search=search,
        answer=answer,
        search_share=None if found is None else site.sound_share(found, then),
        lessons=_lessons(morning, decided)[:MOST_LESSONS],
    )


def _end(
    site: HiddenSite, decided: Setting | None, weather: Weather, *, has_window: bool
) -> tuple[End, float]:
    """How the decision stands to the truth, and by how much."""
    if decided is None:
        return ("left_open" if has_window else "rightly_open"), 0.0
    set_to = min(decided.air, site.max_air)

    def air(heat: float) -> float:
        return site.air_for(heat, speed=decided.speed, weather=weather)

    if set_to < air(site.bottom):
        return "below_bottom", air(site.bottom) - set_to
    if set_to > air(site.top):
        return "above_top", set_to - air(site.top)
    if not has_window:
        return "no_window", 0.0
    if set_to < air(site.sound_from):
        return "near_bottom", air(site.sound_from) - set_to
    if set_to > air(site.sound_to):
        return "near_top", set_to - air(site.sound_to)
    return "sound", min(set_to - air(site.sound_from), air(site.sound_to) - set_to)


def _sound_search(site: HiddenSite, speed: float, luck: Luck) -> tuple[tuple[Step, ...], Answer]:
    """lapwright's own next welds on the same site, always looked at."""
    steps: list[Step] = []
    while True:
        weather = site.weather(len(steps))
        answer = find_window(
            Question(
                welds=tuple(as_test_weld(step.seen) for step in steps),
                membrane=site.membrane,
                speed=speed,
                sheet=weather.sheet,
                ambient=weather.ambient,
                min_air=MIN_AIR,
                max_air=site.max_air,
                strips=STRIPS,
            )
        )
        if answer.next.done or len(steps) == SEARCH_WELDS:
            return tuple(steps), answer
        tried = Tried(Setting(answer.next.air, answer.next.speed), looked=True)
        seen = weld_seen(site, len(steps) + 1, tried, luck)
        steps.append(Step(seen, answer.next.reason))


def _lessons(morning: Morning, decided: Setting | None) -> tuple[Lesson, ...]:
    """What this morning teaches, the weightiest first."""
    welds = morning.welds
    if not welds:
        return (Lesson("nothing_welded"),)
    looked = [weld for weld in welds if weld.tried.looked]
    signs = any(strip.overheat == "signs" for weld in looked for strip in weld.strips)
    short = any(strip.pull != "full" for weld in welds for strip in weld.strips)
    turned = morning.turned_at
    alike = _most_alike(welds)
    found = [
        (not looked, Lesson("top_never_looked")),
        (turned is not None and decided is not None and len(welds) == turned,
         Lesson("weather_not_tested")),
        (not short, Lesson("bottom_not_found")),
        (bool(looked) and not signs, Lesson("top_not_found")),
        (alike >= 3, Lesson("welds_alike", alike)),
        (_moved_both(welds), Lesson("two_at_once")),
        (decided is not None and not _is_confirmed(welds, decided), Lesson("not_confirmed")),
        (0 < len(looked) < len(welds), Lesson("sometimes_looked", len(welds) - len(looked))),
    ]  # fmt: skip
    return tuple(lesson for is_so, lesson in found if is_so) or (Lesson("both_edges"),)


def _are_alike(one: Setting, other: Setting) -> bool:
    ratio = max(one.speed, other.speed) / min(one.speed, other.speed)
    return abs(one.air - other.air) <= ALIKE_AIR and ratio <= ALIKE_SPEED


def _most_alike(welds: Sequence[Seen]) -> int:
    settings = [weld.tried.setting for weld in welds]
    return max(sum(_are_alike(one, other) for other in settings) for one in settings)


def _moved_both(welds: Sequence[Seen]) -> bool:
    settings = [weld.tried.setting for weld in welds]
    return any(
        abs(one.air - other.air) > CLOSE and abs(one.speed - other.speed) > SPEED_STEP * 0.9
        for one, other in pairwise(settings)
    )


def _is_confirmed(welds: Sequence[Seen], decided: Setting) -> bool:
    return any(
        _are_alike(weld.tried.setting, decided) and as_test_weld(weld).is_clean for weld in welds
    )
