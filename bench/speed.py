"""How long lapwright takes, as medians of repeats on one core.

python bench/speed.py --repeats 30
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # one core

import numpy as np
from ours import REFERENCE, Lapwright, ask
from sites import FAMILIES, draw_sites, weld, weld_stream

from lapwright.window.soundness import Soundness, Tested

WELDS = 4
MORE_FILES = 100
MAP_POINTS = 200
EXAMPLE = (
    "weld,air_f,speed_ft_min,ambient_f,strip,pull,overheat\n"
    "1,700,10,80,1,full,none\n1,700,10,80,2,full,none\n1,700,10,80,3,partial,none\n"
    "2,970,10,80,1,full,signs\n2,970,10,80,2,full,none\n2,970,10,80,3,full,none\n"
    "3,840,10,80,1,full,none\n3,840,10,80,2,full,none\n3,840,10,80,3,full,none\n"
)


def main() -> None:
    """Time each step and print one Markdown table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--repeats", type=int, default=30)
    repeats = parser.parse_args().repeats
    print("| step | median | worst |\n|---|---|---|")
    for name, times in (*_core_steps(repeats).items(), *_command_steps(repeats).items()):
        print(f"| {name} | {1000 * median(times):.1f} ms | {1000 * max(times):.1f} ms |")


def _timed(step: Callable[..., object], *given: object) -> float:
    start = perf_counter()
    step(*given)
    return perf_counter() - start


def _map(run: Lapwright) -> None:
    """P(sound) over air temperature and speed."""
    airs = np.linspace(600.0, 890.0, MAP_POINTS)  # K
    speeds = np.linspace(0.04, 0.07, MAP_POINTS)  # m/s
    soundness = Soundness(run.belief, Tested.of(run.welds))
    soundness.at(airs[:, None], speed=speeds[None, :], sheet=REFERENCE.sheet)


def _core_steps(repeats: int) -> dict[str, list[float]]:
    """Steps inside one process at fresh sites, after one site that fills the tables."""
    steps = ("update by one weld", "suggestion", "whole answer", f"map {MAP_POINTS} x {MAP_POINTS}")
    times: dict[str, list[float]] = {step: [] for step in steps}
    seed = 1
    sites = draw_sites(FAMILIES["base"], count=repeats + 1, seed=seed)
    for index, site in enumerate(sites):
        run, rng = Lapwright(), weld_stream(seed, index)
        for _ in range(WELDS):
            air = run.suggest() + rng.uniform(0.0, 9.0)  # off the steps: no table is met twice
            strips = weld(site, air=air, rng=rng)
            updated = _timed(run.observe, air, strips)
        new = updated, _timed(run.suggest), _timed(ask, run.welds), _timed(_map, run)
        if index:
            for step, seconds in zip(steps, new, strict=True):
                times[step].append(seconds)
    return times


def _command_steps(repeats: int) -> dict[str, list[float]]:
    """The command as a crew calls it, start of the program included."""
    with TemporaryDirectory() as folder:
        files = [Path(folder) / f"{number}.csv" for number in range(MORE_FILES + 1)]
        files[0].write_text(EXAMPLE, encoding="utf-8")
        for file in files[1:]:
            shutil.copy(files[0], file)

        def call(count: int) -> float:
            command = [sys.executable, "-m", "lapwright", "window", *map(str, files[:count])]
            return _timed(partial(subprocess.run, check=True, capture_output=True), command)

        call(1)  # compiled files and disk cache ready
        one = [call(1) for _ in range(min(repeats, 10))]
        many = [(call(MORE_FILES + 1) - median(one)) / MORE_FILES for _ in range(min(repeats, 3))]
    return {"lapwright window, one file": one, "lapwright window, each further file": many}


if __name__ == "__main__":
    main()
