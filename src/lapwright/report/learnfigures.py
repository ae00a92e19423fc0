"""What past days teach as plain figures in field units: what ``learn --json`` prints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.stats import norm, t

from lapwright.job.expecting import Expected
from lapwright.job.pastwelds import Past, machine_kind, nozzle_kind, pairing_kind
from lapwright.record.fact import si
from lapwright.record.replay import Record
from lapwright.report.figures import Figures, Reader
from lapwright.report.recordfigures import colour_says
from lapwright.window.edges import INTERVAL
from lapwright.window.history import GROUPINGS, LEAST_DAYS, Grouping, Learnt, Level
from lapwright.window.leftout import Foretold, LeftOut
from lapwright.window.pastwelds import FAMILY_CODES
from lapwright.window.prior import Values

_END = float(INTERVAL[-1])  # upper end of the interval that every answer gives
_TENTH_MM = 1e-4  # m


@dataclass(frozen=True)
class Taught:
    """All that is told of past days.

    Parameters
    ----------
    past, learnt, checked : Past, Learnt, LeftOut
        Test welds, what they teach, and each day foretold from the others.
    record : Record or None
        The job whose morning is asked for.
    expected : sequence of Expected
        For its machines and pairings.
    """

    past: Past
    learnt: Learnt
    checked: LeftOut
    record: Record | None
    expected: Sequence[Expected]

    def name(self, level: Level, reader: Reader) -> str:
        """What a level is called."""
        if level.by == "month":
            return _level_name("month", level.key, reader)
        keys = {"pairing": self.past.pairings, "machine": self.past.machines,
                "nozzle": self.past.nozzles}[level.by]  # fmt: skip
        kind = next(kind for kind, key in keys.items() if key == level.key)
        return _level_name(level.by, kind, reader)

    def names(self, expected: Expected, reader: Reader) -> tuple[str, str, str | None]:
        """What machine, pairing and nozzle are called; None is not known."""
        assert self.record is not None  # what is expected is expected of a job
        setup = expected.nozzle
        width = None if setup is None else nozzle_kind(si(setup["nozzle_width"]))
        return (
            _level_name("machine", machine_kind(expected.machine), reader),
            _level_name("pairing", pairing_kind(self.record, expected.pairing), reader),
            None if width is None else _level_name("nozzle", width, reader),
        )


def learn_figures(taught: Taught, reader: Reader) -> Figures:
    """Past days in the reader's units and language.

    Parameters
    ----------
    taught : Taught
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix. ``give`` keys are half the 90 %
        interval. Bottom is air at the reference speed and sheet.
    """
    past, learnt, checked = taught.past, taught.learnt, taught.checked
    times = likelier(checked)
    return {
        "test_welds": len(past.welds.day),
        "days": len(past.welds.month),
        "left_out": past.left_out,
        "families": list(_families(learnt, reader)),
        "levels": [
            {
                "by": one.by,
                "name": taught.name(one, reader),
                "days": one.days,
                **_two(one.added, reader),
                **_two(give(one.sd), reader, "_give"),
            }
            for one in learnt.levels()
        ],
        "between": [
            {"by": name, **_two(give(np.sqrt(variance)), reader, "_give")}
            for name, variance in zip((*GROUPINGS, "day"), learnt.variance, strict=True)
        ],
        "check": {
            "bottom": _foretold(checked.bottom, reader),
            "top": _foretold(checked.top, reader),
            "likelier": None if times is None else round(times, 2),
            "less_likely_days": int((checked.gain < 0).sum()),
        },
        "expects": [_expected(one, taught, reader) for one in taught.expected],
    }


def give(sd: Values) -> Values:
    """Half the 90 % interval of the normal law."""
    return np.asarray(norm.ppf(_END) * sd)


def off(edge: Foretold) -> tuple[float, float]:
    """How far days lay from where they were foretold, on average, and half its 90 %. [K]"""
    days = len(edge.error)
    reach = t.ppf(_END, days - 1) * edge.error.std(ddof=1) / np.sqrt(days)
    return float(edge.error.mean()), float(reach)


def likelier(checked: LeftOut) -> float | None:
    """Times that a day's strips became likelier, on average; None without days."""
    return float(np.exp(checked.gain.mean())) if len(checked.gain) else None


def _families(learnt: Learnt, reader: Reader) -> Iterator[Figures]:
    for code, (days, looked) in zip(FAMILY_CODES, learnt.days.T.tolist(), strict=True):
        if days:
            mean, sd = learnt.middle(code)
            yield {
                "membrane": code,
                "days": days,
                "looked": looked,
                **_two(mean, reader),
                f"bottom_{reader.temperature}": reader.air(mean[0]),
                **_two(give(sd), reader, "_give"),
            }


def _two(values: Values, reader: Reader, mark: str = "") -> Figures:
    return {
        f"{name}{mark}_{reader.temperature}": reader.difference(float(value))
        for name, value in zip(("bottom", "width"), values, strict=True)
    }


def _foretold(edge: Foretold, reader: Reader) -> Figures:
    """Days, mean error and its doubt, and the share inside the interval."""
    if len(edge.error) < LEAST_DAYS:
        return {"days": len(edge.error)}
    mean, reach = off(edge)
    return {
        "days": len(edge.error),
        f"off_{reader.temperature}": reader.difference(mean),
        f"off_give_{reader.temperature}": reader.difference(reach),
        "inside": round(float(edge.covered.mean()), 3),
    }


def _expected(expected: Expected, taught: Taught, reader: Reader) -> Figures:
    """Bottom and width that a machine on a pairing may expect, each with its 90 % interval."""
    earlier, unit = expected.earlier, reader.temperature
    bottom, width, reach = earlier.bottom, earlier.width, earlier.reach
    machine, pairing, nozzle = taught.names(expected, reader)
    return {
        "machine": machine,
        "pairing": pairing,
        "nozzle": nozzle,
        f"bottom_{unit}": reader.air(bottom),
        f"bottom_low_{unit}": reader.air(bottom - reach[0]),
        f"bottom_high_{unit}": reader.air(bottom + reach[0]),
        f"width_{unit}": reader.difference(width),
        f"width_low_{unit}": reader.difference(max(0.0, width - reach[1])),
        f"width_high_{unit}": reader.difference(width + reach[1]),
        "days": expected.days,
    }


def _level_name(by: Grouping, kind: Any, reader: Reader) -> str:
    """What a pairing, machine, nozzle or month is called."""
    if by == "machine":
        return reader.say("learn", kind[1], {"number": kind[0]})
    if by == "nozzle":
        return reader.write("bond", kind * _TENTH_MM)
    if by == "month":
        return reader.say("day", "months").split()[int(kind) - 1]
    *sheets, aged = kind
    names = list(dict.fromkeys(_sheet_name(sheet, reader) for sheet in sheets))
    return " / ".join(names) + (reader.say("learn", "aged") if aged else "")


def _sheet_name(sheet: tuple[str, str, str, float], reader: Reader) -> str:
    membrane, colour, backing, thickness = sheet
    thick, made = reader.write("thickness", thickness), reader.say("word", f"lot_backing_{backing}")
    return f"{membrane.upper()} {thick}, {colour_says(colour, reader)}, {made}"
