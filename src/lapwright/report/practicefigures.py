"""A practice morning as figures with drawn strips: what the page and ``--json`` read."""

from __future__ import annotations

from lapwright.job.hiddensite import Luck, Setting
from lapwright.job.practice import MOST_WELDS, Morning, Seen
from lapwright.job.unveiling import Unveiled
from lapwright.report.drawnframe import Drawn
from lapwright.report.drawnlook import drawn_look
from lapwright.report.drawnstrip import drawn_strip
from lapwright.report.figures import Figures, Reader
from lapwright.report.practicetext import (
    intro_lines,
    lesson_lines,
    search_lines,
    truth_lines,
    weather_line,
    weld_line,
)


def practice_figures(
    morning: Morning, reader: Reader, *, seed: int, end: Unveiled | None = None
) -> Figures:
    """What the trainee may know; the truth only with ``end``.

    Parameters
    ----------
    morning : Morning
        So far.
    reader : Reader
        Language and units.
    seed : int
        Names the morning, so that it can be done again.
    end : Unveiled, optional
        Once the trainee has decided.
    """
    unit = reader.temperature
    weather = morning.weather
    return {
        "practice": True,
        "seed": seed,
        "says": list(intro_lines(morning, reader)),
        "membrane": morning.site.membrane,
        f"max_air_{unit}": reader.air(morning.site.max_air),
        f"start_speed_{reader.speed}": reader.travel(morning.start_speed),
        "weather": {
            f"ambient_{unit}": reader.air(weather.ambient),
            f"sheet_{unit}": reader.air(weather.sheet),
            "sun": weather.sun,
            "wind": weather.wind,
            "has_turned": morning.turned_at is not None,
            "says": weather_line(morning, reader),
        },
        "welds": [_weld(seen, reader) for seen in morning.welds],
        "welds_left": MOST_WELDS - len(morning.welds),
        "end": None if end is None else _end(end, reader),
    }


def drawn_weld(seen: Seen, reader: Reader, *, luck: Luck) -> Figures:
    """Pictures of one weld: its strips, and its looks where somebody looked."""
    rng = luck(seen.number)
    strips = [drawn_strip(strip.pull, rng=rng, reader=reader) for strip in seen.strips]
    looks = [
        drawn_look(seen.sign if strip.overheat == "signs" else "clear", rng=rng, reader=reader)
        for strip in seen.strips
        if strip.overheat is not None
    ]
    return {"strips": list(map(drawn_figures, strips)), "looks": list(map(drawn_figures, looks))}


def drawn_figures(drawn: Drawn) -> Figures:
    """A picture and its words."""
    return {"svg": drawn.svg, "says": drawn.says, "hand": drawn.hand}


def _setting(setting: Setting, reader: Reader) -> Figures:
    return {
        f"air_{reader.temperature}": reader.air(setting.air),
        f"speed_{reader.speed}": reader.travel(setting.speed),
    }


def _weld(seen: Seen, reader: Reader) -> Figures:
    return {
        "number": seen.number,
        **_setting(seen.tried.setting, reader),
        "looked": seen.tried.looked,
        "pulls": [strip.pull for strip in seen.strips],
        "signs": [strip.overheat for strip in seen.strips],
        "says": weld_line(seen, reader),
    }


def _end(end: Unveiled, reader: Reader) -> Figures:
    unit = reader.temperature
    edges = ("bottom", "top", "sound_from", "sound_to")
    return {
        "decided": None if end.decided is None else _setting(end.decided, reader),
        **{f"{name}_{unit}": reader.air(getattr(end, name)) for name in edges},
        "has_window": end.has_window,
        "outcome": end.end,
        f"margin_{unit}": reader.difference(end.margin),
        "sound_share": None if end.sound_share is None else round(end.sound_share, 3),
        "search": [_weld(step.seen, reader) for step in end.search],
        "truth": list(truth_lines(end, reader)),
        "sound_search": list(search_lines(end, reader)),
        "lessons": list(lesson_lines(end, reader)),
    }
