"""Who welds what with what in which weather, read from the record at one moment."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from lapwright.job.change import Situation
from lapwright.job.roofclock import day_at, roof_zone
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.timeline import Timeline, Timelines
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record

_SHEETS = ("upper", "lower")


class Situations:
    """Situations of a record at any moment.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    chains : Chains
        Of the same record.
    """

    def __init__(self, record: Record, chains: Chains) -> None:
        self._record, self._chains, self._zone = record, chains, roof_zone(record)
        self._known: dict[tuple[object, ...], Situation] = {}
        self.conditions = Timeline(record.all("conditions"), moment=_moment)
        self._nozzles = Timelines(
            record.all("nozzle_setup"),
            key=lambda fact: chains.first(fact["machine"]) or "",
            moment=_moment,
        )

    def of_weld(self, weld: Fact) -> Situation:
        """The situation that a test weld met."""
        return self._told(
            self._chains.of(weld),
            weld["pairing"],
            conditions=self._record.get(weld["conditions"]),
            nozzle=self._record.get(weld["nozzle_setup"]),
        )

    def now(self, chain: Chain, *, pairing: str | None, at: datetime) -> Situation:
        """The situation of a chain by the latest conditions of the day and its latest nozzle.

        Parameters
        ----------
        chain : Chain
            Who welds with what.
        pairing : str, optional
            The very pairing at work; its lots may be other ones of the same kind.
        at : datetime
            Later facts do not count.
        """
        return self._told(
            chain,
            pairing,
            conditions=self.conditions_at(at),
            nozzle=self._nozzles[chain.machine].last(at),
        )

    def conditions_at(self, at: datetime) -> Fact | None:
        """The latest conditions of the day at a moment; None when nobody read any."""
        fact = self.conditions.last(at)
        return fact if fact is not None and fact.day == day_at(at, self._zone) else None

    def _told(
        self, chain: Chain, pairing: str | None, *, conditions: Fact | None, nozzle: Fact | None
    ) -> Situation:
        """The situation of four facts, worked out once."""
        key = (chain, pairing, *(fact and fact.id for fact in (conditions, nozzle)))
        if key not in self._known:
            self._known[key] = self._work_out(chain, pairing, conditions, nozzle)
        return self._known[key]

    def _work_out(
        self, chain: Chain, pairing_id: str | None, conditions: Fact | None, nozzle: Fact | None
    ) -> Situation:
        power = self._record.get(chain.power_setup)
        pairing = self._record.get(pairing_id)
        lots = [] if pairing is None else [self._record.get(pairing[n]) for n in _SHEETS]
        known = [lot for lot in lots if lot is not None]
        aged = "" if pairing is None or not pairing["aged"] else " aged"
        return Situation(
            operator=chain.operator,
            machine=chain.machine,
            nozzle=_text(nozzle, "nozzle_width"),
            generator=_text(power, "source"),
            cord=_text(power, "gauge", "cord_length"),
            membrane=_both(known, "membrane", mark=aged),
            colour=_both(known, "colour"),
            lot=_both(known, "number"),
            substrate=None if conditions is None else conditions["substrate"],
            wind=None if conditions is None else conditions["wind"],
            sun=None if conditions is None else conditions["sun"],
            thickness=si(known[0]["thickness"]) if known else None,
            ambient=None if conditions is None else si(conditions["ambient"]),
            sheet=None if conditions is None else si(conditions["sheet"]),
        )


def _moment(fact: Fact) -> datetime:
    return fact.moment


def _text(fact: Fact | None, *names: str) -> str | None:
    """Fields of a fact as one text, measures in SI; None when one of them is not known."""
    if fact is None:
        return None
    parts: list[str] = []
    for name in names:
        value = fact[name]
        number = si(value) if isinstance(value, dict) else None
        if value is None or (isinstance(value, dict) and number is None):
            return None
        parts.append(value if number is None else f"{number:.4f}")
    return " ".join(parts)


def _both(lots: Sequence[Fact], name: str, *, mark: str = "") -> str | None:
    """What both sheets say, as one text; None when a sheet or its word is not known."""
    said = [lot[name] for lot in lots]
    if len(said) < len(_SHEETS) or None in said:
        return None
    return " + ".join(dict.fromkeys(said)) + mark
