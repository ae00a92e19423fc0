"""Field units to SI and back: the only conversion factors in lapwright.

Used at the edges only (``cli``, ``web``, ``report``, ``readings``, ``words``).
Inside the core everything is SI and kelvin. A unit is named by the suffix that
fields carry at the edges: ``air_f``, ``speed_ft_min``, ``band_mm``.
"""

from __future__ import annotations

from typing import Literal

UnitSystem = Literal["us", "metric"]

_SCALE_ZERO = {  # unit: (SI units per field unit, SI value of the field zero)
    "f": (5 / 9, 459.67 * 5 / 9),
    "c": (1.0, 273.15),
    "ft_min": (0.3048 / 60, 0.0),
    "m_min": (1 / 60, 0.0),
    "mph": (0.44704, 0.0),  # exact, of the international mile
    "km_h": (1 / 3.6, 0.0),
    "in": (0.0254, 0.0),
    "mm": (0.001, 0.0),
    "mil": (0.0000254, 0.0),
    "ft": (0.3048, 0.0),
    "m": (1.0, 0.0),
    "s": (1.0, 0.0),
    "min": (60.0, 0.0),
    "h": (3600.0, 0.0),
    "w": (1.0, 0.0),
    "kw": (1000.0, 0.0),
    "percent": (0.01, 0.0),
    "pct": (0.01, 0.0),  # as weather columns write it
    "tenths": (0.1, 0.0),  # of the sky
    "m_s": (1.0, 0.0),
    "w_m2": (1.0, 0.0),
    "pa": (1.0, 0.0),
    "v": (1.0, 0.0),
    "hpa": (100.0, 0.0),
    "inhg": (3386.389, 0.0),
    "deg": (1.0, 0.0),
    "mm2": (1e-6, 0.0),
    "l_min": (0.001 / 60, 0.0),
    "cfm": (0.3048**3 / 60, 0.0),
    "lbf": (4.4482216152605, 0.0),
    "n": (1.0, 0.0),
    "kn": (1000.0, 0.0),
    "kgf": (9.80665, 0.0),
    "gf": (0.00980665, 0.0),
    "cm": (0.01, 0.0),
    "j": (1.0, 0.0),
    "in_lbf": (4.4482216152605 * 0.0254, 0.0),
    "in_min": (0.0254 / 60, 0.0),
    "mm_min": (0.001 / 60, 0.0),
    "lbf_in": (4.4482216152605 / 0.0254, 0.0),  # peel force over strip width
    "n_50mm": (20.0, 0.0),
}

FIELD_UNITS: dict[UnitSystem, dict[str, str]] = {
    "us": {
        "temperature": "f",
        "speed": "ft_min",
        "wind": "mph",
        "width": "in",
        "length": "ft",
        "thickness": "mil",
        "flow": "cfm",
        "peel": "lbf_in",
        "rate": "in_min",
        "energy": "in_lbf",
    },
    "metric": {
        "temperature": "c",
        "speed": "m_min",
        "wind": "km_h",
        "width": "mm",
        "length": "m",
        "thickness": "mm",
        "flow": "l_min",
        "peel": "n_50mm",
        "rate": "mm_min",
        "energy": "j",
    },
}

SYMBOLS = {
    "f": "°F",
    "c": "°C",
    "ft_min": "ft/min",
    "m_min": "m/min",
    "mph": "mph",
    "km_h": "km/h",
    "in": "in",
    "mm": "mm",
    "mil": "mil",
    "ft": "ft",
    "m": "m",
    "s": "s",
    "min": "min",
    "h": "h",
    "w": "W",
    "kw": "kW",
    "percent": "%",
    "mm2": "mm²",
    "l_min": "L/min",
    "cfm": "cfm",
    "v": "V",
    "lbf": "lbf",
    "n": "N",
    "kn": "kN",
    "kgf": "kgf",
    "gf": "gf",
    "cm": "cm",
    "j": "J",
    "in_lbf": "in·lbf",
    "in_min": "in/min",
    "mm_min": "mm/min",
    "lbf_in": "lbf/in",
    "n_50mm": "N/50 mm",
}


def to_si(value: float, unit: str) -> float:
    """SI value of a field value.

    Parameters
    ----------
    value : float
        Value in the field unit.
    unit : str
        A key of :data:`SYMBOLS`.

    Returns
    -------
    float
        K, m/s, m, s, W, m2, m3/s, N/m, or a share of 1.

    Examples
    --------
    >>> round(to_si(80.0, "f"), 2), round(to_si(10.0, "ft_min"), 4)
    (299.82, 0.0508)
    """
    scale, zero = _SCALE_ZERO[unit]
    return value * scale + zero


def from_si(value: float, unit: str) -> float:
    """Field value of an SI value, the inverse of :func:`to_si`.

    Examples
    --------
    >>> round(from_si(299.8166667, "f"), 3)
    80.0
    """
    scale, zero = _SCALE_ZERO[unit]
    return (value - zero) / scale


def difference_to_si(value: float, unit: str) -> float:
    """SI value of a difference: 10 F of margin is 5.56 K, without the 32.

    Examples
    --------
    >>> round(difference_to_si(18.0, "f"), 6)
    10.0
    """
    return value * _SCALE_ZERO[unit][0]


def difference_from_si(value: float, unit: str) -> float:
    """Field value of an SI difference, the inverse of :func:`difference_to_si`.

    Examples
    --------
    >>> round(difference_from_si(10.0, "f"), 6)
    18.0
    """
    return value / _SCALE_ZERO[unit][0]
