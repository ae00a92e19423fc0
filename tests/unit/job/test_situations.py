"""Situations read from the record: what is known is told, what is not stays unknown."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime

from tests import cast

from lapwright.job.change import Situation
from lapwright.job.situations import Situations
from lapwright.proof.chains import Chains
from lapwright.record.fact import Fact
from lapwright.units import to_si


def at(clock: str) -> datetime:
    """A moment of the cast's day."""
    return datetime.fromisoformat(cast.time(clock))


def now(*facts: Fact, clock: str = "08:00", **other: object) -> Situation:
    """The situation of the cast's chain at a time."""
    record = cast.record(cast.SETUP, list(facts))
    chains = Chains(record)
    run = cast.ran("A-S001", "0 ft", "1 ft", **other)[0]  # type: ignore[arg-type]
    return Situations(record, chains).now(chains.of(run), pairing=run["pairing"], at=at(clock))


def test_a_weld_and_the_moment_after_it_are_alike() -> None:
    """What a test weld met is what stands until something is read or recorded anew."""
    weld = cast.welded(1, "860 f", "ff")[0]
    record = cast.record(cast.SETUP, weld)
    chains = Chains(record)
    told = Situations(record, chains)
    assert told.of_weld(weld) == told.now(chains.of(weld), pairing=weld["pairing"], at=at("08:00"))


def test_every_part_is_told_where_it_was_recorded() -> None:
    """The whole set-up of the cast is known, in SI."""
    found = now()
    assert all(getattr(found, field.name) is not None for field in fields(Situation))
    assert (found.generator, found.cord) == ("1", "10 AWG 30.4800")
    assert (found.membrane, found.colour, found.lot) == ("tpo", "white", "L-1")
    assert found.sheet == to_si(80, "f")


def test_what_was_not_recorded_stays_unknown() -> None:
    """No power, no pairing, no gauge, no lot number: None, never an empty word."""
    found = now(power_setup=None, pairing=None)
    assert (found.generator, found.cord, found.membrane, found.thickness) == (None,) * 4
    power = cast.fact("power_setup", at="07:00", source="5", gauge=None)
    found = now(power, power_setup=power)
    assert (found.generator, found.cord) == ("5", None)
    lot = cast.fact("lot", at="07:00")
    pairing = cast.fact("pairing", at="07:01", upper=lot, lower=lot)
    assert now(lot, pairing, pairing=pairing).lot is None
    missing = cast.fact("pairing", at="07:01", upper=lot, lower=lot)
    assert now(missing, pairing=missing).membrane is None  # its lots have not arrived


def test_aged_and_mixed_sheets_read_as_another_membrane() -> None:
    """Old to new is another pairing, and two colours are told as two."""
    aged = cast.fact("pairing", at="07:00", upper=cast.LOT, lower=cast.OTHER_LOT, aged=True)
    found = now(aged, pairing=aged)
    assert (found.membrane, found.colour) == ("tpo aged", "white + grey")


def test_only_conditions_of_the_day_up_to_now_count() -> None:
    """Yesterday's reading and a later one say nothing of this moment."""
    warm = cast.fact("conditions", at="09:00", sheet="110 f measured")
    assert now(warm, clock="08:59").sheet == to_si(80, "f")
    assert now(warm, clock="09:00").sheet == to_si(110, "f")
    found = Situations(cast.record(cast.SETUP), Chains(cast.record(cast.SETUP)))
    next_day = datetime.fromisoformat(cast.time("07:00", day="2026-05-05"))
    assert found.conditions_at(next_day) is None
