"""What a test weld left on record, as typed: the join that learning from past days reads.

One row per test weld, the same whether folded from facts here or joined in a database
(``store/pastwelds``). Nothing is judged here: what two looks at one strip, or signs that nobody
looked for, amount to is for ``proof`` to say. Rows hold texts, so that each need be read once.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, NamedTuple

from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.record.work import SIGNS

SET_UP = ("job", "machine", "lot", "pairing")  # kinds that a row names or needs; few of each
SAID = ("air", "measured_air", "speed", "measured_speed")  # measures of a test weld
LOOKED_FOR = ("corner", *SIGNS)  # fields of a hot look, in the order of :attr:`Tested.looks`
PULLED = ("pull", "number")  # fields of a strip, in the order of :attr:`Tested.strips`
BETWEEN_FIELDS, BETWEEN_FACTS = "\x1f", "\x1e"  # no text of a fact can hold them
_FLAGS = {"": None, "true": True, "false": False}


class Tested(NamedTuple):
    """One test weld with what was read around it.

    Measures are JSON, as typed. None is not known, or the fact that says it is not here.

    Parameters
    ----------
    job, id, day : str
        Of the test weld; day where it was made.
    machine, pairing : str or None
        Ids, as the weld names them.
    air, measured_air, speed, measured_speed : str or None
        Of the weld.
    ambient, sheet : str or None
        Of its conditions.
    nozzle_width : str or None
        Of its nozzle set-up.
    strips, looks : str or None
        Fields of its strips and hot looks, see :func:`strips_of`, :func:`looks_of`.
    """

    job: str
    id: str
    day: str
    machine: str | None
    pairing: str | None
    air: str | None
    measured_air: str | None
    speed: str | None
    measured_speed: str | None
    ambient: str | None
    sheet: str | None
    nozzle_width: str | None
    strips: str | None
    looks: str | None


class TestedJobs(NamedTuple):
    """Test welds of some whole jobs.

    Parameters
    ----------
    set_up : dict of str
        Facts of each job as they hold, of the kinds :data:`SET_UP` at least.
    welds : list of Tested
        In any order.
    """

    set_up: dict[str, Record]
    welds: list[Tested]


def each_tested(record: Record) -> Iterator[Tested]:
    """The row of every test weld that holds, oldest first."""
    strips = _by(record.all("strip"), "of", PULLED)
    looks = _by(record.all("hot_look"), "test_weld", LOOKED_FOR)
    for weld in record.all("test_weld"):
        sky, nozzle = record.get(weld["conditions"]), record.get(weld["nozzle_setup"])
        yield Tested(
            weld.job,
            weld.id,
            weld.day,
            weld["machine"],
            weld["pairing"],
            _plain(weld, "air"),
            _plain(weld, "measured_air"),
            _plain(weld, "speed"),
            _plain(weld, "measured_speed"),
            _plain(sky, "ambient"),
            _plain(sky, "sheet"),
            _plain(nozzle, "nozzle_width"),
            strips.get(weld.id),
            looks.get(weld.id),
        )


def strips_of(text: str | None) -> list[Fact]:
    r"""Strips of a row, with the fields that grade them and no others.

    Examples
    --------
    >>> [strip["pull"] for strip in strips_of("full\x1f1\x1epartial\x1f2")]
    ['full', 'partial']
    """
    return [_bare("strip", dict(zip(PULLED, said, strict=True))) for said in _each(text)]


def looks_of(text: str | None) -> list[Fact]:
    r"""Hot looks of a row, with all that was looked for.

    Examples
    --------
    >>> [look] = looks_of("\x1f".join(["holds", "true"] + [""] * 6))
    >>> look["corner"], look["smoke"], look["scorch"]
    ('holds', True, None)
    """
    return [
        _bare(
            "hot_look",
            dict(zip(LOOKED_FOR, (corner or None, *map(_FLAGS.get, signs)), strict=True)),
        )
        for corner, *signs in _each(text)
    ]


def _by(facts: list[Fact], ref: str, names: tuple[str, ...]) -> dict[str, str]:
    """Fields of the facts that name the same one, as one text."""
    said: dict[str, list[str]] = {}
    for fact in facts:
        fields = BETWEEN_FIELDS.join(_plain(fact, name) or "" for name in names)
        said.setdefault(fact[ref], []).append(fields)
    return {name: BETWEEN_FACTS.join(fields) for name, fields in said.items()}


def _plain(fact: Fact | None, name: str) -> str | None:
    """A text as it is; a flag or a measure as JSON, as its canonical form has it."""
    value = None if fact is None else fact[name]
    if value is None or isinstance(value, str):
        return value
    return json.dumps(value, separators=(",", ":"), sort_keys=True)


def _each(text: str | None) -> list[list[str]]:
    return [one.split(BETWEEN_FIELDS) for one in text.split(BETWEEN_FACTS)] if text else []


def _bare(kind: str, body: dict[str, Any]) -> Fact:
    return Fact("", "", kind, "", "", "", "", "", body)
