"""What people read: sentences by code, in the reader's language and units.

The core speaks codes and SI values; :func:`say` makes a sentence of them. Sentences
live in ``en.toml`` and ``es.toml``, one key per code, the same keys in both. Values
are written by what they are (see ``_KINDS``), never by where they appear.
"""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal, get_args

from lapwright.units import FIELD_UNITS, SYMBOLS, UnitSystem, difference_from_si, from_si

Language = Literal["en", "es"]
LANGUAGES: tuple[Language, ...] = get_args(Language)

_KINDS = {
    "temperature": ("air", "sheet", "ambient", "min_air", "max_air", "interface", "reached",
                    "air_max", "setting", "copper"),
    "difference": ("margin", "colder", "sheet_low", "sheet_high"),
    "speed": ("speed", "faster", "slower", "speed_change", "crew_rate"),
    "wind": ("wind",),
    "share": ("p", "level", "p_sound", "p_sound_drift", "p_window"),
    "percent": ("drop_share", "share", "good", "poor", "noticed"),
    "whole": ("volts", "computed", "nameplate", "amps", "ampacity", "needed", "rated"),
    "thickness": ("thickness",),
    "length": ("length", "altitude", "seam", "stretch", "spacing", "roll_width", "roll_length",
               "half_width", "zone", "stagger", "clear", "shortest", "shift", "reach"),
    "width": ("bond", "strip_width", "lap", "end_lap"),
    "peel": ("peel", "least"),
    "rate": ("rate",),
    "energy": ("energy",),
}  # fmt: skip
_KIND = {name: kind for kind, names in _KINDS.items() for name in names}
_DECIMALS = {"ft_min": 1, "m_min": 2, "mm": 1, "in": 2, "lbf_in": 1, "j": 1}  # others are whole


@lru_cache(maxsize=len(LANGUAGES))
def _sentences(language: Language) -> dict[str, dict[str, str]]:
    text = files("lapwright.words").joinpath(f"{language}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def number(value: float, decimals: int, language: Language) -> str:
    """A number as the language writes it: decimal comma in Spanish, a true minus sign."""
    text = f"{round(value, decimals) + 0.0:.{decimals}f}"  # + 0.0: no minus before a zero
    if language == "es":
        text = text.replace(".", ",")
    return text.replace("-", "−")


def share(value: float, language: Language) -> str:
    """A probability in whole percent, never printed as certain.

    Examples
    --------
    >>> share(0.934, "en"), share(0.9996, "en"), share(0.001, "es")
    ('93 %', 'over 99 %', 'menos de 1 %')
    """
    if value > 0.99:
        return say("label", "over", language=language) + " 99 %"
    if value < 0.01:
        return say("label", "under", language=language) + " 1 %"
    return f"{round(100 * value)} %"


def quantity(name: str, value: float, *, language: Language, units: UnitSystem) -> str:
    """A value with its unit, written by the kind of its glossary word.

    Parameters
    ----------
    name : str
        Glossary word: ``"air"``, ``"margin"``, ``"speed"`` and so on; an unknown word is
        written as a bare number.
    value : float
        SI value.
    language, units : str
        Of the reader.

    Returns
    -------
    str

    Examples
    --------
    >>> quantity("air", 727.594, language="en", units="us")
    '850 °F'
    >>> quantity("speed", 0.0508, language="es", units="metric")
    '3,05 m/min'
    """
    kind = _KIND.get(name)
    if kind is None:
        return number(value, 0 if float(value).is_integer() else 2, language)
    if kind == "share":
        return share(value, language)
    if kind == "percent":
        return f"{number(100 * value, 1, language)} %"
    if kind == "whole":
        return number(value, 0, language)
    field_kind = "temperature" if kind == "difference" else kind
    unit = FIELD_UNITS[units][field_kind]
    field = difference_from_si(value, unit) if kind == "difference" else from_si(value, unit)
    return f"{number(field, _DECIMALS.get(unit, 0), language)} {SYMBOLS[unit]}"


class _Data(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "?"  # an old record may lack a value that the sentence names today


def say(
    section: str,
    code: str,
    data: dict[str, Any] | None = None,
    *,
    language: Language = "en",
    units: UnitSystem = "us",
) -> str:
    """The sentence of a code.

    Parameters
    ----------
    section, code : str
        Table and key in the sentence files.
    data : dict, optional
        SI values and texts that the sentence names.
    language, units : str
        Of the reader.

    Returns
    -------
    str

    Raises
    ------
    KeyError
        No such sentence: a bug, not a user's mistake.

    Examples
    --------
    >>> say("label", "bottom"), say("label", "bottom", language="es")
    ('bottom', 'mínimo')
    """
    template = _sentences(language)[section][code]
    words = _Data()
    data = data or {}
    named = str(data.get("name", ""))
    for key, value in data.items():
        if key in ("value", "above", "below") and isinstance(value, (int, float)):
            words[key] = quantity(named, value, language=language, units=units)
        elif isinstance(value, float):
            words[key] = quantity(key, value, language=language, units=units)
        elif key == "name":
            names = _sentences(language)["quantity"]
            words[key] = names.get(named, named)
        else:
            words[key] = str(value)
    return template.format_map(words)


def say_error(
    code: str, data: dict[str, Any], *, language: Language = "en", units: UnitSystem = "us"
) -> str:
    """The sentence of an error: what, where, the limit and what to do."""
    if code == "out_of_range":
        above, below = data.get("above"), data.get("below")
        code = (
            "between"
            if above is not None and below is not None
            else ("not_above" if above is not None else "not_below")
        )
    return say("error", code, data, language=language, units=units)
