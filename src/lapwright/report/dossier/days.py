"""One day after the other: the sky as read, the set-up as checked, each chain with its tests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lapwright.job.closingday import ChainDay, ClosedDay
from lapwright.proof.runs import Welded
from lapwright.proof.trace import STATES
from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import DASH, Teller, clock, offset
from lapwright.report.dossier.testing import (
    Drawn,
    photos,
    set_points,
    test_welds,
    window_pictures,
)
from lapwright.report.paper.blocks import Block, Grid, Section, Words
from lapwright.roof.station import Span

_EACH = 2000  # runs told one by one in the paper of a job, some 40 pages
_SKY = ("ambient", "sheet", "humidity", "wind", "sun", "substrate", "dry", "clean")
_NOZZLE = ("nozzle_width", "nozzle_clean", "aligned", "screen_clean", "roller_clean", "air_flow")
_POWER = ("dedicated", "gauge", "cord_length", "volts_open", "volts", "other_loads")


def days(teller: Teller, drawn: Drawn) -> tuple[Section, ...]:
    """Each day on which anything but the setting up of the job was recorded.

    Notes
    -----
    Pictures go to the newest days first, as far as they last.
    """
    left = drawn.most
    found: list[Section] = []
    for day in reversed(teller.closeout.days):
        if not (day.chains or day.all("conditions")):
            continue
        told = day_section(teller, day, drawn, most=left)
        left -= len([chain for chain in day.chains if chain.decisions])
        found.append(told)
    return tuple(found[::-1])


def day_section(teller: Teller, day: ClosedDay, drawn: Drawn, *, most: int) -> Section:
    """A day with a part for each chain."""
    blocks: list[Block] = [Words(_sentence(teller, day))]
    blocks += conditions(teller, day)
    blocks += set_up(teller, day)
    parts = [
        _chain(teller, chain, drawn, is_drawn=place < most)
        for place, chain in enumerate(day.chains)
    ]
    return Section(teller.say("day_title", day=day.work.day), tuple(blocks), tuple(parts))


def _sentence(teller: Teller, day: ClosedDay) -> str:
    """What the day welded and what lacks now, and on which clock its times are."""
    work = day.work
    lacking = [
        f"{teller.reader.say('state', state)} {teller.length(work.length(state))}"
        for state in STATES
        if work.length(state) > 0
    ]
    zones = dict.fromkeys(offset(fact.moment) for found in day.facts.values() for fact in found)
    said = [
        teller.say("day_welded", length=teller.length(work.welded))
        if work.runs
        else teller.say("day_none")
    ]
    if lacking:
        said.append(teller.say("day_lacks", lacking="; ".join(lacking)))
    elif work.runs:
        said.append(teller.say("day_whole"))
    return " ".join([*said, teller.say("clock", offset=", ".join(zones))])


def conditions(teller: Teller, day: ClosedDay) -> Iterator[Block]:
    """Weather and sheet as read."""
    read = day.all("conditions")
    if not read:
        yield Words(teller.say("no_conditions"))
        return
    names = tuple(teller.reader.say("field", name) for name in _SKY)
    yield Grid(
        head=(*teller.heads("time"), *names, *teller.heads("by")),
        rows=tuple(
            (
                clock(fact.at),
                *(teller.value(fact, name) for name in _SKY),
                teller.name(fact.by),
            )
            for fact in read
        ),
        caption=teller.say("conditions"),
    )


def set_up(teller: Teller, day: ClosedDay) -> Iterator[Block]:
    """Nozzle and power as checked."""
    rows = [
        *(_checked(teller, fact, _NOZZLE, "machine") for fact in day.all("nozzle_setup")),
        *(_checked(teller, fact, _POWER, "source") for fact in day.all("power_setup")),
    ]
    if rows:
        yield Grid(
            head=teller.heads("time", "set_up", "checked", "by"),
            rows=tuple(sorted(rows)),
            wide=(2,),
            caption=teller.say("set_up"),
        )


def _checked(teller: Teller, fact: Fact, names: Sequence[str], of: str) -> tuple[str, ...]:
    said = [
        f"{teller.reader.say('field', name)} {teller.value(fact, name)}"
        for name in names
        if teller.value(fact, name) != DASH
    ]
    what = f"{teller.reader.say('field', of)} {teller.value(fact, of)}"
    return (clock(fact.at), what, "; ".join(said), teller.name(fact.by))


def _chain(teller: Teller, chain: ChainDay, drawn: Drawn, *, is_drawn: bool) -> Section:
    blocks: list[Block] = [Words(teller.chain(chain.chain))]
    blocks += test_welds(teller, chain.tested)
    if not chain.tested:
        blocks.append(Words(teller.say("no_test_welds")))
    blocks += set_points(teller, chain, drawn)
    if is_drawn:
        blocks += window_pictures(teller, chain, drawn)
    if drawn.with_photos:
        for tested in chain.tested:
            blocks += photos(teller, tested.fact, *tested.looks, *tested.strips)
    blocks += runs(teller, chain)
    title = teller.who(chain.chain.operator, chain.chain.machine)
    return Section(title, tuple(blocks))


def runs(teller: Teller, chain: ChainDay) -> Iterator[Block]:
    """Each run from where to where, when, on which set point, why it ended.

    Where a job has too many, those that went on from each other in one setting share a row.
    """
    if not chain.runs:
        yield Words(teller.say("no_runs"))
        return
    numbers = {decision.id: clock(decision.at) for decision in chain.decisions}
    yield Grid(
        head=teller.heads("seam", "from_to", "time", "set", "set_point_of", "ended"),
        rows=tuple(_run_row(teller, one, numbers) for one in _passes(teller, chain.runs)),
        wide=(3,),
        caption=teller.say("runs"),
    )


def _passes(teller: Teller, found: Sequence[Welded]) -> Iterator[tuple[Welded, ...]]:
    """Runs of a row."""
    row: list[Welded] = []
    is_long = teller.closeout.day is None and len(teller.record.all("run")) > _EACH
    for run in found:
        if row and not (is_long and _goes_on(teller, row[-1], run)):
            yield tuple(row)
            row = []
        row.append(run)
    if row:
        yield tuple(row)


def _goes_on(teller: Teller, before: Welded, run: Welded) -> bool:
    """It began where the one before ended, and says the same of everything but place and time."""
    if before.end is None or run.end is None or (before.seam, before.last) != (run.seam, run.first):
        return False
    return _says(teller, before) == _says(teller, run)


def _says(teller: Teller, run: Welded) -> tuple[object, ...]:
    decision = teller.record.get(run.run["decision"])
    reason = None if run.end is None else run.end["reason"]
    return (teller.setting(run.run, decision), run.run["decision"], reason, run.first < run.last)


def _run_row(
    teller: Teller, passes: Sequence[Welded], numbers: Mapping[str, str]
) -> tuple[str, ...]:
    first, last = passes[0], passes[-1]
    decision = teller.record.get(first.run["decision"])
    ended = teller.say("no_end") if last.end is None else teller.value(last.end, "reason")
    if len(passes) > 1:
        ended = teller.say("runs_each", count=len(passes), reason=ended)
    return (
        first.seam,
        teller.length(first.first)
        if first.first == last.last
        else teller.span(Span(*sorted((first.first, last.last)))),
        clock(first.began) + ("" if last.end is None else f"{DASH}{clock(last.ended)}"),
        teller.setting(first.run, decision),
        teller.unknown if decision is None else numbers.get(decision.id, decision.day),
        ended,
    )
