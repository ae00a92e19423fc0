"""The crew's counts over the days: does the work drift, and do two people differ at all?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.proof.compare import Comparison, compare_rates, compare_shares
from lapwright.proof.control import (
    Kind,
    Point,
    Stretch,
    centre_of,
    chart_points,
    smoothed_counts,
)
from lapwright.proof.runlength import rate_run_length

By = Literal["all", "operator", "machine"]
ENOUGH = 25  # found in the measure; below it the centre is off by a fifth or more; our choice
BYS: tuple[By, ...] = get_args(By)
KINDS: tuple[Kind, ...] = get_args(Kind)


@dataclass(frozen=True)
class Day:
    """One day of one person and machine.

    Parameters
    ----------
    day : str
        As written, in order of time.
    operator, machine : str
        Who and what; blank where nobody wrote it.
    voids, probed : int, float
        Voids found, and seam probed [m].
    bad, strips : int
        Bad strips, and strips pulled.
    """

    day: str
    operator: str
    machine: str
    voids: int
    probed: float
    bad: int
    strips: int

    def stretch(self, kind: Kind) -> Stretch:
        """What the day counts: voids on seam, or bad strips."""
        if kind == "rate":
            return Stretch(self.voids, self.probed)
        return Stretch(self.bad, self.strips)


@dataclass(frozen=True)
class Chart:
    """One person's or machine's days on one chart.

    Parameters
    ----------
    who : str
        Name; empty for all together.
    kind : {"rate", "share"}
        Voids per metre, or bad share of strips.
    centre : float
        What the days are held against.
    days : tuple of str
        In order of time.
    stretches : tuple of Stretch
        Their counts.
    points, smoothed : tuple of Point
        Each day alone, and smoothed.
    false_alarm, doubled : float, optional
        Days between false alarms of the smoothed chart, and until it sees the rate doubled, at days
        of the mean length; None for strips or without any void.
    """

    who: str
    kind: Kind
    centre: float
    days: tuple[str, ...]
    stretches: tuple[Stretch, ...]
    points: tuple[Point, ...]
    smoothed: tuple[Point, ...]
    false_alarm: float | None
    doubled: float | None

    @property
    def out(self) -> tuple[str, ...]:
        """Days out of limits, alone or smoothed."""
        pairs = zip(self.days, self.points, self.smoothed, strict=True)
        return tuple(day for day, one, mean in pairs if "out" in (one.state, mean.state))

    @property
    def early(self) -> str | None:
        """First day of the warning in which the last days stand; None when there is none."""
        first = None
        for day, point in zip(self.days, self.smoothed, strict=True):
            is_worse = point.state != "steady" and point.value > self.centre
            first = (first or day) if is_worse else None
        return first


@dataclass(frozen=True)
class Pair:
    """Two people or machines side by side.

    Parameters
    ----------
    first, second : str
        Their names.
    kind : {"rate", "share"}
        Voids per metre, or bad share of strips.
    comparison : Comparison
        With its uncertainty.
    """

    first: str
    second: str
    kind: Kind
    comparison: Comparison


@dataclass(frozen=True)
class Tally:
    """Charts, and at most one pair of people or machines.

    Parameters
    ----------
    charts : tuple of Chart
        By name in order of first appearance, voids before strips.
    pairs : tuple of Pair
        The same two by voids and by strips.
    cautions : tuple of Caution
        What counts do not say.
    """

    charts: tuple[Chart, ...]
    pairs: tuple[Pair, ...]
    cautions: tuple[Caution, ...]


def tally(
    days: Sequence[Day],
    *,
    by: By = "all",
    compare: tuple[str, str] | None = None,
    base: int | None = None,
) -> Tally:
    """Charts of all days, and two people or machines side by side.

    Parameters
    ----------
    days : sequence of Day
        In order of time.
    by : {"all", "operator", "machine"}
        What gets a chart of its own.
    compare : tuple of str, optional
        Two operators or machines.
    base : int, optional
        How many first days of each chart are the measure of the rest; all unless said, and then a
        lasting change hides in its own measure.

    Returns
    -------
    Tally

    Raises
    ------
    LapwrightError
        ``no_stretches``; ``tally_no_such``, with the names there are.
    """
    groups: dict[str, list[Day]] = {}
    for day in days:
        groups.setdefault("" if by == "all" else getattr(day, by), []).append(day)
    charts = [
        chart
        for who, mine in groups.items()
        for kind in KINDS[::-1]
        if (chart := _chart(who, mine, kind, base)) is not None
    ]
    if not charts:
        raise LapwrightError("no_stretches")
    pairs = () if compare is None else _pairs(days, *compare)
    thin = any(0 < sum(each.found for each in c.stretches[:base]) < ENOUGH for c in charts)
    cautions = [Caution("not_why")] + [Caution("few_found", {"limit": str(ENOUGH)})] * thin
    return Tally(tuple(charts), pairs, tuple(cautions))


def _chart(who: str, days: Sequence[Day], kind: Kind, base: int | None) -> Chart | None:
    """None when nothing was counted."""
    counted = [day for day in days if day.stretch(kind).size > 0]
    stretches = tuple(day.stretch(kind) for day in counted)
    if not stretches:
        return None
    centre = centre_of(stretches[:base]) or centre_of(stretches)  # no measure has nothing in it
    false_alarm = doubled = None
    if kind == "rate" and centre > 0:
        expected = centre * sum(each.size for each in stretches) / len(stretches)
        false_alarm = rate_run_length(expected, expected=expected)
        doubled = rate_run_length(2 * expected, expected=expected)
    return Chart(
        who=who,
        kind=kind,
        centre=centre,
        days=tuple(day.day for day in counted),
        stretches=stretches,
        points=chart_points(stretches, kind=kind, centre=centre),
        smoothed=smoothed_counts(stretches, kind=kind, centre=centre),
        false_alarm=false_alarm,
        doubled=doubled,
    )


def _pairs(days: Sequence[Day], first: str, second: str) -> tuple[Pair, ...]:
    known = dict.fromkeys(name for day in days for name in (day.operator, day.machine) if name)
    for name in (first, second):
        if name not in known:
            raise LapwrightError("tally_no_such", value=name, known=", ".join(known))
    found = []
    for kind in KINDS[::-1]:
        one, two = (_sum(days, name, kind) for name in (first, second))
        if one.size > 0 and two.size > 0:
            compared = compare_rates(one, two) if kind == "rate" else compare_shares(one, two)
            found.append(Pair(first, second, kind, compared))
    return tuple(found)


def _sum(days: Sequence[Day], name: str, kind: Kind) -> Stretch:
    mine = [day.stretch(kind) for day in days if name in (day.operator, day.machine)]
    return Stretch(sum(each.found for each in mine), sum(each.size for each in mine))
