"""The table of kinds is sound: every later check, column and form is made from it."""

from __future__ import annotations

import re
from typing import get_args

import pytest

from lapwright.record.fact import KINDS, Fact
from lapwright.record.kinds import UNITS, Field, Kind, Need, Type
from lapwright.record.setup import SETUP
from lapwright.record.work import WORK
from lapwright.units import to_si

FIELDS = [(kind, field) for kind in KINDS.values() for field in kind.fields]
SHOWN = [f"{kind.name}.{field.name}" for kind, field in FIELDS]
# What job.md asks to be recorded, section 3.2, by our names; signs of heat seen before the
# weld is cold are a fact of their own, and the end of a run is one too.
ASKED_FOR = {
    "person", "machine", "nozzle_setup", "power_setup", "lot", "pairing", "conditions",
    "test_weld", "strip", "decision", "run", "probe", "defect", "repair", "reprobe", "cut",
    "peel_trace", "t_joint", "photo", "sign_off", "correction", "rules", "event",
}  # fmt: skip


def test_each_kind_stands_once() -> None:
    """No name is used for two kinds, and none that the job asks for is missing."""
    assert len(KINDS) == len(SETUP) + len(WORK)
    assert KINDS.keys() >= ASKED_FOR


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_names_are_plain_and_clear_of_each_other(kind: Kind) -> None:
    """Names are small words; a field is named once and not as a field that all facts have."""
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)*", name) for name in (kind.name, *kind.names))
    assert len(set(kind.names)) == len(kind.names)
    assert not set(kind.names) & Fact.__dataclass_fields__.keys()
    assert [kind[name].name for name in kind.names] == list(kind.names)


@pytest.mark.parametrize(("kind", "field"), FIELDS, ids=SHOWN)
def test_each_field_can_be_checked(kind: Kind, field: Field) -> None:
    """Type and need are known, words are given, units convert, ids name kinds that exist."""
    assert kind.fields
    assert field.type in get_args(Type)
    assert field.need in get_args(Need)
    if field.type in ("word", "words"):
        assert len(set(field.among)) == len(field.among) > 1
    elif field.type in ("ref", "refs"):
        assert set(field.among) <= KINDS.keys()
    elif field.type == "measure":
        assert field.among in UNITS.values()
    else:
        assert field.among == ()


@pytest.mark.parametrize("unit", sorted({unit for units in UNITS.values() for unit in units}))
def test_each_unit_means_something(unit: str) -> None:
    """Every unit that a measure may be typed in has its factor, except marks of a dial."""
    if unit == "dial":
        with pytest.raises(KeyError):
            to_si(1.0, unit)
    else:
        assert to_si(2.0, unit) > to_si(1.0, unit)


def test_a_fact_names_only_kinds_that_can_come_before() -> None:
    """No kind must name itself or, through others that it must name, come back to itself."""
    needs = {
        kind.name: {
            other for field in kind.fields if field.need == "must" and field.type == "ref"
            for other in field.among
        }
        for kind in KINDS.values()
    }  # fmt: skip
    settled: set[str] = set()
    while ready := {name for name in needs.keys() - settled if needs[name] <= settled}:
        settled |= ready
    assert settled == needs.keys()
