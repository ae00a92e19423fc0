"""The roof with its seams, each foot drawn by what is proved about it; black and white suffices.

States differ in width and dash, and the two that ask for somebody carry a mark; colour comes on
top. The gravest state of a place is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Literal, get_args

import shapely

from lapwright.proof.trace import State
from lapwright.report.dossier.telling import Teller
from lapwright.report.panels import INK
from lapwright.report.paper.blocks import Block, Picture, Section, Words
from lapwright.report.planmap import Canvas
from lapwright.roof.outline import Corner
from lapwright.roof.station import Span, partition

Shown = Literal["open_defect", "suspect", "orphan", "stale", "bare", "unprobed", "sound"]
GRAVEST_FIRST: tuple[Shown, ...] = get_args(Shown)
_AS: dict[State, Shown] = {"set_aside": "stale"}
_SIDE, _TALLEST = 1000.0, 1150.0  # px; width of the drawing, and its greatest height
_LEAST = 0.1  # m; of a roof that is none, so that nothing is divided by zero
_EDGE, _ROW = 34.0, 22.0  # px; round the roof, of a line of the legend
_NAMED, _TOO_MANY = 9.0, 400  # px from row to row at which numbers find room; seams
_LINE = {  # of each state, for a line of width 1: strokes from below to above
    "sound": [("#1d5055", 0.42, "")],
    "unprobed": [(INK, 0.62, ""), ("white", 0.34, "")],
    "bare": [(INK, 0.2, "1 3")],
    "stale": [("#b8690a", 0.8, "9 4")],
    "orphan": [("#9b2226", 1.0, "2.5 3")],
    "suspect": [("#c9c3d6", 1.5, ""), (INK, 0.2, "")],
    "open_defect": [(INK, 1.2, "")],
}
_MARK = {"suspect": "?", "open_defect": "x"}


def seam_map(teller: Teller) -> Section:
    """The map, or one line that says why there is none."""
    title = teller.say("map")
    plans = _plans(teller)
    shown = _states(teller)
    if not plans:
        return Section(title, (Words(teller.say("no_map")),))
    levels: dict[str, list[Mapping[str, Any]]] = {}
    for plan in plans:
        levels.setdefault(str(plan["level"] or ""), []).append(plan)
    blocks: list[Block] = [Words(teller.say("map_how"), tone="small")]
    scale = min(map(_scale, levels.values()))  # one for all, so that levels can be compared
    blocks += [_picture(teller, level, within, shown, scale) for level, within in levels.items()]
    return Section(title, tuple(blocks), new_page=True)


def _plans(teller: Teller) -> list[Mapping[str, Any]]:
    """The newest plan of each area, as far as it can be drawn."""
    newest = {plan["area"]: plan for plan in teller.record.all("plan")}
    bodies = [
        {
            "area": plan["area"],
            "level": plan["level"],
            "outline": _corners(plan["outline"]),
            "openings": [_corners(each.get("corners")) for each in _dicts(plan["openings"])],
            "seams": [each for each in map(_seam, _dicts(plan["seams"])) if each is not None],
        }
        for plan in newest.values()
    ]
    return [body for body in bodies if len(body["outline"]) > 2]


def _dicts(listed: Any) -> list[Mapping[str, Any]]:
    return (
        [each for each in listed if isinstance(each, Mapping)] if isinstance(listed, list) else []
    )


def _pair(value: Any) -> tuple[float, float] | None:
    if not isinstance(value, list) or len(value) != 2:
        return None
    if any(isinstance(part, bool) or not isinstance(part, int | float) for part in value):
        return None
    return float(value[0]), float(value[1])


def _corners(listed: Any) -> list[Corner]:
    pairs = map(_pair, listed if isinstance(listed, list) else [])
    return [pair for pair in pairs if pair is not None]


def _seam(plan: Mapping[str, Any]) -> tuple[str, Corner, Corner] | None:
    """Number, station 0 and heading of a seam that lies somewhere."""
    origin, heading = _pair(plan.get("origin")), _pair(plan.get("heading"))
    if origin is None or heading is None:
        return None
    return str(plan.get("id")), origin, heading


def _states(teller: Teller) -> dict[str, list[tuple[Span, Shown]]]:
    """By seam, what each part of it is, neighbours of one state together."""
    closeout = teller.closeout
    doubtful = closeout.doubtful
    found: dict[str, list[tuple[Span, Shown]]] = {}
    for each in closeout.trace:
        shown = _gravest([_AS.get(state, state) for state in each.states])
        for span, state in _parts(each.span, shown, doubtful.get(each.seam, ())):
            parts = found.setdefault(each.seam, [])
            if parts and parts[-1][1] == state and parts[-1][0].end == span.start:
                parts[-1] = Span(parts[-1][0].start, span.end), state
            else:
                parts.append((span, state))
    return found


def _parts(span: Span, shown: Shown, doubtful: Sequence[Span]) -> Iterator[tuple[Span, Shown]]:
    over = [(each, "suspect") for each in doubtful if each.meets(span)]
    for part, doubts in partition(over, within=[span]):
        yield part, _gravest([shown, *(["suspect"] if doubts else [])])


def _gravest(states: Sequence[str]) -> Shown:
    return next((each for each in GRAVEST_FIRST if each in states), "sound")


def _box(plans: Sequence[Mapping[str, Any]]) -> tuple[float, float, float, float]:
    """Left, low, right and high of some areas. [m]"""
    corners = [corner for plan in plans for corner in plan["outline"]]
    (left, low), (right, high) = (tuple(map(end, zip(*corners, strict=True))) for end in (min, max))
    return left, low, right, high


def _scale(plans: Sequence[Mapping[str, Any]]) -> float:
    """Pixels in a metre at which the areas of a level fill the drawing."""
    left, low, right, high = _box(plans)
    wide, tall = max(right - left, _LEAST), max(high - low, _LEAST)
    return min((_SIDE - 2 * _EDGE) / wide, _TALLEST / tall)


def _picture(
    teller: Teller,
    level: str,
    plans: Sequence[Mapping[str, Any]],
    shown: Mapping[str, Sequence[tuple[Span, Shown]]],
    scale: float,
) -> Picture:
    left, low, _, high = _box(plans)
    tall = max(high - low, _LEAST)
    there = [
        state
        for state in GRAVEST_FIRST
        if any(state == one for plan in plans for name, *_ in plan["seams"]
               for _, one in shown.get(name, ()))
    ]  # fmt: skip
    height = scale * tall + 2 * _EDGE + _ROW * (len(there) + 1)
    canvas = Canvas(teller.reader, scale, _SIDE, height)
    canvas.left = _EDGE - scale * left
    canvas.top = _EDGE + scale * high
    seams = [seam for plan in plans for seam in plan["seams"]]
    width = min(max(0.45 * _pitch(seams) * scale, 2.4), 8.0)
    for plan in plans:
        _area(canvas, plan)
    for state in reversed(GRAVEST_FIRST):
        _draw(canvas, state, list(_lines(seams, shown, state)), width)
    room = _pitch(seams) * scale
    if room >= _NAMED and len(seams) <= _TOO_MANY:
        _names(canvas, seams, shown, size=min(max(8.5, 0.8 * room), 12.0))
    says = {state: _says(teller, state) for state in there}
    _legend(canvas, says, width, top=scale * tall + 2 * _EDGE)
    alt = teller.say("map_alt", states="; ".join(says.values()))
    caption = f"{teller.reader.say('field', 'level')}: {level}" if level else ""
    return Picture(canvas.svg(alt), alt=alt, caption=caption)


def _says(teller: Teller, state: Shown) -> str:
    """What a state is called, with its length; a foot counts under the gravest only here."""
    if state == "suspect":
        return teller.say("open_suspect")
    says = teller.reader.say("state", state)
    return says if state != "stale" else f"{says}; {teller.reader.say('state', 'set_aside')}"


def _pitch(seams: Sequence[tuple[str, Corner, Corner]]) -> float:
    """Least distance between two seams of one heading. [m]"""
    along: dict[tuple[float, float], list[float]] = {}
    for _, (x, y), (dx, dy) in seams:
        along.setdefault((round(dx, 3), round(dy, 3)), []).append(-x * dy + y * dx)
    gaps = [
        after - before
        for places in along.values()
        for before, after in zip(sorted(places), sorted(places)[1:], strict=False)
        if after - before > 0.2
    ]
    return min(gaps, default=3.0)


def _lines(
    seams: Iterable[tuple[str, Corner, Corner]],
    shown: Mapping[str, Sequence[tuple[Span, Shown]]],
    state: Shown,
) -> Iterator[tuple[Corner, Corner]]:
    for name, (x, y), (dx, dy) in seams:
        for span, one in shown.get(name, ()):
            if one == state:
                ends = span.start, span.end
                yield tuple((x + dx * at, y + dy * at) for at in ends)  # type: ignore[misc]


def _area(canvas: Canvas, plan: Mapping[str, Any]) -> None:
    canvas.path(shapely.Polygon(plan["outline"]), f'fill="white" stroke="{INK}" stroke-width="2"')
    for corners in plan["openings"]:
        if len(corners) > 2:
            solid = f'fill="#d9d9d9" stroke="{INK}" stroke-width="0.8"'
            canvas.path(shapely.Polygon(corners), solid)
    x, y = canvas.at(plan["outline"][0])
    canvas.words((x - 14, y + 12), str(plan["area"]), size=18, bold=True)


def _draw(
    canvas: Canvas, state: Shown, lines: Sequence[tuple[Corner, Corner]], width: float
) -> None:
    for colour, share, dash in _LINE[state]:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        style = f'stroke="{colour}" stroke-width="{share * width:.1f}"{dashed}'
        canvas.lines(lines, style)
    mark = _MARK.get(state)
    for start, end in lines if mark else ():
        _mark(canvas, canvas.at(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)), mark or "")


def _mark(canvas: Canvas, pixel: Corner, sign: str) -> None:
    x, y = pixel
    canvas.parts.append(
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="white" stroke="{INK}" stroke-width="1.4"/>'
    )
    canvas.words(pixel, sign, size=11, bold=True)


def _names(
    canvas: Canvas,
    seams: Sequence[tuple[str, Corner, Corner]],
    shown: Mapping[str, Sequence[tuple[Span, Shown]]],
    *,
    size: float,
) -> None:
    """Each number just inside the start of its seam, beside the line."""
    for name, (x, y), (dx, dy) in seams:
        spans = [span for span, _ in shown.get(name, ())]
        if not spans:
            continue
        start, end = spans[0].start, spans[-1].end
        if (end - start) * canvas.scale < 5.4 * size:
            continue
        turn = -math.degrees(math.atan2(dy, dx))
        upright = math.remainder(turn, 180.0)
        at = start + 2.8 * size / canvas.scale
        px, py = canvas.at((x + dx * at, y + dy * at))
        off = 2.5 + 0.55 * size
        place = (
            px - off * math.sin(math.radians(-upright)),
            py - off * math.cos(math.radians(upright)),
        )
        canvas.words(place, name.partition("-")[2] or name, size=size, turn=upright)


def _legend(canvas: Canvas, says: Mapping[Shown, str], width: float, *, top: float) -> None:
    y = top
    for state, text in says.items():
        x = _EDGE
        for colour, share, dash in _LINE[state]:
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            canvas.parts.append(
                f'<path d="M{x:.1f} {y:.1f}h46" stroke="{colour}"'
                f' stroke-width="{share * width:.1f}"{dashed}/>'
            )
        if state in _MARK:
            _mark(canvas, (x + 23, y), _MARK[state])
        canvas.words((x + 58, y), text, size=13, anchor="start")
        y += _ROW
