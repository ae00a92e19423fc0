"""Facts to the state of the job: a pure fold that no order and no repeat can change.

What holds is each fact with its corrections laid over it; the fact itself stays beneath.
Of two corrections of one field the later typed counts, and its id where the clocks agree.
A correction may arrive before what it corrects; one that its field cannot hold changes
nothing. To undo a correction, correct again: a correction cannot itself be corrected.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lapwright.errors import LapwrightError
from lapwright.record.fact import WITHDRAWN, Fact, read_fact


@dataclass(frozen=True)
class Held:
    """A fact as it holds now, and how it came to read so.

    Parameters
    ----------
    fact : Fact
        With corrections laid over it.
    first : Fact
        As first recorded.
    corrections : tuple of Fact
        Those that took effect, in the order they were typed.
    is_withdrawn : bool
        Taken back; it stays visible and counts for nothing.
    """

    fact: Fact
    first: Fact
    corrections: tuple[Fact, ...] = ()
    is_withdrawn: bool = False


def _typed(fact: Fact) -> tuple[datetime, str]:
    return datetime.fromisoformat(fact.entered_at), fact.id


class Record:
    """All facts of one job as they hold now.

    Parameters
    ----------
    facts : iterable of Fact
        In any order, repeats allowed.
    """

    def __init__(self, facts: Iterable[Fact]) -> None:
        unique = {fact.id: fact for fact in facts}
        corrections: dict[str, list[Fact]] = {}
        for fact in unique.values():
            if fact.kind == "correction":
                corrections.setdefault(fact["of"], []).append(fact)
        self.held: dict[str, Held] = {
            fact.id: _corrected(fact, corrections.get(fact.id, []))
            for fact in sorted(unique.values(), key=lambda fact: (fact.moment, fact.id))
        }
        self._by_kind: dict[str, list[Fact]] = {}
        for one in self.held.values():
            if not one.is_withdrawn:
                self._by_kind.setdefault(one.fact.kind, []).append(one.fact)
        for found in self._by_kind.values():  # a corrected moment moves its fact
            found.sort(key=lambda fact: (fact.moment, fact.id))

    def all(self, kind: str) -> list[Fact]:
        """Facts of a kind that hold, oldest first."""
        return self._by_kind.get(kind, [])

    def latest(self, kind: str, **fields: Any) -> Fact | None:
        """The newest fact of a kind whose fields have these values."""
        return next(
            (
                fact
                for fact in reversed(self.all(kind))
                if all(fact[name] == value for name, value in fields.items())
            ),
            None,
        )

    def get(self, fact_id: str | None) -> Fact | None:
        """The fact of an id as it holds; None when unknown, not arrived or withdrawn."""
        held = self.held.get(fact_id or "")
        return None if held is None or held.is_withdrawn else held.fact

    def __iter__(self) -> Iterator[Fact]:
        """Every fact that holds, oldest first."""
        return (one.fact for one in self.held.values() if not one.is_withdrawn)


def _corrected(fact: Fact, corrections: list[Fact]) -> Held:
    now, withdrawn, laid = fact, False, []
    for one in sorted(corrections, key=_typed):
        name, new = one["field"], one["new"]
        if name == WITHDRAWN:
            withdrawn = bool(new)
        elif (fits := _with(now, name, new)) is not None:
            now = fits
        else:
            continue
        laid.append(one)
    return Held(now, fact, tuple(laid), withdrawn)


def _with(fact: Fact, name: str, new: Any) -> Fact | None:
    """The fact with one field read anew; None when the field cannot hold that."""
    plain = fact.plain()
    (plain if name in ("at", "by", "note") else plain["body"])[name] = new
    try:
        return read_fact(plain)
    except LapwrightError:
        return None


def by_field(facts: Iterable[Fact], name: str) -> dict[str, list[Fact]]:
    """Facts by what one of their fields says: strips by their weld, probes by their seam."""
    found: dict[str, list[Fact]] = {}
    for fact in facts:
        found.setdefault(fact[name], []).append(fact)
    return found
