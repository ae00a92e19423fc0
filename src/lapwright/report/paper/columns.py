"""How a table is laid: size of its letters, width of each column, lines of each row.

Found before the pages are set, from the typeface's own widths. A row whose lines are known gets
its height told, which takes a third off the memory and the time that a long table costs.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from lapwright.report.paper.blocks import Grid
from lapwright.report.paper.face import width_of

SIZES = (8.0, 7.0, 6.0)  # pt; the first in which every word fits its column
GAPS = (10.0, 7.0, 4.0)  # pt between columns, in each size
_ROOM = 1.02  # kerning may widen a pair of letters
_LONGEST = 1 / 3  # of the width: the most that one word may claim for its column
_GUESS = 0.8  # em; a letter that only the typesetter can measure
_PIECE = 4  # letters, at most, between two places where a word may be cut
_CUT = "\u200b"  # has no width; a line may end here
_MOST = 30  # lines of a row that surely fits a page: a longer one may go over two
_ENDS = re.compile(f"(?<= )(?![°%])|{_CUT}")  # where a line may end; the space goes


@dataclass(frozen=True)
class Layout:
    """A table as it is set.

    Parameters
    ----------
    size, gap : float
        Of the letters; between columns. [pt]
    widths : tuple of float
        Of the columns. [pt]
    head : tuple of str
        Names of the columns, words too wide ready to be cut.
    rows : tuple of tuple of str
        Cells, each broken into its lines; where only the typesetter can measure one, those of its
        row with their words ready to be cut.
    lines : tuple of int
        How many each row takes; 0 where only the typesetter can tell.
    """

    size: float
    gap: float
    widths: tuple[float, ...]
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]


def _guessed(text: str, bold: bool) -> float:
    """Width, if need be guessed. [em]"""
    width = width_of(text, bold=bold)
    return width if width < float("inf") else _GUESS * len(text)


def cuttable(text: str, *, width: float, bold: bool = False) -> str:
    """The text with places to end a line in each word wider than the width, given in em.

    Examples
    --------
    >>> cuttable("a 12345678", width=4).replace("\u200b", "|")
    'a 1234|5678'
    """
    if len(text) < width or _guessed(text, bold) * _ROOM <= width:
        return text
    piece = max(1, min(_PIECE, int(width)))
    return "\n".join(
        " ".join(
            _CUT.join(word[at : at + piece] for at in range(0, len(word), piece))
            if _guessed(word, bold) * _ROOM > width
            else word
            for word in line.split(" ")
        )
        for line in text.split("\n")
    )


def broken(text: str, *, width: float) -> tuple[str, ...]:
    """The lines in which a text fits the width, given in em; none where that cannot be told.

    Examples
    --------
    >>> broken("probe, Luz, 09:51", width=5)
    ('probe,', 'Luz,', '09:51')
    >>> broken("שלום", width=6)
    ()
    """
    if width_of(text) * _ROOM <= width and "\n" not in text:
        return (text,)
    lines = []
    for line in cuttable(text, width=width).split("\n"):
        begun, *pieces = _ENDS.split(line)
        for piece in pieces:
            if width_of((begun + piece).rstrip(" ")) * _ROOM > width:
                lines.append(begun.rstrip(" "))
                begun = ""
            begun += piece
        lines.append(begun)
    fits = all(width_of(line) * _ROOM <= width for line in lines)
    return tuple(lines) if fits else ()


def shared_out(wants: Sequence[float], needs: Sequence[float], *, width: float) -> list[float]:
    """Widths of columns that together want more than there is: the greedy are held to one level.

    Parameters
    ----------
    wants, needs : sequence of float
        Of each column; the needs fit the width together.
    width : float
        What there is, in the same unit.

    Examples
    --------
    >>> [round(given) for given in shared_out([40, 300, 500], [30, 60, 80], width=240)]
    [40, 100, 100]
    """

    def given(level: float) -> list[float]:
        return [max(need, min(want, level)) for want, need in zip(wants, needs, strict=True)]

    low, high = 0.0, width
    for _ in range(40):  # halved until less than a hair is left
        middle = (low + high) / 2
        low, high = (low, middle) if sum(given(middle)) > width else (middle, high)
    return given(low)


def _claims(grid: Grid) -> tuple[list[float], list[float]]:
    """What each column wants for its longest line, and needs for its longest word. [em]"""
    wants, needs = [], []
    for column, name in enumerate(grid.head):
        cells = {row[column] for row in grid.rows}
        lines = [(line, False) for cell in cells for line in cell.split("\n")]
        lines += [(line, True) for line in name.split("\n")]
        wants.append(_ROOM * max(_guessed(line, bold) for line, bold in lines) + 0.1)
        words = {(word, bold) for line, bold in lines for word in line.split(" ")}
        needs.append(_ROOM * max(_guessed(word, bold) for word, bold in words) + 0.1)
    return wants, needs


def _stretched(wants: list[float], grid: Grid, *, width: float) -> list[float]:
    """Widths that fill the page: what is left over goes to the wide columns."""
    last = len(wants) - 1
    wide = grid.wide or (range(len(wants)) if last in grid.numbers else (last,))
    more = (width - sum(wants)) / len(wide)
    return [want + more * (column in wide) for column, want in enumerate(wants)]


def _widths(grid: Grid, *, width: float) -> tuple[float, float, list[float]]:
    """Size of the letters, gap and widths of the columns. [pt]"""
    claimed, needed = _claims(grid)
    for size, gap in zip(SIZES, GAPS, strict=True):
        left = width - gap * (len(claimed) - 1)
        wants = [size * want for want in claimed]
        needs = [min(size * need, _LONGEST * width) for need in needed]
        if sum(wants) <= left:
            return size, gap, _stretched(wants, grid, width=left)
        if sum(needs) <= left:
            return size, gap, shared_out(wants, needs, width=left)
    return size, gap, shared_out(needs, [0.0] * len(needs), width=left)


def laid(grid: Grid, *, width: float) -> Layout:
    """How a table is set in the width of the page's text, in pt.

    Examples
    --------
    >>> table = laid(Grid(("seam", "ft"), (("S1", "40"), ("S2", "38")), numbers=(1,)), width=500)
    >>> table.size, table.lines, round(sum(table.widths) + table.gap)
    (8.0, (1, 1), 500)
    """
    size, gap, widths = _widths(grid, width=width)
    widths = [round(each, 2) for each in widths]
    ems = [each / size for each in widths]

    def fitted(cells: tuple[str, ...], *, bold: bool = False) -> tuple[str, ...]:
        return tuple(
            cuttable(cell, width=em, bold=bold) for cell, em in zip(cells, ems, strict=True)
        )

    def set_row(row: tuple[str, ...]) -> tuple[int, tuple[str, ...]]:
        cells = [broken(cell, width=em) for cell, em in zip(row, ems, strict=True)]
        if not all(cells) or (most := max(map(len, cells))) > _MOST:
            return 0, fitted(row)
        return most, tuple(map("\n".join, cells))

    lines, rows = zip(*map(set_row, grid.rows), strict=True) if grid.rows else ((), ())
    return Layout(size, gap, tuple(widths), fitted(grid.head, bold=True), rows, lines)
