"""What was put off or overruled, what was corrected or taken back, what nobody said, who signed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from lapwright.job.changed import Change
from lapwright.job.closing import Signed
from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import DASH, Teller, when
from lapwright.report.paper.blocks import Block, Grid, Section, Signature, Words

_METRES = ("unproved", "unprobed")  # of the phone's own counts


def changes(teller: Teller) -> Section:
    """Events, then corrections with old and new."""
    blocks = [*_events(teller), *_corrections(teller), *_missing(teller)]
    return Section(teller.say("changes"), tuple(blocks))


def _events(teller: Teller) -> Iterator[Block]:
    events = [fact for fact in teller.record.all("event") if teller.is_asked(fact)]
    if not events:
        yield Words(teller.say("no_events"))
        return
    yield Grid(
        head=teller.heads("when", "what_happened", "machine", "answer", "reason", "by"),
        rows=tuple(
            (
                when(fact.at),
                _trigger(teller, fact["trigger"]),
                teller.name(fact["machine"]),
                _answer(teller, fact),
                teller.value(fact, "reason"),
                teller.name(fact.by),
            )
            for fact in events
        ),
        wide=(1,),
        caption=teller.say("events"),
    )


def _trigger(teller: Teller, name: str) -> str:
    """A rule by its name; anything else as written."""
    known = name in teller.closeout.rules.rules
    return teller.reader.say("rule", name) if known else name


def _answer(teller: Teller, fact: Fact) -> str:
    answer = teller.value(fact, "answer")
    if fact["until"] is None:
        return answer
    return teller.say("until", answer=answer, time=when(fact["until"]))


def _corrections(teller: Teller) -> Iterator[Block]:
    found = [one for one in teller.closeout.changes if _is_asked(teller, one)]
    if not found:
        yield Words(teller.say("no_corrections"))
        return
    yield Grid(
        head=teller.heads("when", "of", "field", "said_before", "says_now", "reason", "by"),
        rows=tuple(_correction_row(teller, one) for one in found),
        wide=(3, 4),
        caption=teller.say("corrections"),
    )


def _is_asked(teller: Teller, change: Change) -> bool:
    """A day's sheet tells what was corrected that day, and what of that day was corrected later."""
    target = change.target
    return teller.is_asked(change.correction) or (target is not None and teller.is_asked(target))


def _correction_row(teller: Teller, change: Change) -> tuple[str, ...]:
    fact, target = change.correction, change.target
    field = str(fact["field"])
    kind = "correction" if target is None else target.kind
    if change.is_withdrawal:
        before, now = DASH, teller.say("withdrawn" if fact["new"] else "given_again")
    else:
        before, now = (teller.changed(kind, field, value) for value in (change.before, fact["new"]))
    if not change.is_laid:
        now = teller.say("no_effect", new=now)
    return (
        when(fact.at),
        teller.say("not_here") if target is None else fact_name(teller, target),
        field if target is None else teller.field_name(target.kind, field),
        before,
        now,
        teller.value(fact, "reason"),
        teller.name(fact.by),
    )


def fact_name(teller: Teller, fact: Fact) -> str:
    """A fact as people would point at it: kind, number or seam, time."""
    name = fact["number"] or fact["seam"] or fact["name"] or ""
    return f"{teller.reader.say('kind', fact.kind)} {name} ({when(fact.at)})".replace("  ", " ")


def _missing(teller: Teller) -> Iterator[Block]:
    """Fields that a sign-off needs and nobody has filled in."""
    counts: dict[tuple[str, str], list[Fact]] = {}
    for day in teller.closeout.days:
        for each in day.work.missing:
            counts.setdefault((each.fact.kind, each.field), []).append(each.fact)
    if not counts:
        return
    yield Grid(
        head=teller.heads("day", "of", "field", "how_much"),
        rows=tuple(
            (
                teller.days(fact.day for fact in facts),
                teller.reader.say("kind", kind),
                teller.field_name(kind, field),
                str(len(facts)),
            )
            for (kind, field), facts in counts.items()
        ),
        numbers=(3,),
        wide=(1, 2),
        caption=teller.say("missing"),
    )


def signing(teller: Teller) -> Section:
    """Sign-offs as they were given, each with whether the chain still holds it; then lines."""
    signed = [one for one in teller.closeout.signed if teller.is_asked(one.fact)]
    blocks: list[Block] = [Words(teller.say("signing_how"), tone="small")]
    blocks += [Signature(tuple(_signed_rows(teller, one))) for one in signed]
    if not signed:
        blocks.append(Words(teller.say("none_signed")))
    roles = ("foreman", "quality") if teller.closeout.day is not None else (
        "foreman", "quality", "owner"
    )  # fmt: skip
    blocks += [
        Signature(((teller.say(f"line_{role}"), ""), (teller.say("line_date"), "")), is_open=True)
        for role in roles
    ]
    return Section(teller.say("signing"), tuple(blocks))


def _signed_rows(teller: Teller, signed: Signed) -> Iterator[tuple[str, str]]:
    fact = signed.fact
    yield teller.say("signed_by"), teller.name(fact.by)
    yield teller.say("signed_at"), when(fact.at)
    yield (
        teller.say("signed_what"),
        f"{teller.value(fact, 'scope')}: {teller.value(fact, 'statement')}",
    )
    yield teller.say("signed_open"), _open(teller, fact["open"])
    yield teller.say("signed_head"), str(fact["head"])
    code = "head_unchecked" if not signed.is_compared else "head_other"
    said = (
        teller.say("head_matches", seq=signed.seq) if signed.seq is not None else teller.say(code)
    )
    yield teller.say("signed_chain"), said


def _open(teller: Teller, counts: Any) -> str:
    """What was frozen, in the words of what it counts; nothing open is said as such."""
    if not isinstance(counts, Mapping):
        return teller.plain(counts)
    known = [own for name in _LABELS for own in (name, f"{name}_mm") if own in counts]
    names = dict.fromkeys((*known, *map(str, counts)))
    told = [_count(teller, name, counts[name]) for name in names]
    return "; ".join(part for part in told if part) or teller.say("signed_nothing")


def _count(teller: Teller, name: str, value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return f"{name}: {teller.plain(value)}"
    if not value:
        return ""
    label = _LABELS.get(name.removesuffix("_mm"))
    if name.endswith("_mm"):
        shown = teller.length(value / 1000)
    else:
        shown = teller.length(value) if name in _METRES else teller.reader.plain(value)
    if label is None:
        return f"{name}: {shown}"
    section, code = label
    return f"{teller.reader.say(section, code)}: {shown}"


_LABELS: dict[str, tuple[str, str]] = {
    "welded": ("dossier", "seam_welded"),
    "orphan": ("state", "orphan"),
    "stale": ("state", "stale"),
    "set_aside": ("state", "set_aside"),
    "unprobed": ("state", "unprobed"),
    "unproved": ("state", "orphan"),
    "running": ("dossier", "open_running"),
    "open_defects": ("dossier", "open_open_defects"),
    "defects": ("dossier", "open_open_defects"),
    "repaired": ("why_open", "not_reprobed"),
    "open_joints": ("dossier", "open_open_joints"),
    "unfinished_test_welds": ("dossier", "open_unfinished_test_welds"),
    "missing_fields": ("dossier", "open_missing_fields"),
    "tests_due": ("dossier", "open_tests_due"),
}
