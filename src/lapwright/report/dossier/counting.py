"""What counting proves, and what it cannot: cuts, test welds, probing and T-joints each alone."""

from __future__ import annotations

from collections.abc import Iterator

from lapwright.job.proving import Answers
from lapwright.job.tally import Chart
from lapwright.report import tallytext
from lapwright.report.cutstext import percent, probed, proved
from lapwright.report.dossier.telling import Teller
from lapwright.report.paper.blocks import Block, Grid, Section, Words


def counting(teller: Teller) -> Section:
    """Plain sentences with their limits, then the finds day by day."""
    counted = teller.closeout.counted
    parts = [
        _part(teller, "cuts_counted", [*_cuts(teller)]),
        _part(teller, "tests_counted", [*_tests(teller, counted.tests)]),
        _part(teller, "probing_counted", [*_probing(teller)]),
        _part(teller, "joints_counted", [*_joints(teller, counted.joints)]),
    ]
    blocks = (
        Words(teller.say("counting_how")),
        Words(teller.say("counting_limits"), tone="caution"),
    )
    charts = () if counted.tally is None else counted.tally.charts
    parts += [_chart(teller, chart) for chart in charts]
    return Section(teller.say("counting"), blocks, tuple(parts))


def _part(teller: Teller, title: str, sentences: list[str]) -> Section:
    return Section(teller.say(title), tuple(Words(sentence) for sentence in sentences))


def _cuts(teller: Teller) -> Iterator[str]:
    counted = teller.closeout.counted
    if counted.cuts is None:
        yield teller.say("no_planned_cuts")
    else:
        yield from proved(counted.cuts, teller.reader)
    if counted.aimed:
        yield teller.say("aimed_cuts", count=counted.aimed, bad=counted.aimed_bad)


def _tests(teller: Teller, tests: Answers | None) -> Iterator[str]:
    if tests is None or tests.share is None:
        yield teller.say("none_counted")
        return
    yield teller.say(
        "tests_prove",
        bad=tests.asked.bad,
        taken=tests.asked.taken or 0,
        limit=percent(tests.share, teller.reader),
        level=percent(tests.asked.sure, teller.reader),
    )


def _probing(teller: Teller) -> Iterator[str]:
    answers = teller.closeout.counted.probing
    if not answers:
        yield teller.say("none_counted")
    for each in answers:
        yield from probed(each, teller.reader)
    if answers:
        yield teller.reader.say("caution", "probing_is_not_bond")


def _joints(teller: Teller, joints: Answers | None) -> Iterator[str]:
    if joints is None:
        yield teller.say("none_counted")
        return
    yield teller.say(
        "joints_prove",
        bad=joints.asked.bad,
        taken=joints.asked.taken or 0,
        places=joints.asked.places or 0,
        count=joints.places or 0,
        level=percent(joints.asked.sure, teller.reader),
    )


def _chart(teller: Teller, chart: Chart) -> Section:
    reader = teller.reader
    grid = Grid(
        head=tallytext.head(reader),
        rows=tuple(tallytext.rows(chart, reader)),
        numbers=(2, 4),
        caption=tallytext.title_text(chart, reader),
    )
    tally = teller.closeout.counted.tally
    cautions = [] if tally is None else [
        Words(reader.say("caution", one.code, one.data), tone="small") for one in tally.cautions
    ]  # fmt: skip
    blocks: list[Block] = [grid, *map(Words, tallytext.advice(chart, reader)), *cautions]
    return Section(teller.say("finds_by_day"), tuple(blocks))
