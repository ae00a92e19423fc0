"""The rules in force: what the record of a job says its rules are, and from when.

A fact of kind ``rules`` holds every clause of the job's documents, each as it was typed. The
latest one counts, whole; the defaults stand below it. A clause that cannot be read never
stops a crew and is never dropped in silence: it becomes a caution that names it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.job.rules import LAYERS, Clause, RuleBook, contradiction, is_always_on, strictest
from lapwright.readings.rules import default_layer, parse_clause
from lapwright.record.fact import LONGEST_TEXT, Fact
from lapwright.record.replay import Record

_LONGEST_SHOWN = 60  # characters of what could not be read


def rules_of(
    record: Record, *, at: datetime | None = None, extra: Iterable[Sequence[Clause]] = ()
) -> RuleBook:
    """The rules by which a record is judged.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    at : datetime, optional
        Rules recorded for a later moment do not count yet; the latest of all unless said. Aware.
    extra : iterable of sequence of Clause
        Rule files laid on top, see :func:`~lapwright.readings.rules.read_layer`: the stricter
        clause governs, as among any layers.

    Returns
    -------
    RuleBook
        Its cautions name each recorded clause that does not count, and two that contradict.

    Raises
    ------
    LapwrightError
        ``rules_contradict``, ``rule_always_on``: only where ``extra`` files are laid on top.

    Examples
    --------
    >>> book = rules_of(Record(()))
    >>> book["long_stop"].governing.layer, book.cautions
    ('default', ())
    """
    kept, cautions = _kept(rules_fact(record, at=at))
    files = [*extra]
    book = strictest([default_layer(), kept, *files])
    clash = contradiction(book)
    if clash is not None:
        if files:
            raise clash
        cautions.append(Caution(clash.code, dict(clash.data)))
    return replace(book, cautions=tuple(cautions))


def rules_fact(record: Record, *, at: datetime | None = None) -> Fact | None:
    """The fact that holds the job's rules at a moment; None where nobody recorded any."""
    return next(
        (fact for fact in reversed(record.all("rules")) if at is None or fact.moment <= at), None
    )


def rules_body(layers: Sequence[Sequence[Clause]]) -> dict[str, Any]:
    """Body of the fact that keeps these layers, to be read again by :func:`rules_of`.

    Examples
    --------
    >>> clause = Clause("long_stop", 1200.0, 20, "min", "company", "4.2", "2026", "QL", file="a/b")
    >>> body = rules_body([[clause]])
    >>> body["edition"], body["clauses"][0]["value"], body["clauses"][0]["file"]
    ('2026', 20, 'b')
    """
    clauses = [clause for layer in layers for clause in layer]
    editions = list(dict.fromkeys(clause.edition for clause in clauses))
    return {"edition": ", ".join(editions)[:LONGEST_TEXT], "clauses": [*map(_plain, clauses)]}


def _plain(clause: Clause) -> dict[str, Any]:
    return {
        "rule": clause.rule,
        "value": clause.typed,
        "unit": clause.unit,
        "layer": clause.layer,
        "clause": clause.text,
        "edition": clause.edition,
        "set_by": clause.set_by,
        "note": clause.note,
        "file": Path(clause.file).name,  # where it lay is nobody's business
        "line": clause.line,
    }


def _kept(fact: Fact | None) -> tuple[list[Clause], list[Caution]]:
    """Clauses of a fact, and what of it could not be read."""
    if fact is None:
        return [], []
    listed = fact["clauses"]
    clauses: list[Clause] = []
    cautions: list[Caution] = []
    for said in listed if isinstance(listed, list) else [listed]:
        clause = _clause(said, fact["edition"])
        if clause is None:
            cautions.append(Caution("rule_unread", _named(said, fact["edition"])))
        else:
            clauses.append(clause)
    return clauses, cautions


def _clause(said: Any, edition: str) -> Clause | None:
    """The clause as recorded; None where it is none that this lapwright can judge by."""
    if not isinstance(said, Mapping) or said.get("layer") not in LAYERS:
        return None
    fields = {"edition": edition, **said}
    rule, layer = fields.pop("rule", None), fields.pop("layer")
    file, line = fields.pop("file", ""), fields.pop("line", 0)
    texts = (rule, file, *(fields.get(name, "") for name in _TEXTS))
    if not all(map(_is_line, texts)) or not isinstance(line, int):
        return None
    try:
        clause = parse_clause(str(rule), fields, layer=layer, file=str(file), line=line)
    except LapwrightError:
        return None
    return None if is_always_on(clause) else clause


_TEXTS = ("unit", "clause", "edition", "set_by", "note")


def _is_line(text: object) -> bool:
    return isinstance(text, str) and len(text) <= LONGEST_TEXT and text.isprintable()


def _named(said: Any, edition: str) -> dict[str, float | str | None]:
    """What a person needs to find the clause in the papers again."""
    known = said if isinstance(said, Mapping) else {"rule": said}
    shown = {name: _shown(known.get(name, "?")) for name in ("rule", "value", "unit", "clause")}
    return {**shown, "edition": _shown(known.get("edition", edition))}


def _shown(value: object) -> str:
    text = "".join(sign if sign.isprintable() else " " for sign in str(value))
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 1] + "…"
