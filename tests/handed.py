"""Papers of invented records for the tests: a chain, a close-out, and all words of its pages."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from lapwright.job.closing import Closeout, close_out
from lapwright.readings.decided import decided
from lapwright.readings.rules import read_rule_book
from lapwright.record.chain import NOTHING, Entry, seal
from lapwright.record.fact import Fact, read_fact
from lapwright.record.replay import Record
from lapwright.report.dossier.telling import Teller
from lapwright.report.dossier.whole import dossier
from lapwright.report.figures import Reader
from lapwright.report.paper.blocks import (
    Document,
    Grid,
    Pairs,
    Picture,
    Section,
    Shots,
    Signature,
    Words,
)
from lapwright.report.paper.setting import blocks_of

EN, ES = Reader("en", "us"), Reader("es", "metric")
RULES = read_rule_book([])


@cache
def week() -> tuple[Fact, ...]:
    """The invented week, as its file in the examples holds it."""
    text = files("lapwright").joinpath("examples", "week.jsonl").read_text(encoding="utf-8")
    return tuple(read_fact(json.loads(line)) for line in text.splitlines())


def chain(facts: Iterable[Fact]) -> list[Entry]:
    """The facts as a server keeps them, one sealed by the next."""
    entries: list[Entry] = []
    before = NOTHING
    for seq, fact in enumerate(facts, start=1):
        entries.append(seal(fact, seq=seq, received_at=fact.entered_at, before=before))
        before = entries[-1].hash
    return entries


def closed(facts: Sequence[Fact], *, day: str | None = None, is_chained: bool = True) -> Closeout:
    """The close-out as it stood at the newest fact."""
    at = max(datetime.fromisoformat(fact.at) for fact in facts)
    entries = chain(facts) if is_chained else []
    return close_out(Record(facts), at=at, rules=RULES, day=day, entries=entries)


@cache
def week_closed(day: str | None = None) -> Closeout:
    """The close-out of the invented week, or of one of its days."""
    return closed(week(), day=day)


def teller(facts: Sequence[Fact], reader: Reader = EN, *, day: str | None = None) -> Teller:
    """A close-out and who reads it."""
    return Teller(closed(facts, day=day), reader)


def paper(facts: Sequence[Fact], reader: Reader = EN, **more: Any) -> Document:
    """The document of some facts."""
    day: str | None = more.pop("day", None)
    return dossier(closed(facts, day=day), reader, kept=decided, **{"most_pictures": 0} | more)


def grids(of: Document | Section) -> dict[str, Grid]:
    """Tables by their caption; those without by the heading they stand under."""
    if isinstance(of, Document):
        return {name: grid for part in of.sections for name, grid in grids(part).items()}
    found = {one.caption or of.title: one for one in of.blocks if isinstance(one, Grid)}
    return found | {name: grid for part in of.sections for name, grid in grids(part).items()}


def words(block: Any) -> Iterator[str]:
    """Every text of a block."""
    match block:
        case Words():
            yield block.text
        case Pairs() | Signature():
            for named in block.rows:
                yield from named
        case Grid():
            yield block.caption
            yield from block.head
            for row in block.rows:
                yield from row
        case Picture():
            yield from (block.alt, block.caption)
        case Shots():
            for shot in block.shots:
                yield from (shot.alt, shot.caption)


def said(of: Document | Section) -> list[str]:
    """Every text of a document or of a part of it, drawings aside."""
    whole = of if isinstance(of, Document) else Document("", (), "", "en", "", (of,))
    titles = [section.title for part in whole.sections for section in (part, *part.sections)]
    frame = [whole.title, *whole.lines, whole.running, whole.mark, *titles]
    return [text for text in (*frame, *(t for b in blocks_of(whole) for t in words(b))) if text]


def pairs(section: Section, kind: Literal["Pairs", "Signature"] = "Pairs") -> list[dict[str, str]]:
    """Names and values of the forms of a section."""
    shown = [one for one in section.blocks if type(one).__name__ == kind]
    return [dict(one.rows) for one in shown if isinstance(one, Pairs | Signature)]
