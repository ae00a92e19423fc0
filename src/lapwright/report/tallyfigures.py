"""The crew's counts as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

import math

from lapwright.job.tally import Chart, Pair, Tally
from lapwright.report.cutstext import PER
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.report.tallytext import pair_text, worst
from lapwright.units import FIELD_UNITS, from_si


def tally_figures(tally: Tally, reader: Reader) -> Figures:
    """Charts and pairs in the reader's units and language.

    Parameters
    ----------
    tally : Tally
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; ``voids`` figures are per 1,000 ft or per 100 m, ``strips`` figures are shares.
    """
    return {
        "charts": [_chart(chart, reader) for chart in tally.charts],
        "pairs": [_pair(pair, reader) for pair in tally.pairs],
        "cautions": caution_figures(tally.cautions, reader),
    }


def _chart(chart: Chart, reader: Reader) -> Figures:
    unit = FIELD_UNITS[reader.units]["length"]
    scale = PER[reader.units] if chart.kind == "rate" else 1.0

    def value(figure: float) -> float:
        return round(figure * scale, 4)

    days = zip(chart.days, chart.stretches, chart.points, chart.smoothed, strict=True)
    return {
        "who": chart.who or None,
        "counts": "voids" if chart.kind == "rate" else "strips",
        "per": f"{round(from_si(scale, unit))} {unit}" if chart.kind == "rate" else None,
        "centre": value(chart.centre),
        "days": [
            {
                "day": day,
                "found": found.found,
                "of": round(from_si(found.size, unit), 1) if chart.kind == "rate" else found.size,
                "value": value(alone.value),
                "low": value(alone.low),
                "high": value(alone.high),
                "smoothed": value(mean.value),
                "smoothed_low": value(max(mean.low, 0.0)),
                "smoothed_high": value(mean.high),
                "state": worst(chart, place),
            }
            for place, (day, found, alone, mean) in enumerate(days)
        ],
        "out": list(chart.out),
        "early_warning": chart.early,
        "days_to_false_alarm": _round(chart.false_alarm),
        "days_to_see_double": _round(chart.doubled),
    }


def _pair(pair: Pair, reader: Reader) -> Figures:
    compared = pair.comparison
    return {
        "first": pair.first,
        "second": pair.second,
        "counts": "voids" if pair.kind == "rate" else "strips",
        "compares": "ratio" if pair.kind == "rate" else "difference",
        "low": _round(compared.low, 4),
        "high": _round(compared.high, 4),
        "p": _round(compared.p, 4),
        "apart": compared.is_apart,
        "says": pair_text(pair, reader),
    }


def _round(value: float | None, decimals: int = 1) -> float | None:
    return None if value is None or math.isinf(value) else round(value, decimals)
