"""Cuts from the seam: where, why, what their strips said, and the traces of a force gauge."""

from __future__ import annotations

from lapwright.job.closingday import Tested
from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import DASH, Teller, when
from lapwright.report.dossier.testing import photos, strips_text, verdict_text
from lapwright.report.paper.blocks import Block, Grid, Section, Words


def cutting(teller: Teller, *, with_photos: bool) -> Section:
    """Cuts, then pulls of a force gauge, of cuts and of test welds."""
    closeout = teller.closeout
    cuts = [cut for cut in closeout.cuts if teller.is_asked(cut.fact)]
    blocks: list[Block] = []
    if cuts:
        blocks.append(
            Grid(
                head=teller.heads(
                    "number", "place", "length", "when", "why", "strips", "verdict", "patch"
                ),
                rows=tuple(_cut_row(teller, cut) for cut in cuts),
                wide=(5,),
            )
        )
    else:
        blocks.append(Words(teller.say("no_cuts")))
    if with_photos:
        for cut in cuts:
            blocks += photos(teller, cut.fact, *cut.strips)
    pulls = [
        (one, pull)
        for one in (
            *(tested for day in closeout.days for chain in day.chains for tested in chain.tested),
            *cuts,
        )
        for pull in one.pulls
    ]
    if pulls:
        blocks.append(_pulls(teller, pulls))
        blocks.append(Words(teller.say("pulls_how"), tone="small"))
    return Section(teller.say("cuts"), tuple(blocks))


def _cut_row(teller: Teller, cut: Tested) -> tuple[str, ...]:
    fact = cut.fact
    patch = teller.record.get(fact["patch"])
    return (
        str(fact["number"]),
        f"{fact['seam']} {teller.value(fact, 'station')}",
        teller.value(fact, "length"),
        f"{when(fact.at)}, {teller.name(fact.by)}",
        teller.value(fact, "why"),
        strips_text(teller, cut),
        verdict_text(teller, cut),
        teller.unknown if patch is None else teller.value(patch, "method"),
    )


def _pulls(teller: Teller, pulls: list[tuple[Tested, Fact]]) -> Grid:
    rows = []
    for tested, pull in pulls:
        strip = teller.record.get(pull["strip"])
        kind = teller.reader.say("kind", tested.fact.kind)
        rows.append(
            (
                f"{kind} {tested.fact['number']}",
                DASH if strip is None else str(strip["number"]),
                teller.value(pull, "rate"),
                teller.value(pull, "width"),
                teller.value(pull, "instrument"),
                str(pull["file"])[:16],
            )
        )
    head = teller.heads("pull_of", "strip", "rate", "width", "instrument", "file")
    return Grid(head, tuple(rows), wide=(4,), caption=teller.say("pulls"))
