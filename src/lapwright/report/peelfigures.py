"""A set of pulled strips as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

from lapwright.job.rules import Clause
from lapwright.proof.peelset import Judged, PeelSet
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.report.peeltext import verdict_text
from lapwright.units import FIELD_UNITS, from_si


def peel_figures(pulled: PeelSet, clause: Clause | None, reader: Reader) -> Figures:
    """A set in the reader's units and language.

    Parameters
    ----------
    pulled : PeelSet
        Judged.
    clause : Clause, optional
        That the least force comes from.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; forces over the width of the strip; null where nothing is known.
    """
    unit = FIELD_UNITS[reader.units]["peel"]

    def force(value: float | None) -> float | None:
        return None if value is None else round(from_si(value, unit), 2)

    return {
        "verdict": pulled.verdict,
        "says": verdict_text(pulled, reader),
        "rule": {
            f"least_{unit}": force(pulled.rule.least),
            "by": pulled.rule.figure,
            "passing": pulled.rule.passing,
            "clause": None if clause is None else clause.text,
            "layer": None if clause is None else clause.layer,
            "edition": None if clause is None else clause.edition,
            "set_by": None if clause is None else clause.set_by,
        },
        "strips": [_strip(strip, reader) for strip in pulled.strips],
        "set": {
            "valid": sum(strip.state not in ("invalid", "look") for strip in pulled.strips),
            f"mean_{unit}": force(pulled.mean),
            f"sd_{unit}": force(pulled.sd),
            f"mean_low_{unit}": force(pulled.low),
            f"mean_high_{unit}": force(pulled.high),
            f"lowest_{unit}": force(pulled.lowest),
            f"highest_{unit}": force(pulled.highest),
        },
        "cautions": caution_figures(pulled.cautions, reader),
    }


def _strip(strip: Judged, reader: Reader) -> Figures:
    peeled, units = strip.peeled, FIELD_UNITS[reader.units]
    trace, peel = peeled.trace, units["peel"]
    peaks = peeled.peaks

    def field(value: float | None, kind: str, decimals: int) -> float | None:
        return None if value is None else round(from_si(value, units[kind]), decimals)

    return {
        "strip": trace.name,
        "state": strip.state,
        "pull": trace.grade,
        f"width_{units['width']}": field(trace.width, "width", 3),
        f"rate_{units['rate']}": field(trace.rate, "rate", 2),
        f"peak_{peel}": field(peeled.peak, "peel", 2),
        f"average_{peel}": field(peeled.average, "peel", 2),
        f"median_{peel}": field(peeled.median, "peel", 2),
        "peaks": peaks.count,
        "method": peaks.method,
        f"lowest_peak_{peel}": field(peaks.lowest / trace.width, "peel", 2),
        f"highest_peak_{peel}": field(peaks.highest / trace.width, "peel", 2),
        f"energy_{units['energy']}": field(peeled.energy, "energy", 2),
        f"bond_{units['width']}": field(peeled.bond, "width", 3),
        "may_have_slipped": peeled.has_slipped,
    }
