"""Rows in, one answer out: the morning page's questions, joined to the morning."""

from __future__ import annotations

import csv
from importlib.resources import files
from typing import Any, cast

from lapwright.job.morning import Morning
from lapwright.job.now import present
from lapwright.readings.now import said_from
from lapwright.readings.rules import read_rule_book
from lapwright.readings.start import question_from
from lapwright.readings.strips import welds_from_rows
from lapwright.report.figures import Reader, answer_figures
from lapwright.report.nowfigures import now_figures
from lapwright.units import UnitSystem
from lapwright.web.questions import Row
from lapwright.words import Language

_POINTS = 111  # of the curve: one every 5 F or so


def answer_rows(
    rows: list[Row], start: Row, now: Row, units: UnitSystem, lang: Language
) -> dict[str, Any]:
    """The answer to what the page holds: the curve of P(sound) to draw, this moment beside it."""
    reader, rules = Reader(lang, units), read_rule_book([])  # rows are of no job, so of no rules
    question = question_from(welds_from_rows(rows, name="page"), start)
    here = present(question, said=said_from(now), rules=rules)
    return {
        **answer_figures(here.answer, reader),
        "now": now_figures(here, rules, reader),
        **picture_figures(here.morning, reader),
    }


def picture_figures(morning: Morning, reader: Reader) -> dict[str, Any]:
    """The curve of P(sound) and the welds on it, to be drawn."""
    picture, unit = morning.picture(points=_POINTS), reader.temperature
    return {
        "curve": {
            f"air_{unit}": [reader.air(air) for air in picture.air],
            "p_sound": [round(float(p), 4) for p in picture.p_sound],
        },
        "welds": [
            {
                "weld": mark.number,
                f"air_{unit}": reader.air(mark.air),
                "reading": mark.reading,
                "looked": mark.looked,
            }
            for mark in picture.marks
        ],
    }


def example_rows() -> list[Row]:
    """Rows of the bundled, invented morning."""
    text = files("lapwright").joinpath("examples", "morning.csv").read_text(encoding="utf-8")
    return cast(list[Row], list(csv.DictReader(text.splitlines())))
