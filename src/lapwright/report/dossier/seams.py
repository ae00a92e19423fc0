"""The trace: each stretch with who, what, when, on which test weld; then what is not proved."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from lapwright.proof.suspect import Suspicion
from lapwright.proof.trace import Stretch
from lapwright.report.dossier.telling import DASH, Teller, when
from lapwright.report.paper.blocks import Block, Grid, Section, Words
from lapwright.report.rulestext import source_text
from lapwright.report.suspectfigures import failure_says
from lapwright.roof.station import Span, union

_ONLY_OPEN = ("open_defect",)


@dataclass(frozen=True)
class Piece:
    """Neighbouring stretches that are one in what a table tells."""

    stretches: tuple[Stretch, ...]

    @property
    def first(self) -> Stretch:
        """The one that speaks for all."""
        return self.stretches[0]

    @property
    def span(self) -> Span:
        """From the start of the first to the end of the last."""
        return Span(self.first.span.start, self.stretches[-1].span.end)

    @property
    def lacking(self) -> float:
        """Feet in it that lack something. [m]"""
        return sum(each.span.length for each in self.stretches if each.states)


def pieces(stretches: Iterable[Stretch], *, key: Callable[[Stretch], Hashable]) -> Iterator[Piece]:
    """Neighbours of one seam with one key, together."""
    run: list[Stretch] = []
    for each in stretches:
        is_next = bool(run) and (run[-1].seam, run[-1].span.end) == (each.seam, each.span.start)
        if run and not (is_next and key(run[-1]) == key(each)):
            yield Piece(tuple(run))
            run = []
        run.append(each)
    if run:
        yield Piece(tuple(run))


def seams(teller: Teller) -> Section:
    """Both tables, and what failures put in doubt."""
    found = teller.closeout.stretches
    if not found:
        return Section(teller.say("seams"), (Words(teller.say("no_seams")),))
    blocks: list[Block] = [Words(teller.say("seams_how"), tone="small"), _who(teller, found)]
    if teller.closeout.trace.beyond and teller.closeout.planned is not None:
        beyond = ", ".join(teller.closeout.trace.beyond)
        caution = teller.reader.say("caution", "seam_beyond_plan", {"seams": beyond})
        blocks.append(Words(caution, tone="caution"))
    parts = [_unproved(teller, found)]
    doubts = [each for each in teller.closeout.doubts if _is_asked(teller, each)]
    if doubts:
        parts.append(_doubts(teller, doubts))
    return Section(teller.say("seams"), tuple(blocks), tuple(parts), new_page=_is_job(teller))


def _is_job(teller: Teller) -> bool:
    return teller.closeout.day is None


def _is_asked(teller: Teller, doubt: Suspicion) -> bool:
    """A day's sheet tells the doubts that began on it or lie over its feet."""
    day = teller.closeout.day
    days = {doubt.failure.day, *(each.run.run.day for each in doubt.spans)}
    return day is None or day in days


def _welded_with(each: Stretch) -> Hashable:
    """What the first table tells of a stretch."""
    run, backing = each.run, each.backing
    if run is None or backing is None:
        return None
    return (
        backing.chain,
        run.run.day,
        None if backing.decision is None else backing.decision.id,
        str(run.run["air"]),
        str(run.run["speed"]),
        backing.why_orphan,
        _probed_by(each),
    )


def _probed_by(each: Stretch) -> Hashable:
    return None if each.probed is None else (each.probed["prober"], each.probed.day)


def _who(teller: Teller, found: Iterable[Stretch]) -> Grid:
    return Grid(
        head=teller.heads(
            "seam", "from_to", "welded", "who_with", "set", "test_welds", "probed", "lacking"
        ),
        rows=tuple(_who_row(teller, piece) for piece in pieces(found, key=_welded_with)),
        numbers=(7,),
        wide=(3,),
        caption=teller.say("who_title"),
    )


def _who_row(teller: Teller, piece: Piece) -> tuple[str, ...]:
    first, place = piece.first, (piece.first.seam, teller.span(piece.span))
    lacking = teller.length(piece.lacking) if piece.lacking else DASH
    run, backing = first.run, first.backing
    if run is None or backing is None:
        return (*place, teller.reader.say("state", "bare"), *[DASH] * 4, lacking)
    welds = ", ".join(str(weld["number"]) for weld in backing.test_welds)
    runs = [each.run for each in piece.stretches if each.run is not None]
    began, ended = min(one.began for one in runs), max(one.ended for one in runs)
    return (
        *place,
        f"{began:%Y-%m-%d %H:%M}{DASH}{ended:%H:%M}",
        teller.who(run.run["operator"], run.run["machine"]),
        teller.setting(run.run, backing.decision),
        welds or teller.say("none_behind"),
        _probed(teller, piece),
        lacking,
    )


def _probed(teller: Teller, piece: Piece) -> str:
    fact = piece.first.probed
    if fact is None:
        return teller.say("not_probed")
    return f"{teller.name(fact['prober'])} {fact.day}"


def _unproved(teller: Teller, found: Iterable[Stretch]) -> Section:
    """Every stretch that lacks something, with the clause or the reason.

    Of a long job those that lack the closing of a defect and nothing else are only counted: the
    log of the probe names each.
    """
    lacking = [piece for piece in pieces(found, key=_lacking_for) if piece.first.states]
    title = teller.say("unproved")
    if not lacking:
        return Section(title, (Words(teller.say("all_proved")),))
    blocks: list[Block] = []
    counted = [piece for piece in lacking if piece.first.states == _ONLY_OPEN]
    if teller.is_long and counted:
        lacking = [piece for piece in lacking if piece.first.states != _ONLY_OPEN]
        length = teller.length(sum(piece.lacking for piece in counted))
        told = {"count": len(counted), "length": length, "probing": teller.say("probing")}
        blocks.append(Words(teller.say("unproved_open", **told)))
    rows = tuple(
        (
            piece.first.seam,
            teller.span(piece.span),
            teller.length(piece.span.length),
            "; ".join(teller.reader.say("state", state) for state in piece.first.states),
            "; ".join(_reasons(teller, piece.first)) or DASH,
        )
        for piece in lacking
    )
    head = teller.heads("seam", "from_to", "length", "lacks", "because")
    if rows or not blocks:
        blocks.append(Grid(head, rows, numbers=(2,), wide=(3, 4)))
    return Section(title, tuple(blocks))


def _lacking_for(each: Stretch) -> Hashable:
    """What the second table tells of a stretch; when a test came due, the first in a row says."""
    return (
        each.states,
        None if each.backing is None else each.backing.why_orphan,
        None if each.late is None else each.late.triggers,
        tuple(one.defect.id for one in each.defects if one.is_open),
    )


def _reasons(teller: Teller, each: Stretch) -> tuple[str, ...]:
    """Why a stretch is not proved: what is missing behind it, which clause, which defect."""
    reader, found = teller.reader, []
    if each.backing is not None and each.backing.why_orphan is not None:
        found.append(reader.say("why_orphan", each.backing.why_orphan))
    if each.late is not None:
        since = each.late.since
        for name in each.late.triggers:
            source = source_text(teller.closeout.rules[name].governing, reader)
            found.append(
                teller.say(
                    "due_since", rule=reader.say("rule", name), time=when(since), source=source
                )
            )
    found += [
        teller.say(
            "defect_open",
            number=one.defect["number"],
            why=reader.say("why_open", one.why_open),
        )
        for one in each.defects
        if one.why_open is not None
    ]
    return tuple(found)


def _doubts(teller: Teller, doubts: Sequence[Suspicion]) -> Section:
    rows = []
    for each in doubts:
        code = "closed" if each.is_closed else "bounded" if each.is_bounded else "unbounded"
        rows.append(
            (
                failure_says(each.failure, teller.reader),
                when(each.failure.at),
                teller.who(each.chain.operator, each.chain.machine),
                "; ".join(_places(teller, each)) or DASH,
                teller.length(each.length) if each.spans else DASH,
                teller.say(f"doubt_{code}"),
            )
        )
    head = teller.heads("failure", "when", "who_with", "in_doubt", "length", "doubt_state")
    grid = Grid(head, tuple(rows), numbers=(4,), wide=(3, 5))
    return Section(teller.say("doubts"), (Words(teller.say("doubts_how"), tone="small"), grid))


def _places(teller: Teller, doubt: Suspicion) -> Iterator[str]:
    spans: dict[str, list[Span]] = {}
    for each in doubt.spans:
        spans.setdefault(each.seam, []).append(each.span)
    for seam, found in spans.items():
        yield f"{seam} {', '.join(map(teller.span, union(found)))}"
