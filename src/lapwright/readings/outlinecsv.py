"""A CSV of corners, one per row, walked around each shape in order.

Columns: ``x`` and ``y`` (with feet and inches marks, or named ``x_ft``, ``x_m`` and so on);
``kind``, ``name``, ``area``, ``level``, ``diameter``, ``height`` where needed. Rows of the same
kind, name and area are one shape; a drain or pipe may be one row with its diameter.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator
from pathlib import Path

from lapwright.errors import FileUnreadable
from lapwright.readings.columns import shown, tidy
from lapwright.readings.lengths import read_length
from lapwright.readings.outline import Drawn, FileUnit, kind_of
from lapwright.readings.text import decode, load
from lapwright.units import to_si

HEADER = "kind,name,x_ft,y_ft"
LENGTHS = ("x", "y", "diameter", "height")
WORDS = ("kind", "name", "area", "level")
_UNITS = ("ft", "in", "m", "mm")
_LONGEST = 60  # signs in a cell; our choice


def read_corners(path: Path, *, unit: FileUnit | None = None) -> list[Drawn]:
    """Shapes of a CSV file.

    Raises
    ------
    FileUnreadable
        It cannot be read, a column is missing or unknown, a cell is no length.
    """
    return parse_corners(decode(load(path, file=str(path)), file=str(path)), file=str(path),
                         unit=unit)  # fmt: skip


def parse_corners(text: str, *, file: str, unit: FileUnit | None = None) -> list[Drawn]:
    r"""Shapes of a CSV text.

    Examples
    --------
    >>> text = "kind,name,x_ft,y_ft\nroof,,0,0\nroof,,40,0\nroof,,40,30\n"
    >>> parse_corners(text, file="corners.csv")[0].corners[1]
    (12.192, 0.0)
    """
    found: dict[tuple[str, ...], list[tuple[int, dict[str, str]]]] = {}
    for row, cells in _rows(text, file=file):
        word = tuple(cells.get(name, "") for name in ("kind", "name", "area"))
        found.setdefault(word, []).append((row, cells))
    return [_drawn(rows, file=file, unit=unit) for rows in found.values()]


def _drawn(rows: list[tuple[int, dict[str, str]]], *, file: str, unit: FileUnit | None) -> Drawn:
    row, first = rows[0]
    word = first.get("kind", "") or "roof"
    kind = kind_of(word)
    if kind is None:
        raise FileUnreadable(
            "unknown_word",
            file=file,
            row=row,
            column="kind",
            value=shown(word),
            choices="roof, curb, wall, pipe, drain",
        )
    corners = []
    for number, cells in rows:
        x, y = (_length(cells, name, file=file, row=number, unit=unit) for name in ("x", "y"))
        if x is None or y is None:
            raise FileUnreadable(
                "blank_cell", file=file, row=number, column="x" if x is None else "y"
            )
        corners.append((x, y))
    return Drawn(
        kind,
        tuple(corners),
        name=first.get("name", ""),
        area=first.get("area", ""),
        level=first.get("level", ""),
        diameter=_length(first, "diameter", file=file, row=row, unit=unit),
        height=_length(first, "height", file=file, row=row, unit=unit) or 0.0,
    )


def _length(
    cells: dict[str, str], name: str, *, file: str, row: int, unit: FileUnit | None
) -> float | None:
    """A cell in the unit of its column, else with its own marks, else in the stated unit."""
    for column in (name, *(f"{name}_{each}" for each in _UNITS)):
        cell = cells.get(column, "")
        if not cell:
            continue
        marked = read_length(cell)
        if marked is not None:
            return marked
        try:
            value = float(cell)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            raise FileUnreadable(
                "not_a_length", file=file, row=row, column=column, value=shown(cell)
            )
        of_column = column.rpartition("_")[2] if column != name else unit
        if of_column not in _UNITS:
            raise FileUnreadable(
                "length_without_unit", file=file, row=row, column=column, value=shown(cell)
            )
        return to_si(value, of_column)
    return None


def _rows(text: str, *, file: str) -> Iterator[tuple[int, dict[str, str]]]:
    lines = text.lstrip().splitlines()
    if not lines:
        raise FileUnreadable("file_empty", file=file, header=HEADER)
    mark = max(",;\t", key=lines[0].count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, skipinitialspace=True)
    names: list[str] = []
    for number, cells in enumerate(reader, start=1):
        trimmed = [cell.strip() for cell in cells]
        if not any(trimmed):
            continue
        if not names:
            names = _header(trimmed, file=file, row=number)
            continue
        if len(trimmed) > len(names) and any(trimmed[len(names) :]):
            raise FileUnreadable(
                "too_many_cells",
                file=file,
                row=number,
                value=shown(trimmed[len(names)]),
                place=len(names) + 1,
            )
        too_long = next((cell for cell in trimmed if len(cell) > _LONGEST), None)
        if too_long is not None:
            raise FileUnreadable(
                "not_a_length", file=file, row=number, column="", value=shown(too_long)
            )
        decimal = [cell.replace(",", ".") if mark != "," else cell for cell in trimmed]
        yield number, dict(zip(names, decimal, strict=False))


def _header(cells: list[str], *, file: str, row: int) -> list[str]:
    names = [tidy(cell) for cell in cells]
    known = {*WORDS, *LENGTHS, *(f"{name}_{unit}" for name in LENGTHS for unit in _UNITS)}
    if not known.intersection(names):
        raise FileUnreadable("no_header", file=file, row=row, header=HEADER)
    for name in names:
        if name and name not in known:
            raise FileUnreadable(
                "unknown_column", file=file, row=row, column=shown(name), nearest=HEADER
            )
        if name and names.count(name) > 1:
            raise FileUnreadable("duplicate_column", file=file, row=row, column=name)
    for axis in ("x", "y"):
        columns = [name for name in names if name == axis or name.startswith(f"{axis}_")]
        if not columns:
            choices = ", ".join(f"{axis}_{unit}" for unit in _UNITS)
            raise FileUnreadable("column_missing", file=file, column=axis, choices=choices)
        if len(columns) > 1:
            raise FileUnreadable("column_twice", file=file, column=columns[0], other=columns[1])
    return names
