"""``lapwright day``: the hours ahead from a forecast, or a year of hours in counts."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, get_args

import click
from rich.console import Console

from lapwright.cautions import Caution
from lapwright.cli.options import Refused, pair_options, reader_options, start_options
from lapwright.errors import LapwrightError
from lapwright.job.dayhours import Shift, hours_of_day
from lapwright.job.months import by_month, in_all
from lapwright.job.morning import Morning
from lapwright.job.planning import Plan, plan_day
from lapwright.physics.sheet import Colour, Substrate, roof
from lapwright.readings.ahead import Ahead, read_date, sheet_reading
from lapwright.readings.rules import read_rule_book
from lapwright.readings.start import question_from, stated_in_si
from lapwright.readings.strips import read_welds
from lapwright.report.dayfigures import day_figures, year_figures
from lapwright.report.daytext import day_text
from lapwright.report.figures import Reader
from lapwright.report.yeartext import year_text
from lapwright.window.answer import NO_SETTING, Question

_MANY_DAYS = timedelta(days=31)  # beyond any forecast; longer is counted by month, our choice
_CLOCK = Shift()


@click.command("day")
@click.argument("forecast", required=False, type=click.Path())
@click.option("--at", help="LAT,LON of the roof; without a file, asks the US weather service.")
@click.option(
    "--hour", "typed", multiple=True,
    help='Typed weather: "07:00 72F dew 60F wind 5 mph cloud 20%". Repeat; gaps are filled in.',
)  # fmt: skip
@click.option("--date", "on", help="Day to plan: 2026-11-25; the first of the weather unless said.")
@click.option("--zone", help="Time zone of times without an offset: America/Chicago.")
@click.option("--year", type=int, help="Year to lay a typical year (EPW, TMY3) into.")
@click.option("--welds", type=click.Path(), help="Strips of the test welds so far.")
@click.option("--level", type=float, help="P(sound) a set point must reach; 0.9 unless said.")
@click.option("--rules", multiple=True, type=click.Path(), help="Rule file of the job. Repeat.")
@click.option("--colour", type=click.Choice(get_args(Colour)), default="white_aged",
              help="Of the sheet; white_aged unless said.")  # fmt: skip
@click.option("--substrate", type=click.Choice(get_args(Substrate)), default="foam",
              help="Below the sheet; foam unless said.")  # fmt: skip
@pair_options("sheet-now", ("f", "c"), "A reading of the sheet; corrects the hours after it")
@click.option("--sheet-now-at", help="When it was read: 07:30.")
@click.option("--start", type=int, default=_CLOCK.start, help="First hour worked; 7 unless said.")
@click.option("--end", type=int, default=_CLOCK.end, help="Hour work ends; 17 unless said.")
@start_options
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.option("--chart", type=click.Path(), help="Draw the day: .svg, .png, .pdf or .html.")
def day_command(units: Any, lang: Any, as_json: bool, chart: str | None, **stated: Any) -> None:
    """The hours ahead: workable or not, where the set point holds, when tests are due.

    FORECAST is a CSV of hours, an EPW or a TMY3 file. More than a month of hours without
    --date is counted by month.
    """
    reader = Reader(lang, units)
    try:
        on = read_date(stated.pop("on"), option="--date")
        shift = Shift(stated.pop("start"), stated.pop("end"))
        source = {name: stated.pop(name) for name in ("forecast", "typed", "at", "zone", "year")}
        weather = Ahead(**source, on=on).weather(now=datetime.now().astimezone(), cache=_cache())
        is_long = on is None and weather.hours[-1].at - weather.hours[0].at > _MANY_DAYS
        hours = weather.hours if is_long else hours_of_day(weather.hours, shift=shift, on=on)
        sheet = stated_in_si("sheet_now", ("f", "c"), stated, otherwise=0.0) or None
        readings = sheet_reading(sheet, stated.pop("sheet_now_at"), hours=hours)
        if is_long and (chart or readings):
            raise LapwrightError("one_day_only")
        rules = read_rule_book(Path(file) for file in stated.pop("rules"))
        look = {name: stated.pop(name) for name in ("colour", "substrate")}
        welds = stated.pop("welds")
        question = question_from(() if welds is None else read_welds(Path(welds)), stated)
        morning, doubts = _morning(question)
        plan = plan_day(
            hours,
            rules=rules,
            roof=replace(roof(**look), thickness=question.thickness),
            place=weather.place,
            readings=readings,
            morning=morning,
            shift=shift,
        )
        cautions = (*doubts, *weather.cautions)
        _show(plan, cautions, shift, reader, is_long=is_long, as_json=as_json)
        if chart:
            from lapwright.report.daychart import day_chart
            from lapwright.report.drawing import save

            save(day_chart(plan, shift, reader), Path(chart))
    except LapwrightError as error:
        raise Refused(error, reader) from None


def _cache() -> Path:
    return Path(click.get_app_dir("lapwright")) / "forecasts"


def _morning(question: Question) -> tuple[Morning | None, tuple[Caution, ...]]:
    """The test welds worked out, and what must be said of their set point."""
    if not question.welds:
        return None, ()
    morning = Morning(question)
    answer = morning.answer()
    if answer.set_point is None or answer.verdict in NO_SETTING:
        return None, (Caution("no_set_point"),)
    return morning, () if answer.certified else (Caution("set_point_not_confirmed"),)


def _show(
    plan: Plan,
    cautions: tuple[Caution, ...],
    shift: Shift,
    reader: Reader,
    *,
    is_long: bool,
    as_json: bool,
) -> None:
    console = Console(highlight=False)
    months, total = by_month(plan), in_all(plan)
    if as_json:
        figures = (
            year_figures(plan, months, total, cautions, reader)
            if is_long
            else day_figures(plan, cautions, shift, reader)
        )
        click.echo(json.dumps(figures, ensure_ascii=False))
    elif is_long:
        console.print(year_text(plan, months, total, cautions, reader))
    else:
        console.print(day_text(plan, cautions, shift, reader))
