"""What was said otherwise later: corrections, and facts that somebody took back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from lapwright.record.fact import WITHDRAWN, Fact
from lapwright.record.replay import Held, Record


@dataclass(frozen=True)
class Change:
    """One correction.

    Parameters
    ----------
    correction : Fact
        Who said it, when, why.
    target : Fact or None
        What it corrects, as first recorded; None when that is not in the record.
    before : object
        What the field said until then, worked out from the record and not from the correction.
    is_laid : bool
        It took effect; one that its field cannot hold does not.
    """

    correction: Fact
    target: Fact | None
    before: Any
    is_laid: bool

    @property
    def is_withdrawal(self) -> bool:
        """The fact was taken back, or given again."""
        return bool(self.correction["field"] == WITHDRAWN)


def changes(record: Record) -> tuple[Change, ...]:
    """Every correction of a record, by the time it was made.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    """
    laid = [change for held in record.held.values() for change in _of(held)]
    known = {change.correction.id for change in laid}
    idle = [
        Change(fact, _first(record, fact["of"]), None, is_laid=False)
        for fact in record.all("correction")
        if fact.id not in known
    ]
    return tuple(sorted([*laid, *idle], key=lambda one: (one.correction.moment, one.correction.id)))


def _first(record: Record, fact_id: str) -> Fact | None:
    held = record.held.get(fact_id)
    return None if held is None else held.first


def _of(held: Held) -> Iterator[Change]:
    """The corrections of one fact, each with what stood there before it."""
    said: dict[str, Any] = {WITHDRAWN: False}
    for correction in held.corrections:
        field = correction["field"]
        if field not in said:
            said[field] = _value(held.first, field)
        yield Change(correction, held.first, said[field], is_laid=True)
        said[field] = correction["new"]


def _value(fact: Fact, field: str) -> Any:
    return getattr(fact, field) if field in ("at", "by", "note") else fact[field]
