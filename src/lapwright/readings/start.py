"""What a person states beside the strips: conditions, machine limits, the hours ahead."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lapwright.errors import LapwrightError
from lapwright.units import difference_to_si, to_si
from lapwright.window.answer import Question
from lapwright.window.drift import Drift
from lapwright.window.prior import Earlier
from lapwright.window.strips import TestWeld

_UNITS = {  # field of the question: units it may be stated in
    "speed": ("ft_min", "m_min"),
    "sheet": ("f", "c"),
    "ambient": ("f", "c"),
    "min_air": ("f", "c"),
    "max_air": ("f", "c"),
    "thickness": ("mil", "mm"),
}
_CHANGES = {"sheet_low": ("f", "c"), "sheet_high": ("f", "c")}  # differences, of the drift
_PLAIN = ("membrane", "policy", "level", "vary", "plan", "strips")
STATED = (
    *(f"{name}_{unit}" for name, units in {**_UNITS, **_CHANGES}.items() for unit in units),
    *_PLAIN,
    "wind_words",
    "volts_percent",
)


def question_from(
    welds: tuple[TestWeld, ...], stated: Mapping[str, Any], *, earlier: Earlier | None = None
) -> Question:
    """The question that welds and stated values make together.

    Parameters
    ----------
    welds : tuple of TestWeld
        Test welds so far, SI.
    stated : mapping
        Names with unit suffix (``speed_ft_min``, ``ambient_c``) and plain choices;
        None counts as not stated. All names: :data:`STATED`.
    earlier : Earlier, optional
        What an earlier day believed.

    Returns
    -------
    Question
        SI.

    Raises
    ------
    LapwrightError
        ``unknown_stated`` name, ``stated_twice`` in two units, ``stated_not_a_number``.
    OutOfRange
        A value no machine, roof or sheet has.

    Examples
    --------
    >>> round(question_from((), {"ambient_f": 80, "speed_ft_min": "10"}).speed, 4)
    0.0508
    """
    given = {name: value for name, value in stated.items() if value not in (None, "")}
    for name in given:
        if name not in STATED:
            raise LapwrightError("unknown_stated", value=name, known=", ".join(STATED))
    fields: dict[str, Any] = {name: given[name] for name in _PLAIN if name in given}
    for name, units in _UNITS.items():
        value = _in_si(name, units, given, difference=False)
        if value is not None:
            fields[name] = value
    changes = {
        name: _in_si(name, units, given, difference=True) or 0.0 for name, units in _CHANGES.items()
    }
    if "level" in fields:
        fields["level"] = _number("level", fields["level"])
    if "strips" in fields:
        fields["strips"] = _whole("strips", fields["strips"])
    drift = Drift(
        **changes,
        wind_words=_whole("wind_words", given.get("wind_words", 0)),
        volts_ratio=1 + _number("volts_percent", given.get("volts_percent", 0)) / 100,
    )
    return Question(welds=welds, earlier=earlier, drift=drift, **fields)


def stated_in_si(
    name: str, units: tuple[str, ...], stated: dict[str, Any], *, otherwise: float
) -> float:
    """A stated value taken out of ``stated``, in SI; ``otherwise`` where it is not stated.

    Raises
    ------
    LapwrightError
        ``stated_twice`` in two units, ``stated_not_a_number``.

    Examples
    --------
    >>> stated = {"air_f": 850.0, "air_c": None, "membrane": "tpo"}
    >>> round(stated_in_si("air", ("f", "c"), stated, otherwise=700.0), 2), sorted(stated)
    (727.59, ['membrane'])
    """
    given = {f"{name}_{unit}": stated.pop(f"{name}_{unit}", None) for unit in units}
    given = {key: value for key, value in given.items() if value is not None}
    value = _in_si(name, units, given, difference=False)
    return otherwise if value is None else value


def _in_si(
    name: str, units: tuple[str, ...], given: Mapping[str, Any], *, difference: bool
) -> float | None:
    found = [unit for unit in units if f"{name}_{unit}" in given]
    if not found:
        return None
    if len(found) > 1:
        first, second = (f"{name}_{unit}" for unit in found)
        raise LapwrightError("stated_twice", first=first, second=second)
    value = _number(f"{name}_{found[0]}", given[f"{name}_{found[0]}"])
    return difference_to_si(value, found[0]) if difference else to_si(value, found[0])


def _number(name: str, value: Any) -> float:
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise LapwrightError("stated_not_a_number", field=name, value=str(value)) from None
    if not abs(number) < 1e9:  # nan and inf too
        raise LapwrightError("stated_not_a_number", field=name, value=str(value))
    return number


def _whole(name: str, value: Any) -> int:
    number = _number(name, value)
    if not number.is_integer():
        raise LapwrightError("stated_not_whole", field=name, value=str(value))
    return int(number)
