"""What a failure puts in doubt, as figures: feet, chances, next cuts, cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

from lapwright.job.doubting import Doubted
from lapwright.proof.bounding import BoundingCut, Cause, Cost, Rates, bounding_cuts, cost
from lapwright.proof.chains import Chains
from lapwright.proof.runs import welded_runs
from lapwright.proof.strand import Evidence, strands
from lapwright.proof.suspect import Suspicion
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.report.figures import Figures, Reader
from lapwright.report.recordfigures import Told


@dataclass(frozen=True)
class Doubt:
    """A suspicion with all that is asked about it.

    Parameters
    ----------
    record : Record
        Where it comes from.
    suspicion : Suspicion
        The feet.
    cause : {"local", "change"}
        What is thought to lie behind it.
    rates : Rates
        The job's own.
    doubted : sequence of Doubted
        The feet with their chances.
    """

    record: Record
    suspicion: Suspicion
    cause: Cause
    rates: Rates
    doubted: Sequence[Doubted]

    @property
    def cuts(self) -> tuple[BoundingCut, ...]:
        """Where to cut next."""
        chains = Chains(self.record)
        strand = strands(welded_runs(self.record), chains)[self.suspicion.chain]
        return bounding_cuts(self.suspicion, strand, cause=self.cause)

    @property
    def cost(self) -> Cost:
        """From the least to the most."""
        return cost(self.suspicion, cause=self.cause, rates=self.rates)


def two_figures(value: float) -> int:
    """A cost rounded to two figures: more would be false precision.

    Examples
    --------
    >>> two_figures(3039.0), two_figures(129.0), two_figures(0.0), two_figures(7.4)
    (3000, 130, 0, 7)
    """
    if value < 10:
        return round(value)
    digits = floor(log10(value)) - 1
    return int(round(value / 10**digits) * 10**digits)


def failure_says(fact: Fact, reader: Reader) -> str:
    """What failed, in one line."""
    if fact.kind == "defect":
        kind = reader.say("defect", fact["type"])
        return reader.say("suspect", "defect", {"number": fact["number"], "type": kind})
    return reader.say("suspect", fact.kind, {"number": fact["number"]})


def doubt_figures(doubt: Doubt, reader: Reader) -> Figures:
    """A doubt in the reader's units and language.

    Parameters
    ----------
    doubt : Doubt
        What failed and what follows.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready. ``cost`` is in the money of the rates, rounded to two figures.
    """
    suspicion, told = doubt.suspicion, Told(doubt.record, reader)
    reach = doubt.cost
    return {
        "failure": suspicion.failure.id,
        "kind": suspicion.failure.kind,
        "says": failure_says(suspicion.failure, reader),
        "operator": told.name(suspicion.chain.operator),
        "machine": told.name(suspicion.chain.machine),
        **told.lengths(length=suspicion.length, proven_bad=suspicion.proven_bad),
        "since": _evidence(suspicion.since),
        "until": _evidence(suspicion.until),
        "failed": [_evidence(each) for each in suspicion.failed],
        "bounded": suspicion.is_bounded,
        "closed": suspicion.is_closed,
        "spans": [
            {
                "seam": each.suspect.seam,
                "run": each.suspect.run.run.id,
                **told.lengths(start=each.suspect.span.start, end=each.suspect.span.end),
                "p_bad": None if each.p_bad is None else round(each.p_bad, 3),
            }
            for each in doubt.doubted
        ],
        "next_cuts": [
            {
                "seam": cut.place.seam,
                **told.lengths(station=cut.place.station),
                "why": cut.why,
                "says": reader.say("suspect", cut.why),
            }
            for cut in doubt.cuts
        ],
        "cost": {
            "low": two_figures(reach.low),
            "high": two_figures(reach.high),
            "fewest_cuts": reach.fewest_cuts,
            "most_cuts": reach.most_cuts,
            "cuts_counted": doubt.rates.cut is not None,
        },
        "sisters": [
            {
                "why": sister.why,
                "operator": told.name(sister.chain.operator),
                "machine": told.name(sister.chain.machine),
                **told.lengths(length=sister.length),
            }
            for sister in suspicion.sisters
        ],
    }


def _evidence(evidence: Evidence | None) -> Figures | None:
    if evidence is None:
        return None
    fact = evidence.fact
    return {
        "id": fact.id,
        "kind": fact.kind,
        "number": fact["number"],
        "welded": evidence.welded.isoformat(),
    }
