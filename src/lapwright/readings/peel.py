"""Force gauge and tensile files: whatever columns and units they carry, turned into traces.

A file is a table of numbers, most often below a few lines about the pull (``Width; 25,4 mm``)
and a header line. Units stand in the header, in the line below it, or are stated. Several
strips stand below each other (a column that names them, or a blank line or header between
them) or side by side.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

from lapwright.errors import FileUnreadable
from lapwright.proof.peel import Grade, PeelTrace
from lapwright.readings.columns import PULL_WORDS, plain, shown
from lapwright.readings.peelheads import (
    About,
    Column,
    about_of,
    figure,
    header_of,
    rate_of,
    stated_columns,
    units_of,
    width_of,
)
from lapwright.readings.text import decode, load
from lapwright.units import to_si

WIDTH = 0.0254  # m; a strip of 1 in, common practice, no source
MOST_TRACES = 50  # in one file; our choice

_GRADES: dict[str, Grade] = {plain(word): grade for word, grade in PULL_WORDS.items()}

Values = dict[str, float]


@dataclass(frozen=True)
class Stated:
    """What a person says about the pulls of a file; it beats what the file says.

    Parameters
    ----------
    columns : tuple of str
        Unit of each column in order, ``-`` for one to pass over; empty leaves it to the file.
    width, rate : float, optional
        Of every strip, and of the jaws. [m], [m/s]
    """

    columns: tuple[str, ...] = ()
    width: float | None = None
    rate: float | None = None


@dataclass(frozen=True)
class _Head:
    """What the lines above a table say."""

    width: float | None = None
    rate: float | None = None
    strip: str | None = None
    grade: Grade | None = None

    def hears(self, about: About, text: str) -> _Head | None:
        """The head with one more line; None when the line cannot be understood."""
        if about == "strip":
            return replace(self, strip=text)
        if about == "grade":
            grade = _GRADES.get(plain(text))
            return None if grade is None else replace(self, grade=grade)
        if about == "width":
            width = width_of(text)
            return None if width is None else replace(self, width=width)
        rate = rate_of(text)
        return None if rate is None else replace(self, rate=rate)


@dataclass(frozen=True)
class _Block:
    """Rows of numbers under one header."""

    head: _Head
    columns: tuple[Column, ...]
    rows: list[tuple[int, list[str]]] = field(default_factory=list)


def read_peel(path: Path, *, stated: Stated | None = None) -> tuple[PeelTrace, ...]:
    """The traces of one file.

    Parameters
    ----------
    path : Path
        CSV: comma, semicolon or tab between the cells, decimal point or comma.
    stated : Stated, optional
        What the person says.

    Returns
    -------
    tuple of PeelTrace
        SI; named as in the file, else numbered from 1.

    Raises
    ------
    FileUnreadable
        As :func:`lapwright.readings.text.load`, or any code of :func:`traces_of_text`.
    """
    file = str(path)
    text = decode(load(path, file=file), file=file)
    return traces_of_text(text, file=file, stated=stated or Stated())


def traces_of_text(text: str, *, file: str, stated: Stated) -> tuple[PeelTrace, ...]:
    """The traces in a file's text.

    Raises
    ------
    FileUnreadable
        ``peel_no_numbers``, ``peel_no_units``, ``peel_no_force``, ``peel_no_rate``,
        ``peel_cell``, ``peel_about``, ``peel_many``.
    LapwrightError
        ``peel_unit_unknown``: a stated column.
    """
    mark = _mark(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, skipinitialspace=True)
    rows = ((number, [cell.strip() for cell in cells]) for number, cells in enumerate(reader, 1))
    traces: list[PeelTrace] = []
    for block in _blocks(rows, file, stated_columns(stated.columns)):
        for head, values in _strips(block, file):
            name = head.strip or str(len(traces) + 1)
            traces.append(_trace(replace(head, strip=name), values, file, stated))
    if not traces:
        raise FileUnreadable("peel_no_numbers", file=file)
    if len(traces) > MOST_TRACES:
        raise FileUnreadable("peel_many", file=file, limit=MOST_TRACES)
    return tuple(traces)


def _mark(text: str) -> str:
    """What parts the cells: a tab or semicolon if most lines hold one, else the comma."""
    lines = [line for line in text.splitlines() if line.strip()]
    return next(
        (mark for mark in "\t;" if 2 * sum(mark in each for each in lines) > len(lines)), ","
    )


def _blocks(
    rows: Iterable[tuple[int, list[str]]], file: str, stated: tuple[Column, ...]
) -> Iterator[_Block]:
    """Numbers that belong together, each with what stood above them."""
    head, columns, block = _Head(), stated, None
    for number, cells in rows:
        about = about_of(cells)
        header = header_of(cells)
        units = units_of(cells, columns)
        is_words = about or header or units or not any(cells)
        if block is not None and is_words:
            yield block
            head, block = replace(head, strip=None, grade=None), None
        if about:
            heard = head.hears(*about)
            if heard is None:
                line = shown(" ".join(cells))
                raise FileUnreadable("peel_about", file=file, row=number, value=line)
            head = heard
        elif (header or units) and not stated:
            columns = header or units
        elif not is_words and (block or _has_numbers(cells)):
            if not columns or not all(column.is_clear for column in columns):
                raise FileUnreadable("peel_no_units", file=file, row=number)
            block = block or _Block(head, columns)
            block.rows.append((number, cells))
    if block is not None:
        yield block


def _has_numbers(cells: Sequence[str]) -> bool:
    return sum(figure(cell) is not None for cell in cells) >= 2


def _strips(block: _Block, file: str) -> Iterator[tuple[_Head, list[Values]]]:
    """Strips below each other by their names, or side by side where a quantity repeats."""
    if not any(column.quantity == "force" for column in block.columns):
        raise FileUnreadable("peel_no_force", file=file)
    named = [k for k, column in enumerate(block.columns) if column.quantity == "strip"]
    if named:
        names: dict[str, list[tuple[int, list[str]]]] = {}
        for number, cells in block.rows:
            name = cells[named[0]] if named[0] < len(cells) else ""
            names.setdefault(name, []).append((number, cells))
        for name, rows in names.items():
            values = _values(rows, block.columns, 0, file)
            yield replace(block.head, strip=name or block.head.strip), values
        return
    head = block.head
    for first, last in pairwise(_starts(block.columns)):
        part = block.columns[first:last]
        if any(column.quantity == "force" for column in part):
            yield head, _values(block.rows, part, first, file)
            head = replace(head, strip=None)


def _starts(columns: Sequence[Column]) -> list[int]:
    """Where the columns of a strip begin; a quantity that comes again begins the next."""
    starts, seen = [0], set[str]()
    for place, column in enumerate(columns):
        if column.quantity in seen and column.quantity != "skip":
            starts.append(place)
            seen = set()
        seen.add(column.quantity)
    return [*starts, len(columns)]


def _values(
    rows: Sequence[tuple[int, list[str]]], columns: Sequence[Column], first: int, file: str
) -> list[Values]:
    """Numbers of one strip in SI; a row that is blank for this strip is passed over."""
    wanted = [(first + k, each) for k, each in enumerate(columns) if each.unit is not None]
    found = []
    for number, cells in rows:
        mine = [cells[place] if place < len(cells) else "" for place, _ in wanted]
        if not any(mine):
            continue
        values: Values = {}
        for cell, (place, column) in zip(mine, wanted, strict=True):
            value = figure(cell)
            if value is None:
                raise FileUnreadable(
                    "peel_cell", file=file, row=number, column=str(place + 1), value=shown(cell)
                )
            values[column.quantity] = to_si(value, str(column.unit))
        found.append(values)
    return found


def _trace(head: _Head, rows: list[Values], file: str, stated: Stated) -> PeelTrace:
    rate = stated.rate or head.rate
    clock = tuple(row["clock"] for row in rows if "clock" in row)
    travel = tuple(row["travel"] for row in rows if "travel" in row)
    if not travel:
        if not clock or rate is None:
            raise FileUnreadable("peel_no_rate", file=file)
        travel = tuple(rate * (second - clock[0]) for second in clock)
    return PeelTrace(
        name=str(head.strip),
        travel=travel,
        force=tuple(row["force"] for row in rows),
        width=stated.width or head.width or WIDTH,
        rate=rate,
        grade=head.grade,
        clock=clock,
    )
