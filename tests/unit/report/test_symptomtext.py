"""Symptoms in words: the table without a log, the record's clues with one."""

from __future__ import annotations

import pytest

from lapwright.job.clues import Clue
from lapwright.job.symptoms import SYMPTOMS, likely
from lapwright.report.figures import Reader
from lapwright.report.symptomtext import clue_says, symptom_figures, symptom_text


def test_without_a_log_the_table_says_so() -> None:
    """Every symptom with cause, what to do and where it comes from."""
    text = str(symptom_text(likely(), Reader()))
    assert text.startswith("Without a log")
    assert "Groove beside the seam" in text
    assert text.count("Do: ") == len(SYMPTOMS)
    assert "common practice, no source" in text


def test_with_a_log_its_clues_stand_beside_it() -> None:
    """The spacing is told in what one measures a roller with."""
    told = likely(clues=[Clue("even_spacing", data={"seam": "A-S001", "length": 0.3353})])
    assert "voids on A-S001 come every 13.20 in" in str(symptom_text(told, Reader()))
    (row,) = symptom_figures(told, Reader("es", "metric"))["symptoms"]
    assert row["clues"] == ["vacíos en A-S001 cada 335,3 mm"]
    assert row["causes"][0] == {
        "code": "roller_flat",
        "says": "rodillo con plano: la distancia es su vuelta",
        "in_record": True,
    }


@pytest.mark.parametrize(
    ("clue", "says"),
    [
        (Clue("pull", "cold"), "strips graded: cold"),
        (Clue("evenness", "one_edge"), "band: one edge only"),
        (Clue("defect_type", "dirt"), "defects found: dirt in seam"),
        (Clue("wind", "strong"), "wind strong"),
        (Clue("changed_before", "power", {"time": "09:45"}), "Power changed at 09:45"),
        (Clue("changed_before", "sun", {"time": "09:45"}), "sun or shade changed at 09:45"),
        (Clue("volts_low", "", {"volts": 204.0, "drop_share": 0.117}),
         "204 V under load, 11.7 % lost"),
        (Clue("at_starts", "", {"near": "3", "of": "4"}), "3 of 4 voids where a run began"),
    ],
)  # fmt: skip
def test_each_clue_has_its_line(clue: Clue, says: str) -> None:
    """What it is about is said in words, not in codes."""
    assert clue_says(clue, Reader()) == says
