"""Counts as a quality lead keeps them: cuts by group, voids and strips by day."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from lapwright.errors import FileUnreadable
from lapwright.job.tally import Day
from lapwright.proof.cuts import Group
from lapwright.readings.columns import shown, tidy
from lapwright.readings.peelheads import figure
from lapwright.readings.text import decode, load
from lapwright.units import to_si

_MEASURED = ("length", "probed")  # columns that carry a unit
_LENGTHS = {"ft": "ft", "m": "m"}  # suffix of a length column: unit


def read_groups(path: Path) -> tuple[Group, ...]:
    """Groups of cuts: ``group,taken,bad,length_ft`` (or ``length_m``).

    Raises
    ------
    FileUnreadable
        As :func:`lapwright.readings.text.load`, or ``tally_columns``, ``tally_row``.
    """
    wanted = ("group", "taken", "bad", "length")
    return tuple(
        Group(row.text("group"), row.count("taken"), row.count("bad"), row.length("length"))
        for row in _rows(path, wanted)
    )


def read_days(path: Path) -> tuple[Day, ...]:
    """Days: ``day,operator,machine,probed_ft,voids,strips,bad``; what was not done is 0.

    Raises
    ------
    FileUnreadable
        As :func:`read_groups`.
    """
    wanted = ("day", "operator", "machine", "probed", "voids", "strips", "bad")
    return tuple(
        Day(
            day=row.text("day"),
            operator=row.text("operator"),
            machine=row.text("machine"),
            voids=row.count("voids"),
            probed=row.length("probed"),
            bad=row.count("bad"),
            strips=row.count("strips"),
        )
        for row in _rows(path, wanted)
    )


@dataclass(frozen=True)
class _Row:
    file: str
    number: int
    cells: dict[str, str]

    def text(self, name: str) -> str:
        return self.cells[name]

    def count(self, name: str) -> int:
        """A whole number, 0 or more."""
        value = figure(self.cells[name])
        if value is None or value < 0 or value != round(value):
            raise self._error(name, "0, 1, 2, ...")
        return round(value)

    def length(self, name: str) -> float:
        """A length of 0 or more, in the unit of its column. [m]"""
        unit, cell = next(
            (unit, self.cells[f"{name}_{end}"])
            for end, unit in _LENGTHS.items()
            if f"{name}_{end}" in self.cells
        )
        value = figure(cell)
        if value is None or value < 0:
            raise self._error(name, "1815, 1815.5")
        return to_si(value, unit)

    def _error(self, name: str, wanted: str) -> FileUnreadable:
        value = next(cell for key, cell in self.cells.items() if key.startswith(name))
        return FileUnreadable(
            "tally_row", file=self.file, row=self.number, column=name, value=shown(value),
            wanted=wanted,
        )  # fmt: skip


def _rows(path: Path, wanted: Sequence[str]) -> Iterator[_Row]:
    file = str(path)
    text = decode(load(path, file=file), file=file)
    first = next((line for line in text.splitlines() if line.strip()), "")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=first.count),
                        skipinitialspace=True)  # fmt: skip
    header: list[str] = []
    for number, cells in enumerate(reader, start=1):
        if not any(cell.strip() for cell in cells):
            continue
        if not header:
            header = [tidy(cell) for cell in cells]
            _check(header, wanted, file)
            continue
        filled = [*cells, *[""] * (len(header) - len(cells))]
        under = {name: cell.strip() for name, cell in zip(header, filled, strict=False)}
        yield _Row(file, number, under)


def _check(header: Sequence[str], wanted: Sequence[str], file: str) -> None:
    def is_there(name: str) -> bool:
        if name in _MEASURED:
            return sum(f"{name}_{end}" in header for end in _LENGTHS) == 1
        return name in header

    if not all(is_there(name) for name in wanted):
        names = [f"{name}_ft" if name in _MEASURED else name for name in wanted]
        raise FileUnreadable(
            "tally_columns", file=file, wanted=", ".join(names), have=shown(", ".join(header))
        )
