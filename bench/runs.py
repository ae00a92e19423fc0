"""Methods meet sites: every method the same sites, every site its own luck."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from time import perf_counter
from typing import TypeVar

import numpy as np
from baselines import FIXED_DESIGNS, FixedList, Ladder, QuestPlusPair, UpAndDown
from methods import Estimate, Plan, Start
from numpy.typing import NDArray
from ours import Faster, Followed, Lapwright, WithModel, ask, earlier_day, reference_weld
from sites import FAMILIES, Sites, Values, draw_sites, weld, weld_stream

from lapwright.units import from_si
from lapwright.window.strips import TestWeld

Told = TypeVar("Told")
strict = partial(Ladder, least_full=3, most_signs=0)
lenient = partial(Ladder, least_full=2, most_signs=1)


def _remembering(off: float) -> Start:
    """lapwright with an earlier day whose bottom is remembered wrongly by ``off`` F."""
    return lambda plan: Lapwright(earlier_day(plan.earlier_bottom + off, plan.earlier_gap))


METHODS: dict[str, Start] = {
    "lapwright": lambda _: Lapwright(),
    "followed": lambda _: Followed(),
    "history right": _remembering(0.0),
    "history +120 F": _remembering(120.0),
    "history -120 F": _remembering(-120.0),
    "1.4 x speed": lambda _: Faster(),
    "ladder strict": lambda plan: strict(plan.welds),
    "ladder lenient": lambda plan: lenient(plan.welds),
    "ladder + model": lambda plan: WithModel(strict(plan.welds)),
    "fixed + model": lambda plan: WithModel(FixedList(FIXED_DESIGNS[plan.welds])),
    "up-and-down": lambda _: UpAndDown(),
    "up-and-down + model": lambda _: WithModel(UpAndDown()),
    "questplus": lambda _: QuestPlusPair(),
}
# Methods whose first weld depends on how many will follow: one run per number of welds.
PLANNED = {"ladder strict", "ladder lenient", "ladder + model", "fixed + model"}
LEAST_PLANNED = 3
MOST_WELDS = 8  # of a certificate run


@dataclass(frozen=True)
class Records:
    """What a method said at each site after each number of welds (1, 2, ...).

    ``set_points`` by policy and edges in F, NaN where nothing was said: shapes
    (site, welds) and (site, welds, 3). ``ms``: suggestion, update, estimate: (site, welds, 3).
    """

    set_points: dict[str, Values]
    bottom: Values
    top: Values
    ms: Values


@dataclass(frozen=True)
class Certificates:
    """How following ``lapwright next`` to its end went; one entry per site."""

    welds: NDArray[np.int64]
    certified: NDArray[np.bool_]
    verdict: NDArray[np.str_]
    set_point: Values


@dataclass(frozen=True)
class Sample:
    """Sites of one family, drawn anew in every process from the same seed."""

    family: str
    count: int
    seed: int

    def sites(self) -> Sites:
        return draw_sites(FAMILIES[self.family], count=self.count, seed=self.seed)


def run(sample: Sample, method: str, *, welds: int, processes: int) -> Records:
    """Run a method at every site of a sample."""
    sites = _spread(partial(_run_site, method, welds), sample, processes)
    policies = sorted({policy for said, _ in sites for each in said for policy in each.set_points})
    return Records(
        {
            policy: np.array(
                [[e.set_points.get(policy, np.nan) for e in said] for said, _ in sites]
            )
            for policy in policies
        },
        np.array([[each.bottom for each in said] for said, _ in sites]),
        np.array([[each.top for each in said] for said, _ in sites]),
        1000 * np.array([seconds for _, seconds in sites]),
    )


def certify(sample: Sample, *, processes: int) -> Certificates:
    """Follow ``lapwright next`` at every site until it is done or the welds are used up."""
    ends = _spread(_certify_site, sample, processes)
    return Certificates(*(np.array(column) for column in zip(*ends, strict=True)))


def _spread(
    visit: Callable[[Sample, Sites, int], Told], sample: Sample, processes: int
) -> list[Told]:
    """``visit`` every site of a sample, in order."""
    ranges = np.array_split(np.arange(sample.count), min(sample.count, processes * 8))
    with get_context("fork").Pool(processes) as pool:
        parts = pool.map(partial(_visit_all, visit, sample), ranges, chunksize=1)
    return [told for part in parts for told in part]


def _visit_all(
    visit: Callable[[Sample, Sites, int], Told], sample: Sample, chosen: Iterable[int]
) -> list[Told]:
    sites = sample.sites()
    return [visit(sample, sites.one(index), index) for index in chosen]


def _run_site(
    method: str, welds: int, sample: Sample, site: Sites, index: int
) -> tuple[list[Estimate], Values]:
    """Estimates after each weld at one site, and the seconds they took."""
    said = [Estimate({})] * welds
    seconds = np.full((welds, 3), np.nan)
    for budget in range(LEAST_PLANNED, welds + 1) if method in PLANNED else (welds,):
        this_run = METHODS[method](
            Plan(budget, float(site.earlier_bottom[0]), float(site.earlier_gap[0]))
        )
        rng = weld_stream(sample.seed, index)
        for made in range(budget):
            start = perf_counter()
            air = this_run.suggest()
            suggested = perf_counter()
            strips = weld(site, air=air, rng=rng)
            welded = perf_counter()
            this_run.observe(air, strips)
            updated = perf_counter()
            if method not in PLANNED or made + 1 == budget:
                said[made] = this_run.estimate()
            seconds[made] = suggested - start, updated - welded, perf_counter() - updated
    return said, seconds


def _certify_site(sample: Sample, site: Sites, index: int) -> tuple[int, bool, str, float]:
    rng = weld_stream(sample.seed, index)
    welds: tuple[TestWeld, ...] = ()
    answer = ask(welds)
    while not answer.next.done and len(welds) < MOST_WELDS:
        air = from_si(answer.next.air, "f")
        welds += (reference_weld(len(welds) + 1, air, weld(site, air=air, rng=rng)),)
        answer = ask(welds)
    point = np.nan if answer.set_point is None else from_si(answer.set_point.air, "f")
    return len(welds), answer.certified, answer.verdict, point
