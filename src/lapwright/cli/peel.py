"""``lapwright peel``: strips that a force gauge pulled, against the job's peel rule."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.keeppeel import keep_peel
from lapwright.cli.options import Refused, pair_options, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.proof.peaks import METHODS, Method
from lapwright.proof.peel import Peeled, weigh
from lapwright.proof.peelset import FIGURES, PASSINGS, PeelRule, judge
from lapwright.readings.peel import Stated, read_peel
from lapwright.readings.rules import read_rule_book
from lapwright.readings.start import stated_in_si
from lapwright.report.figures import Reader
from lapwright.report.peelfigures import peel_figures
from lapwright.report.peeltext import peel_text

_PASSINGS = {passing.replace("_", "-"): passing for passing in PASSINGS}


@click.command("peel")
@click.argument("files", nargs=-1, required=True, type=click.Path())
@click.option("--columns", help="Unit of each column where the file does not say: in,lbf.")
@pair_options("width", ("in", "mm"), "Width of the strips; 1 in unless said")
@pair_options("rate", ("in_min", "mm_min"), "Speed of the jaws")
@click.option("--rules", multiple=True, type=click.Path(), help="Rule file of the job. Repeat.")
@click.option("--by", type=click.Choice(FIGURES), default="average", help="Figure that is judged.")
@click.option(
    "--passing", type=click.Choice(list(_PASSINGS)), default="every", help="When the set passes."
)
@click.option("--strips", type=int, default=1, help="Fewest valid strips; 1 unless said.")
@click.option(
    "--method", type=click.Choice(METHODS), help="Median of peaks; by number unless said."
)
@click.option("--invalid", multiple=True, metavar="STRIP", help="This strip slipped. Repeat.")
@click.option("--valid", multiple=True, metavar="STRIP", help="This strip did not slip. Repeat.")
@click.option(
    "--of", metavar="NUMBER", help="Keep the pulls in the record of this cut or test weld."
)
@click.option("--instrument", help="Name or number of the gauge, for the record.")
@click.option("--job", help="Id of the job or the beginning of it; the only one unless said.")
@store_option
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.option("--chart", type=click.Path(), help="Draw it: .svg, .png, .pdf or .html.")
def peel_command(
    files: tuple[str, ...],
    rules: tuple[str, ...],
    by: Any,
    passing: str,
    strips: int,
    method: Method | None,
    invalid: tuple[str, ...],
    valid: tuple[str, ...],
    of: str | None,
    instrument: str | None,
    job: str | None,
    store: str,
    units: Any,
    lang: Any,
    as_json: bool,
    chart: str | None,
    **stated: Any,
) -> None:
    """Peel force of the strips in FILES (CSV of a force gauge), against the job's rule."""
    reader = Reader(lang, units)
    try:
        if of is None:
            book = read_rule_book(map(Path, rules))
        else:
            from lapwright.cli.trace import judged_by, opened_record

            book = judged_by(opened_record(store, None, job, reader), rules, reader)
        clause = book.rules["peel_strength"].governing if "peel_strength" in book.rules else None
        rule = PeelRule(book.limit("peel_strength"), by, _PASSINGS[passing], strips)
        said = _said(stated)
        peeled = _peeled(files, said, method)
        pulled = judge(peeled, rule=rule, invalid=invalid, valid=valid)
        if chart:
            from lapwright.report.drawing import save
            from lapwright.report.peelchart import peel_chart

            save(peel_chart(pulled, clause, reader), Path(chart))
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if as_json:
        click.echo(json.dumps(peel_figures(pulled, clause, reader), ensure_ascii=False))
    else:
        console = Console(highlight=False)
        console.print(peel_text(pulled, clause, reader), end="", soft_wrap=True)
    if of is not None:
        for file in files:
            traces = read_peel(Path(file), stated=said)
            keep_peel(file, traces, of=of, store=store, job=job, instrument=instrument,
                      reader=reader)  # fmt: skip


def _said(stated: dict[str, Any]) -> Stated:
    columns = stated["columns"]
    return Stated(
        columns=tuple(columns.split(",")) if columns else (),
        width=stated_in_si("width", ("in", "mm"), stated, otherwise=0.0) or None,
        rate=stated_in_si("rate", ("in_min", "mm_min"), stated, otherwise=0.0) or None,
    )


def _peeled(files: tuple[str, ...], stated: Stated, method: Method | None) -> list[Peeled]:
    """Every strip of every file; a name that two files share is led by its file's."""
    traces = [(file, trace) for file in files for trace in read_peel(Path(file), stated=stated)]
    names = [trace.name for _, trace in traces]
    return [
        weigh(
            replace(trace, name=f"{Path(file).stem}:{trace.name}")
            if names.count(trace.name) > 1 and len(files) > 1
            else trace,
            method=method,
        )
        for file, trace in traces
    ]
