"""The rules of a job as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

import math
from collections.abc import Iterable

from lapwright.job.rules import RULE_KINDS, Clause, RuleBook, RuleKind
from lapwright.report.figures import Figures, Reader
from lapwright.units import FIELD_UNITS, difference_from_si, from_si

_TOPIC_FROM = {  # the table of rules is in order of topics: each begins at one rule
    "generator_power": "power",
    "ambient_lowest": "weather",
    "air_lowest": "setting",
    "lap_side": "lap",
    "probe_cooling": "probing",
    "doubt": "triggers",
}


def by_topic(names: Iterable[str]) -> dict[str, list[str]]:
    """Names of rules, grouped by topic in the order of the table.

    Examples
    --------
    >>> by_topic(["long_stop", "cord_wire", "warm_up"])
    {'power': ['cord_wire', 'warm_up'], 'triggers': ['long_stop']}
    """
    wanted, topic = set(names), ""
    groups: dict[str, list[str]] = {}
    for name in RULE_KINDS:
        topic = _TOPIC_FROM.get(name, topic)
        if name in wanted:
            groups.setdefault(topic, []).append(name)
    return groups


def from_files(book: RuleBook) -> list[str]:
    """Names of the rules about which a file of the job speaks."""
    return [name for name, rule in book.rules.items() if rule.governing.layer != "default"]


def field_value(kind: RuleKind, value: float, reader: Reader) -> tuple[float, str]:
    """A rule's value in the reader's unit, and that unit; without unit for counts.

    Parameters
    ----------
    kind : RuleKind
        What it measures. A switch is a count of 1 or 0; a wire stays in mm2.
    value : float
        SI, finite.
    reader : Reader
        Units.

    Returns
    -------
    float, str
        The value to three digits, and a unit of :mod:`lapwright.units`.

    Examples
    --------
    >>> field_value(RULE_KINDS["cord_length"], 30.48, Reader())
    (100.0, 'ft')
    >>> field_value(RULE_KINDS["fused_width"], 0.0381, Reader(units="metric"))
    (38.1, 'mm')
    """
    unit = _unit(kind, value, reader)
    if not unit:
        return value, ""
    convert = difference_from_si if kind.quantity == "temperature_change" else from_si
    return float(f"{convert(value, unit):.3g}"), unit


def _unit(kind: RuleKind, value: float, reader: Reader) -> str:
    units = FIELD_UNITS[reader.units]
    if kind.quantity == "length":
        if kind.name == "thickness_changed":
            return units["thickness"]
        return units["width"] if value < 0.9 else units["length"]  # m; 3 ft are feet
    if kind.quantity == "time":
        return "h" if value >= 7200 else "min"
    return {
        "temperature": units["temperature"],
        "temperature_change": units["temperature"],
        "speed": units["speed"],
        "power": "kw",
        "wire": "mm2",
        "share": "percent",
        "peel": "lbf_in" if reader.units == "us" else "n_50mm",
    }.get(kind.quantity, "")


def rules_figures(book: RuleBook, names: Iterable[str], reader: Reader) -> Figures:
    """Rules of a job in the reader's units and language.

    Parameters
    ----------
    book : RuleBook
        The merged rules.
    names : iterable of str
        Which of them.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready: ``rules`` in the order of the table, and ``not_set``, those that no
        clause sets. A trigger limit that is off has ``value`` null.
    """
    groups = by_topic(names)
    return {
        "rules": [
            _rule(name, topic, book, reader)
            for topic, members in groups.items()
            for name in members
            if name in book.rules
        ],
        "not_set": [
            name for members in groups.values() for name in members if name not in book.rules
        ],
    }


def _rule(name: str, topic: str, book: RuleBook, reader: Reader) -> Figures:
    rule, kind = book[name], RULE_KINDS[name]
    return {
        "rule": name,
        "says": reader.say("rule", name),
        "topic": topic,
        "why": reader.say("trigger" if kind.urgency else "rule_why", name),
        "urgency": kind.urgency,
        "stricter": kind.stricter,
        "from_files": rule.governing.layer != "default",
        "governing": _clause(rule.governing, reader),
        "losing": [_clause(clause, reader) for clause in rule.losing],
    }


def _clause(clause: Clause, reader: Reader) -> Figures:
    kind = RULE_KINDS[clause.rule]
    is_off = math.isinf(clause.value)
    value, unit = (None, "") if is_off else field_value(kind, clause.value, reader)
    return {
        "value": bool(value) if kind.quantity == "switch" else value,
        "unit": unit or None,
        "typed": clause.typed,
        "typed_unit": clause.unit or None,
        "layer": clause.layer,
        "clause": clause.text,
        "edition": clause.edition,
        "set_by": clause.set_by,
        "note": clause.note or None,
        "place": clause.place,
    }
