"""The paper says where a morning started, when it started from past days."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import Any

from tests import cast
from tests.handed import EN, ES, paper, said

from lapwright.job.morning import find_window
from lapwright.readings.strips import welds_from_rows
from lapwright.report.figures import Reader, answer_figures
from lapwright.window.answer import Question
from lapwright.window.prior import TAIL, Earlier

ROWS: Any = [
    {"weld": "1", "air_f": "860", "speed_ft_min": "10", "ambient_f": "70", "sheet_f": "80",
     "strip": str(strip), "pull": "full", "overheat": "none"}
    for strip in (1, 2, 3)
]  # fmt: skip
EARLIER = Earlier(
    bottom=655.3722, bottom_sd=12.0, width=170.0, width_sd=16.0, bottom_day_sd=16.0,
    width_day_sd=12.0, freedom=TAIL,
)  # fmt: skip


def told(question: Question, reader: Reader) -> list[str]:
    """Lines of a paper in which a set point was decided on that question."""
    welds = cast.welded("1", "860 f", "fff")
    decision = cast.decided(
        welds,
        question=json.loads(json.dumps(asdict(question))),
        answer=answer_figures(find_window(question), Reader()),
        worked_out="server",
        model="two-edge-1",
    )
    facts = [*cast.SETUP, *welds, decision, *cast.ran("A-S001", "0 ft", "9 ft", decision=decision)]
    return [line for line in said(paper(facts, reader)) if "±" in line]


def test_a_start_from_past_days_is_told_with_its_reach() -> None:
    """Bottom 720 F; its spread of 20 K is 84.7 F at 90 % of Student's t with 3 degrees."""
    question = Question(welds=welds_from_rows(ROWS, name="page"), earlier=EARLIER)
    (line,) = told(question, EN)
    plain = line.replace("\u202f", " ").replace("\u00a0", " ")
    assert "started from past days" in plain
    assert "bottom 720 °F ± 85 °F" in plain  # t(3), 0.95: 2.353, any table
    assert "width 306 °F ± 85 °F" in plain
    (spanish,) = told(question, ES)
    assert "partió de días pasados" in spanish
    assert "382" in spanish


def test_a_start_without_past_days_says_nothing_of_them() -> None:
    """No earlier day in the question, no line."""
    question = Question(welds=welds_from_rows(ROWS, name="page"), earlier=EARLIER)
    assert told(replace(question, earlier=None), EN) == []
