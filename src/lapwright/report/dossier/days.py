"""One day after the other: the sky as read, the set-up as checked, each chain with its tests.

A long job tells the sky and the runs of a day in a line each. Every reading and every run then
stands in a table inside the file, and what they mean for the roof in the trace of its seams.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lapwright.job.closingday import ChainDay, ClosedDay
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
from lapwright.report.paper.blocks import Block, Grid, Listed, Section, Words
from lapwright.roof.station import Span

_READINGS, _RUNS = "conditions.csv", "runs.csv"
_SKY = ("ambient", "sheet", "humidity", "wind", "sun", "substrate", "dry", "clean")
_NOZZLE = ("nozzle_width", "nozzle_clean", "aligned", "screen_clean", "roller_clean", "air_flow")
_RUN_HEAD = ("seam", "from_to", "time", "set", "set_point_of", "ended")
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
    return (*found[::-1], *([_listed(teller)] if teller.is_long else []))


def _listed(teller: Teller) -> Section:
    """Every reading and every run of a long job."""
    skies = teller.record.all("conditions")
    readings = Grid(
        head=(*teller.heads("day"), *_sky_head(teller)),
        rows=tuple((fact.day, *_sky_row(teller, fact)) for fact in skies),
        caption=teller.say("conditions"),
    )
    runs = Grid(
        head=teller.heads("day", "who_with", *_RUN_HEAD),
        rows=tuple(
            (day.work.day, teller.who(chain.chain.operator, chain.chain.machine), *row)
            for day in teller.closeout.days
            for chain in day.chains
            for row in _run_rows(teller, chain)
        ),
        caption=teller.say("runs"),
    )
    seams = teller.say("seams")
    blocks = (
        Listed(
            teller.say("conditions_listed", count=len(readings.rows), file=_READINGS),
            readings,
            _READINGS,
        ),
        Listed(
            teller.say("runs_listed", count=len(runs.rows), file=_RUNS, seams=seams), runs, _RUNS
        ),
    )
    return Section(teller.say("days_listed"), blocks)


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
    if teller.is_long:
        told = (
            f"{teller.reader.say('field', name)} {teller.reach(read, name)}"
            for name in _SKY
            if teller.reach(read, name) != DASH
        )
        yield Words(teller.say("conditions_short", count=len(read), told="; ".join(told)))
        return
    yield Grid(
        head=_sky_head(teller),
        rows=tuple(_sky_row(teller, fact) for fact in read),
        caption=teller.say("conditions"),
    )


def _sky_head(teller: Teller) -> tuple[str, ...]:
    names = tuple(teller.reader.say("field", name) for name in _SKY)
    return (*teller.heads("time"), *names, *teller.heads("by"))


def _sky_row(teller: Teller, fact: Fact) -> tuple[str, ...]:
    return (clock(fact.at), *(teller.value(fact, name) for name in _SKY), teller.name(fact.by))


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
    """Each run from where to where, when, on which set point, why it ended."""
    if not chain.runs:
        yield Words(teller.say("no_runs"))
        return
    if teller.is_long:
        began, ended = min(run.began for run in chain.runs), max(run.ended for run in chain.runs)
        time = f"{clock(began)}{DASH}{clock(ended)}"
        yield Words(teller.say("runs_short", count=len(chain.runs), time=time))
        return
    yield Grid(
        head=teller.heads(*_RUN_HEAD),
        rows=tuple(_run_rows(teller, chain)),
        wide=(3,),
        caption=teller.say("runs"),
    )


def _run_rows(teller: Teller, chain: ChainDay) -> Iterator[tuple[str, ...]]:
    numbers = {decision.id: clock(decision.at) for decision in chain.decisions}
    for run in chain.runs:
        decision = teller.record.get(run.run["decision"])
        yield (
            run.seam,
            teller.length(run.first)
            if run.first == run.last
            else teller.span(Span(*sorted((run.first, run.last)))),
            clock(run.began) + ("" if run.end is None else f"{DASH}{clock(run.ended)}"),
            teller.setting(run.run, decision),
            teller.unknown if decision is None else numbers.get(decision.id, decision.day),
            teller.say("no_end") if run.end is None else teller.value(run.end, "reason"),
        )
