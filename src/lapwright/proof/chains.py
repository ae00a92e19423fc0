"""Who welds what with what: the machine, operator, power and pairing that a test weld qualifies.

A set-up is often recorded anew without a change (each morning, after each move). What is the
same on the roof is one here: a machine by the number painted on it, power by source and cord,
a pairing by its two sheets. A person is one fact; two of the same name are two.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record

_REFS = ("machine", "operator", "power_setup", "pairing")


@dataclass(frozen=True)
class Chain:
    """One chain, each part by the id of the first fact that says the same; None is not known.

    Parameters
    ----------
    machine, operator : str
        Who welds with what.
    power_setup, pairing : str, optional
        Generator and cord; the two sheets.
    """

    machine: str
    operator: str
    power_setup: str | None = None
    pairing: str | None = None

    def may_be(self, other: Chain) -> bool:
        """Whether nothing that is known of both tells them apart."""
        if (self.machine, self.operator) != (other.machine, other.operator):
            return False
        return all(
            None in parts or parts[0] == parts[1]
            for parts in (
                (self.power_setup, other.power_setup),
                (self.pairing, other.pairing),
            )
        )


class Chains:
    """The chains of a record.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    """

    def __init__(self, record: Record) -> None:
        self._record = record
        self._known: dict[tuple[str | None, ...], Chain] = {}
        self._first: dict[str, str] = {}
        self._latest: dict[str, Fact] = {}
        seen: dict[Hashable, str] = {}
        for kind in ("machine", "power_setup", "pairing"):
            for fact in record.all(kind):
                first = seen.setdefault((kind, self._sameness(fact)), fact.id)
                self._first[fact.id], self._latest[first] = first, fact

    def of(self, fact: Fact) -> Chain:
        """Chain of a test weld, decision or run."""
        refs = tuple(fact[name] for name in _REFS)
        chain = self._known.get(refs)
        if chain is None:
            chain = Chain(*(self.first(ref) for ref in refs))  # type: ignore[arg-type]
            self._known[refs] = chain
        return chain

    def first(self, ref: str | None) -> str | None:
        """Id of the first fact that says the same; the id itself when it is not known here."""
        return None if ref is None else self._first.get(ref, ref)

    def latest(self, ref: str | None) -> Fact | None:
        """The newest fact that says the same, with what may have been added since."""
        return self._latest.get(self.first(ref) or "")

    def _sameness(self, fact: Fact) -> Hashable:
        if fact.kind == "machine":
            return fact["number"], fact["type"]
        if fact.kind == "power_setup":
            return fact["source"], fact["gauge"], _rounded(fact, "cord_length")
        return self._lot(fact["upper"]), self._lot(fact["lower"]), fact["aged"]

    def _lot(self, ref: str) -> Hashable:
        lot = self._record.get(ref)
        if lot is None:
            return ref
        return lot["membrane"], lot["colour"], lot["backing"], _rounded(lot, "thickness")


def _rounded(fact: Fact, name: str) -> float | None:
    """SI value to a hundredth of a millimetre, far below what anybody reads."""
    value = si(fact[name])
    return None if value is None else round(value, 5)
