"""``lapwright window`` and ``lapwright next``: strips in, window or next weld out."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.progress import track

from lapwright.cli.options import (
    BAD_INPUT,
    Refused,
    choice_options,
    fail,
    reader_options,
    start_options,
)
from lapwright.errors import LapwrightError
from lapwright.job.morning import Morning
from lapwright.readings.record import read_answer
from lapwright.readings.start import question_from
from lapwright.readings.strips import read_welds
from lapwright.report.figures import Reader, answer_figures, next_figures
from lapwright.report.record import keep
from lapwright.report.text import TAPE_CELLS, caution_text, next_text, window_text
from lapwright.window.answer import Answer
from lapwright.window.prior import Earlier

_PROGRESS_FROM = 20  # files
_files = click.argument("files", nargs=-1, required=True, type=click.Path())
_json = click.option("--json", "as_json", is_flag=True, help="One JSON object per file and line.")


@dataclass(frozen=True)
class _Worked:
    """One file worked out."""

    morning: Morning
    answer: Answer


def _work(
    files: tuple[str, ...], stated: dict[str, Any], earlier: Earlier | None
) -> Iterator[tuple[str, _Worked | LapwrightError]]:
    """Each file worked out, in the order given; a bad one yields its error."""
    is_long = len(files) >= _PROGRESS_FROM and sys.stderr.isatty()
    console = Console(stderr=True)
    for file in track(files, console=console, transient=True, disable=not is_long):
        try:
            source = sys.stdin.buffer.read() if file == "-" else Path(file)
            question = question_from(read_welds(source, name=file), stated, earlier=earlier)
            morning = Morning(question)
            yield file, _Worked(morning, morning.answer())
        except LapwrightError as error:
            yield file, error


def _run(
    files: tuple[str, ...],
    reader: Reader,
    stated: dict[str, Any],
    *,
    figures: Callable[[Answer], dict[str, Any]] | None,
    show: Callable[[Console, _Worked], None],
    put_away: Callable[[_Worked], None] = lambda _: None,
) -> None:
    """Every file in turn: ``figures`` as a line of JSON, else ``show``; then ``put_away``."""
    earlier_file = stated.pop("earlier")
    console = Console(highlight=False)
    is_refused = False
    try:
        kept = None if earlier_file is None else read_answer(Path(earlier_file))
        earlier = None if kept is None else kept.earlier.for_today()
        for file, worked in _work(files, stated, earlier):
            if isinstance(worked, LapwrightError):
                is_refused = True
                if figures:
                    _print_json(file, {"error": _error_figures(worked, reader)})
                else:
                    click.echo(fail(worked, reader), err=True)
                continue
            if figures:
                _print_json(file, figures(worked.answer))
            else:
                if len(files) > 1:
                    console.print(file, style="bold underline")
                show(console, worked)
            put_away(worked)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    if is_refused:
        sys.exit(BAD_INPUT)


def _error_figures(error: LapwrightError, reader: Reader) -> dict[str, Any]:
    place = {key: error.data.get(key) for key in ("row", "column", "value")}
    return {"code": error.code, "message": fail(error, reader), **place}


def _print_json(file: str, figures: dict[str, Any]) -> None:
    click.echo(json.dumps({"file": file, **figures}, ensure_ascii=False))


@click.command("window")
@_files
@start_options
@choice_options
@reader_options
@_json
@click.option("--chart", type=click.Path(), help="Draw the window: .svg, .png, .pdf or .html.")
@click.option(
    "--keep", "keep_file", type=click.Path(), help="Keep the answer in a new file, to replay it."
)
def window_command(
    files: tuple[str, ...],
    units: Any,
    lang: Any,
    as_json: bool,
    chart: str | None,
    keep_file: str | None,
    **stated: Any,
) -> None:
    """Weld window and set point from the strips in FILES (CSV or JSON; - is stdin)."""
    reader = Reader(lang, units)
    if (chart or keep_file) and len(files) > 1:
        raise Refused(LapwrightError("one_file_only"), reader)

    def show(console: Console, worked: _Worked) -> None:
        picture = worked.morning.picture(points=TAPE_CELLS)
        console.print(window_text(worked.answer, picture, reader))

    def put_away(worked: _Worked) -> None:
        if chart:
            from lapwright.report.charts import CHART_POINTS, CHART_SPEEDS, window_chart
            from lapwright.report.drawing import save

            picture = worked.morning.picture(points=CHART_POINTS, speeds=CHART_SPEEDS)
            save(window_chart(worked.answer, picture, reader), Path(chart))
        if keep_file:
            keep(worked.answer, Path(keep_file))

    _run(
        files,
        reader,
        stated,
        figures=(lambda answer: answer_figures(answer, reader)) if as_json else None,
        show=show,
        put_away=put_away,
    )


@click.command("next")
@_files
@start_options
@choice_options
@reader_options
@_json
def next_command(
    files: tuple[str, ...], units: Any, lang: Any, as_json: bool, **stated: Any
) -> None:
    """The next test weld to make, and why, from the strips in FILES."""
    reader = Reader(lang, units)

    def show(console: Console, worked: _Worked) -> None:
        console.print(next_text(worked.answer, reader))
        console.print(caution_text(worked.answer.cautions[:1], reader), end="")

    _run(
        files,
        reader,
        stated,
        figures=(lambda answer: next_figures(answer.next, reader)) if as_json else None,
        show=show,
    )
