"""What stands above the numbers of a force gauge file: columns, units, lines about the pull."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from lapwright.errors import LapwrightError
from lapwright.readings.columns import plain
from lapwright.units import to_si

Quantity = Literal["force", "travel", "clock", "strip", "skip"]
About = Literal["width", "rate", "strip", "grade"]

# Words of a header or of a line about the pull, English and Spanish, without accents; the
# Spanish ones are from memory.
_COLUMNS: dict[str, Quantity] = {
    "force": "force", "load": "force", "fuerza": "force", "carga": "force",
    "extension": "travel", "travel": "travel", "displacement": "travel", "crosshead": "travel",
    "stroke": "travel", "position": "travel", "carrera": "travel", "desplazamiento": "travel",
    "recorrido": "travel",
    "time": "clock", "tiempo": "clock",
    "strip": "strip", "specimen": "strip", "sample": "strip", "tira": "strip",
    "probeta": "strip", "muestra": "strip",
}  # fmt: skip
_ABOUT: dict[str, About] = {
    "width": "width", "ancho": "width",
    "rate": "rate", "speed": "rate", "velocidad": "rate",
    "strip": "strip", "specimen": "strip", "sample": "strip", "tira": "strip",
    "probeta": "strip", "muestra": "strip",
    "pull": "grade", "grade": "grade", "resultado": "grade",
}  # fmt: skip
UNITS: dict[str, tuple[Quantity, str]] = {  # as written: quantity, unit of lapwright.units
    "n": ("force", "n"), "kn": ("force", "kn"), "lbf": ("force", "lbf"), "lb": ("force", "lbf"),
    "lbs": ("force", "lbf"), "kgf": ("force", "kgf"), "kg": ("force", "kgf"),
    "gf": ("force", "gf"), "g": ("force", "gf"),
    "mm": ("travel", "mm"), "cm": ("travel", "cm"), "m": ("travel", "m"), "in": ("travel", "in"),
    "s": ("clock", "s"), "sec": ("clock", "s"), "min": ("clock", "min"),
}  # fmt: skip
_WIDTHS = ("in", "mm", "cm")
_VALUE = re.compile(r"([\d.,]+)\s*([a-zA-Z/]+)")
_SPLIT = re.compile(r"[\s()\[\]_,:/]+")


@dataclass(frozen=True)
class Column:
    """One column of numbers.

    Parameters
    ----------
    quantity : str
        ``skip`` is passed over.
    unit : str, optional
        Of :mod:`lapwright.units`; None where nothing says it.
    """

    quantity: Quantity
    unit: str | None = None

    @property
    def is_clear(self) -> bool:
        """Whether its numbers can be read."""
        return self.unit is not None or self.quantity in ("strip", "skip")


def stated_columns(signs: Iterable[str]) -> tuple[Column, ...]:
    """Columns by their units alone, as a person states them.

    Raises
    ------
    LapwrightError
        ``peel_unit_unknown``.

    Examples
    --------
    >>> [column.quantity for column in stated_columns(["s", "mm", "lbf", "-"])]
    ['clock', 'travel', 'force', 'skip']
    """
    columns = []
    for sign in signs:
        tidy = sign.strip().lower()
        if tidy == "-":
            columns.append(Column("skip"))
        elif tidy in UNITS:
            columns.append(Column(*UNITS[tidy]))
        else:
            raise LapwrightError("peel_unit_unknown", value=sign, known=", ".join([*UNITS, "-"]))
    return tuple(columns)


def header_of(cells: Sequence[str]) -> tuple[Column, ...]:
    """Columns that a row names; nothing if it is no header.

    Examples
    --------
    >>> header_of(["Carrera (mm)", "Fuerza [N]"])[1]
    Column(quantity='force', unit='n')
    """
    columns = tuple(_column(cell) for cell in cells)
    named = sum(column.quantity != "skip" for column in columns)
    return columns if named >= 2 else ()


def _column(cell: str) -> Column:
    words = [word for word in _SPLIT.split(plain(cell)) if word]
    quantity = next((_COLUMNS[word] for word in words if word in _COLUMNS), None)
    if quantity is None:
        return Column("skip")
    units = [UNITS[word][1] for word in words if word in UNITS and UNITS[word][0] == quantity]
    return Column(quantity, units[-1] if units else None)


def units_of(cells: Sequence[str], columns: Sequence[Column]) -> tuple[Column, ...]:
    """Columns with the units that a row of nothing but units gives them.

    Examples
    --------
    >>> units_of(["mm", "lbf"], header_of(["Extension", "Load"]))[1].unit
    'lbf'
    """
    signs = [plain(cell).strip("()[]") for cell in cells]
    if not any(signs) or any(sign and sign not in UNITS for sign in signs):
        return ()
    if not columns:
        return stated_columns(sign or "-" for sign in signs)
    filled = [*signs, *[""] * (len(columns) - len(signs))]
    return tuple(
        Column(column.quantity, UNITS[sign][1])
        if sign and column.quantity == UNITS[sign][0]
        else column
        for column, sign in zip(columns, filled, strict=False)
    )


def about_of(cells: Sequence[str]) -> tuple[About, str] | None:
    """What a line above the numbers says of the pull: ``Width; 25,4 mm``.

    Examples
    --------
    >>> about_of(["Width: 1 in"]), about_of(["Probeta", "A-3"]), about_of(["Load", "N"])
    (('width', '1 in'), ('strip', 'A-3'), None)
    """
    said = [cell for cell in cells if cell]
    if len(said) == 1:
        word, mark, rest = said[0].replace("=", ":").partition(":")
        said = [word, rest.strip()] if mark else said[0].split(maxsplit=1)
    if not 2 <= len(said) <= 3:
        return None
    words = plain(said[0]).rstrip(":").split()
    about = next((_ABOUT[word] for word in words if word in _ABOUT), None)
    if about is None or header_of(said):
        return None
    return about, " ".join(said[1:])


def width_of(text: str) -> float | None:
    """Width in a line about the pull, SI; None when it has no unit that is known. [m]"""
    value, unit = _value(text)
    return to_si(value, unit) if value and unit in _WIDTHS else None


def rate_of(text: str) -> float | None:
    """Speed of the jaws in a line about the pull; None as for :func:`width_of`. [m/s]"""
    value, unit = _value(text)
    known = {"in/min": "in_min", "mm/min": "mm_min", "m/min": "m_min"}
    return to_si(value, known[unit]) if value and unit in known else None


def _value(text: str) -> tuple[float | None, str]:
    found = _VALUE.search(text)
    return (figure(found[1]), found[2].lower()) if found else (None, "")


def figure(cell: str) -> float | None:
    """Number in a cell, decimal point or comma; None for both at once, or for no number.

    Examples
    --------
    >>> figure("12,5"), figure("1e-3"), figure("1,234.5"), figure("nan")
    (12.5, 0.001, None, None)
    """
    if "," in cell and "." in cell:
        return None  # a mark for thousands: which one is it?
    try:
        value = float(cell.replace(",", "."))
    except ValueError:
        return None
    return value if abs(value) < 1e12 else None
