"""What past days let expect of a morning: kept as a fact, so that no later day changes it.

A company learns at night and keeps, in each job, what its machines and pairings let expect.
The morning starts from that fact, on the server, on a phone without a signal and ten years on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from typing import Any

from lapwright.cautions import Caution
from lapwright.errors import OutOfRange
from lapwright.job.pastwelds import Past, machine_kind, nozzle_kind, pairing_kind
from lapwright.job.roofclock import day_at, roof_zone
from lapwright.proof.chains import Chain, Chains
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.window.answer import MODEL
from lapwright.window.history import Learnt
from lapwright.window.pastwelds import FAMILY_CODES, UNKNOWN
from lapwright.window.prior import Earlier

_NAMES = tuple(field.name for field in fields(Earlier))
_KEPT_TO = 2  # decimals of a kelvin
_NEWS = 1.0  # K; a figure that moved less is not kept anew


@dataclass(frozen=True)
class Expected:
    """What one machine on one pairing may expect.

    Parameters
    ----------
    machine, pairing : Fact
        Who welds what.
    nozzle : Fact or None
        Set-up of the nozzle it has on; None is not known.
    earlier : Earlier
        Bottom and width, and how far they may lie from there. [K]
    days : int
        Past days of the family that they were learnt from.
    """

    machine: Fact
    pairing: Fact
    nozzle: Fact | None
    earlier: Earlier
    days: int


def expectations(record: Record, past: Past, learnt: Learnt, *, day: str) -> Iterator[Expected]:
    """What past days let expect on a day of a job, by machine and pairing.

    Parameters
    ----------
    record : Record
        The job's.
    past, learnt : Past, Learnt
        Past days and what they teach.
    day : str
        The day to come, as ``2026-05-04``.

    Yields
    ------
    Expected
        Nothing for a family of which fewer than three days are known.
    """
    chains = Chains(record)
    for machine, pairing in _at_work(record, chains):
        kind = pairing_kind(record, pairing)
        if kind is None:
            continue
        nozzle = latest_nozzle(record, chains, machine.id)
        width = None if nozzle is None else nozzle_kind(si(nozzle["nozzle_width"]))
        earlier = learnt.earlier_for(
            family := kind[0][0],
            pairing=past.pairings.get(kind, UNKNOWN),
            machine=past.machines.get(machine_kind(machine), UNKNOWN),
            nozzle=past.nozzles.get(width, UNKNOWN),
            month=int(day[5:7]),
        )
        if earlier is not None:
            days = int(learnt.days[0, FAMILY_CODES.index(family)])
            yield Expected(machine, pairing, nozzle, _kept(earlier), days)


def _kept(earlier: Earlier) -> Earlier:
    said = asdict(earlier)
    return Earlier(**{name: round(value, _KEPT_TO) for name, value in said.items()})


def _at_work(record: Record, chains: Chains) -> list[tuple[Fact, Fact]]:
    """Machines with the pairings they weld; every two while none is known to have welded."""
    welded = {
        (chains.first(fact["machine"]), chains.first(fact["pairing"]))
        for kind in ("test_weld", "run")
        for fact in record.all(kind)
        if record.get(fact["pairing"]) is not None
    }
    known = [
        {one: None for fact in record.all(kind) if (one := chains.first(fact.id))}
        for kind in ("machine", "pairing")
    ]
    return [
        (machine, pairing)
        for refs in ((one, other) for one in known[0] for other in known[1])
        if not welded or refs in welded
        for machine, pairing in [tuple(map(record.get, refs))]
        if machine is not None and pairing is not None
    ]


def body_of(expected: Expected, *, day: str) -> dict[str, Any]:
    """The fact's fields, counting from a day on."""
    return {
        "machine": expected.machine.id,
        "pairing": expected.pairing.id,
        "nozzle_setup": None if expected.nozzle is None else expected.nozzle.id,
        "counts_from": day,
        "days": expected.days,
        "expects": asdict(expected.earlier),
        "model": MODEL,
    }


def is_news(record: Record, expected: Expected, *, day: str) -> bool:
    """Whether it says something that the fact in force on that day does not."""
    chain = Chain(expected.machine.id, "", pairing=expected.pairing.id)
    before = _in_force(record, chain, day=day, nozzle=expected.nozzle)
    said = None if before is None else _read(before["expects"])
    return said is None or any(
        abs((getattr(said, name) or 0.0) - getattr(expected.earlier, name)) > _NEWS
        for name in _NAMES
    )


def expected_by(
    record: Record, chain: Chain, *, at: datetime
) -> tuple[Earlier | None, tuple[Caution, ...]]:
    """What was kept for the day of a moment, if anything, and what to say of it.

    Parameters
    ----------
    record : Record
        The job's.
    chain : Chain
        Machine and pairing count; the nozzle must be the one it was kept for.
    at : datetime
        Facts kept later do not count. Aware.
    """
    chains, day = Chains(record), day_at(at, roof_zone(record))
    nozzle = latest_nozzle(record, chains, chain.machine, at=at)
    fact = _in_force(record, chain, day=day, nozzle=nozzle, at=at)
    if fact is None:
        return None, ()
    earlier = _read(fact["expects"])
    if earlier is None:
        return None, (Caution("past_days_unread"),)
    told = {"days": fact["days"], "day": fact["counts_from"]}
    return earlier, (Caution("past_days_used", told),)


def _in_force(
    record: Record, chain: Chain, *, day: str, nozzle: Fact | None, at: datetime | None = None
) -> Fact | None:
    chains = Chains(record)
    meant = [
        fact
        for fact in record.all("past_days")
        if chains.first(fact["machine"]) == chain.machine
        and chains.first(fact["pairing"]) == chain.pairing
        and fact["counts_from"] <= day
        and (at is None or fact.moment <= at)
        and has_nozzle(record.get(fact["nozzle_setup"]), nozzle)
    ]
    return max(meant, key=lambda fact: (fact["counts_from"], fact.moment), default=None)


def _read(expects: Any) -> Earlier | None:
    """What a fact holds, by whatever release it was written."""
    if not isinstance(expects, dict) or set(expects) != set(_NAMES):
        return None
    if any(isinstance(value, bool | str | list | dict) for value in expects.values()):
        return None
    try:
        return Earlier(**expects)
    except (OutOfRange, TypeError):
        return None


def latest_nozzle(
    record: Record, chains: Chains, machine: str, *, at: datetime | None = None
) -> Fact | None:
    """The newest nozzle set-up of a machine up to a moment."""
    return next(
        (
            fact
            for fact in reversed(record.all("nozzle_setup"))
            if chains.first(fact["machine"]) == machine and (at is None or fact.moment <= at)
        ),
        None,
    )


def has_nozzle(one: Fact | None, other: Fact | None) -> bool:
    """Whether two set-ups have the same nozzle, as far as its width is known of both."""
    widths = [None if setup is None else nozzle_kind(si(setup["nozzle_width"]))
              for setup in (one, other)]  # fmt: skip
    return None in widths or widths[0] == widths[1]
