"""What a person states about this moment: sheet, air, humidity, power, time since the test."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.job.now import Said
from lapwright.physics.cords import find_gauge
from lapwright.readings.start import stated_in_si
from lapwright.units import from_si

_UNITS = {  # name, and the units it may be stated in: field of Said
    "sheet": ("sheet", ("f", "c")),
    "ambient": ("ambient", ("f", "c")),
    "humidity": ("relative_humidity", ("percent",)),
    "cord_length": ("length", ("ft", "m")),
    "generator": ("watts", ("kw",)),
    "since_test": ("since_pass", ("h",)),
}
STATED = (
    *(f"{name}_{unit}" for name, (_, units) in _UNITS.items() for unit in units),
    "volts",
    "cord",
)


def said_from(stated: Mapping[str, Any]) -> Said:
    """What is stated about this moment.

    Parameters
    ----------
    stated : mapping
        Names with unit suffix (``sheet_f``, ``cord_length_m``), ``volts``, and ``cord``: the
        name of its size. None and blank count as not stated. All names: :data:`STATED`.

    Returns
    -------
    Said
        SI.

    Raises
    ------
    LapwrightError
        ``unknown_stated`` name, ``stated_twice`` in two units, ``stated_not_a_number``,
        ``unknown_gauge``.
    OutOfRange
        A value no roof, cord or generator has.

    Examples
    --------
    >>> said = said_from({"sheet_f": "92", "humidity_percent": "60", "cord": "10 AWG"})
    >>> round(said.sheet, 2), said.relative_humidity, said.gauge.name, said.volts
    (306.48, 0.6, '10 AWG', None)
    """
    given = {name: value for name, value in stated.items() if value not in (None, "")}
    for name in given:
        if name not in STATED:
            raise LapwrightError("unknown_stated", value=name, known=", ".join(STATED))
    fields = {
        field: stated_in_si(name, units, given, otherwise=0.0)
        for name, (field, units) in _UNITS.items()
        if any(f"{name}_{unit}" in given for unit in units)
    }
    _check("humidity_percent", fields.get("relative_humidity"), unit="percent", limits=(1.0, 100.0))
    _check("hours", fields.get("since_pass"), unit="h", limits=(0.0, 1000.0))
    gauge = find_gauge(str(given["cord"])) if "cord" in given else None
    return Said(**fields, volts=_volts(given.get("volts")), gauge=gauge)


def _volts(typed: Any) -> float | None:
    try:
        return None if typed is None else float(typed)
    except ValueError:
        raise LapwrightError("stated_not_a_number", field="volts", value=str(typed)) from None


def _check(name: str, value: float | None, *, unit: str, limits: tuple[float, float]) -> None:
    """Refuse a slip of the finger in the unit it was typed in."""
    low, high = limits
    typed = low if value is None else round(from_si(value, unit), 6)
    if not low <= typed <= high:
        raise OutOfRange(name, typed, above=low, below=high)
