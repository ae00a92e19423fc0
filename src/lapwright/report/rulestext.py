"""The rules of a job for the terminal: who governs, what gave way, and why."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable

from rich.text import Text

from lapwright.job.rules import RULE_KINDS, TRIGGERS, Clause, RuleBook, RuleKind
from lapwright.report.figures import Reader
from lapwright.report.rulefigures import by_topic, field_value, from_files
from lapwright.units import SYMBOLS

_UNFIT = re.compile("[^a-z0-9]+")
_WIDTH = 78  # characters of a list of names

Row = tuple[str, str, str]


def value_text(clause: Clause, reader: Reader) -> str:
    """Value of a clause in the reader's units; a wire by the name it was given.

    Examples
    --------
    >>> stop = Clause("long_stop", 1800.0, 30, "min", "company", "4.2", "2026", "QL")
    >>> value_text(stop, Reader())
    '30 min'
    """
    kind = RULE_KINDS[clause.rule]
    if math.isinf(clause.value):
        return reader.say("rules", "off")
    if kind.quantity == "switch":
        return reader.say("rules", _switch_words(kind)[bool(clause.value)])
    value, unit = field_value(kind, clause.value, reader)
    if kind.quantity == "share" and clause.value == 0 and kind.urgency:
        return reader.say("rules", "off")
    text = f"{reader.plain(value)} {SYMBOLS.get(unit, '')}".strip()
    if clause.unit != "AWG":
        return text
    return f"{clause.typed} AWG" + (f" ({text})" if reader.units == "metric" else "")


def rules_text(book: RuleBook, names: Iterable[str], reader: Reader) -> Text:
    """Rules grouped by topic: governing clause, and below it those that gave way.

    Parameters
    ----------
    book : RuleBook
        The merged rules.
    names : iterable of str
        Which of them; those that are not set are left to :func:`count_text`.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    text = Text()
    for topic, members in by_topic(name for name in names if name in book.rules).items():
        text.append(reader.say("topic", topic) + "\n", style="bold")
        text.append(_table(book, members, reader) + "\n")
    return text


def _table(book: RuleBook, names: Iterable[str], reader: Reader) -> str:
    rows: list[Row] = []
    for name in names:
        rule = book[name]
        source = source_text(rule.governing, reader)
        rows.append((reader.say("rule", name), value_text(rule.governing, reader), source))
        for clause in rule.losing:
            code = "agrees" if clause.value == rule.value else "gives_way"
            beside = reader.say("rules", code, {"source": source_text(clause, reader)})
            rows.append(("", value_text(clause, reader), beside))
    first, second = (max((len(row[column]) for row in rows), default=0) for column in (0, 1))
    return "".join(
        f"  {name.ljust(first)}  {value.ljust(second)}  {source}\n" for name, value, source in rows
    )


def source_text(clause: Clause, reader: Reader) -> str:
    """Who says a clause, where, and who put it into the job."""
    data = {
        "layer": reader.say("layer", clause.layer),
        "text": clause.text,
        "edition": clause.edition,
        "set_by": clause.set_by,
    }
    if clause.layer == "default":  # a sentence of lapwright, not of a document
        data["text"] = reader.say("clause", _UNFIT.sub("_", clause.text.lower()).strip("_"))
    return reader.say("rules", "source" if clause.layer == "default" else "source_full", data)


def count_text(book: RuleBook, reader: Reader) -> str:
    """How many rules the job's files set, and which nobody has set."""
    mine, known = len(from_files(book)), len(book.rules)
    data = {"set": str(mine), "known": str(known), "rest": str(known - mine)}
    lines = [reader.say("rules", "count" if mine else "no_files", data)]
    missing = [reader.say("rule", name) for name in RULE_KINDS if name not in book.rules]
    if missing:
        lines.append(reader.say("rules", "not_set", {"names": ", ".join(missing)}))
    return "\n".join(lines) + "\n"


def triggers_text(book: RuleBook, reader: Reader) -> Text:
    """What asks for a test weld, the most urgent first, in as few lines as names allow.

    Parameters
    ----------
    book : RuleBook
        The merged rules.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    groups: dict[str, list[str]] = {}
    off = []
    for name, urgency in TRIGGERS.items():
        value = value_text(book[name].governing, reader)
        said = reader.say("rule", name)
        if value == reader.say("rules", "off"):
            off.append(said)
        elif value == reader.say("rules", "on"):
            groups.setdefault(reader.say("urgency", urgency), []).append(said)
        else:
            whole = value.replace(" ", "\N{NO-BREAK SPACE}")
            groups.setdefault(reader.say("urgency", urgency), []).append(f"{said} ({whole})")
    if off:
        groups[reader.say("rules", "off")] = off
    text = Text()
    for title, names in groups.items():
        text.append(_sentence(title) + "\n", style="bold")
        listed = textwrap.wrap("; ".join(names), _WIDTH, break_on_hyphens=False)
        text.append("".join(f"  {line}\n" for line in listed))
    text.append("\n")
    return text


def rule_text(name: str, book: RuleBook, reader: Reader) -> Text:
    """One rule with its reason, every clause about it, and why that one governs.

    Parameters
    ----------
    name : str
        Key of the rule.
    book : RuleBook
        The merged rules.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    kind = RULE_KINDS[name]
    text = Text()
    does = f": {reader.say('urgency', kind.urgency)}" if kind.urgency else ""
    text.append(f"{reader.say('rule', name)} [{name}]{does}\n", style="bold")
    text.append(reader.say("trigger" if kind.urgency else "rule_why", name) + "\n")
    if name not in book.rules:
        text.append(reader.say("rules", "unset") + "\n")
        return text
    rule = book[name]
    for clause in (rule.governing, *rule.losing):
        code = "same" if clause.value == rule.value else "loses"
        if clause is rule.governing:
            code = "governs"
        source = source_text(clause, reader)
        written = reader.say("rules", "written", {"source": source, "place": clause.place})
        data = {"value": value_text(clause, reader), "source": written}
        text.append(reader.say("rules", code, data) + "\n")
        if clause.note:
            text.append(f"  {reader.say('rules', 'note', {'note': clause.note})}\n", style="dim")
    order = f"{_stricter(kind, reader)} {reader.say('rules', 'order')}"
    text.append(order + "\n", style="dim")
    return text


def _stricter(kind: RuleKind, reader: Reader) -> str:
    if kind.quantity == "wire":
        return reader.say("rules", "thicker")
    if kind.quantity != "switch":
        return reader.say("rules", kind.stricter)
    mild, strict = (reader.say("rules", word) for word in _switch_words(kind))
    if kind.stricter == "lower":
        mild, strict = strict, mild
    return reader.say("rules", "switch", {"strict": _sentence(strict), "mild": mild})


def _switch_words(kind: RuleKind) -> tuple[str, str]:
    return ("off", "on") if kind.urgency else ("no", "yes")


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
