"""Displayed against measured in the records: which readings belong together, machine by machine.

A test weld gives air and speed, the end of a run its speed. A reading counts where a display
was read or set and an instrument measured beside it. A calibration begins new series; another
nozzle begins a new one of the air.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, get_args

from lapwright.job.settled import LIMITS
from lapwright.proof.displays import Display, Reading, judge_display
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record

Quantity = Literal["air", "speed"]
QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)
Began = Literal["first", "calibrated", "nozzle"]

LEAST_SPREAD: Mapping[Quantity, float] = {
    "air": 1 / 1.8,  # K; 1 F, a usual step of instruments; our choice
    "speed": 0.1 * 0.3048 / 60,  # m/s; 0.1 ft/min, likewise; our choice
}
_SAME_WIDTH = 1e-4  # m; a nozzle of the same width is the same nozzle
_SHOWN = ("set", "displayed")  # how a display is read


@dataclass(frozen=True)
class Series:
    """One display over one stretch of time.

    Parameters
    ----------
    machine, type : str
        Number painted on it, and whether it is a welder or a hand gun.
    quantity : {"air", "speed"}
        What it displays.
    began : {"first", "calibrated", "nozzle"}
        Why this series starts where it does.
    display : Display
        Its readings, judged.
    is_current : bool
        Whether nothing has begun a newer one.
    """

    machine: str
    type: str
    quantity: Quantity
    began: Began
    display: Display
    is_current: bool


_Name = tuple[str, str]  # number and type
_Key = tuple[str, str, Quantity]
_Break = tuple[datetime, Began]


def displays(records: Iterable[Record], *, machine: str | None = None) -> tuple[Series, ...]:
    """Every series of every machine, by machine and time.

    Parameters
    ----------
    records : iterable of Record
        Of one job or of several; a machine is known by number and type.
    machine : str, optional
        Only this number.

    Notes
    -----
    A machine without a single reading has one empty series for each display it has: that
    nothing is known of it is worth saying.
    """
    records = tuple(records)
    found: dict[_Key, list[Reading]] = {key: [] for key in _displays_of(records, machine)}
    for record in records:
        for fact, quantity, reading in _read(record):
            owner = record.get(fact["machine"])
            if owner is not None and (key := (*_named(owner), quantity)) in found:
                found[key].append(reading)
    breaks = _breaks(records)
    return tuple(
        each
        for key in sorted(found, key=_order)
        for each in _series(key, _split(found[key], breaks.get(key, [])))
    )


def moved(series: Iterable[Series]) -> tuple[Series, ...]:
    """Those of today's displays that alarm."""
    return tuple(each for each in series if each.is_current and each.display.moved is not None)


def _order(key: _Key) -> tuple[bool, int, str, str, str]:
    number, kind, quantity = key
    return not number.isdecimal(), int(number) if number.isdecimal() else 0, number, kind, quantity


def _displays_of(records: Iterable[Record], machine: str | None) -> Iterator[_Key]:
    """What can be read: the air of every machine, the speed of a welder without a bare dial."""
    for record in records:
        for fact in record.all("machine"):
            number, kind = _named(fact)
            if machine in (None, number):
                yield number, kind, "air"
                if kind == "automatic" and fact["drive"] != "dial":
                    yield number, kind, "speed"


def _named(machine: Fact) -> _Name:
    return machine["number"], machine["type"]


def _breaks(records: Sequence[Record]) -> dict[_Key, list[_Break]]:
    """When a display is no longer the one that it was: calibrated, or behind another nozzle."""
    breaks: dict[_Key, list[_Break]] = {}
    for name, moment in _calibrations(records):
        for quantity in QUANTITIES:
            breaks.setdefault((*name, quantity), []).append((moment, "calibrated"))
    for name, moment in _nozzles(records):
        breaks.setdefault((*name, "air"), []).append((moment, "nozzle"))
    return breaks


def _calibrations(records: Sequence[Record]) -> Iterator[tuple[_Name, datetime]]:
    """Each machine's days of calibration, once, however often they were recorded."""
    machines = [machine for record in records for machine in record.all("machine")]
    known = set()
    for machine in sorted(machines, key=lambda fact: fact.moment):
        day = machine["calibrated"]
        if day is not None and (_named(machine), day) not in known:
            known.add((_named(machine), day))
            yield _named(machine), _calibrated_at(machine, day)


def _nozzles(records: Sequence[Record]) -> Iterator[tuple[_Name, datetime]]:
    """When a nozzle of another width came on; one that nobody measured tells nothing."""
    setups = [
        (setup, machine, width)
        for record in records
        for setup in record.all("nozzle_setup")
        if (machine := record.get(setup["machine"])) is not None
        and (width := si(setup["nozzle_width"])) is not None
    ]
    widths: dict[_Name, float] = {}
    for setup, machine, width in sorted(setups, key=lambda each: each[0].moment):
        before = widths.get(_named(machine), width)
        if abs(width - before) > _SAME_WIDTH:
            yield _named(machine), setup.moment
        widths[_named(machine)] = width


def _calibrated_at(machine: Fact, day: str) -> datetime:
    """The moment it was recorded, if on that day; else the day's beginning."""
    if machine.day == day:
        return machine.moment
    return datetime.fromisoformat(day).replace(tzinfo=machine.moment.tzinfo)


def _read(record: Record) -> Iterator[tuple[Fact, Quantity, Reading]]:
    """Each reading with the test weld or run that names the machine."""
    for weld in record.all("test_weld"):
        for quantity in QUANTITIES:
            yield from _pair(weld, weld, quantity, f"measured_{quantity}")
    for end in record.all("run_end"):
        run = record.get(end["run"])
        if run is not None:
            yield from _pair(run, end, "speed", "speed")


def _pair(
    shows: Fact, measures: Fact, quantity: Quantity, name: str
) -> Iterator[tuple[Fact, Quantity, Reading]]:
    """The reading of two facts, where a display was read and an instrument beside it."""
    shown, measured = shows[quantity], measures[name]
    if None in (shown, measured) or shown["how"] not in _SHOWN or measured["how"] != "measured":
        return
    values = si(shown), si(measured)
    low, high = LIMITS[quantity]  # what lies beyond was mistyped
    known = [value for value in values if value is not None and low < value < high]
    if len(known) == len(values):
        yield shows, quantity, Reading(measures.moment, known[0], known[1])


def _split(readings: list[Reading], breaks: list[_Break]) -> list[tuple[Began, list[Reading]]]:
    """Readings parted by what came between; the last part stays even while it is empty."""
    parts: list[tuple[Began, list[Reading]]] = [("first", [])]
    left = sorted(readings, key=lambda reading: reading.at)
    for moment, began in sorted(breaks):
        parts[-1][1].extend(reading for reading in left if reading.at < moment)
        left = [reading for reading in left if reading.at >= moment]
        if not parts[-1][1]:
            parts.pop()
        parts.append((began, []))
    parts[-1][1].extend(left)
    return parts


def _series(key: _Key, parts: list[tuple[Began, list[Reading]]]) -> Iterator[Series]:
    machine, kind, quantity = key
    for place, (began, readings) in enumerate(parts, start=1):
        judged = judge_display(readings, least=LEAST_SPREAD[quantity])
        yield Series(machine, kind, quantity, began, judged, is_current=place == len(parts))
