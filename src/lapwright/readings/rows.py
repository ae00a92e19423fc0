"""Text to rows: CSV as spreadsheets write it, or JSON, under the same columns."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from lapwright.errors import FileUnreadable
from lapwright.readings import columns
from lapwright.readings.text import is_text

MOST_SIGNS = 60  # in a cell that is not a note; our choice

_SEPARATOR_LINE = re.compile(r'\s*"?sep=([,;\t|])"?[ ]*(\r\n|\r|\n|$)', re.IGNORECASE)


@dataclass(frozen=True)
class Row:
    """One row of a test-weld file.

    Parameters
    ----------
    file : str
        Name of the file as the person gave it.
    number : int
        Row as a spreadsheet shows it, the header counted; in JSON the row object.
    cells : dict
        Trimmed text under each column of the header; ``""`` is a blank cell.
    decimal_comma : bool
        A comma in a number is its decimal mark: wherever commas do not part the cells.
    """

    file: str
    number: int
    cells: dict[str, str]
    decimal_comma: bool

    def cell(self, column: str) -> str:
        """Text of a cell, ``""`` when blank or without a column."""
        cell = self.cells.get(column, "")
        if len(cell) > MOST_SIGNS:
            raise self.error("cell_too_long", column, limit=MOST_SIGNS)
        return cell

    def error(self, code: str, column: str, **data: Any) -> FileUnreadable:
        """The error that points at one cell of this row."""
        value = columns.shown(self.cells.get(column, ""))
        return FileUnreadable(
            code, file=self.file, row=self.number, column=column, value=value, **data
        )


def rows_of_text(text: str, *, file: str) -> Iterator[Row]:
    """Rows of a file's text; JSON is told by its first sign or the file's name."""
    start = text.lstrip()[:1]
    if not start:
        raise FileUnreadable("file_empty", file=file, header=columns.HEADER)
    if start in "[{" or file.lower().endswith(".json"):
        return _rows_of_json(text, file=file)
    return _rows_of_csv(text, file=file)


def _rows_of_csv(text: str, *, file: str) -> Iterator[Row]:
    separator = _SEPARATOR_LINE.match(text)
    if separator:
        text = text[separator.end() :]  # spreadsheets hide this line, so it is not counted
    first = next((line for line in text.splitlines() if line.strip()), "")
    mark = separator[1] if separator else max(",;\t", key=first.count)
    numbered = _records(text, mark=mark, file=file)
    row, header = next(numbered, (0, []))
    if not header:
        raise FileUnreadable("file_empty", file=file, header=columns.HEADER)
    names = [columns.tidy(name) for name in header]
    if not any(columns.is_known(name) for name in names):
        raise FileUnreadable("no_header", file=file, row=row, header=columns.HEADER)
    columns.check_names((name for name in names if name), file=file, row=row)
    columns.check_header(names, file=file)
    for number, cells in numbered:
        under = _under(names, cells, file=file, number=number)
        yield Row(file, number, under, decimal_comma=mark != ",")


def _records(text: str, *, mark: str, file: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not blank, each with its number."""
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=mark, skipinitialspace=True, strict=True
    )
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            trimmed = [cell.strip() for cell in cells]
            if any(trimmed):
                yield number, trimmed
    except csv.Error:
        raise FileUnreadable("broken_quotes", file=file, row=number + 1) from None


def _under(names: list[str], cells: list[str], *, file: str, number: int) -> dict[str, str]:
    """Cells under their column names; spreadsheets may drop blank cells at the end."""
    for place, cell in enumerate(cells):
        if cell and (place >= len(names) or not names[place]):
            raise FileUnreadable(
                "too_many_cells", file=file, row=number, value=columns.shown(cell), place=place + 1
            )
    for name in names[len(cells) :]:
        if name and not columns.may_be_left_out(name):
            raise FileUnreadable(
                "too_few_cells", file=file, row=number, column=name, have=len(cells)
            )
    cells = cells + [""] * (len(names) - len(cells))
    return {name: cell for name, cell in zip(names, cells, strict=False) if name}


def _rows_of_json(text: str, *, file: str) -> Iterator[Row]:
    # Objects become tuples of pairs, so that a key that stands twice is seen; numbers
    # stay as typed, so that an error shows what the person wrote.
    try:
        tree = json.loads(
            text, object_pairs_hook=tuple, parse_int=str, parse_float=str, parse_constant=str
        )
    except json.JSONDecodeError as error:
        raise FileUnreadable("bad_json", file=file, line=error.lineno) from None
    except RecursionError:
        raise FileUnreadable("json_not_rows", file=file) from None
    if isinstance(tree, tuple):
        inner = [value for key, value in tree if key == "rows"]
        tree = inner[0] if len(inner) == 1 else None
    return rows_of_objects(tree, file=file)


def rows_of_objects(objects: object, *, file: str) -> Iterator[Row]:
    """Rows of already parsed JSON: a list of objects, counted from 1."""
    if not isinstance(objects, list):
        raise FileUnreadable("json_not_rows", file=file)
    table: list[dict[str, str]] = []
    for number, thing in enumerate(objects, start=1):
        if not isinstance(thing, Mapping | tuple):
            raise FileUnreadable("row_not_object", file=file, row=number, value=_sketch(thing))
        pairs = tuple(thing.items()) if isinstance(thing, Mapping) else thing
        names = [columns.tidy(str(key)) for key, _ in pairs]
        columns.check_names(names, file=file, row=number)
        values = [value for _, value in pairs]
        table.append(
            {
                name: _cell(value, file=file, row=number, column=name)
                for name, value in zip(names, values, strict=True)
            }
        )
    header = dict.fromkeys(name for cells in table for name in cells)
    if table:
        columns.check_header(header, file=file)
    for number, cells in enumerate(table, start=1):
        yield Row(file, number, {name: cells.get(name, "") for name in header}, decimal_comma=True)


def _cell(value: object, *, file: str, row: int, column: str) -> str:
    if value is None:
        return ""
    simple = isinstance(value, str | int | float) and not isinstance(value, bool)
    if not simple or not is_text(str(value)):
        raise FileUnreadable(
            "cell_not_simple", file=file, row=row, column=column, value=_sketch(value)
        )
    return str(value).strip()


def _sketch(value: object) -> str:
    if isinstance(value, list | tuple | Mapping):
        return "[...]"
    return columns.shown(json.dumps(value, ensure_ascii=False, default=str))
