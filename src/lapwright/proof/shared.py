"""A late find: every run that shares what is blamed, chain by chain."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lapwright.errors import LapwrightError
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.runs import Welded, welded_runs
from lapwright.record.replay import Record

Blame = Literal["machine", "operator", "power_setup", "pairing", "day"]


@dataclass(frozen=True)
class Shared:
    """Runs of one chain that share what is blamed."""

    chain: Chain
    runs: tuple[Welded, ...]

    @property
    def length(self) -> float:
        """Seam welded. [m]"""
        return sum(run.length for run in self.runs)


def sharing(record: Record, run_id: str, blame: Blame) -> tuple[Shared, ...]:
    """Runs that share a machine, person, power, pairing or day with one run.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    run_id : str
        The run where it was found.
    blame : str
        What is thought to be bad: one of :data:`Blame`.

    Returns
    -------
    tuple of Shared
        By chain, the most feet first; the run itself is among them.

    Raises
    ------
    LapwrightError
        ``no_such_run``; ``not_known_of_run``: what is blamed was not recorded.
    """
    chains = Chains(record)
    runs = {run.run.id: run for run in welded_runs(record)}
    if run_id not in runs:
        raise LapwrightError("no_such_run", run=run_id)

    def part(run: Welded) -> str | None:
        if blame == "day":
            return run.run.day
        found: str | None = getattr(chains.of(run.run), blame)
        return found

    wanted = part(runs[run_id])
    if wanted is None:
        raise LapwrightError("not_known_of_run", run=run_id, blame=blame)
    groups: dict[Chain, list[Welded]] = {}
    for run in runs.values():
        if part(run) == wanted:
            groups.setdefault(chains.of(run.run), []).append(run)
    found = [Shared(chain, tuple(own)) for chain, own in groups.items()]
    return tuple(sorted(found, key=lambda each: (-each.length, each.runs[0].run.id)))
