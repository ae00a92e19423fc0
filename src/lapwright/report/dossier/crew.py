"""Who and what: people, machines, power, lots, pairings, and the rules with their clauses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import DASH, Teller, when
from lapwright.report.paper.blocks import Block, Grid, Section, Words
from lapwright.report.rulefigures import by_topic, from_files
from lapwright.report.rulestext import source_text, value_text

_TABLES: dict[str, tuple[str, ...]] = {
    "person": ("name", "tasks", "certificate", "certificate_until"),
    "machine": ("number", "type", "rated_volts", "rated_power", "coolest_air", "hottest_air",
                "roller_width", "load", "calibrated"),
    "power_setup": ("source", "dedicated", "gauge", "cord_length", "rated_power", "other_loads"),
    "lot": ("membrane", "thickness", "colour", "backing", "number", "made", "stored"),
    "pairing": ("upper", "lower", "aged", "aged_years", "cleaned_with"),
}  # fmt: skip
_KNOWN_BY: dict[str, tuple[str, ...]] = {  # what makes it another one
    "person": ("name",),
    "machine": ("number", "type"),
    "power_setup": _TABLES["power_setup"],
    "lot": ("membrane", "thickness", "colour", "number"),
    "pairing": ("upper", "lower", "aged"),
}


def crew(teller: Teller) -> Section:
    """One table of each kind; what was recorded again without a change stands once."""
    parts = []
    for kind in _TABLES:
        facts = teller.record.all(kind)
        block: Block = (
            _table(teller, kind, _once(kind, facts))
            if facts
            else Words(teller.say("none_recorded"))
        )
        parts.append(Section(teller.say(f"who_{kind}"), (block,)))
    return Section(teller.say("crew_title"), (), tuple(parts))


def _once(kind: str, facts: Sequence[Fact]) -> list[Fact]:
    """The newest of those that say the same."""
    newest = {tuple(str(fact[name]) for name in _KNOWN_BY[kind]): fact for fact in facts}
    return list(newest.values())


def _table(teller: Teller, kind: str, facts: Sequence[Fact]) -> Grid:
    return Grid(
        head=tuple(teller.field_name(kind, name) for name in _TABLES[kind]),
        rows=tuple(
            tuple(
                teller.lot(fact[name]) if name in ("upper", "lower") else teller.value(fact, name)
                for name in _TABLES[kind]
            )
            for fact in facts
        ),
    )


def rules(teller: Teller) -> Section:
    """Each rule that governed: value, who says so and where; then clauses that could not count."""
    book, reader = teller.closeout.rules, teller.reader
    own = from_files(book)
    blocks: list[Block] = [Words(teller.say("rules_how", own=len(own), known=len(book.rules)))]
    blocks += _editions(teller)
    blocks += [
        Words(reader.say("caution", one.code, one.data), tone="caution") for one in book.cautions
    ]
    rows = [
        (
            reader.say("rule", name),
            value_text(book[name].governing, reader),
            source_text(book[name].governing, reader),
        )
        for names in by_topic(book.rules).values()
        for name in names
    ]
    blocks.append(Grid(teller.heads("rule", "value", "clause"), tuple(rows), wide=(0, 2)))
    return Section(teller.say("rules_title"), tuple(blocks))


def _editions(teller: Teller) -> Iterator[Block]:
    """Every time the rules of the job were recorded: the latest governs."""
    facts = teller.record.all("rules")
    if facts:
        yield Grid(
            head=teller.heads("when", "edition", "by"),
            rows=tuple(
                (when(fact.at), str(fact["edition"]) or DASH, teller.name(fact.by))
                for fact in facts
            ),
            caption=teller.say("rules_recorded"),
        )
