"""The first page: which job, what was welded, what is proved, what is open, what is not said."""

from __future__ import annotations

from collections.abc import Iterator

from lapwright import __version__
from lapwright.job.roofclock import roof_zone
from lapwright.report.dossier.telling import DASH, Teller, when
from lapwright.report.paper.blocks import Block, Grid, Pairs, Section, Words
from lapwright.report.rulefigures import from_files

_LENGTHS = ("bare", "orphan", "stale", "set_aside", "open_defect", "unprobed", "suspect")


def cover(teller: Teller) -> Section:
    """What somebody needs who reads one page only."""
    is_day = teller.closeout.day is not None
    blocks: list[Block] = [
        Words(teller.say("day_is" if is_day else "job_is")),
        Pairs(tuple(_head(teller))),
        totals(teller),
        *left(teller),
        Words(teller.say("says_not"), tone="caution"),
    ]
    return Section(teller.say("in_short"), tuple(blocks))


def _head(teller: Teller) -> Iterator[tuple[str, str]]:
    closeout = teller.closeout
    job = teller.record.latest("job")
    yield teller.say("job"), teller.unknown if job is None else str(job["name"])
    yield (
        teller.reader.say("field", "place"),
        (job["place"] if job is not None else None) or teller.unknown,
    )
    if job is not None and closeout.day is None:
        yield teller.reader.say("field", "attachment"), teller.value(job, "attachment")
    days = [day.work.day for day in closeout.days if day.work.runs]
    if closeout.day is not None:
        yield teller.say("day"), closeout.day
    elif days:
        yield teller.say("days_welded"), teller.days(days)
    yield teller.say("crew"), ", ".join(_welders(teller)) or DASH
    yield teller.say("stood_at"), when(moment(teller))
    rules = from_files(closeout.rules)
    yield (
        teller.say("rules_in_force"),
        teller.say("rules_own", count=len(rules)) if rules else teller.say("rules_default"),
    )
    yield teller.say("made_with"), f"lapwright {__version__}"
    if closeout.head is not None:
        yield teller.say("entries"), str(closeout.head.seq)
        yield teller.say("head"), closeout.head.hash


def moment(teller: Teller) -> str:
    """The moment of the close-out, on the roof's clock."""
    zone = roof_zone(teller.record)
    at = teller.closeout.at
    return (at if zone is None else at.astimezone(zone)).isoformat(timespec="seconds")


def _welders(teller: Teller) -> list[str]:
    """Who ran a machine, in the order they began, each with the machines."""
    machines: dict[str, dict[str, None]] = {}
    for day in teller.closeout.days:
        for chain in day.chains:
            if chain.runs:
                own = machines.setdefault(teller.name(chain.chain.operator), {})
                own[teller.name(chain.chain.machine)] = None
    return [
        teller.say("welder", operator=name, machines=", ".join(own))
        for name, own in machines.items()
    ]


def totals(teller: Teller) -> Grid:
    """Seam welded, tested, probed, proved."""
    closeout, found = teller.closeout, teller.closeout.sums
    rows: list[tuple[str, float]] = []
    if closeout.day is None:
        rows.append((teller.say("seam_known"), found.length))
    whole = found.length
    rows += [
        (teller.say("seam_welded"), found.welded),
        (teller.say("seam_backed"), found.backed),
        (teller.say("seam_probed"), found.probed),
        (teller.say("seam_proved"), closeout.proved),
    ]
    return Grid(
        head=teller.heads("seam_of_all", "length", "share"),
        rows=tuple((name, teller.length(part), teller.share(part, whole)) for name, part in rows),
        numbers=(1, 2),
        wide=(0,),
        caption=teller.say("totals_title"),
    )


def open_rows(teller: Teller) -> tuple[tuple[str, str], ...]:
    """What is open, and how much of it."""
    rows = []
    for name, value in teller.closeout.open.items():
        is_length = name in _LENGTHS
        is_state = is_length and name != "suspect"
        says = teller.reader.say("state", name) if is_state else teller.say(f"open_{name}")
        rows.append((says, teller.length(value) if is_length else f"{value:.0f}"))
    return tuple(rows)


def left(teller: Teller) -> Iterator[Block]:
    """What is open; a foot may lack several things, so that the lengths do not add up."""
    rows = open_rows(teller)
    if not rows:
        yield Words(teller.say("nothing_open"))
        return
    yield Grid(
        head=teller.heads("what_open", "how_much"),
        rows=rows,
        numbers=(1,),
        wide=(0,),
        caption=teller.say("open_title"),
    )
    yield Words(teller.say("open_overlaps"), tone="small")
