"""Whether a test weld or a cut passed, failed, or is not finished.

The worse strip governs. Any sign of too much heat fails a weld that no pull could fault. Too few
strips are "not finished", never a pass. Where nobody looked for heat, a pass says of the top
nothing, and says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record, by_field
from lapwright.record.work import SIGNS

Verdict = Literal["passed", "failed", "unfinished"]
Heat = Literal["none", "signs"]

_WORST_FIRST = ("cold", "skin", "partial", "split", "break", "full", "invalid")
_FAILS = ("cold", "skin", "partial", "split")
_TOO_HOT = ("bare_scrim", "grey_core")  # of the corner pulled while hot
_TRIALS = ("start", "search")  # purposes: to find the window a weld may well fail


@dataclass(frozen=True)
class Limits:
    """What the job's rules ask of strips, probing and repair.

    Parameters
    ----------
    strips : int
        Valid strips that a test weld needs.
    fused_width, fused_width_hand : float
        Least fused width of an automatic and of a hand weld. [m]
    grade_only : bool
        A strip without a measured width may pass on its grade.
    probe_cooling : float
        From weld to probe. [s]
    """

    strips: int
    fused_width: float
    fused_width_hand: float
    grade_only: bool
    probe_cooling: float


@dataclass(frozen=True)
class Result:
    """What the strips and looks of one test weld or cut say.

    Parameters
    ----------
    verdict : {"passed", "failed", "unfinished"}
        The worse strip governs.
    heat : {"none", "signs"} or None
        Signs of too much heat; None means nobody looked, or not at everything.
    strips : tuple of Fact
        The strip of each number that counts, the worse where two people graded it.
    reasons : tuple of str
        Why it did not pass: ``heat``, a grade of pull, ``narrow``, ``uneven``,
        ``few_strips``, ``no_width``.
    """

    verdict: Verdict
    heat: Heat | None
    strips: tuple[Fact, ...]
    reasons: tuple[str, ...]


def heat_signs(looks: Iterable[Fact]) -> Heat | None:
    """Signs of too much heat in the looks at one weld.

    Parameters
    ----------
    looks : iterable of Fact
        Its ``hot_look`` facts.

    Returns
    -------
    {"none", "signs"} or None
        "none" only when every sign and the corner were looked at and nothing was seen. A corner
        that holds, or opens without bare scrim or grey core, is no sign of heat.
    """
    looks = list(looks)
    if any(look[sign] for look in looks for sign in SIGNS):
        return "signs"
    if any(look["corner"] in _TOO_HOT for look in looks):
        return "signs"
    asked = (*SIGNS, "corner")
    is_whole = all(any(look[name] is not None for look in looks) for name in asked)
    return "none" if is_whole else None


def worse_of_each(strips: Iterable[Fact]) -> tuple[Fact, ...]:
    """One strip of each number, the worse grade where two people looked; by number."""
    worst: dict[str, Fact] = {}
    for strip in strips:
        other = worst.get(strip["number"])
        if other is None or _badness(strip) < _badness(other):
            worst[strip["number"]] = strip
    return tuple(sorted(worst.values(), key=lambda strip: (len(strip["number"]), strip["number"])))


def _badness(strip: Fact) -> int:
    return _WORST_FIRST.index(strip["pull"])


def is_trial(weld: Fact) -> bool:
    """Whether a weld only sought the window: then a failure says nothing against a seam."""
    return weld["purpose"] in _TRIALS


class Results:
    """Verdicts of the test welds and cuts of a record, each worked out once.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    limits : Limits
        What the rules ask.
    """

    def __init__(self, record: Record, limits: Limits) -> None:
        self._record, self._limits = record, limits
        self._strips = by_field(record.all("strip"), "of")
        self._looks = by_field(record.all("hot_look"), "test_weld")
        self._known: dict[str, Result] = {}

    def of(self, weld: Fact) -> Result:
        """Verdict of a test weld or a cut."""
        result = self._known.get(weld.id)
        if result is None:
            result = self._known[weld.id] = self._work_out(weld)
        return result

    def looks(self, weld: Fact) -> Sequence[Fact]:
        """Hot looks at a test weld."""
        return self._looks.get(weld.id, ())

    def _work_out(self, weld: Fact) -> Result:
        limits = self._limits
        strips = worse_of_each(self._strips.get(weld.id, ()))
        valid = [strip for strip in strips if strip["pull"] != "invalid"]
        heat = heat_signs(self.looks(weld))
        bands = [si(strip["band"]) for strip in valid]
        least = limits.fused_width_hand if self._is_by_hand(weld) else limits.fused_width
        failed = ["heat"] if heat == "signs" else []
        failed += dict.fromkeys(strip["pull"] for strip in valid if strip["pull"] in _FAILS)
        if any(band is not None and band < least - 1e-6 for band in bands):
            failed.append("narrow")
        if any(strip["evenness"] in ("stripes", "one_edge") for strip in valid):
            failed.append("uneven")
        if failed:
            return Result("failed", heat, strips, tuple(failed))
        open_ = ["break"] if any(strip["pull"] == "break" for strip in valid) else []
        if len(valid) < (limits.strips if weld.kind == "test_weld" else 1):
            open_.append("few_strips")
        if None in bands and not limits.grade_only:
            open_.append("no_width")
        return Result("unfinished" if open_ else "passed", heat, strips, tuple(open_))

    def _is_by_hand(self, weld: Fact) -> bool:
        machine = self._record.get(weld["machine"])
        return machine is not None and machine["type"] == "hand"
