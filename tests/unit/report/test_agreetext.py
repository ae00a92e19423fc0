"""Agreement told in words: the count first, names only when asked for."""

from __future__ import annotations

import pytest

from lapwright.job.agreeing import Agreement, Look, agreement
from lapwright.report.agreetext import agreement_figures, agreement_text
from lapwright.report.figures import Reader
from lapwright.words import Language


def found(*grades: str, graders: int = 2, slip: str = "partial") -> Agreement:
    """Graders Ana, Ben, ... who agree but at the first strip, where the last says ``slip``."""
    names = ["Ana", "Ben", "Cal"][:graders]
    return agreement(
        Look(str(strip), name, slip if strip == 0 and name == names[-1] else grade)
        for strip, grade in enumerate(grades)
        for name in names
    )


MIXED = ["cold", "full"] * 10


def test_the_count_comes_first_and_no_name_at_all() -> None:
    """Nineteen of twenty, the index with its limits, and nobody named."""
    text = agreement_text(found(*MIXED), Reader()).plain
    assert text.startswith("19 of 20 strips graded the same.\n")
    assert "Beyond luck (Cohen's kappa; 1 = always, 0 = luck): 0.90" in text
    assert "More than luck." in text
    assert "Ana" not in text
    assert "own" not in agreement_figures(found(*MIXED), Reader())


@pytest.mark.parametrize(("language", "line"), [("en", "Ana: 19 of 20 the same"),
                                                ("es", "Ana: 19 de 20 iguales")])  # fmt: skip
def test_names_come_when_asked_for(language: Language, line: str) -> None:
    """For the quality lead, in the reader's language."""
    assert line in agreement_text(found(*MIXED), Reader(language), with_names=True).plain
    figures = agreement_figures(found(*MIXED), Reader(language), with_names=True)
    assert [one["grader"] for one in figures["own"]] == ["Ana", "Ben"]


def test_luck_is_not_ruled_out_by_little() -> None:
    """Where the limits hold nought, nobody claims agreement."""
    looks = [Look(str(n), who, grade) for n in range(20)
             for who, grade in (("a", "cold" if n % 2 else "full"),
                                ("b", "cold" if n % 3 else "full"))]  # fmt: skip
    assert "Cannot tell it from luck." in agreement_text(agreement(looks), Reader()).plain


def test_the_table_lines_up() -> None:
    """One row for each grade, as wide as its head; nothing is written as a dot."""
    lines = agreement_text(found(*MIXED), Reader()).plain.splitlines()
    head = lines.index("First look in rows, second in columns")
    rows = lines[head + 1 : head + 5]
    assert [row.split()[0] for row in rows] == ["cold", "cold", "partial", "full"]
    assert rows[1].split() == ["cold", "9", "1", "·"]
    assert rows[3].split() == ["full", "·", "·", "10"]
    assert {len(row) for row in rows} == {len(rows[0])}


def test_several_graders_have_no_table() -> None:
    """Three graders: their index by Fleiss, and alike means all three."""
    text = agreement_text(found(*MIXED, graders=3), Reader()).plain
    assert text.startswith("19 of 20 strips graded the same by all 3.\n")
    assert "Fleiss' kappa" in text
    assert "First look in rows" not in text


def test_too_few_are_told_with_what_is_needed() -> None:
    """Below twenty strips: no index in words or figures, and the reason."""
    few = found("cold", "full", "full")
    assert "3 strips graded twice: too few for an index, 20 are needed" in (
        agreement_text(few, Reader()).plain
    )
    assert agreement_figures(few, Reader())["kappa"] is None


def test_figures_hold_what_the_text_says() -> None:
    """Counts, table, index with limits and method."""
    figures = agreement_figures(found(*MIXED, slip="cannot_tell"), Reader())
    assert (figures["same"], figures["strips"], figures["cannot_tell"]) == (19, 20, 1)
    assert figures["table"] == [[9, 0, 1], [0, 10, 0], [0, 0, 0]]
    assert set(figures["kappa"]) == {"value", "low", "high", "basis", "beyond_chance"}
    assert figures["says"][0] == "19 of 20 strips graded the same."
