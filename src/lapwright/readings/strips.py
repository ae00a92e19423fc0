"""Rows to test welds: one set of checks for files, pasted text and the field page."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TypeVar

from lapwright.errors import FileUnreadable
from lapwright.readings import columns
from lapwright.readings.rows import Row, rows_of_objects, rows_of_text
from lapwright.readings.text import decode, load
from lapwright.units import to_si
from lapwright.window.strips import Strip, TestWeld, in_order

MOST_ROWS = 5000  # strips in one file; our choice, some years of mornings
MOST_STRIPS = 10  # strips of one weld; our choice

_NUMBER = re.compile(r"[+-]?(\d+[.]?\d*|[.]\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_WHOLE = re.compile(r"0*(\d+)([.,]0+)?", re.ASCII)

Word = TypeVar("Word", bound=str)


def read_welds(source: Path | bytes | str, *, name: str | None = None) -> tuple[TestWeld, ...]:
    r"""Test welds that a crew wrote down, from a file or from its content.

    Parameters
    ----------
    source : Path, bytes or str
        A path is opened; bytes and text are the content itself. CSV with a header line,
        or JSON: a list of row objects, or ``{"rows": [...]}``.
    name : str, optional
        What errors call the file; by default the path as given, ``"-"`` for content.

    Returns
    -------
    tuple of TestWeld
        In SI, ordered by number, so that the order of rows changes nothing; empty when
        there is a header and no row yet.

    Raises
    ------
    FileUnreadable
        The file, its header, a row or a cell cannot be understood; the code says which.

    Notes
    -----
    Columns, in any order: ``weld``, ``air_f``, ``speed_ft_min``, ``ambient_f``, ``strip``,
    ``pull``, ``overheat`` are needed; ``sheet_f`` (else as ambient), ``band_in``,
    ``measured_air_f``, ``volts``, ``note`` may be left out. ``_c``, ``_m_min`` and ``_mm``
    stand for the metric twins. Comma, semicolon or tab part the cells; a decimal comma is
    read unless commas part them. What belongs to the weld may stand in one of its rows and
    be blank in the others. A blank ``overheat`` cell means that nobody looked, never
    "none". ``1``, ``01`` and ``1.0`` are one number.

    Examples
    --------
    >>> rows = "weld,air_f,speed_ft_min,ambient_f,strip,pull,overheat\n1,860,10,72,1,full,none"
    >>> (weld,) = read_welds(rows)
    >>> round(weld.air, 2), round(weld.speed, 4), weld.strips[0].pull
    (733.15, 0.0508, 'full')
    """
    file = name or (str(source) if isinstance(source, Path) else "-")
    content = load(source, file=file) if isinstance(source, Path) else source
    return _welds(rows_of_text(decode(content, file=file), file=file))


def welds_from_rows(rows: object, *, name: str) -> tuple[TestWeld, ...]:
    """Test welds from already parsed row objects, under the checks of :func:`read_welds`.

    Parameters
    ----------
    rows : list of dict
        One object per strip, with the columns of :func:`read_welds`; None is a blank
        cell, numbers may be text. Anything else is refused, so parsed JSON can come
        in unchecked.
    name : str
        What errors call the rows.

    Returns
    -------
    tuple of TestWeld
        As :func:`read_welds`.

    Raises
    ------
    FileUnreadable
        As :func:`read_welds`; ``row`` counts the objects from 1.

    Examples
    --------
    >>> row = {"weld": 1, "air_c": 460, "speed_m_min": 3, "ambient_c": 22, "strip": 1}
    >>> welds = welds_from_rows([row | {"pull": "full", "overheat": None}], name="page")
    >>> round(welds[0].air, 2), welds[0].strips[0].overheat
    (733.15, None)
    """
    return _welds(rows_of_objects(rows, file=name))


def _welds(rows: Iterable[Row]) -> tuple[TestWeld, ...]:
    by_weld: dict[str, list[Row]] = {}
    for count, row in enumerate(rows, start=1):
        if count > MOST_ROWS:
            raise FileUnreadable("too_many_rows", file=row.file, row=row.number, limit=MOST_ROWS)
        by_weld.setdefault(_name(row, "weld"), []).append(row)
    return in_order(tuple(_weld(number, own) for number, own in by_weld.items()))


def _weld(number: str, rows: list[Row]) -> TestWeld:
    ambient = _needed(rows, "ambient")
    sheet = _agreed(rows, "sheet")
    return TestWeld(
        number=number,
        air=_needed(rows, "air"),
        speed=_needed(rows, "speed"),
        ambient=ambient,
        sheet=ambient if sheet is None else sheet,
        strips=_strips(number, rows),
        measured_air=_agreed(rows, "measured_air"),
        volts=_agreed(rows, "volts"),
    )


def _strips(weld: str, rows: list[Row]) -> tuple[Strip, ...]:
    first: dict[str, Row] = {}
    strips = []
    for row in rows:
        strip = _strip(row)
        if strip.number in first:
            before = first[strip.number].number
            raise row.error("strip_twice", "strip", weld=weld, first_row=before)
        if len(first) == MOST_STRIPS:
            raise row.error("too_many_strips", "strip", weld=weld, limit=MOST_STRIPS)
        first[strip.number] = row
        strips.append(strip)
    return tuple(sorted(strips, key=lambda strip: (len(strip.number), strip.number)))


def _strip(row: Row) -> Strip:
    number = _name(row, "strip")
    pull = _word(row, "pull", columns.PULL_WORDS)
    if pull is None:
        raise row.error("blank_cell", "pull")
    return Strip(
        number=number,
        pull=pull,
        overheat=_word(row, "overheat", columns.OVERHEAT_WORDS),
        band=_quantity(row, "band"),
        note=row.cells.get("note", ""),
    )


def _needed(rows: list[Row], name: str) -> float:
    value = _agreed(rows, name)
    if value is None:
        raise rows[0].error("blank_cell", _column(rows[0], name))
    return value


def _agreed(rows: list[Row], name: str) -> float | None:
    """The one value that the rows of a weld give; blank rows mean the same."""
    given = [(row, value) for row in rows if (value := _quantity(row, name)) is not None]
    if not given:
        return None
    first, value = given[0]
    column = _column(first, name)
    for row, other in given:
        if other != value:
            raise row.error(
                "two_settings",
                column,
                weld=columns.shown(row.cell("weld")),
                first_row=first.number,
                first_value=columns.shown(first.cell(column)),
            )
    return value


def _name(row: Row, column: str) -> str:
    """Number of a weld or strip; the spellings of one whole number are one name."""
    cell = row.cell(column)
    if not cell:
        raise row.error("blank_cell", column)
    whole = _WHOLE.fullmatch(cell)
    return whole[1] if whole else cell


def _word(row: Row, column: str, words: Mapping[str, Word]) -> Word | None:
    cell = columns.plain(row.cell(column))
    if not cell:
        return None
    plain = {columns.plain(word): word for word in words}
    if cell in plain:
        return words[plain[cell]]
    meanings = words.values()
    choices = ", ".join(word for word in words if word in meanings)
    choices_es = ", ".join(word for word in words if word not in meanings)
    nearest = difflib.get_close_matches(cell, plain, n=1, cutoff=0.7)
    if nearest:
        raise row.error("misspelt_word", column, nearest=plain[nearest[0]])
    raise row.error("unknown_word", column, choices=choices, choices_es=choices_es)


def _column(row: Row, name: str) -> str:
    """The column that holds a quantity here; any of its columns when none does."""
    choices = columns.columns_of(name)
    return next((column for column in choices if column in row.cells), choices[0])


def _quantity(row: Row, name: str) -> float | None:
    """SI value of a cell within its limits; None when blank or without a column."""
    column = _column(row, name)
    cell = row.cell(column)
    if not cell:
        return None
    if "," in cell and not row.decimal_comma:
        raise row.error("comma_in_number", column)
    text = cell.replace(",", ".")
    value = float(text) if _NUMBER.fullmatch(text) else math.nan
    if not math.isfinite(value):
        raise row.error("not_a_number", column)
    quantity = columns.QUANTITIES[name]
    unit = column.removeprefix(name + "_") if quantity.units else None
    si = to_si(value, unit) if unit else value
    if quantity.has(si):
        return si
    slip = columns.other_unit(column, value)
    if slip:
        raise row.error(
            "unit_slip", column, **quantity.limits(unit), other=slip[0], other_unit=slip[1]
        )
    raise row.error("out_of_limits", column, **quantity.limits(unit))
