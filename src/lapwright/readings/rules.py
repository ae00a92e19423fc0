"""The job's rule files: TOML in field units -> clauses in SI, each with its line.

A file is one layer. Its first lines name ``layer``, ``edition`` and ``set_by``; each
table below is a rule with ``value``, ``unit``, ``clause`` and, if wanted, its own
``edition``, ``set_by`` and ``note``. Which clause governs is decided in :mod:`lapwright.job.rules`.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.rules import (
    LAYERS,
    RULE_KINDS,
    TRIGGERS,
    Clause,
    Layer,
    RuleBook,
    RuleKind,
    merge,
)
from lapwright.physics.cords import awg_diameter
from lapwright.readings.text import decode, load
from lapwright.units import difference_to_si, to_si
from lapwright.words import Language, say

DEFAULTS = "default-rules.toml"

# Unit words of a rule file and the unit of lapwright.units that each means. A change of
# temperature has words of its own, so that "10 degF" can never lose its 32 unnoticed.
UNIT_WORDS: dict[str, dict[str, str]] = {
    "temperature": {"degF": "f", "degC": "c"},
    "temperature_change": {"degF change": "f", "degC change": "c"},
    "length": {"ft": "ft", "in": "in", "mil": "mil", "m": "m", "mm": "mm"},
    "time": {"h": "h", "min": "min", "s": "s"},
    "speed": {"ft/min": "ft_min", "m/min": "m_min"},
    "power": {"kW": "kw", "W": "w"},
    "wire": {"AWG": "awg", "mm2": "mm2"},
    "share": {"%": "percent"},
    "peel": {"lbf/in": "lbf_in", "N/50 mm": "n_50mm"},
    "count": {},
    "switch": {},
}
_HEAD = ("edition", "set_by")
_FIELDS = ("value", "unit", "clause", "edition", "set_by", "note")
_MOST = 1e9  # no rule of a roof has a larger number; a slip of the finger has

Keys = tuple[str, ...]  # keys from the outside in


def read_rule_book(paths: Iterable[Path]) -> RuleBook:
    """The rules of a job: the defaults and the given layers, merged.

    Raises
    ------
    FileUnreadable
        A file cannot be read or understood; see :func:`parse_layer`.
    LapwrightError
        The layers contradict each other; see :func:`lapwright.job.rules.merge`.

    Examples
    --------
    >>> book = read_rule_book([])
    >>> book["cord_length"].governing.typed, round(book["cord_length"].value, 2)
    (100, 30.48)
    """
    return merge([default_layer(), *(read_layer(path) for path in paths)])


def find_rule(said: str, *, language: Language) -> str:
    """Key of the rule that a person names, by its key or by its name in that language.

    Raises
    ------
    LapwrightError
        ``no_such_rule``, with the nearest ones.

    Examples
    --------
    >>> find_rule("Long stop", language="en"), find_rule("parada larga", language="es")
    ('long_stop', 'long_stop')
    """
    named = {say("rule", key, language=language).casefold(): key for key in RULE_KINDS}
    named |= {key: key for key in RULE_KINDS}
    plain = said.strip().casefold()
    if plain not in named:
        raise LapwrightError("no_such_rule", value=said, known="; ".join(_nearest(plain, named)))
    return named[plain]


def _nearest(said: str, known: Iterable[str]) -> list[str]:
    return get_close_matches(said, known, n=3, cutoff=0.0)


@lru_cache(maxsize=1)
def default_layer() -> tuple[Clause, ...]:
    """The defaults that come with lapwright."""
    text = files("lapwright.job").joinpath(DEFAULTS).read_text(encoding="utf-8")
    return parse_layer(text, file=DEFAULTS)


def read_layer(path: Path) -> tuple[Clause, ...]:
    """One rule file of a job.

    Raises
    ------
    FileUnreadable
        It cannot be opened or is no text, or any code of :func:`parse_layer`.
    """
    file = str(path)
    return parse_layer(decode(load(path, file=file), file=file), file=file)


def parse_layer(text: str, *, file: str) -> tuple[Clause, ...]:
    """The clauses of one layer, in SI and with their lines.

    Parameters
    ----------
    text : str
        TOML.
    file : str
        Name of the file as the person gave it.

    Returns
    -------
    tuple of Clause
        In the order of the file.

    Raises
    ------
    FileUnreadable
        ``rules_not_toml``, ``rule_layer`` (missing or unknown), ``rule_unknown``,
        ``rule_field_unknown``, ``rule_field_missing``, ``rule_unit``, ``rule_no_unit``,
        ``rule_value``. Each with its line; ``column`` is the rule, ``value`` what stands
        there, ``allowed`` what could.

    Examples
    --------
    >>> layer = parse_layer('''layer = "company"
    ... edition = "2026"
    ... set_by = "quality lead"
    ... air_moved = { value = 9, unit = "degF change", clause = "4.2" }
    ... ''', file="ours.toml")
    >>> round(layer[0].value, 6), layer[0].place
    (5.0, 'ours.toml:4')
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        rows = text.split("\n")
        at = re.search(r"at line (\d+)", str(error))
        row = int(at[1]) if at else len(rows)
        wrong = rows[row - 1].strip()
        raise FileUnreadable("rules_not_toml", file=file, row=row, value=wrong) from error
    layer = table.pop("layer", "")
    head = {key: table.pop(key, "") for key in _HEAD}
    source = _Source(file, _lines(text), layer, head)
    if layer not in LAYERS:
        raise source.refusal("rule_layer", "layer", value=layer, allowed=LAYERS)
    return tuple(source.clause(name, said) for name, said in table.items())


def parse_clause(
    rule: str, fields: Mapping[str, Any], *, layer: Layer, file: str, line: int
) -> Clause:
    """One clause by its fields, as a table of a rule file gives them.

    Raises
    ------
    FileUnreadable
        As :func:`parse_layer`.
    """
    return _Source(file, {(rule,): line}, layer, {}).clause(rule, dict(fields))


@dataclass(frozen=True)
class _Source:
    """One rule file: its name, the line of every key, its layer, and what holds for all rules."""

    file: str
    lines: dict[Keys, int]
    layer: Layer
    head: Mapping[str, Any]

    def refusal(
        self, code: str, rule: str, *, field: str = "", value: Any, allowed: Iterable[str] = ()
    ) -> FileUnreadable:
        row = self.lines.get((rule, field), self.lines.get((rule,), 1))
        return FileUnreadable(
            code, file=self.file, row=row, column=rule, value=str(value), allowed=", ".join(allowed)
        )

    def clause(self, name: str, said: Any) -> Clause:
        if name not in RULE_KINDS:
            raise self.refusal("rule_unknown", name, value=name, allowed=_nearest(name, RULE_KINDS))
        fields = {**self.head, **(said if isinstance(said, dict) else {"value": said})}
        for key in fields:
            if key not in _FIELDS:
                raise self.refusal(
                    "rule_field_unknown", name, field=key, value=key, allowed=_FIELDS
                )
        for key in ("value", "clause", "edition", "set_by"):
            if not str(fields.get(key, "")).strip():
                raise self.refusal("rule_field_missing", name, field=key, value=key)
        unit = str(fields.get("unit", ""))
        return Clause(
            rule=name,
            value=self.value(RULE_KINDS[name], fields["value"], unit),
            typed=fields["value"],
            unit=unit,
            layer=self.layer,
            text=str(fields["clause"]),
            edition=str(fields["edition"]),
            set_by=str(fields["set_by"]),
            note=str(fields.get("note", "")),
            file=self.file,
            line=self.lines[(name,)],
        )

    def value(self, kind: RuleKind, typed: Any, unit: str) -> float:
        words = UNIT_WORDS[kind.quantity]
        if typed is False and kind.name in TRIGGERS:  # a trigger is off: nothing reaches its limit
            return math.inf if kind.stricter == "lower" else 0.0
        if unit not in (words or ("",)):
            code = "rule_unit" if words else "rule_no_unit"
            raise self.refusal(code, kind.name, field="unit", value=unit, allowed=words)
        if isinstance(typed, bool) and kind.quantity == "switch":
            return float(typed)
        value = _si(typed, kind.quantity, words.get(unit, ""))
        if value is None:
            raise self.refusal("rule_value", kind.name, field="value", value=typed)
        return value


def _si(typed: Any, quantity: str, unit: str) -> float | None:
    """SI value of a typed one; None when it can be no value of this quantity."""
    if type(typed) not in (int, float) or not abs(typed) < _MOST or quantity == "switch":
        return None
    whole = typed == int(typed)
    if quantity == "count":
        return float(typed) if whole and typed >= 1 else None
    if unit == "awg":
        return math.pi / 4 * awg_diameter(int(typed)) ** 2 if whole and 0 <= typed <= 36 else None
    convert = difference_to_si if quantity == "temperature_change" else to_si
    value = convert(typed, unit)
    return value if 0 <= value <= (1 if quantity == "share" else math.inf) else None


def _lines(text: str) -> dict[Keys, int]:
    """Line of every key. Each statement of TOML parses alone, so they are read one by one."""
    lines: dict[Keys, int] = {}
    header: Keys = ()
    statement, start = "", 1
    for row, line in enumerate(text.split("\n"), start=1):
        statement += line + "\n"
        try:
            parsed = tomllib.loads(statement)
        except tomllib.TOMLDecodeError:
            continue  # a text or a list goes on in the next line
        is_header = statement.lstrip().startswith("[")
        prefix = () if is_header else header
        paths = [prefix + path for path in _paths(parsed)]
        for path in paths:
            lines.setdefault(path, start)
        if is_header:
            header = paths[-1]
        statement, start = "", row + 1
    return lines


def _paths(table: dict[str, Any]) -> Iterator[Keys]:
    for key, value in table.items():
        yield (key,)
        if isinstance(value, dict):
            yield from ((key, *path) for path in _paths(value))
