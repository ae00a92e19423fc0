"""A practice morning in sentences: what the trainee may know, and at the end what was there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lapwright.job.practice import MOST_WELDS, Morning, Seen
from lapwright.job.unveiling import Unveiled
from lapwright.report.figures import Reader
from lapwright.window.answer import NO_SETTING


def intro_lines(morning: Morning, reader: Reader) -> Iterator[str]:
    """That this is practice; sheet, machine and where one may start."""
    yield reader.say("exercise", "mark")
    yield reader.say(
        "exercise",
        "site",
        {
            "membrane": morning.site.membrane.upper(),
            "max_air": morning.site.max_air,
            "speed": morning.start_speed,
            "most": MOST_WELDS,
        },
    )


def weather_line(morning: Morning, reader: Reader) -> str:
    """Weather now, and whether it has just turned."""
    weather = morning.weather
    data = {
        "ambient": weather.ambient,
        "sheet": weather.sheet,
        "sun": reader.say("exercise", weather.sun),
        "wind": reader.say("exercise", weather.wind),
    }
    code = "turned" if morning.turned_at == len(morning.welds) else "weather"
    return reader.say("exercise", code, data)


def weld_line(seen: Seen, reader: Reader) -> str:
    """One weld: setting, grades, and what was seen while it was hot."""
    setting = seen.tried.setting
    grades = ", ".join(reader.say("grade", strip.pull) for strip in seen.strips)
    data = {"number": str(seen.number), "air": setting.air, "speed": setting.speed,
            "grades": grades, "look": look_text(seen, reader)}  # fmt: skip
    return reader.say("exercise", "weld", data)


def look_text(seen: Seen, reader: Reader) -> str:
    """What the look found at how many places; that nobody looked is no "none"."""
    if not seen.tried.looked:
        return reader.say("exercise", "nobody_looked")
    signs = sum(strip.overheat == "signs" for strip in seen.strips)
    if not signs:
        return reader.say("exercise", "no_sign")
    data = {"sign": reader.say("grade", seen.sign), "signs": signs, "places": len(seen.strips)}
    return reader.say("exercise", "signs", data)


def truth_lines(end: Unveiled, reader: Reader) -> Iterator[str]:
    """What was there, and how the decision stands to it."""
    told: dict[str, Any] = {
        name: reader.write("air", getattr(end, name))
        for name in ("bottom", "top", "sound_from", "sound_to")
    }
    yield reader.say("exercise", "edges", {**told, "speed": end.at.speed})
    if end.has_window:
        beyond = end.sound_to > end.morning.site.max_air
        told["sound_to"] = reader.write("air", min(end.sound_to, end.morning.site.max_air))
        yield reader.say("exercise", "window_to_limit" if beyond else "window", told)
    else:
        yield reader.say("exercise", "no_sound_air")
    decided = end.decided
    if decided is not None:
        data = {"air": decided.air, "speed": decided.speed}
        yield reader.say("exercise", "decided", data)
    yield reader.say("exercise", end.end, {"margin": end.margin})
    if end.sound_share is not None:
        yield reader.say("exercise", "strips", {"p_sound": end.sound_share})


def search_lines(end: Unveiled, reader: Reader) -> Iterator[str]:
    """What a sound search would have done, weld by weld."""
    count = {"own": len(end.morning.welds), "search": len(end.search)}
    yield reader.say("exercise", "search", count)
    for step in end.search:
        reason = reader.say("reason", step.reason)
        yield f"{weld_line(step.seen, reader)} ({reason})"
    point = end.answer.set_point
    if point is not None and end.search_share is not None and end.answer.verdict not in NO_SETTING:
        yield reader.say(
            "exercise",
            "search_set" if end.answer.next.done else "search_best",
            {"air": point.air, "speed": point.speed, "p_sound": end.search_share},
        )
    yield reader.say("verdict", end.answer.verdict)


def lesson_lines(end: Unveiled, reader: Reader) -> Iterator[str]:
    """One or two sentences about this morning."""
    for lesson in end.lessons:
        yield reader.say("lesson", lesson.code, {"count": lesson.count})
