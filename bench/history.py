"""What a history is worth, right or wrong: an earlier day, and all that was learnt.

python bench/history.py --sites 1000 --seed 301 302 303
python bench/history.py --learnt --sites 500 --seed 401 402

Without --learnt: the targets of a history on base sites, with a normal and with a heavy-tailed
learnt part on the same sites and the same luck. With --learnt: past days of an invented company
are learnt from, then one new morning is welded. The last rows are wrong on purpose: today's
window lies 120 F away from where it lay on every past day.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # the processes share the cores among themselves

import numpy as np
from numpy.typing import NDArray
from ours import Lapwright, earlier_day
from runs import Sample
from scores import Figure
from sites import COOLEST, FAMILIES, MACHINE_LIMIT, Sites, Values, draw_sites, weld, weld_stream

from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED
from lapwright.units import to_si
from lapwright.window.history import learn
from lapwright.window.leftout import left_out
from lapwright.window.pastwelds import PastWelds
from lapwright.window.prior import TAIL, Earlier

Case = tuple[float, float | None] | None  # how far off in F, freedom of the learnt part
WELDS = 5
OFFS = (0.0, 120.0, -120.0)  # F
# F; spread of bottom and gap between pairings, machines, nozzles, months and days of a company,
# and of companies: together the spread of base sites, 80 and 90.
SPREADS = {
    "pairing": (50.0, 50.0), "machine": (35.0, 30.0), "nozzle": (20.0, 20.0),
    "month": (15.0, 15.0), "day": (28.0, 35.0), "company": (36.0, 53.0),
}  # fmt: skip
COUNTS = {"pairing": 3, "machine": 3, "nozzle": 2, "month": 12}
PAST_WELDS = 5  # of each past day
Levels = dict[str, NDArray[np.int64]]
_NEW = {"new machine": ("machine",), "all new": ("pairing", "machine", "nozzle", "month")}
LIKELY = (301.0, 1299.0)  # F; where a bottom may lie at all
GAP_LEAST = 120.0  # F; as of base sites


@dataclass(frozen=True)
class Met:
    """One morning: after each weld, was the set point sound, did each interval hold the edge."""

    sound: Values
    bottom: Values
    top: Values
    has_window: bool
    gain: float = np.nan


def main() -> None:
    """Run what was asked for and print the tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--learnt", action="store_true", help="learn from a company's past days")
    parser.add_argument("--days", type=int, nargs="+", default=[3, 10, 40], help="past days")
    parser.add_argument("--sites", type=int, default=1000, help="mornings per seed")
    parser.add_argument("--seed", type=int, nargs="+", default=[301, 302, 303])
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    asked = parser.parse_args()
    print(f"{asked.sites} mornings a seed, seeds {asked.seed}; +- is one standard error.\n")
    if asked.learnt:
        _learnt_table(asked)
    else:
        _history_table(asked)


def _history_table(asked: argparse.Namespace) -> None:
    cases: dict[str, Case] = {"weak start": None}
    for off in OFFS:
        name = f"{off:+.0f} F" if off else "right"
        cases[f"normal, {name}"] = (off, None)
        cases[f"heavy-tailed, {name}"] = (off, TAIL)
    met = {name: _everywhere(partial(_one_site, case), asked) for name, case in cases.items()}
    _print("earlier day", met)
    weak, right = met["weak start"], met["heavy-tailed, right"]
    sound = [_sound(right, 1), _sound(weak, 3)]
    print("\n| target | must | aim | measured | |\n|---|---|---|---|---|")
    _target("success @1, history right", 0.96, 0.97, Figure.mean(sound[0]))
    paired = Figure.mean(sound[0] - sound[1])
    print(
        f"| 1 weld with it less 3 without | - | 0 | {paired.value:+.3f} +- {paired.error:.3f} | |"
    )
    for off in OFFS[1:]:
        wrong = met[f"heavy-tailed, {off:+.0f} F"]
        for edge in ("bottom", "top"):
            held = np.array([getattr(one, edge)[3] for one in wrong])
            _target(f"coverage {edge} @4, history {off:+.0f} F", 0.85, 0.88, Figure.mean(held))


def _target(what: str, must: float, aim: float, figure: Figure) -> None:
    reached = "aim" if figure.value >= aim else "reached" if figure.value >= must else "**missed**"
    print(f"| {what} | {must} | {aim} | {figure.value:.3f} +- {figure.error:.3f} | {reached} |")


def _one_site(case: Case, sample: Sample, index: int) -> Met:
    site = _sites(sample).one(index)
    earlier = None
    if case is not None:
        off, freedom = case
        bottom = np.clip(site.earlier_bottom[0] + off, *LIKELY)  # else it is refused as mistyped
        earlier = earlier_day(float(bottom), float(site.earlier_gap[0]))
        earlier = replace(earlier, freedom=freedom)
    return _morning(site, earlier, weld_stream(sample.seed, index))


_known: dict[Sample, Sites] = {}  # by process


def _sites(sample: Sample) -> Sites:
    if sample not in _known:
        _known[sample] = sample.sites()
    return _known[sample]


def _morning(
    site: Sites, earlier: Earlier | None, rng: np.random.Generator, gain: float = np.nan
) -> Met:
    ours = Lapwright(earlier)
    sound, bottom, top = np.zeros((3, WELDS))
    for made in range(WELDS):
        air = ours.suggest()
        ours.observe(air, weld(site, air=air, rng=rng))
        said = ours.estimate()
        sound[made] = site.is_sound(np.array([said.set_points["steady"]]))[0]
        bottom[made] = said.bottom[0] <= site.bottom[0] <= said.bottom[2]
        top[made] = said.top[0] <= site.top[0] <= said.top[2]
    return Met(sound, bottom, top, bool(site.has_window()[0]), gain)


def _everywhere(visit: Callable[[Sample, int], Met], asked: argparse.Namespace) -> list[Met]:
    met: list[Met] = []
    for seed in asked.seed:
        one = partial(visit, Sample("base", asked.sites, seed))
        with get_context("fork").Pool(asked.processes) as pool:
            met += pool.map(one, range(asked.sites), chunksize=25)
    return met


def _sound(met: Iterable[Met], welds: int) -> Values:
    return np.array([one.sound[welds - 1] for one in met if one.has_window])


def _print(what: str, met: dict[str, list[Met]]) -> None:
    heads = [f"success @{k}" for k in range(1, WELDS + 1)]
    heads += [f"{edge} covered @{k}" for k in (1, 3, 4) for edge in ("bottom", "top")]
    print(f"| {what} | {' | '.join(heads)} |\n" + "|---" * (len(heads) + 1) + "|")
    for name, ones in met.items():
        figures = [Figure.mean(_sound(ones, k)) for k in range(1, WELDS + 1)]
        figures += [
            Figure.mean(np.array([getattr(one, edge)[k - 1] for one in ones]))
            for k in (1, 3, 4)
            for edge in ("bottom", "top")
        ]
        cells = " | ".join(f"{f.value:.3f} +- {f.error:.3f}" for f in figures)
        print(f"| {name} | {cells} |", flush=True)


def _learnt_table(asked: argparse.Namespace) -> None:
    met: dict[str, list[Met]] = {}
    met["weak start"] = _everywhere(partial(_one_company, 1, "weak", 0.0), asked)
    met["yesterday's bottom and gap, exact"] = _everywhere(
        partial(_one_company, 1, "yesterday", 0.0), asked
    )
    for days in asked.days:
        for way in ("known", "new machine", "all new"):
            met[f"{days} days, {way}"] = _everywhere(partial(_one_company, days, way, 0.0), asked)
    for off in OFFS[1:]:
        met[f"{asked.days[-1]} days, known, today {off:+.0f} F"] = _everywhere(
            partial(_one_company, asked.days[-1], "known", off), asked
        )
    _print("learnt from", met)
    print("\n| leave one day out | nat a day | days less likely than with the weak start alone |")
    print("|---|---|---|")
    for name, ones in met.items():
        gains = np.array([one.gain for one in ones])
        if np.isfinite(gains).all() and "today" not in name and "known" in name:
            mean = Figure.mean(gains)
            print(f"| {name} | {mean.value:+.3f} +- {mean.error:.3f} | {np.mean(gains < 0):.2f} |")


def _one_company(days: int, way: str, off: float, sample: Sample, index: int) -> Met:
    """Past days of one company, then a new morning of it; wrong by ``off`` on purpose."""
    chances = [np.random.default_rng([sample.seed, index, part]) for part in range(3)]
    company = Company(chances[0])
    levels, today_levels = company.levels(days, chances[1]), company.levels(1, chances[2])
    new = _NEW.get(way, ())
    past = company.sites(today_levels if way == "yesterday" else levels, chances[1])
    for name in new:
        company.renew(name)
    today = company.sites(today_levels, chances[2], off=off)
    earlier, gain = None, np.nan
    if way == "yesterday":
        earlier = earlier_day(float(past.bottom[0]), float(past.top[0] - past.bottom[0]))
    elif way != "weak":
        known = {name: -1 if name in new else int(level[0]) for name, level in today_levels.items()}
        learnt = learn(_welded(past, levels, chances[1]))
        known["month"] += 1
        earlier = learnt.earlier_for("tpo", **known)
        gain = float(left_out(learnt).gain.mean())
    return _morning(today, earlier, weld_stream(sample.seed, index), gain)


class Company:
    """Effects of one company on bottom and gap, F."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng = rng
        self.mean = np.array([700.0, 330.0]) + self._drawn("company", 1)[0]
        self.effect = {name: self._drawn(name, count) for name, count in COUNTS.items()}
        turn = 2 * np.pi * (np.arange(12) / 12 - rng.random())
        self.effect["month"] = np.sqrt(2) * np.cos(turn)[:, None] * SPREADS["month"]

    def _drawn(self, name: str, count: int) -> Values:
        return np.asarray(self.rng.standard_normal((count, 2)) * SPREADS[name])

    def levels(self, days: int, rng: np.random.Generator) -> Levels:
        """Who welds what with what on some days."""
        return {name: rng.integers(0, count, days) for name, count in COUNTS.items()}

    def renew(self, name: str) -> None:
        """Another machine, pairing, ... than any of the past."""
        if name != "month":
            self.effect[name] = self._drawn(name, COUNTS[name])

    def sites(self, levels: Levels, rng: np.random.Generator, *, off: float = 0.0) -> Sites:
        """The window of each day, moved by ``off``."""
        days = len(levels["pairing"])
        edges = self.mean + rng.standard_normal((days, 2)) * SPREADS["day"]
        for name, level in levels.items():
            edges = edges + self.effect[name][level]
        seed = int(rng.integers(1 << 31))
        plain = draw_sites(FAMILIES["base"], count=days, seed=seed)
        bottom, gap = edges[:, 0] + off, np.maximum(edges[:, 1], GAP_LEAST)
        return replace(plain, bottom=bottom, top=bottom + gap)


def _welded(past: Sites, levels: Levels, rng: np.random.Generator) -> PastWelds:
    """Test welds of the past days at rungs around, one answer to the question for heat each."""
    day, air, counts, signs = [], [], [], []
    for row, site in enumerate(past):
        for at in rng.uniform(COOLEST, MACHINE_LIMIT, PAST_WELDS).round(-1):
            strips = weld(site, air=float(at), rng=rng)
            pulls = [strip.pull for strip in strips]
            day.append(row)
            air.append(to_si(float(at), "f"))
            counts.append([pulls.count("cold"), pulls.count("partial"), pulls.count("full")])
            signs.append(strips[0].overheat == "signs")
    cold, partial_, full = np.array(counts, dtype=np.int8).T
    return PastWelds(
        day=np.array(day, dtype=np.int32),
        air=np.array(air, dtype=np.float32),
        speed=np.full(len(day), REFERENCE_SPEED, dtype=np.float32),
        sheet=np.full(len(day), REFERENCE_SHEET, dtype=np.float32),
        cold=cold,
        partial=partial_,
        full=full,
        looked=np.ones(len(day), dtype=bool),
        signs=np.array(signs),
        membrane=np.zeros(len(past), dtype=np.int8),
        pairing=levels["pairing"].astype(np.int32),
        machine=levels["machine"].astype(np.int32),
        nozzle=levels["nozzle"].astype(np.int32),
        month=(levels["month"] + 1).astype(np.int8),
    )


if __name__ == "__main__":
    main()
