"""Grades that several people gave the same strips: a row for each strip and grader."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from lapwright.errors import FileUnreadable
from lapwright.job.agreeing import GRADES, Look
from lapwright.readings.columns import PULL_WORDS, plain, shown, tidy
from lapwright.readings.text import decode, load

COLUMNS = ("strip", "grader", "grade")
_SAID = {  # as the program says them; the Spanish is from memory and waits for a native roofer
    "no sign": "clear",
    "sin señal": "clear",
    "malla desnuda": "bare_scrim",
    "núcleo gris": "grey_core",
    "brillo": "glaze",
    "quemada": "scorch",
    "burbujas": "bubbles",
    "no se sabe": "cannot_tell",
}
WORDS = {grade: grade for grade in GRADES} | PULL_WORDS | _SAID
_READ = {plain(word).replace("_", " "): grade for word, grade in WORDS.items()}


def read_looks(path: Path) -> tuple[Look, ...]:
    """Looks of a file ``strip,grader,grade``; further columns are passed over.

    Raises
    ------
    FileUnreadable
        As :func:`lapwright.readings.text.load`; ``tally_columns``: a column is missing;
        ``tally_row``: an empty cell; ``unknown_word``: no grade.
    """
    file = str(path)
    text = decode(load(path, file=file), file=file)
    first = next((line for line in text.splitlines() if line.strip()), "")
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=first.count),
                      skipinitialspace=True)  # fmt: skip
    header: list[str] = []
    found: list[Look] = []
    for number, cells in enumerate(rows, start=1):
        if not any(cell.strip() for cell in cells):
            continue
        if header:
            filled = [*cells, *[""] * (len(header) - len(cells))]
            under = {name: cell.strip() for name, cell in zip(header, filled, strict=False)}
            found.append(_look(under, file=file, row=number))
            continue
        header = [tidy(cell) for cell in cells]
        if not set(COLUMNS) <= set(header):
            have = shown(", ".join(header))
            wanted = ", ".join(COLUMNS)
            raise FileUnreadable("tally_columns", file=file, wanted=wanted, have=have)
    return tuple(found)


def _look(cells: dict[str, str], *, file: str, row: int) -> Look:
    for name in COLUMNS:
        if not cells[name]:
            raise FileUnreadable(
                "tally_row", file=file, row=row, column=name, value="", wanted=", ".join(COLUMNS)
            )
    grade = _READ.get(plain(cells["grade"]).replace("_", " "))
    if grade is None:
        raise FileUnreadable(
            "unknown_word", file=file, row=row, column="grade", value=shown(cells["grade"]),
            choices=", ".join(GRADES),
        )  # fmt: skip
    return Look(cells["strip"], cells["grader"], grade)
