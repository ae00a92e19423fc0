"""What a person states about rolls, laps, zones and the crew -> layouts in SI.

A lap is never guessed in silence: it is said, or stands in the job's rules, or comes from the
way the sheet is held, and then is shown as assumed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from lapwright.errors import LapwrightError
from lapwright.job.plan import STRIPS, TESTS_A_DAY, Crew
from lapwright.job.rules import RuleBook
from lapwright.readings.start import stated_in_si
from lapwright.roof.layout import CLEAR, STAGGER, Layout
from lapwright.roof.optimise import Weights
from lapwright.roof.outline import Outline
from lapwright.roof.quantities import Rate
from lapwright.units import to_si

# Usual laps of the trade, from memory: 5-6 in under which fasteners sit, 3-4 in without.
ATTACHMENTS = {"fastened": to_si(6.0, "in"), "adhered": to_si(4.0, "in")}  # m
WEIGHTS = ("seam", "t-joint", "waste", "cut", "near")

_WIDTH, _ROLL = to_si(10.0, "ft"), to_si(100.0, "ft")  # m; common roll, practice
_SQUARE = to_si(10.0, "ft") ** 2  # m2; 100 sq ft
_N = r"(\d{1,6}(?:\.\d{1,4})?)"
_RATE = re.compile(rf"{_N}(?: ?(?:-|to|a) ?{_N})? ?(ft|m)/(h|min)", re.IGNORECASE)
_WEIGHT = re.compile(rf"({'|'.join(WEIGHTS)}) {_N}(?: ?(ft|m))?", re.IGNORECASE)
_NEEDS_LENGTH = ("t-joint", "waste", "cut")
_AREA = re.compile(
    rf"(?P<name>run|flow|half-rows|lap|end-lap|width|half-width|zone|stagger|first-cut)"
    rf" (?P<value>-?{_N})(?: ?(?P<unit>ft|in|mm|m))?",
    re.IGNORECASE,
)
_FIELDS = {
    "run": "run", "flow": "flow", "half-rows": "half_rows", "lap": "lap", "end-lap": "end_lap",
    "width": "width", "half-width": "half", "zone": "zone", "stagger": "stagger",
    "first-cut": "shift",
}  # fmt: skip
_EXAMPLES = {
    "rate": ("250-330 ft/h", "75-100 m/h"),
    "weight": ("t-joint 3 ft", "t-joint 1 m"),
    "area": ("B run 90 half-rows 2 lap 4 in", "B run 90 half-rows 2 lap 100 mm"),
}


@dataclass(frozen=True)
class StatedPlan:
    """What a plan was asked for, with what had to be assumed.

    Parameters
    ----------
    layouts : tuple of Layout
        One for each area.
    crew : Crew
        Who welds.
    weights : Weights, optional
        Given when the layout is to be optimised.
    assumed : dict of float
        What nobody stated, by option without unit. [SI]
    """

    layouts: tuple[Layout, ...]
    crew: Crew
    weights: Weights | None
    assumed: dict[str, float]


def plan_from(stated: Mapping[str, Any], areas: Sequence[Outline], rules: RuleBook) -> StatedPlan:
    """Layouts and crew that stated values make.

    Parameters
    ----------
    stated : mapping
        Names of the options of ``lapwright plan`` with unit suffix; None counts as not stated.
    areas : sequence of Outline
        As drawn.
    rules : RuleBook
        Of the job: ``lap_side``, ``lap_end``, ``test_weld_strips``.

    Returns
    -------
    StatedPlan
        SI.

    Raises
    ------
    LapwrightError
        ``lap_unknown``; ``plan_not_read``; ``no_such_area``; ``stated_twice``;
        ``half_rows_and_zone``; ``weight_without_optimise``.
    OutOfRange
        A size no roll has.
    """
    said = {name: value for name, value in stated.items() if value not in (None, "", ())}
    assumed: dict[str, float] = {}

    def size(name: str, units: tuple[str, str], otherwise: float) -> float:
        return stated_in_si(name, units, said, otherwise=otherwise)

    def usual(name: str, units: tuple[str, str], otherwise: float) -> float:
        if not any(f"{name}_{unit}" in said for unit in units):
            assumed[name] = otherwise
        return size(name, units, otherwise)

    long, small = ("ft", "m"), ("in", "mm")
    lap = _lap(said, rules, assumed)
    half = size("half_width", long, math.nan)
    run, flow = (said.pop(f"{name}_deg", None) for name in ("run", "flow"))
    layout = Layout(
        width=usual("roll_width", long, _WIDTH),
        roll=usual("roll_length", long, _ROLL),
        lap=lap,
        end_lap=size("end_lap", small, rules.limit("lap_end") or lap),
        half=None if math.isnan(half) else half,
        half_rows=int(said.pop("half_rows", 0)),
        zone=size("zone", long, 0.0),
        stagger=usual("stagger", long, STAGGER),
        clear=usual("clear", small, CLEAR),
        shift=size("first_cut", long, 0.0),
        run=None if run is None else math.radians(run),
        flow=None if flow is None else math.radians(flow),
    )
    return StatedPlan(
        _per_area(layout, said.pop("per_area", ()), areas),
        _crew(said, rules),
        _weights(said),
        assumed,
    )


def _lap(said: dict[str, Any], rules: RuleBook, assumed: dict[str, float]) -> float:
    lap = stated_in_si("lap", ("in", "mm"), said, otherwise=math.nan)
    attachment = said.pop("attachment", None)
    if not math.isnan(lap):
        return lap
    ruled = rules.limit("lap_side")
    if ruled is not None:
        return ruled
    if attachment is None:
        raise LapwrightError("lap_unknown")
    assumed["lap"] = ATTACHMENTS[attachment]
    return ATTACHMENTS[attachment]


def _per_area(layout: Layout, texts: Sequence[str], areas: Sequence[Outline]) -> tuple[Layout, ...]:
    """The same layout for every area, but for what was said of one."""
    layouts = {area.area: layout for area in areas}
    for text in texts:
        name, _, rest = text.strip().partition(" ")
        if name not in layouts:
            known = ", ".join(layouts)
            raise LapwrightError("no_such_area", value=name, known=known)
        pieces = [*_AREA.finditer(rest)]
        if not pieces or " ".join(piece[0] for piece in pieces) != " ".join(rest.split()):
            raise _not_read("area", "--area", text)
        changes = dict(_change(piece, text) for piece in pieces)
        if changes.get("zone"):
            changes.setdefault("half_rows", 0)
        if changes.get("half_rows"):
            changes.setdefault("zone", 0.0)
        layouts[name] = replace(layouts[name], **changes)
    return tuple(layouts[area.area] for area in areas)


def _change(piece: re.Match[str], text: str) -> tuple[str, Any]:
    name, value, unit = piece["name"].lower(), float(piece["value"]), piece["unit"]
    is_bare = name in ("run", "flow", "half-rows")
    if is_bare == (unit is not None):
        raise _not_read("area", "--area", text)
    if name == "half-rows":
        return "half_rows", int(value)
    if is_bare:
        return _FIELDS[name], math.radians(value)
    return _FIELDS[name], to_si(value, unit.lower())


def _crew(said: dict[str, Any], rules: RuleBook) -> Crew:
    rates = {name: _rate(f"--{name}-rate", said.pop(f"{name}_rate", None))
             for name in ("weld", "hand", "probe")}  # fmt: skip
    reach = stated_in_si("reach", ("ft", "m"), said, otherwise=math.nan)
    return Crew(
        **rates,
        machines=int(said.pop("machines", 1)),
        day=to_si(float(said.pop("day_hours", 8.0)), "h"),
        tests_a_day=int(said.pop("tests_a_day", TESTS_A_DAY)),
        strips=int(said.pop("strips", rules.limit("test_weld_strips") or STRIPS)),
        reach=None if math.isnan(reach) else reach,
        hand_end_laps=bool(said.pop("hand_end_laps", False)),
    )


def _rate(option: str, text: str | None) -> Rate | None:
    if text is None:
        return None
    found = _RATE.fullmatch(" ".join(text.split()))
    if found is None:
        raise _not_read("rate", option, text)
    low, high, length, time = found.groups()
    unit = to_si(1.0, length.lower()) / to_si(1.0, time.lower())
    return Rate(float(low) * unit, float(high or low) * unit)


def _weights(said: dict[str, Any]) -> Weights | None:
    texts = said.pop("weight", ())
    if not said.pop("optimise", False):
        if texts:
            raise LapwrightError("weight_without_optimise")
        return None
    values: dict[str, float] = {}
    for text in texts:
        found = _WEIGHT.fullmatch(" ".join(text.split()))
        if found is None or (found[1].lower() in _NEEDS_LENGTH) == (found[3] is None):
            raise _not_read("weight", "--weight", text)
        name, value = found[1].lower(), float(found[2])
        length = value if found[3] is None else to_si(value, found[3].lower())
        values[name.replace("-", "_")] = length / _SQUARE if name == "waste" else length
    return Weights(**values)


def _not_read(kind: str, option: str, text: str) -> LapwrightError:
    us, metric = _EXAMPLES[kind]
    return LapwrightError("plan_not_read", option=option, value=text, us=us, metric=metric)
