"""A set of pulled strips against the job's peel rule, with its statistics."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from statistics import fmean, median, stdev
from typing import Literal, get_args

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.proof.peel import BOND_LENGTH, Peeled

Figure = Literal["average", "peak", "median"]
Passing = Literal["every", "four_of_five"]
State = Literal["meets", "near", "short", "opened", "look", "invalid", "unruled"]
Verdict = Literal["pass", "fail", "not_finished", "look", "no_rule"]
FIGURES: tuple[Figure, ...] = get_args(Figure)
PASSINGS: tuple[Passing, ...] = get_args(Passing)

FIFTH = 0.8  # of the least force; GRI-GM19, seen in a reply of its institute in a trade magazine
OPENED = ("cold", "skin", "partial")  # grades that fail whatever the force: docs/reference/files
_UNITS = (4.4482, 9.80665, 2.20462, 1000.0)  # lbf/N, kgf/N, lbf/kgf, kN/N
_NEAR_UNIT = 1.08  # times; strips of one weld differ by more than that, hence only a doubt
_CONFIDENCE = 0.95  # -; two-sided, of the mean; common practice, no source


@dataclass(frozen=True)
class PeelRule:
    """What the job asks of peel force.

    Parameters
    ----------
    least : float, optional
        Least force over width; None when no clause asks for any. [N/m]
    figure : {"average", "peak", "median"}
        Which figure of a strip is held against it.
    passing : {"every", "four_of_five"}
        Every strip, or of five at least four and the fifth at 80 % or more.
    strips : int
        Fewest valid strips to judge by.
    """

    least: float | None = None
    figure: Figure = "average"
    passing: Passing = "every"
    strips: int = 1


@dataclass(frozen=True)
class Judged:
    """One strip of a set.

    Parameters
    ----------
    peeled : Peeled
        The trace, weighed.
    value : float
        The figure that the rule goes by. [N/m]
    state : str
        ``meets``, ``near`` (80 % or more), ``short``, ``opened`` (the weld came apart, whatever the
        force), ``look`` (may have slipped), ``invalid`` (said so), ``unruled``.
    """

    peeled: Peeled
    value: float
    state: State


@dataclass(frozen=True)
class PeelSet:
    """A set, judged. Invalid strips count in nothing.

    Parameters
    ----------
    rule : PeelRule
        What it was held against.
    strips : tuple of Judged
        In the order given.
    verdict : {"pass", "fail", "not_finished", "look", "no_rule"}
        ``look``: a person must say first whether a strip slipped.
    mean, sd, low, high : float, optional
        Of the valid strips; ``low`` and ``high`` hold the true mean at 95 %. None below two
        strips. [N/m]
    lowest, highest : float, optional
        Of the valid strips. [N/m]
    cautions : tuple of Caution
        Doubts of all strips and of the set.
    """

    rule: PeelRule
    strips: tuple[Judged, ...]
    verdict: Verdict
    mean: float | None
    sd: float | None
    low: float | None
    high: float | None
    lowest: float | None
    highest: float | None
    cautions: tuple[Caution, ...]


def judge(
    peeled: Sequence[Peeled],
    *,
    rule: PeelRule,
    invalid: Collection[str] = (),
    valid: Collection[str] = (),
) -> PeelSet:
    """Strips against the rule.

    Parameters
    ----------
    peeled : sequence of Peeled
        At least one, each with its own name.
    rule : PeelRule
        Of the job.
    invalid, valid : collection of str
        Names of strips that a person calls invalid (slipped, cut skew, pulled warm), and of
        those that look as if they slipped but did not.

    Returns
    -------
    PeelSet

    Raises
    ------
    LapwrightError
        ``peel_no_such_strip``, ``peel_same_name``, ``peel_both_ways``.

    Notes
    -----
    A strip that looks slipped is never left out by itself: leaving out low strips makes any
    set pass. Force does not make a weld sound: a strip that came apart between the faces
    fails at any force.

    References
    ----------
    Four of five, the fifth at 80 %: GRI-GM19, seen in its institute's reply in a trade magazine,
    2013. It is a rule of the lining trade and holds here only if the job says so.

    Examples
    --------
    >>> from lapwright.proof.peel import PeelTrace, weigh
    >>> def strip(name, force):
    ...     pull = [min(k / 5, 1.0) * force for k in range(60)]
    ...     return weigh(PeelTrace(name, tuple(k * 0.001 for k in range(60)), tuple(pull), 0.025))
    >>> five = [strip(str(k), force) for k, force in enumerate((160, 155, 158, 170, 130))]
    >>> judge(five, rule=PeelRule(6000.0)).verdict
    'fail'
    >>> judge(five, rule=PeelRule(6000.0, passing="four_of_five")).verdict
    'pass'
    """
    _check_names(peeled, invalid, valid)
    strips = tuple(_judged(each, rule, invalid, valid) for each in peeled)
    values = [each.value for each in strips if each.state not in ("invalid", "look")]
    mean = sd = low = high = None
    if len(values) > 1:
        mean, sd = fmean(values), stdev(values)
        low, high = _interval(mean, sd, len(values))
    return PeelSet(
        rule=rule,
        strips=strips,
        verdict=_verdict(strips, rule),
        mean=mean,
        sd=sd,
        low=low,
        high=high,
        lowest=min(values, default=None),
        highest=max(values, default=None),
        cautions=_cautions(strips, values),
    )


def _check_names(
    peeled: Sequence[Peeled], invalid: Collection[str], valid: Collection[str]
) -> None:
    names = [each.trace.name for each in peeled]
    for name in names:
        if names.count(name) > 1:
            raise LapwrightError("peel_same_name", strip=name)
    for name in (*invalid, *valid):
        if name not in names:
            raise LapwrightError("peel_no_such_strip", strip=name, known=", ".join(names))
        if name in invalid and name in valid:
            raise LapwrightError("peel_both_ways", strip=name)


def _judged(
    peeled: Peeled, rule: PeelRule, invalid: Collection[str], valid: Collection[str]
) -> Judged:
    value = float(getattr(peeled, rule.figure))
    state: State = "short"
    if peeled.trace.name in invalid or peeled.trace.grade == "invalid":
        state = "invalid"
    elif peeled.has_slipped and peeled.trace.name not in valid:
        state = "look"
    elif peeled.trace.grade in OPENED:
        state = "opened"
    elif rule.least is None:
        state = "unruled"
    elif value >= rule.least:
        state = "meets"
    elif value >= FIFTH * rule.least:
        state = "near"
    return Judged(peeled, value, state)


def _verdict(strips: Sequence[Judged], rule: PeelRule) -> Verdict:
    states = [each.state for each in strips if each.state != "invalid"]
    judged = [state for state in states if state != "look"]
    needed = 5 if rule.passing == "four_of_five" else rule.strips
    if "opened" in judged:
        return "fail"
    if rule.least is None:
        return "look" if "look" in states else "no_rule"
    forgiven = 1 if rule.passing == "four_of_five" else 0
    if "short" in judged or judged.count("near") > forgiven:
        return "fail"
    if "look" in states:
        return "look"
    if len(judged) < needed:
        return "not_finished"
    if rule.passing == "four_of_five" and len(judged) > needed and "near" in judged:
        return "not_finished"  # the rule is for five: six with one short are not four of five
    return "pass"


def _interval(mean: float, sd: float, count: int) -> tuple[float, float]:
    from scipy.special import stdtrit

    reach = float(stdtrit(count - 1, (1 + _CONFIDENCE) / 2)) * sd / math.sqrt(count)
    return mean - reach, mean + reach


def _cautions(strips: Sequence[Judged], values: Sequence[float]) -> tuple[Caution, ...]:
    counted = [each for each in strips if each.state != "invalid"]
    middle = median(values) if len(values) > 2 else None
    named: dict[str, list[str]] = {}
    for each in counted:
        codes = [caution.code for caution in each.peeled.cautions]
        if each.state != "look":
            codes = [code for code in codes if code != "peel_slip"]
        if each.state == "opened":
            codes.append("peel_opened")
        if middle and _is_unit_apart(each.value / middle):
            codes.append("peel_unit")
        for code in codes:
            named.setdefault(code, []).append(each.peeled.trace.name)
    found = [Caution(code, {"strip": ", ".join(names)}) for code, names in named.items()]
    if any(each.peeled.bond < BOND_LENGTH for each in counted):
        found.append(Caution("peel_bond_short", {"bond": BOND_LENGTH}))
    return tuple(found)


def _is_unit_apart(ratio: float) -> bool:
    """Is this about the factor between two units of force."""
    times = max(ratio, 1 / ratio)
    return any(1 / _NEAR_UNIT <= times / factor <= _NEAR_UNIT for factor in _UNITS)
