"""A roof plan for the terminal: what to order, what to weld, how long, and what is odd."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from rich.text import Text

from lapwright.job.plan import RoofPlan, Times
from lapwright.report.figures import Reader
from lapwright.report.planfigures import area_in, area_unit, conflict_words
from lapwright.roof.plan import AreaPlan
from lapwright.roof.quantities import Quantities
from lapwright.units import FIELD_UNITS, SYMBOLS, from_si
from lapwright.words import number

_SMALL = ("lap", "clear")  # told in inches or millimetres
_SHOWN_CONFLICTS = 6  # of an area; the others are counted, and listed by --json

Row = tuple[str, str]


def plan_text(plan: RoofPlan, assumed: Mapping[str, float], reader: Reader) -> Text:
    """A roof plan for the terminal.

    Parameters
    ----------
    plan : RoofPlan
        All areas.
    assumed : mapping of float
        What nobody stated, by option without unit. [SI]
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
        The whole roof, each area with its conflicts, the crew's hours, one safety line.
    """
    text = Text()

    def block(title: str, rows: Iterable[Row]) -> None:
        rows = list(rows)
        width = max((len(name) for name, _ in rows), default=0)
        text.append(f"\n{title}\n", style="bold")
        for name, body in rows:
            text.append(f"  {name.ljust(width)}  {body}\n")

    text.append(_head(plan, reader) + "\n", style="bold")
    options = ", ".join(_option(name, value, reader) for name, value in assumed.items())
    if options:
        text.append(reader.say("power", "assumed", {"options": options}) + "\n", style="dim")
    if len(plan.areas) > 1:
        block(reader.say("plan", "whole"), _quantity_rows(plan.total, reader))
    if len(plan.levels) > 1:
        block(reader.say("plan", "levels"), _level_rows(plan, reader))
    for area, found in zip(plan.areas, plan.sums, strict=True):
        block(_area_title(area, reader), [*_lay_rows(area, reader), *_quantity_rows(found, reader)])
        for line in _conflicts(area, reader):
            text.append("  ! ", style="bold yellow")
            text.append(line + "\n")
    block(reader.say("plan", "crew"), _crew_rows(plan, reader))
    text.append("\n! ", style="bold yellow")
    text.append(reader.say("caution", "roof_edge") + "\n")
    return text


def _option(name: str, value: float, reader: Reader) -> str:
    """An assumed value as the reader would type it."""
    unit = FIELD_UNITS[reader.units]["width" if name in _SMALL else "length"]
    return f"--{name.replace('_', '-')}-{unit} {round(from_si(value, unit), 2):g}"


def _head(plan: RoofPlan, reader: Reader) -> str:
    total = plan.total
    data = {
        "areas": len(plan.areas),
        "roof": written_area(total.roof_area, reader),
        "sheets": total.sheets + total.half_sheets,
        "seam": total.seam_length,
        "joints": total.t_joints,
    }
    return reader.say("plan", "head", data)


def written_area(square_metres: float, reader: Reader) -> str:
    """An area in square feet or metres.

    Examples
    --------
    >>> written_area(9.290304, Reader()), written_area(9.29, Reader(units="metric"))
    ('100 sq ft', '9 m²')
    """
    sign = "sq ft" if area_unit(reader) == "sqft" else "m²"
    sign = reader.say("plan", "sq_ft") if sign == "sq ft" else sign
    return f"{number(area_in(reader, square_metres), 0, reader.language)} {sign}"


def _area_title(area: AreaPlan, reader: Reader) -> str:
    level = f" ({area.outline.level})" if area.outline.level else ""
    return reader.say("plan", "area", {"area": area.outline.area, "level": level})


def _lay_rows(area: AreaPlan, reader: Reader) -> Iterator[Row]:
    layout = area.layout
    run = number(math.degrees(area.run) % 360, 0, reader.language)
    yield reader.say("plan", "run"), reader.say("plan", "run_of", {"run": run})
    yield (
        reader.say("plan", "rows"),
        reader.say(
            "plan",
            "rows_of",
            {
                "rows": area.sheets[-1].row,
                "width": in_feet(layout.width, reader),
                "half": len({sheet.row for sheet in area.sheets if sheet.is_half}),
                "half_width": in_feet(layout.half_width, reader),
                "lap": in_inches(layout.lap, reader),
                "end_lap": in_inches(layout.end_lap, reader),
            },
        ),
    )


def in_feet(metres: float, reader: Reader) -> str:
    """A size of a roll: ``10 ft``, ``3.05 m``."""
    unit = FIELD_UNITS[reader.units]["length"]
    return f"{reader.plain(round(from_si(metres, unit), 2))} {SYMBOLS[unit]}"


def in_inches(metres: float, reader: Reader) -> str:
    """A lap: ``6 in``, ``152 mm``."""
    unit = FIELD_UNITS[reader.units]["width"]
    return f"{reader.plain(round(from_si(metres, unit), 1))} {SYMBOLS[unit]}"


def _quantity_rows(found: Quantities, reader: Reader) -> Iterator[Row]:
    def row(name: str, **data: object) -> Row:
        return reader.say("plan", name), reader.say("plan", f"{name}_of", data)

    yield row("roof", roof=written_area(found.roof_area, reader),
              closure=_percent(abs(found.closure), 3, reader))  # fmt: skip
    yield row("rolls", rolls=found.rolls, half_rolls=found.half_rolls)
    yield row("side", count=found.side_laps, length=found.side_length)
    yield row("end", count=found.end_laps, length=found.end_length)
    yield row("joints", count=found.t_joints, details=found.detail_t_joints)
    yield row("details", curbs=found.curbs, walls=found.walls, pipes=found.pipes,
              drains=found.drains, corners=found.corners)  # fmt: skip
    yield row("hand", length=found.hand_length)
    yield row("edge", length=found.edge_length)
    yield row("waste", waste=written_area(found.waste_area, reader),
              percent=_percent(found.waste_share, 1, reader))  # fmt: skip


def _percent(share: float, decimals: int, reader: Reader) -> str:
    return f"{number(100 * share, decimals, reader.language)} %"


def _level_rows(plan: RoofPlan, reader: Reader) -> Iterator[Row]:
    for level, found in plan.levels.items():
        data = {
            "roof": written_area(found.roof_area, reader),
            "seam": found.seam_length,
            "joints": found.t_joints,
        }
        yield level or "-", reader.say("plan", "level_of", data)


def _conflicts(area: AreaPlan, reader: Reader) -> Iterator[str]:
    for conflict in area.conflicts[:_SHOWN_CONFLICTS]:
        yield reader.say("conflict", conflict.code, conflict_words(conflict, reader))
    left = len(area.conflicts) - _SHOWN_CONFLICTS
    if left > 0:
        yield reader.say("plan", "more_conflicts", {"count": left})


def _crew_rows(plan: RoofPlan, reader: Reader) -> Iterator[Row]:
    crew, days, tests = plan.crew, plan.days, plan.test_welds

    def hours(times: Times | None, option: str) -> str:
        if times is None:
            return reader.say("plan", "no_rate", {"option": option})
        low, high = (number(from_si(time, "h"), 0, reader.language) for time in times)
        return reader.say("plan", "hours", {"low": low, "high": high})

    def row(name: str, length: float, times: Times | None, option: str) -> Row:
        data = {"length": length, "hours": hours(times, option)}
        return reader.say("plan", name), reader.say("plan", "length_hours", data)

    yield row("machine", plan.machine_length, plan.machine_time, "--weld-rate")
    yield row("by_hand", plan.hand_length, plan.hand_time, "--hand-rate")
    yield row("probe", plan.machine_length + plan.hand_length, plan.probe_time, "--probe-rate")
    yield reader.say("plan", "patches"), str(plan.total.t_joints)
    if days is not None and tests is not None:
        spread = {"low": days[0], "high": days[1], "machines": crew.machines}
        yield reader.say("plan", "days"), reader.say("plan", "days_of", spread)
        low, high = tests
        welds = {"low": low, "high": high,
                 "strips_low": crew.strips * low, "strips_high": crew.strips * high}  # fmt: skip
        yield reader.say("plan", "tests"), reader.say("plan", "tests_of", welds)
    if crew.reach is not None:
        count = sum(map(len, plan.places))
        data = {"count": count, "length": crew.reach}
        yield reader.say("plan", "power"), reader.say("plan", "power_of", data)
