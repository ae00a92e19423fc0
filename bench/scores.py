"""What a run was worth, judged by the truth that only the sites know."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from runs import Certificates, Records, Sample
from sites import MACHINE_LIMIT, Drift, Sites, Values, drift_draws

DRIFT_DRAWS = 400


@dataclass(frozen=True)
class Figure:
    """A measured value and its standard error over sites."""

    value: float
    error: float

    @classmethod
    def mean(cls, values: Values) -> Figure:
        return cls(float(values.mean()), float(values.std(ddof=1) / np.sqrt(len(values))))


@dataclass
class Results:
    """Everything that was run, by family and method."""

    sites: dict[str, Sites] = field(default_factory=dict)
    records: dict[tuple[str, str], Records] = field(default_factory=dict)
    certificates: dict[str, Certificates] = field(default_factory=dict)

    def add_family(self, sample: Sample) -> None:
        self.sites[sample.family] = sample.sites()

    def methods(self, family: str) -> Iterable[str]:
        """Methods run on a family, in the order they were run."""
        return (method for name, method in self.records if name == family)


def speed_ratio(method: str) -> float:
    """Speed that the set points of a method are for, over the reference."""
    return 1.4 if method == "1.4 x speed" else 1.0


def success(results: Results, family: str, method: str, policy: str, welds: int) -> Figure:
    """Share of sites with a window whose set point is sound at the conditions of the test."""
    sites, ratio = results.sites[family], speed_ratio(method)
    air = results.records[family, method].set_points[policy][:, welds - 1]
    sound = sites.is_sound(air, speed_ratio=ratio)[sites.has_window(speed_ratio=ratio)]
    return Figure.mean(sound.astype(float))


def answered(results: Results, family: str, method: str, policy: str, welds: int) -> Figure:
    """Share of sites at which the policy named a set point at all."""
    air = results.records[family, method].set_points[policy][:, welds - 1]
    return Figure.mean(np.isfinite(air).astype(float))


def coverage(results: Results, family: str, method: str, edge: str, welds: int) -> Figure:
    """Share of all sites whose true edge lies in the 90 % interval."""
    truth = getattr(results.sites[family], edge)
    low, _, high = getattr(results.records[family, method], edge)[:, welds - 1].T
    return Figure.mean(((low <= truth) & (truth <= high)).astype(float))


def edge_error(results: Results, family: str, method: str, edge: str, welds: int) -> Figure:
    """Root mean square error of an edge, F; of tops only those the machine reaches."""
    truth = getattr(results.sites[family], edge)
    middle = getattr(results.records[family, method], edge)[:, welds - 1, 1]
    square = (middle - truth)[truth <= MACHINE_LIMIT] ** 2
    root = float(np.sqrt(square.mean()))
    return Figure(root, Figure.mean(square).error / (2 * root))


def _unsound(
    results: Results, family: str, method: str, policy: str, welds: int, drift: Drift
) -> Values:
    sites = results.sites[family]
    chosen = sites.has_window()
    air = results.records[family, method].set_points[policy][chosen, welds - 1]
    delta = drift_draws(drift, count=DRIFT_DRAWS, seed=0)
    return np.asarray(1 - sites.subset(chosen).soundness(air[:, None] + delta).mean(axis=1))


def unsound_share(
    results: Results, family: str, method: str, policy: str, welds: int, drift: Drift
) -> Figure:
    """Share of strips not sound over the half day, over sites with a window."""
    return Figure.mean(_unsound(results, family, method, policy, welds, drift))


def unsound_ratio(
    results: Results, family: str, method: str, policies: tuple[str, str], welds: int, drift: Drift
) -> Figure:
    """Unsound share of the first policy over that of the second, on the same sites."""
    first, second = (_unsound(results, family, method, p, welds, drift) for p in policies)
    ratio = float(first.mean() / second.mean())
    return Figure(ratio, Figure.mean(first - ratio * second).error / float(second.mean()))


def least_unsound(results: Results, family: str, drift: Drift) -> Figure:
    """Unsound share when the truth is known: the limit of every method."""
    sites = results.sites[family]
    sites = sites.subset(sites.has_window())
    delta = drift_draws(drift, count=DRIFT_DRAWS, seed=0)
    best = np.ones(len(sites))
    for air in np.arange(400.0, MACHINE_LIMIT + 1, 10.0):
        met = np.full(len(sites), air)[:, None] + delta
        best = np.minimum(best, 1 - sites.soundness(met).mean(axis=1))
    return Figure.mean(best)


def certified(results: Results, family: str) -> Figure:
    """Share of all sites that end with a certificate."""
    return Figure.mean(results.certificates[family].certified.astype(float))


def welds_made(results: Results, family: str) -> Figure:
    """Test welds until the certificate, another end, or the limit of welds."""
    return Figure.mean(results.certificates[family].welds.astype(float))


def sound_if_certified(results: Results, family: str) -> Figure:
    """Share of certified set points that are truly sound."""
    ends, sites = results.certificates[family], results.sites[family]
    sound = sites.is_sound(ends.set_point)[ends.certified]
    if not len(sound):
        return Figure(np.nan, np.nan)
    return Figure.mean(sound.astype(float))


def false_certificates(results: Results, family: str) -> Figure:
    """Share of sites without a window that end with a certificate all the same."""
    ends, sites = results.certificates[family], results.sites[family]
    without = ~sites.has_window()
    if without.sum() < 20:  # too few sites to call it a share
        return Figure(np.nan, np.nan)
    return Figure.mean(ends.certified[without].astype(float))


def end_success(results: Results, family: str) -> Figure:
    """Success of the last set point, certified or not, over sites with a window."""
    ends, sites = results.certificates[family], results.sites[family]
    return Figure.mean(sites.is_sound(ends.set_point)[sites.has_window()].astype(float))
