"""What a person types about generator, cords and tools -> a power set-up in SI.

Cords, tools and the losses of a generator's manual are short texts as the trade says
them. They are read strictly: a text that is not understood is refused with an example,
never half read.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.cords import find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.supply import Cord, Derating, Generator, PowerSetup
from lapwright.readings.start import stated_in_si
from lapwright.units import difference_to_si, to_si

_OPEN_VOLTS = 240.0  # V; outlet of a common North American generator; said to be assumed
_MOST_VOLTS = 1000.0  # V; beyond it a slip of the finger
_AMBIENT = 299.82  # K; 80 F, when nothing is said
_SETTING = 810.93  # K; 1000 F, when nothing is said
_REGULATION = 0.04  # -; when nothing is said
_CORD = "10 AWG 100 ft"
_NO_LOSS = "none"

_N = r"(\d{1,6}(?:\.\d{1,4})?)"
_FORMS = {  # option: the form, and an example in either system
    "--cord": (
        rf"{_N} ?(AWG|mm2|mm²) {_N} ?(ft|m)(?: at {_N} ?V)?( coiled)?",
        (_CORD, "4 mm2 30 m"),
    ),
    "--tool": (
        rf"{_N} ?V {_N} ?(k?W)(?: {_N} ?(L/min|cfm))?(?: on (\d{{1,2}}))?(?: measured {_N} ?V)?",
        ("230 V 4600 W 11.5 cfm on 1 measured 221 V", "230 V 4600 W 325 L/min on 1 measured 221 V"),
    ),
    "--derate-altitude": (
        rf"{_N} ?% per {_N} ?(ft|m) above {_N} ?(ft|m)",
        ("3.5% per 1000 ft above 1000 ft", "3% per 500 m above 1000 m"),
    ),
    "--derate-heat": (
        rf"{_N} ?% per {_N} ?°?(F|C) above {_N} ?°?(F|C)",
        ("1% per 10 F above 77 F", "3% per 5 C above 40 C"),
    ),
}
_TOOL_UNITS = {"w": "w", "kw": "kw", "l/min": "l_min", "cfm": "cfm"}


@dataclass(frozen=True)
class StatedPower:
    """A power set-up as stated, with what had to be assumed.

    Parameters
    ----------
    setup : PowerSetup
        Generator, cords and tools.
    air : float
        Setting asked of the tools. [K]
    assumed : tuple of str
        What was not stated: names of options, without unit.
    """

    setup: PowerSetup
    air: float
    assumed: tuple[str, ...]


def power_from(stated: Mapping[str, Any]) -> StatedPower:
    """The power set-up that stated values make.

    Parameters
    ----------
    stated : mapping
        ``generator_kw`` (none: a house supply), ``volts_open``, ``regulation_percent``,
        ``altitude_ft`` or ``_m``, ``ambient_f`` or ``_c``, ``set_air_f`` or ``_c``,
        ``derate_altitude``, ``derate_heat``, and lists of texts ``cord`` and ``tool``.
        None or an empty list counts as not stated.

    Returns
    -------
    StatedPower
        SI.

    Raises
    ------
    LapwrightError
        ``power_not_read``: a text not in its form; ``needs_generator``;
        ``derating_half``: one loss without the other; ``no_such_cord``;
        ``cord_without_tool``; ``unknown_gauge``; ``stated_twice`` in two units.
    OutOfRange
        A value no supply has.

    Examples
    --------
    >>> stated = power_from({"generator_kw": 10, "cord": ["12 AWG 200 ft"], "ambient_f": 80})
    >>> round(stated.setup.cords[0].length, 2), stated.assumed
    (60.96, ('volts_open', 'regulation', 'altitude', 'tool', 'set_air'))
    """
    given = {name: value for name, value in stated.items() if value not in (None, "", (), [])}
    assumed = [
        name
        for name in ("volts_open", "regulation", "ambient", "altitude", "cord", "tool", "set_air")
        if not any(key == name or key.startswith(f"{name}_") for key in given)
    ]
    generator = _generator(given)
    if not generator.is_engine and "regulation" in assumed:
        assumed.remove("regulation")
    setup = PowerSetup(
        generator=generator,
        cords=_cords(given.get("cord", [_CORD]), given.get("tool", []), generator.volts),
        ambient=stated_in_si("ambient", ("f", "c"), given, otherwise=_AMBIENT),
        altitude=stated_in_si("altitude", ("ft", "m"), given, otherwise=0.0),
    )
    air = stated_in_si("set_air", ("f", "c"), given, otherwise=_SETTING)
    return StatedPower(setup, air, tuple(assumed))


def _generator(given: dict[str, Any]) -> Generator:
    volts = float(given.get("volts_open", _OPEN_VOLTS))
    if not 0 < volts < _MOST_VOLTS:
        raise OutOfRange("volts", volts, above=0.0, below=_MOST_VOLTS)
    if "generator_kw" not in given:
        for name in ("regulation_percent", "derate_altitude", "derate_heat"):
            if name in given:
                raise LapwrightError("needs_generator", option=f"--{name.replace('_', '-')}")
        return Generator(volts=volts, watts=math.inf, regulation=0.0)
    return Generator(
        volts=volts,
        watts=stated_in_si("generator", ("kw",), given, otherwise=math.inf),
        regulation=stated_in_si("regulation", ("percent",), given, otherwise=_REGULATION),
        derating=_derating(given),
    )


def _derating(given: Mapping[str, Any]) -> Derating | None:
    texts = [given.get("derate_altitude"), given.get("derate_heat")]
    if texts == [None, None]:
        return None
    if None in texts:
        raise LapwrightError("derating_half")
    altitude_slope, altitude_base = _loss("--derate-altitude", str(texts[0]))
    heat_slope, heat_base = _loss("--derate-heat", str(texts[1]))
    return Derating(altitude_slope, altitude_base, heat_slope, heat_base)


def _loss(option: str, text: str) -> tuple[float, float]:
    """Share lost per metre or kelvin, and where the loss begins."""
    if text.strip().casefold() == _NO_LOSS:
        return 0.0, 0.0
    percent, step, step_unit, base, base_unit = _read(option, text)
    per = difference_to_si(float(step), step_unit.lower())
    if per == 0:
        raise _not_read(option, text)
    return to_si(float(percent), "percent") / per, to_si(float(base), base_unit.lower())


def _cords(cords: list[str], tools: list[str], volts_open: float) -> tuple[Cord, ...]:
    """Each cord with its tools; without any tool said, one usual welder on every cord."""
    placed: dict[int, list[Tool]] = {number: [] for number in range(1, len(cords) + 1)}
    for number, text in enumerate(tools, start=1):
        on, tool = _tool(text)
        cord = min(number, len(cords)) if on is None else on
        if cord not in placed:
            raise LapwrightError("no_such_cord", value=text, number=str(cord), have=str(len(cords)))
        placed[cord].append(tool)
    if not tools:
        placed = {number: [Tool()] for number in placed}
    for number, hung in placed.items():
        if not hung:
            raise LapwrightError("cord_without_tool", number=str(number))
    return tuple(
        _cord(text, tuple(placed[number]), volts_open) for number, text in enumerate(cords, start=1)
    )


def _cord(text: str, tools: tuple[Tool, ...], volts_open: float) -> Cord:
    size, size_unit, length, length_unit, volts, coiled = _read("--cord", text)
    outlet = 1.0 if volts is None else float(volts) / volts_open
    if not 0 < outlet <= 1:
        raise OutOfRange("volts", float(volts), above=0.0, below=volts_open)
    return Cord(
        gauge=find_gauge(f"{float(size):g} {size_unit.replace('²', '2')}"),
        length=to_si(float(length), length_unit.lower()),
        tools=tools,
        coiled=coiled is not None,
        outlet=outlet,
    )


def _tool(text: str) -> tuple[int | None, Tool]:
    """The number of its cord, if said, and the tool."""
    volts, watts, watts_unit, flow, flow_unit, on, measured = _read("--tool", text)
    known: dict[str, float] = {
        "volts": float(volts),
        "watts": to_si(float(watts), _TOOL_UNITS[watts_unit.lower()]),
    }
    if flow is not None:
        known["air_flow"] = to_si(float(flow), _TOOL_UNITS[flow_unit.lower()])
    if measured is not None:
        known["measured"] = float(measured)
    return None if on is None else int(on), Tool(**known)


def _read(option: str, text: str) -> tuple[Any, ...]:
    form, _ = _FORMS[option]
    found = re.fullmatch(form, " ".join(text.split()), flags=re.IGNORECASE | re.ASCII)
    if found is None:
        raise _not_read(option, text)
    return found.groups()


def _not_read(option: str, text: str) -> LapwrightError:
    _, (us, metric) = _FORMS[option]
    return LapwrightError("power_not_read", option=option, value=text, us=us, metric=metric)
