"""Column names, their units, limits and words: the law of a test-weld file."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from lapwright.errors import FileUnreadable
from lapwright.units import SYMBOLS, from_si, to_si
from lapwright.window.strips import Overheat, Pull

HEADER = "weld,air_f,speed_ft_min,ambient_f,sheet_f,strip,pull,overheat"


@dataclass(frozen=True)
class Quantity:
    """A measured column: the units it may come in and where it can lie at all.

    Parameters
    ----------
    units : tuple of str
        Suffixes the column may carry; empty for a column that needs none (volts).
    low, high : float
        What nature and machines allow, limits included. [SI]
    """

    units: tuple[str, ...]
    low: float
    high: float

    def has(self, value: float) -> bool:
        """Is the SI value within the limits, but for rounding."""
        return self.low <= round(value, 9) <= self.high

    def limits(self, unit: str | None) -> dict[str, str]:
        """Both limits as a person reads them, in the unit of the column."""
        if unit is None:
            return {"low": f"{self.low:g}", "high": f"{self.high:g}"}
        low, high = from_si(self.low, unit), from_si(self.high, unit)
        return {"low": f"{low:.4g}", "high": f"{high:.4g} {SYMBOLS[unit]}"}


# Limits are our choice, wide enough that only a slip of pen or unit falls outside.
QUANTITIES = {
    "air": Quantity(("f", "c"), 273.15, 973.15),  # K; 700 C, above any hand or walk-behind tool
    "measured_air": Quantity(("f", "c"), 273.15, 973.15),  # K; as air
    "ambient": Quantity(("f", "c"), 213.15, 333.15),  # K; hottest recorded is 56.7 C, from memory
    "sheet": Quantity(("f", "c"), 213.15, 393.15),  # K; 120 C, above black sheet in full sun
    "speed": Quantity(("ft_min", "m_min"), 0.1 / 60, 20 / 60),  # m/s
    "band": Quantity(("in", "mm"), 0.0, 0.15),  # m; no roller is wider
    "volts": Quantity((), 1.0, 600.0),  # V
}

# Words of a cell, English then Spanish; capitals and accents do not matter. The Spanish ones
# are from memory and wait for a native roofer.
PULL_WORDS: dict[str, Pull] = {
    "cold": "cold",
    "skin": "skin",
    "partial": "partial",
    "full": "full",
    "break": "break",
    "split": "split",
    "invalid": "invalid",
    "fría": "cold",
    "falsa": "skin",
    "parcial": "partial",
    "completa": "full",
    "rotura": "break",
    "delaminada": "split",
    "inválida": "invalid",
}
OVERHEAT_WORDS: dict[str, Overheat] = {
    "none": "none",
    "signs": "signs",
    "ninguna": "none",
    "ninguno": "none",
    "señales": "signs",
}

_TEXT = ("weld", "strip", "pull", "overheat", "note")
_REQUIRED = ("weld", "air", "speed", "ambient", "strip", "pull")
_MEASURED = {  # column: (quantity, unit)
    f"{name}_{unit}": (name, unit) for name, kind in QUANTITIES.items() for unit in kind.units
} | {name: (name, None) for name, kind in QUANTITIES.items() if not kind.units}
_KNOWN = (*_TEXT, *_MEASURED)


def columns_of(name: str) -> tuple[str, ...]:
    """All columns that can hold a quantity or text: ``air`` is ``air_f`` or ``air_c``."""
    units = QUANTITIES[name].units if name in QUANTITIES else ()
    return tuple(f"{name}_{unit}" for unit in units) or (name,)


def may_be_left_out(column: str) -> bool:
    """Can a row do without a cell for this column."""
    return _MEASURED.get(column, (column, None))[0] not in _REQUIRED


def tidy(name: str) -> str:
    """A column name as it is compared: ``" Air F"`` is ``"air_f"``."""
    return "_".join(name.lower().split())


def is_known(name: str) -> bool:
    """Is this tidy name a column of a test-weld file."""
    return name in _KNOWN


def check_names(names: Iterable[str], *, file: str, row: int) -> None:
    """Refuse a name that comes twice, lacks its unit or is not known."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise FileUnreadable("duplicate_column", file=file, row=row, column=name)
        seen.add(name)
        if name in _KNOWN:
            continue
        if name in QUANTITIES:
            choices = ", ".join(columns_of(name))
            raise FileUnreadable(
                "column_unit_missing", file=file, row=row, column=name, choices=choices
            )
        column = shown(name)
        nearest = difflib.get_close_matches(column, _KNOWN, n=1, cutoff=0.0)[0]
        raise FileUnreadable("unknown_column", file=file, row=row, column=column, nearest=nearest)


def check_header(names: Iterable[str], *, file: str) -> None:
    """Refuse a quantity in two units, and a table without a column it needs."""
    have = set(names)
    for name in QUANTITIES:
        both = [column for column in columns_of(name) if column in have]
        if len(both) > 1:
            raise FileUnreadable("column_twice", file=file, column=both[0], other=both[1])
    for name in _REQUIRED:
        choices = columns_of(name)
        if have.isdisjoint(choices):
            raise FileUnreadable(
                "column_missing", file=file, column=name, choices=", ".join(choices)
            )
    if "overheat" not in have:  # so that the top is never passed over in silence
        raise FileUnreadable("column_overheat_missing", file=file, column="overheat")


def plain(word: str) -> str:
    """A word as it is compared: lower case, single spaces, no accents."""
    apart = unicodedata.normalize("NFKD", " ".join(word.lower().split()))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def other_unit(column: str, value: float) -> tuple[str, str] | None:
    """Column and symbol in whose unit an impossible value would be possible."""
    name, _ = _MEASURED[column]
    for other in QUANTITIES[name].units:
        if QUANTITIES[name].has(to_si(value, other)):
            return f"{name}_{other}", SYMBOLS[other]
    return None


def shown(value: str) -> str:
    """What stands in a cell, short enough for one sentence."""
    line = "".join(sign if sign.isprintable() else "?" for sign in " ".join(value.split()))
    return line if len(line) <= 40 else line[:39] + "…"
