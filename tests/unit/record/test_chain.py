"""The chain: any later change shows, at the first place where something does not fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from lapwright.errors import LapwrightError
from lapwright.record.chain import NOTHING, Entry, canonical, seal, verify
from lapwright.record.fact import Fact

Build = Callable[..., Fact]


@pytest.fixture
def entries(fact: Build) -> list[Entry]:
    """Four facts, chained."""
    chain: list[Entry] = []
    for seq in range(1, 5):
        before = chain[-1].hash if chain else NOTHING
        now = f"2026-05-04T13:0{seq}:00Z"
        chain.append(seal(fact(seq), seq=seq, received_at=now, before=before))
    return chain


def test_a_whole_chain_gives_its_last_hash(entries: list[Entry]) -> None:
    """Verified whole or from any place on, a chain ends at its last hash."""
    assert verify(entries) == entries[-1].hash
    assert verify(entries[2:], before=entries[1].hash, seq=2) == entries[-1].hash
    assert verify([]) == NOTHING
    assert verify([], before=entries[0].hash, seq=1) == entries[0].hash


CHANGES: dict[str, Callable[[Entry], Entry]] = {
    "fact": lambda entry: replace(entry, fact=replace(entry.fact, note="changed")),
    "place": lambda entry: replace(entry, seq=entry.seq + 1),
    "clock": lambda entry: replace(entry, received_at="2026-05-04T13:09:00Z"),
    "before": lambda entry: replace(entry, before=NOTHING),
    "hash": lambda entry: replace(entry, hash="f" * 64),
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_shows_where_it_was_made(entries: list[Entry], what: str) -> None:
    """Fact, place, clock and hashes are all sealed: changing one breaks that very entry."""
    entries[2] = CHANGES[what](entries[2])
    with pytest.raises(LapwrightError) as caught:
        verify(entries)
    assert (caught.value.code, caught.value.data["at"]) == ("chain_broken", 3)
    assert caught.value.data["fact"] == entries[2].fact.id


def test_an_entry_sealed_anew_breaks_the_next(entries: list[Entry], fact: Build) -> None:
    """Whoever changes a fact and its hash must change every entry after it."""
    third = entries[2]
    entries[2] = seal(fact(9), seq=3, received_at=third.received_at, before=third.before)
    with pytest.raises(LapwrightError) as caught:
        verify(entries)
    assert caught.value.data["at"] == 4


ARRANGED: dict[str, tuple[Callable[[list[Entry]], list[Entry]], int]] = {
    "first missing": (lambda chain: chain[1:], 1),
    "second missing": (lambda chain: [chain[0], *chain[2:]], 2),
    "swapped": (lambda chain: [chain[1], chain[0]], 1),
    "doubled": (lambda chain: [chain[0], chain[0]], 2),
}


@pytest.mark.parametrize("how", ARRANGED)
def test_gaps_swaps_and_doubles_show(entries: list[Entry], how: str) -> None:
    """A chain with an entry missing, moved or repeated does not verify."""
    arrange, at = ARRANGED[how]
    with pytest.raises(LapwrightError) as caught:
        verify(arrange(entries))
    assert caught.value.data["at"] == at


def test_the_bytes_do_not_hang_on_order(fact: Build) -> None:
    """Two writers that list the fields in another order make the same bytes, so the same hash."""
    one = fact(1)
    other = Fact(**{**dict(reversed(one.plain().items())),
                    "body": dict(reversed(one.body.items()))})  # fmt: skip
    assert canonical(one) == canonical(other)
    assert canonical(one) != canonical(replace(one, note=" "))


def test_an_entry_travels_whole(entries: list[Entry]) -> None:
    """What is sent of an entry makes the same entry again."""
    plain = entries[1].plain()
    assert Entry(**{**plain, "fact": Fact(**plain["fact"])}) == entries[1]
