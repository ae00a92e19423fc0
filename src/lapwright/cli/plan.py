"""``lapwright plan``: sheets, numbered seams and quantities from a roof outline."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.progress import Progress

from lapwright.cli.options import Refused, pair_options, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.job.plan import RoofPlan, plan_roof
from lapwright.readings.layout import ATTACHMENTS, WEIGHTS, StatedPlan, plan_from
from lapwright.readings.outline import FILE_UNITS, Drawing, read_outline
from lapwright.readings.rules import read_rule_book
from lapwright.report.figures import Reader
from lapwright.report.planfigures import plan_figures
from lapwright.report.plantext import plan_text


@click.command("plan")
@click.argument("outline", type=click.Path())
@click.option("--file-units", "unit", type=click.Choice(FILE_UNITS),
              help="Unit of the drawing, where it does not say.")  # fmt: skip
@pair_options("roll-width", ("ft", "m"), "Width of a roll; 10 ft unless said")
@pair_options("roll-length", ("ft", "m"), "Length of a roll; 100 ft unless said")
@pair_options("lap", ("in", "mm"), "Side lap; else as the rules or --attachment say")
@pair_options("end-lap", ("in", "mm"), "End lap; as the side lap unless said")
@click.option("--attachment", type=click.Choice(list(ATTACHMENTS)),
              help="How the sheet is held: a usual lap where nobody says one.")  # fmt: skip
@click.option("--rules", multiple=True, type=click.Path(), help="Rule file of the job. Repeat.")
@click.option("--half-rows", type=int, help="Half sheets along first and last edge, as a count.")
@pair_options("half-width", ("ft", "m"), "Width of a half sheet; half a roll unless said")
@pair_options("zone", ("ft", "m"), "Width of the perimeter zone: half sheets within it")
@pair_options("stagger", ("ft", "m"), "Least distance of T-joints on a lap; 3 ft unless said")
@pair_options("clear", ("in", "mm"), "Lap to drain, curb or pipe; 12 in unless said")
@click.option("--run-deg", type=float, help="Way rows run, counter-clockwise from x.")
@pair_options("first-cut", ("ft", "m"), "Width cut off the first row; 0 unless said")
@click.option("--flow-deg", type=float, help="Direction water runs down, from x.")
@click.option("--area", "per_area", multiple=True,
              help='Rules of one area: "B run 90 half-rows 2 lap 4 in". Repeat.')  # fmt: skip
@click.option("--optimise", is_flag=True, help="Try directions and first rows, keep the cheapest.")
@click.option("--weight", multiple=True,
              help=f'What counts, in seam: "t-joint 3 ft". Of: {", ".join(WEIGHTS)}.')  # fmt: skip
@click.option("--weld-rate", help='The crew\'s own log, stops included: "250-330 ft/h".')
@click.option("--hand-rate", help='Hand welding: "25-40 ft/h".')
@click.option("--probe-rate", help='Probing: "500-800 ft/h".')
@click.option("--machines", type=int, help="Automatic welders; 1 unless said.")
@click.option("--day-hours", type=float, help="Hours worked a day; 8 unless said.")
@click.option("--tests-a-day", type=int, help="Test welds per machine and day; 2 unless said.")
@click.option("--strips", type=int, help="Strips per test weld; else as the rules say.")
@pair_options("reach", ("ft", "m"), "Longest cord; tells how many places for a generator")
@click.option("--hand-end-laps", is_flag=True, help="End laps are welded by hand.")
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.option("--map", "map_file", type=click.Path(), help="Draw the seam map: .svg, .png, .pdf.")
@click.option("--export", type=click.Path(), help="For other programs: .geojson or .dxf.")
@click.option("--job", help="Keep the plan in this job's record: its id or the beginning of it.")
@store_option
def plan_command(
    outline: str,
    unit: Any,
    units: Any,
    lang: Any,
    as_json: bool,
    map_file: str | None,
    export: str | None,
    job: str | None,
    store: str,
    **stated: Any,
) -> None:
    """Sheets, numbered seams, T-joints and quantities of a roof.

    OUTLINE is a GeoJSON, a DXF, or a CSV of corners in feet and inches or metres.
    """
    reader = Reader(lang, units)
    try:
        files = stated.pop("rules")
        if job is None:
            rules = read_rule_book(map(Path, files))
        else:
            from lapwright.cli.trace import judged_by, opened_record

            rules = judged_by(opened_record(store, None, job, reader), files, reader)
        drawing = read_outline(Path(outline), unit=unit)
        said = plan_from(stated, drawing.areas, rules)
        plan = _planned(drawing, said, reader)
        if as_json:
            figures = plan_figures(plan, said.assumed, reader)
            click.echo(json.dumps(figures, ensure_ascii=False))
        else:
            text = plan_text(plan, said.assumed, reader)
            Console(highlight=False).print(text, end="", soft_wrap=True)
        if map_file:
            from lapwright.report.drawing import save
            from lapwright.report.planmap import plan_svg

            save(plan_svg(plan, reader), Path(map_file))
        if export:
            from lapwright.report.planfiles import save_plan

            save_plan(plan, Path(export), anchor=drawing.anchor)
        if job is not None:
            from lapwright.cli.keepplan import keep_plan

            keep_plan(plan, store=store, job=job, reader=reader)
    except LapwrightError as error:
        raise Refused(error, reader) from None


def _planned(drawing: Drawing, said: StatedPlan, reader: Reader) -> RoofPlan:
    """The plan, with a bar on the terminal while layouts are tried."""
    if said.weights is None:
        return plan_roof(drawing.areas, said.layouts, crew=said.crew)
    console = Console(file=sys.stderr, highlight=False)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        tasks: dict[str, Any] = {}

        def tell(area: str, done: int, of: int) -> None:
            if area not in tasks:
                words = reader.say("plan", "trying", {"area": area})
                tasks[area] = bar.add_task(words, total=of)
            bar.update(tasks[area], completed=done)

        return plan_roof(
            drawing.areas, said.layouts, crew=said.crew, weights=said.weights, progress=tell
        )
