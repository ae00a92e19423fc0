"""Files of grades: three columns, both languages, and what is refused with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.agreeing import GRADES, Look
from lapwright.readings.grades import read_looks
from lapwright.words import LANGUAGES, Language, say


def written(folder: Path, text: str) -> Path:
    """A file with this text."""
    file = folder / "grades.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_columns_may_come_in_any_order(tmp_path: Path) -> None:
    """Further columns are passed over; empty lines and capitals do not matter."""
    file = written(tmp_path, "Grade;note;Strip;grader\n\nFull;x;1;Ana\ncannot tell;;2;Ben\n")
    assert read_looks(file) == (Look("1", "Ana", "full"), Look("2", "Ben", "cannot_tell"))


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_the_program_says_it_reads(tmp_path: Path, language: Language) -> None:
    """Every grade is read in the word that the program itself says in either language."""
    rows = [f"{place},Ana,{say('grade', grade, language=language)}"
            for place, grade in enumerate(GRADES)]  # fmt: skip
    file = written(tmp_path, "strip,grader,grade\n" + "\n".join(rows))
    assert [look.grade for look in read_looks(file)] == list(GRADES)


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("strip,grade\n1,full\n", "tally_columns", (None, None)),
        ("strip,grader,grade\n1,Ana,full\n2,,full\n", "tally_row", (3, "grader")),
        ("strip,grader,grade\n1,Ana,good\n", "unknown_word", (2, "grade")),
        ("strip,grader,grade\n1,Ana\n", "tally_row", (2, "grade")),
    ],
    ids=["column", "empty", "word", "short"],
)
def test_what_is_missing_or_unknown_is_refused(
    tmp_path: Path, text: str, code: str, place: tuple[int | None, str | None]
) -> None:
    """The refusal names row and column."""
    with pytest.raises(LapwrightError) as caught:
        read_looks(written(tmp_path, text))
    data = caught.value.data
    assert (caught.value.code, data["row"], data["column"]) == (code, *place)


def test_no_line_at_all_is_no_look(tmp_path: Path) -> None:
    """An empty file holds nothing, and says so later as "nothing graded twice"."""
    assert read_looks(written(tmp_path, "")) == ()
