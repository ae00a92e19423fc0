"""Ids made on the device: well-formed, in the order of time, different by chance."""

from __future__ import annotations

import uuid

import pytest

from lapwright.errors import LapwrightError
from lapwright.record.fact import read_fact
from lapwright.record.ids import CREW_CHAIN, uuid7

CHANCES = (bytes(10), b"\xff" * 10, bytes(range(10)))


@pytest.mark.parametrize("chance", CHANCES)
@pytest.mark.parametrize("milliseconds", [0, 1_777_000_000_000, 2**48 - 1])
def test_version_variant_and_clock_stand_in_their_bits(milliseconds: int, chance: bytes) -> None:
    """Whatever clock and chance, the id is of version 7 and tells its clock (RFC 9562, 5.7)."""
    made = uuid.UUID(uuid7(milliseconds, chance))
    assert (made.version, made.variant) == (7, uuid.RFC_4122)
    assert made.int >> 80 == milliseconds


def test_a_later_id_sorts_later() -> None:
    """Ids as text stand in the order of their clocks, whatever the chance."""
    early = uuid7(1_777_000_000_000, b"\xff" * 10)
    assert early < uuid7(1_777_000_000_001, bytes(10))


def test_all_the_chance_counts() -> None:
    """74 of the 80 bits of chance are in the id; one bit more or less gives another id."""
    made = {uuid7(1_777_000_000_000, (1 << bit).to_bytes(10, "big")) for bit in range(80)} | {
        uuid7(1_777_000_000_000, bytes(10))
    }
    assert len(made) == 74 + 1


def test_the_crew_chain_is_an_id_like_others() -> None:
    """The chain of access facts has a job id that a fact may carry."""
    with pytest.raises(LapwrightError) as caught:
        read_fact({"job": CREW_CHAIN, "id": CREW_CHAIN, "kind": "access"})
    assert caught.value.data["field"] == "at"  # what comes after id and job
