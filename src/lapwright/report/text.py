"""An answer for the terminal: few lines, and the window as a tape of characters."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.text import Text

from lapwright.cautions import Caution
from lapwright.physics.lap import Lap
from lapwright.physics.startspeed import common_rule_excess, common_speed_rule
from lapwright.report.figures import Reader
from lapwright.window.answer import NO_SETTING, Answer
from lapwright.window.edges import Conditions, Edge
from lapwright.window.picture import Picture, Reading
from lapwright.window.setpoint import SetPoint
from lapwright.words import number, share

TAPE_CELLS = 60
_FILL = " ·░▒▓█"  # P(sound) from nothing to full
_SHOWN_CAUTIONS = 3
_MARKS: dict[Reading, str] = {"cold": "□", "partial": "◧", "full": "■", "hot": "▲", "unread": "?"}
_TONES = {
    "certified": "bold green",
    "confirm": "bold yellow",
    "not_known_yet": "bold yellow",
    "no_test_weld": "bold yellow",
}
_WARNING = "bold red"
_HEALING = 393.15  # K; 120 C, where a filled polyolefin sheet begins to melt; from memory
_RULE_RUNS_HOT_BELOW = 288.7  # K; 60 F, from there down the common speed rule runs hot


def edge_text(edge: Edge, reader: Reader) -> str:
    """One edge in words: value with interval, or which end is open, or not known.

    Examples
    --------
    >>> edge_text(Edge(None, 640.0, 660.0), Reader())
    'below 728 °F'
    >>> edge_text(Edge(None, None, None), Reader(language="es"))
    'no se sabe'
    """
    if edge.mid is None:
        return reader.say("label", "unknown")
    if edge.low is None or edge.high is None:
        open_above = edge.high is None
        end = edge.low if open_above else edge.high
        assert end is not None
        code = "above_value" if open_above else "below_value"
        return reader.say("label", code, {"value": reader.write("air", end)})
    low, high = reader.write("air", edge.low), reader.write("air", edge.high)
    span = reader.say("label", "from_to", {"low": low, "high": high})
    return f"{reader.write('air', edge.mid)} ({span})"


def setting_text(air: float, speed: float, reader: Reader) -> str:
    """A setting as it is dialled: air temperature and speed."""
    return f"{reader.write('air', air)}, {reader.write('speed', speed)}"


def tape(picture: Picture, point: SetPoint | None, reader: Reader) -> list[str]:
    """The window as a tape of characters over air temperature.

    Parameters
    ----------
    picture : Picture
        With one point per character.
    point : SetPoint or None
        Marked below the tape.
    reader : Reader
        Units of the scale.

    Returns
    -------
    list of str
        Test welds by sign, P(sound) by shade, set point, scale, meaning of the signs.
    """
    first, last = float(picture.air[0]), float(picture.air[-1])
    cells = len(picture.air)

    def cell(air: float) -> int:
        return min(max(round((air - first) / (last - first) * (cells - 1)), 0), cells - 1)

    marks = [" "] * cells
    for mark in picture.marks:
        marks[cell(mark.air)] = _MARKS[mark.reading]
    shades = [_FILL[min(int(p * len(_FILL)), len(_FILL) - 1)] for p in picture.p_sound]
    left, right = reader.write("air", first), reader.write("air", last)
    scale = left + right.rjust(cells - len(left))
    below = [] if point is None else [" " * cell(point.air) + "↑"]
    seen = [reading for reading in _MARKS if any(m.reading == reading for m in picture.marks)]
    signs = [f"{_MARKS[reading]} {reader.say('reading', reading)}" for reading in seen]
    if point is not None:
        signs.append(f"↑ {reader.say('label', 'set_point')}")
    return ["".join(marks), "".join(shades), *below, scale, "  ".join(signs)]


def margins_text(point: SetPoint, reader: Reader) -> str:
    """Margins to both edges in air temperature and, where a speed reaches them, in speed."""
    sides = []
    for code, margin, change in (
        ("to_bottom", point.margin_bottom, point.faster),
        ("to_top", point.margin_top, point.slower),
    ):
        data = {"margin": float(margin)}
        if change is not None:
            data["speed"] = float(change)
        sides.append(reader.say("label", code if change is not None else f"{code}_air", data))
    return f"{sides[0]}; {sides[1]}"


def window_text(answer: Answer, picture: Picture, reader: Reader) -> Text:
    """The whole answer for the terminal.

    Parameters
    ----------
    answer : Answer
        What the strips say.
    picture : Picture
        For the tape; :data:`TAPE_CELLS` points.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
        Verdict first, then tape, edges, set point, margins, next weld and cautions.
    """
    text = Text()
    text.append(reader.say("verdict", answer.verdict) + "\n", _TONES.get(answer.verdict, _WARNING))
    text.append(reader.say("do", answer.verdict) + "\n\n")
    point = None if answer.verdict in NO_SETTING else answer.set_point
    for row in tape(picture, point, reader):
        text.append(f"  {row}\n")
    text.append("\n")
    rows = [
        ("bottom", edge_text(answer.bottom, reader)),
        ("top", edge_text(answer.top, reader)),
        *([] if point is None else _set_point_rows(answer, point, reader)),
        ("next", next_text(answer, reader)),
    ]
    named = [(reader.say("label", name), body) for name, body in rows]
    width = max(len(name) for name, _ in named)
    for name, body in named:
        text.append(f"{name.ljust(width)}  ", style="bold")
        text.append(f"{body}\n")
    if answer.verdict == "no_test_weld":
        text.append(start_rule_text(answer.conditions.ambient, reader) + "\n", style="dim")
    text.append(caution_text(answer.cautions[:_SHOWN_CAUTIONS], reader))
    return text


def _set_point_rows(answer: Answer, point: SetPoint, reader: Reader) -> list[tuple[str, str]]:
    """Label and text of all that is said about a set point."""
    now, ahead = (share(p, reader.language) for p in (point.p_sound, point.p_sound_drift))
    words = {name: reader.say("label", name) for name in ("sound", "now", "half_day")}
    chance = f"{words['sound']} {now} {words['now']}, {ahead} {words['half_day']}"
    if answer.verdict == "top_unknown":
        chance = f"{reader.say('label', 'top_not_checked')}; {chance}"
    is_found = answer.verdict in ("certified", "confirm")
    others = [
        f"{reader.say('policy', policy)} {reader.write('air', other.air)}"
        for policy, other in answer.policies.items()
        if other is not None and policy != answer.question.policy
    ]
    worst = answer.sensitivities[0]
    change = f"{reader.say('change', worst.change)}: {share(worst.p_sound, reader.language)}"
    fast = answer.fastest
    return [
        (
            "set_point" if is_found else "best_so_far",
            f"{setting_text(point.air, point.speed, reader)}   {chance}",
        ),
        *_counted_row(answer, reader),
        ("margins", margins_text(point, reader)),
        ("policies", "; ".join(others)),
        *([] if fast is None else [("fastest", setting_text(fast.air, fast.speed, reader))]),
        ("changes", change),
    ]


def _counted_row(answer: Answer, reader: Reader) -> list[tuple[str, str]]:
    """What the strips near the set point prove without the model, if there are any."""
    seen = answer.counted
    if seen is None or not seen.strips:
        return []
    data = {"clean": seen.strips - seen.bad, "strips": seen.strips, "p": seen.bad_share_limit}
    return [("counted", reader.say("label", "counted_near", data))]


def caution_text(cautions: Iterable[Caution], reader: Reader) -> Text:
    """Cautions, one line each."""
    text = Text()
    for caution in cautions:
        text.append("! ", style="bold yellow")
        text.append(reader.say("caution", caution.code, caution.data) + "\n")
    return text


def aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines of a table whose columns stand under each other, two signs apart.

    Examples
    --------
    >>> aligned([("seam", "ft"), ("A-S001", "40")])
    ['seam    ft', 'A-S001  40']
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def next_text(answer: Answer, reader: Reader) -> str:
    """The next test weld and why, or why none is needed."""
    reason = reader.say("reason", answer.next.reason)
    if answer.next.done:
        return reason
    return f"{setting_text(answer.next.air, answer.next.speed, reader)}: {reason}"


def start_rule_text(ambient: float, reader: Reader) -> str:
    """The trade's speed rule as a start only and, in cold, how hot it runs."""
    data = {"speed": common_speed_rule(ambient)}
    if ambient > _RULE_RUNS_HOT_BELOW:
        return reader.say("label", "start_rule", data)
    return reader.say("label", "start_rule_cold", data | {"margin": common_rule_excess(ambient)})


def ladder_text(rungs: Iterable[float], conditions: Conditions, reader: Reader) -> str:
    """The rungs of a test-weld ladder, one line each, and the common speed rule.

    Parameters
    ----------
    rungs : iterable of float
        Air temperatures, ascending. [K]
    conditions : Conditions
        Speed to weld at, ambient for the rule.
    reader : Reader
        Language and units.

    Returns
    -------
    str
    """
    lines = [
        f"{number:3d}   {setting_text(air, conditions.speed, reader)}"
        for number, air in enumerate(rungs, start=1)
    ]
    doing = reader.say("do", "no_test_weld")
    return "\n".join([*lines, doing, start_rule_text(conditions.ambient, reader)])


def lap_text(lap: Lap, reader: Reader) -> str:
    """What a setting does in the lap: face at contact, and how long it stays hot.

    Parameters
    ----------
    lap : Lap
        One spot of the lap.
    reader : Reader
        Language and units.

    Returns
    -------
    str
    """
    return reader.say(
        "label",
        "lap",
        {
            "air": lap.air,
            "speed": lap.speed,
            "sheet": lap.sheet,
            "interface": lap.contact_temperature,
            "hot": reader.write("reached", _HEALING),
            "seconds": number(lap.time_above(_HEALING), 1, reader.language),
        },
    )
