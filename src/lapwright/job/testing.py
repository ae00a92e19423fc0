"""Test welds on record to the question of the window: which strips count, and as what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lapwright.cautions import Caution
from lapwright.job.expecting import expected_by, has_nozzle, latest_nozzle
from lapwright.job.roofclock import day_at, roof_zone
from lapwright.job.rules import RuleBook
from lapwright.job.settled import settled
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.verdicts import Heat, Limits, Result, Results
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.window.answer import Question
from lapwright.window.strips import Strip, TestWeld


@dataclass(frozen=True)
class Asked:
    """The question that the record makes of one chain, and where it comes from.

    Parameters
    ----------
    chain : Chain
        Who welds with what.
    question : Question
        For :func:`~lapwright.job.morning.find_window`.
    test_welds : dict of str
        Id of the fact behind each weld of the question, by the weld's number there.
    waiting : tuple of str
        Ids of test welds that no strip has been graded of yet.
    cautions : tuple of Caution
        What had to be left out or taken for something else, and why.
    """

    chain: Chain
    question: Question
    test_welds: dict[str, str]
    waiting: tuple[str, ...]
    cautions: tuple[Caution, ...]


def limits_of(rules: RuleBook) -> Limits:
    """What the rules ask of strips and probing, for the rooms that judge."""
    return Limits(
        strips=round(rules["test_weld_strips"].value),
        fused_width=rules["fused_width"].value,
        fused_width_hand=rules["fused_width_hand"].value,
        grade_only=bool(rules["grade_only"].value),
        probe_cooling=rules["probe_cooling"].value,
    )


def ask(record: Record, chain: Chain, *, at: datetime, rules: RuleBook) -> Asked:
    """The question of the window for one chain at one moment.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    chain : Chain
        Who welds with what.
    at : datetime
        Later facts do not count. Aware.
    rules : RuleBook
        The job's, merged with the defaults.

    Returns
    -------
    Asked

    Raises
    ------
    OutOfRange
        The machine's limits or the sheet's thickness are none that exist.

    Notes
    -----
    Welds of the day count from the last change of chain or nozzle on. Heat signs are looked
    for once a weld and stand at each of its strips, as on the paper card.
    """
    results = Results(record, limits_of(rules))
    made: dict[str, TestWeld] = {}
    ids: dict[str, str] = {}
    waiting: list[str] = []
    doubts: dict[str, list[str]] = {}
    for fact in _since_change(record, chain, at=at):
        number = _free(fact["number"], made)
        result = results.of(fact)
        if not result.strips:
            waiting.append(fact.id)
            continue
        reading, doubt = _readings(record, fact)
        for code in doubt:
            doubts.setdefault(code, []).append(number)
        if reading is not None:
            made[number] = _weld(number, reading, fact, result)
            ids[number] = fact.id
    earlier, from_past = expected_by(record, chain, at=at)
    stated = _stated(record, chain, at=at)
    return Asked(
        chain=chain,
        question=Question(welds=tuple(made.values()), earlier=earlier, **stated),
        test_welds=ids,
        waiting=tuple(waiting),
        cautions=(
            *rules.cautions,
            *from_past,
            *(Caution(code, {"welds": ", ".join(welds)}) for code, welds in doubts.items()),
        ),
    )


def _since_change(record: Record, chain: Chain, *, at: datetime) -> list[Fact]:
    """Test welds of the chain on the day of ``at``, after the last change of anything in it."""
    chains, day = Chains(record), day_at(at, roof_zone(record))
    nozzle = latest_nozzle(record, chains, chain.machine, at=at)
    done = [
        fact
        for kind in ("test_weld", "run")
        for fact in record.all(kind)
        if chains.first(fact["machine"]) == chain.machine and fact.day == day and fact.moment <= at
    ]
    done.sort(key=lambda fact: (fact.moment, fact.id), reverse=True)
    found: list[Fact] = []
    for fact in done:
        is_same_nozzle = has_nozzle(record.get(fact["nozzle_setup"]), nozzle)
        if not (is_same_nozzle and chains.of(fact).may_be(chain)):
            if found:
                break
        elif fact.kind == "test_weld":
            found.append(fact)
    return found[::-1]


def _free(number: str, taken: Mapping[str, object]) -> str:
    """The number as written on the sheet; one written twice gets a mark."""
    name, count = number, 1
    while name in taken:
        count += 1
        name = f"{number}/{count}"
    return name


def _readings(record: Record, fact: Fact) -> tuple[dict[str, float] | None, list[str]]:
    """What :func:`settled` makes of a test weld and its conditions."""
    conditions = record.get(fact["conditions"])
    if conditions is None:
        return None, ["weld_without_conditions"]
    return settled(
        air=si(fact["air"]),
        measured_air=si(fact["measured_air"]),
        speed=si(fact["speed"]),
        measured_speed=si(fact["measured_speed"]),
        ambient=si(conditions["ambient"]),
        sheet=si(conditions["sheet"]),
    )


def _weld(number: str, reading: Mapping[str, float], fact: Fact, result: Result) -> TestWeld:
    return TestWeld(
        number=number,
        strips=tuple(_strips(result.strips, result.heat)),
        volts=si(fact["volts"]),
        **reading,
    )


def _strips(strips: Iterable[Fact], heat: Heat | None) -> Iterator[Strip]:
    for strip in strips:
        yield Strip(
            number=strip["number"],
            pull=strip["pull"],
            overheat=heat,
            band=si(strip["band"]),
            note=strip.note,
        )


def _stated(record: Record, chain: Chain, *, at: datetime) -> dict[str, Any]:
    """What set-up and the latest conditions of the day say beside the welds."""
    stated: dict[str, Any] = {}
    machine = Chains(record).latest(chain.machine)
    pairing = record.get(chain.pairing)
    lot = None if pairing is None else record.get(pairing["upper"])
    if machine is not None:
        stated["min_air"] = si(machine["coolest_air"])
        stated["max_air"] = si(machine["hottest_air"])
    if lot is not None:
        stated["membrane"] = lot["membrane"]
        stated["thickness"] = si(lot["thickness"])
    day = day_at(at, roof_zone(record))
    conditions = next(
        (c for c in reversed(record.all("conditions")) if c.moment <= at and c.day == day), None
    )
    if conditions is not None:
        stated["ambient"] = si(conditions["ambient"])
        stated["sheet"] = si(conditions["sheet"])
    return {name: value for name, value in stated.items() if value is not None}
