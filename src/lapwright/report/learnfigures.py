"""What past days teach as plain figures in field units: what ``learn --json`` prints."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm, t

from lapwright.job.expecting import Expected
from lapwright.job.pastwelds import Past, machine_kind, nozzle_kind, pairing_kind
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.report.figures import Figures, Reader
from lapwright.window.edges import INTERVAL
from lapwright.window.history import GROUPINGS, Grouping, Learnt
from lapwright.window.leftout import Foretold, LeftOut
from lapwright.window.pastwelds import FAMILY_CODES

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
    past, learnt = taught.past, taught.learnt
    between = np.sqrt(learnt.variance)
    return {
        "test_welds": len(past.welds.day),
        "days": len(past.welds.month),
        "left_out": past.left_out,
        "families": list(_families(learnt, reader)),
        "levels": list(_levels(past, learnt, reader)),
        "between": [
            {"by": name, **_two(norm.ppf(_END) * spread, reader, "_give")}
            for name, spread in zip((*GROUPINGS, "day"), between, strict=True)
        ],
        "check": {
            "bottom": _foretold(taught.checked.bottom, reader),
            "top": _foretold(taught.checked.top, reader),
            "likelier": _rounded(taught.checked.gain, np.exp, 2),
            "less_likely_days": int((taught.checked.gain < 0).sum()),
        },
        "expects": [expected_figures(one, taught.record, reader) for one in taught.expected],
    }


def _families(learnt: Learnt, reader: Reader) -> Iterator[Figures]:
    for family, code in enumerate(FAMILY_CODES):
        days, looked = (int(count) for count in learnt.days[:, family])
        if days:
            mean, doubt, _ = learnt.expected(family, {}, average=True)
            give = norm.ppf(_END) * np.sqrt(np.diag(doubt))
            unit = reader.temperature
            yield {
                "membrane": code,
                "days": days,
                "looked": looked,
                f"bottom_{unit}": reader.air(mean[0]),
                f"bottom_give_{unit}": reader.difference(give[0]),
                f"width_{unit}": reader.difference(mean[1]),
                f"width_give_{unit}": reader.difference(give[1]),
            }


def _levels(past: Past, learnt: Learnt, reader: Reader) -> Iterator[Figures]:
    """What each pairing, machine, nozzle and month adds, where days are known of it."""
    named: dict[Grouping, Mapping[Hashable, int]] = {
        "pairing": past.pairings,
        "machine": past.machines,
        "nozzle": past.nozzles,
        "month": {month: month - 1 for month in range(1, 13)},
    }
    for name in GROUPINGS:
        column = getattr(past.welds, name)
        seen = np.bincount(column[learnt.edges.has_bottom & (column >= 0)], minlength=13)
        for kind, key in named[name].items():
            days = int(seen[key + (name == "month")])
            if days:
                added, sd = learnt.moved_by(name, key)
                yield {
                    "by": name,
                    "name": level_name(name, kind, reader),
                    "days": days,
                    **_two(added, reader),
                    **_two(norm.ppf(_END) * sd, reader, "_give"),
                }


def _two(values: NDArray[np.float64], reader: Reader, mark: str = "") -> Figures:
    return {
        f"{name}{mark}_{reader.temperature}": reader.difference(float(value))
        for name, value in zip(("bottom", "width"), values, strict=True)
    }


def _foretold(edge: Foretold, reader: Reader) -> Figures:
    """Days, mean error and its doubt, and the share inside the interval."""
    days = len(edge.error)
    if days == 0:
        return {"days": 0}
    give = t.ppf(_END, days - 1) * edge.error.std(ddof=1) / np.sqrt(days) if days > 1 else None
    return {
        "days": days,
        f"off_{reader.temperature}": reader.difference(float(edge.error.mean())),
        f"off_give_{reader.temperature}": None if give is None else reader.difference(give),
        "inside": round(float(edge.covered.mean()), 3),
    }


def _rounded(values: NDArray[np.float64], scale: Any, digits: int) -> float | None:
    return round(float(scale(values.mean())), digits) if len(values) else None


def level_name(by: Grouping, kind: Any, reader: Reader) -> str:
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
    return f"{membrane.upper()} {thick}, {colour}, {made}"


def expected_figures(expected: Expected, record: Record | None, reader: Reader) -> Figures:
    """Bottom and width that a machine on a pairing may expect, each with its 90 % interval."""
    earlier, unit = expected.earlier, reader.temperature
    bottom, width, reach = earlier.bottom, earlier.width, earlier.reach
    assert record is not None  # what is expected is expected of a job
    return {
        "machine": level_name("machine", machine_kind(expected.machine), reader),
        "pairing": level_name("pairing", pairing_kind(record, expected.pairing), reader),
        "nozzle": _nozzle_name(expected.nozzle, reader),
        f"bottom_{unit}": reader.air(bottom),
        f"bottom_low_{unit}": reader.air(bottom - reach[0]),
        f"bottom_high_{unit}": reader.air(bottom + reach[0]),
        f"width_{unit}": reader.difference(width),
        f"width_low_{unit}": reader.difference(max(0.0, width - reach[1])),
        f"width_high_{unit}": reader.difference(width + reach[1]),
        "days": expected.days,
    }


def _nozzle_name(setup: Fact | None, reader: Reader) -> str | None:
    width = None if setup is None else nozzle_kind(si(setup["nozzle_width"]))
    return None if width is None else level_name("nozzle", width, reader)
