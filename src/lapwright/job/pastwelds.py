"""Test welds on record to the columns that a new morning learns from.

The same strips count, and as the same, as when a window is asked for (``job/testing``). Rows
come by the million: each text in them is read once.
"""

from __future__ import annotations

import json
from array import array
from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lapwright.job.settled import settled
from lapwright.proof.chains import Chains
from lapwright.proof.verdicts import Heat, heat_signs, worse_of_each
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.record.tested import Tested, TestedJobs, looks_of, strips_of
from lapwright.window.pastwelds import FAMILY_CODES, UNKNOWN, PastWelds
from lapwright.window.strips import Strip, TestWeld

_MOST = 127  # strips of one grade that a column holds; nobody cuts so many from a weld
_NEVER = "9999-12-31"
_TEXTS = 1 << 17  # texts remembered; a company types fewer


@dataclass(frozen=True)
class Past:
    """Test welds of past days, and what stands behind the keys of their columns.

    Parameters
    ----------
    welds : PastWelds
        For :func:`~lapwright.window.history.learn`.
    pairings, machines, nozzles : dict of int
        Keys by what :func:`pairing_kind`, :func:`machine_kind`, :func:`nozzle_kind` give.
    left_out : dict of int
        How many welds teach nothing, by what is the matter: ``no_strips``, ``no_sheet_kind``,
        or a caution of :func:`~lapwright.job.settled.settled`.
    """

    welds: PastWelds
    pairings: dict[Hashable, int]
    machines: dict[Hashable, int]
    nozzles: dict[Hashable, int]
    left_out: dict[str, int]


def machine_kind(machine: Fact) -> Hashable:
    """What makes two machines one, on whichever job: the number painted on it, and its type."""
    return machine["number"], machine["type"]


def pairing_kind(record: Record, pairing: Fact | None) -> tuple[Any, ...] | None:
    """What makes two pairings alike, whatever the rolls; None when a sheet is not known.

    Upper and lower sheet by membrane, colour, backing and thickness, then whether it is aged.
    """
    if pairing is None:
        return None
    lots = [record.get(pairing[name]) for name in ("upper", "lower")]
    kinds = [_lot_kind(lot) for lot in lots if lot is not None]
    return (*kinds, pairing["aged"]) if len(kinds) == len(lots) else None


def _lot_kind(lot: Fact) -> tuple[Any, ...]:
    thickness = si(lot["thickness"]) or 0.0  # never on a dial
    return lot["membrane"], lot["colour"], lot["backing"], round(thickness, 5)


def nozzle_kind(width: float | None) -> int | None:
    """Width of a nozzle in tenths of a millimetre: 1.5 in and 38 mm are two."""
    return None if width is None else round(width * 1e4)


def past_welds(
    batches: Iterable[TestedJobs], *, invented: bool = False, before: str = _NEVER
) -> Past:
    """Columns of all test welds that teach something.

    Parameters
    ----------
    batches : iterable of TestedJobs
        From a store, or of one record.
    invented : bool
        Learn from examples and practice jobs, and from no others.
    before : str
        Learn from days before this one, as ``2026-05-04``; from all unless said.

    Notes
    -----
    Left out are welds that a question of the window leaves out too, and those whose sheets are
    not known: a window belongs to its pairing.
    """
    columns = _Columns()
    for set_up, rows in batches:
        jobs = {
            job: _Job(record) for job, record in set_up.items() if is_invented(record) == invented
        }
        for row in rows:
            if row.job in jobs and row.day < before:
                columns.add(jobs[row.job], row)
    return columns.past()


def is_invented(record: Record) -> bool:
    """Whether a job is an example or a practice job."""
    job = record.latest("job")
    return job is not None and bool(job["invented"])


class _Job:
    """Machines and pairings of one job, each looked up once."""

    def __init__(self, record: Record) -> None:
        self._record, self._chains = record, Chains(record)
        self.machine = lru_cache(None)(self._machine)
        self.pairing = lru_cache(None)(self._pairing)

    def _machine(self, ref: str | None) -> tuple[Hashable, float | None]:
        """What it is, and the hottest air it reaches. [K]"""
        machine = self._chains.latest(ref)
        return (
            (None, None) if machine is None else (machine_kind(machine), si(machine["hottest_air"]))
        )

    def _pairing(self, ref: str | None) -> tuple[Any, ...] | None:
        return pairing_kind(self._record, self._record.get(ref))


class _Keys(dict[Hashable, int]):
    """Whole numbers from 0 up, one for each that comes; nothing is UNKNOWN."""

    def __missing__(self, kind: Hashable) -> int:
        if kind is None:
            return UNKNOWN
        self[kind] = len(self)
        return self[kind]


@dataclass(frozen=True)
class _Columns:
    """Columns while they grow, in the order of the fields of PastWelds."""

    days: _Keys = field(default_factory=_Keys)
    pairings: _Keys = field(default_factory=_Keys)
    machines: _Keys = field(default_factory=_Keys)
    nozzles: _Keys = field(default_factory=_Keys)
    left_out: dict[str, int] = field(default_factory=dict)
    welds: tuple[array[Any], ...] = field(
        default_factory=lambda: tuple(array(code) for code in "ifffbbbbb")
    )

    def add(self, job: _Job, row: Tested) -> None:
        """One weld."""
        counts, heat = _pulls(row.strips), _heat(row.looks)
        pairing = job.pairing(row.pairing)
        reading, doubts = settled(
            air=_si(row.air),
            measured_air=_si(row.measured_air),
            speed=_si(row.speed),
            measured_speed=_si(row.measured_speed),
            ambient=_si(row.ambient),
            sheet=_si(row.sheet),
        )
        if counts is None or pairing is None or reading is None:
            why = (
                "no_strips" if counts is None else "no_sheet_kind" if pairing is None else doubts[0]
            )
            self.left_out[why] = self.left_out.get(why, 0) + 1
            return
        machine, hottest = job.machine(row.machine)
        air = reading.get("measured_air")
        if air is None:
            air = min(reading["air"], hottest or reading["air"])
        membrane = FAMILY_CODES.index(pairing[0][0])
        kind = (self.pairings[pairing], self.machines[machine], self.nozzles[_nozzle(row)])
        day = self.days[membrane, *kind, row.day]
        weld = (
            day,
            air,
            reading["speed"],
            reading["sheet"],
            *counts,
            heat is not None,
            heat == "signs",
        )
        for column, value in zip(self.welds, weld, strict=True):
            column.append(value)

    def past(self) -> Past:
        """All of them."""
        day, air, speed, sheet, cold, partial, full, looked, signs = map(_whole, self.welds)
        membrane, pairing, machine, nozzle, month = _whole_days(self.days)
        return Past(
            welds=PastWelds(
                day=day,
                air=air,
                speed=speed,
                sheet=sheet,
                cold=cold,
                partial=partial,
                full=full,
                looked=looked.astype(np.bool_),
                signs=signs.astype(np.bool_),
                membrane=membrane.astype(np.int8),
                pairing=pairing,
                machine=machine,
                nozzle=nozzle,
                month=month.astype(np.int8),
            ),
            pairings=dict(self.pairings),
            machines=dict(self.machines),
            nozzles=dict(self.nozzles),
            left_out=self.left_out,
        )


def _whole(column: array[Any]) -> NDArray[Any]:
    return np.frombuffer(column, dtype=column.typecode) if column else np.empty(0, column.typecode)


def _whole_days(days: Iterable[Any]) -> NDArray[np.int32]:
    """Membrane, pairing, machine, nozzle and month of each day."""
    rows = [(*keys, int(day[5:7])) for *keys, day in days]
    return np.array(rows, dtype=np.int32).reshape(-1, 5).T.copy()


@lru_cache(_TEXTS)
def _si(text: str | None) -> float | None:
    return None if text is None else si(json.loads(text))


@lru_cache(_TEXTS)
def _pulls(text: str | None) -> tuple[int, ...] | None:
    """Strips read as cold, partial and full; None when there is no strip."""
    strips = tuple(Strip(one["number"], one["pull"]) for one in worse_of_each(strips_of(text)))
    counts = TestWeld("", 0.0, 0.0, 0.0, 0.0, strips).bond_counts
    return tuple(min(count, _MOST) for count in counts) if strips else None


@lru_cache(_TEXTS)
def _heat(text: str | None) -> Heat | None:
    return heat_signs(looks_of(text))


def _nozzle(row: Tested) -> int | None:
    return nozzle_kind(_si(row.nozzle_width))
