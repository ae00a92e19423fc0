"""Bands of rendered strips measured on their photos: error, coverage, refusals.

    python bench/photo.py --photos 200 --seed 1

No photo of a real strip was at hand: the strips are drawn, see ``tests/stripphoto.py``.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from tests.stripphoto import Shot, drawn, photo, strip

from lapwright.errors import LapwrightError
from lapwright.job.band import SURE
from lapwright.readings.photo.measure import measure_band

FAMILIES: dict[str, dict[str, Any]] = {
    "as promised": {},
    "2 megapixels": {"pixels": (1632, 1224), "blur": 0.8},
    "12 megapixels": {"pixels": (4000, 3000)},
    "straight above": {"tilt": 3.0},
    "35 degrees": {"tilt": 35.0},
    "black core": {"sheet": "black core"},
    "white on white": {"sheet": "white on white"},
    "stripes": {"kind": "stripes"},
    "one edge": {"kind": "one_edge", "width": 38.0},
    "cold": {"band": 0.0},
    "cold, written on": {"band": 0.0, "ink": True},
    "written on": {"ink": True, "length": 170.0},
    "dark, noisy": {"light": 0.5, "noise": 0.04},
    "blurred": {"blur": 6.0, "pixels": (4000, 3000)},
    "very blurred": {"blur": 14.0, "pixels": (4000, 3000)},
    "bent card": {"bend": 6.0, "tilt": 25.0},
    "card printed at 97 %": {"print_scale": 0.97},
    "no markers to speak of": {"cover": 5},
}


@dataclass(frozen=True)
class Outcome:
    """One photo: what was refused, or how far off it was. [mm]"""

    refused: str = ""
    median_off: float = 0.0
    median_sure: float = 0.0
    smallest_off: float = 0.0
    smallest_sure: float = 0.0
    is_even: bool = False
    seconds: float = 0.0


def outcome(shot: Shot) -> Outcome:
    """A photo, rendered and measured."""
    content, (_, truth) = photo(shot), strip(shot)
    begun = perf_counter()
    try:
        band = measure_band(content, name="photo").band
    except LapwrightError as error:
        return Outcome(error.code)
    kind = shot.kind if shot.band else None
    return Outcome(
        "",
        1000 * band.median - truth.median,
        1000 * SURE * band.median_error,
        1000 * band.smallest - truth.smallest,
        1000 * SURE * band.smallest_error,
        band.evenness == kind,
        perf_counter() - begun,
    )


def _share(off: Any, sure: Any) -> str:
    return f"{100 * np.mean(np.abs(off) <= sure + 1e-9):.0f} %"


def _row(name: str, outcomes: list[Outcome]) -> str:
    kept = [each for each in outcomes if not each.refused]
    refused = Counter(each.refused for each in outcomes if each.refused)
    why = ", ".join(f"{code} {count}" for code, count in refused.most_common())
    if not kept:
        return f"| {name} | 0 of {len(outcomes)} | | | | | | {why} |"
    off, sure, least, least_sure = (
        np.array([getattr(each, field) for each in kept])
        for field in ("median_off", "median_sure", "smallest_off", "smallest_sure")
    )
    return (
        f"| {name} | {len(kept)} of {len(outcomes)}"
        f" | {np.sqrt(np.mean(off**2)):.2f}, {off.mean():+.2f}"
        f" | {_share(off, sure)} of ±{np.median(sure):.2f} | {np.sqrt(np.mean(least**2)):.2f}"
        f" | {_share(least, least_sure)} of ±{np.median(least_sure):.2f}"
        f" | {100 * np.mean([each.is_even for each in kept]):.0f} % | {why} |"
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--photos", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--family", action="append", choices=list(FAMILIES))
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    print(
        "| photos | measured | median: RMS, bias, mm | within what is said | smallest: RMS, mm"
        " | within what is said | evenness right | refused |\n|" + "---|" * 8
    )
    with ProcessPoolExecutor(asked.workers) as pool:
        for name in asked.family or FAMILIES:
            shots = [drawn(asked.seed * 100_000 + n, **FAMILIES[name]) for n in range(asked.photos)]
            outcomes = list(pool.map(outcome, shots))
            print(_row(name, outcomes), flush=True)
            if name == "as promised":
                times = sorted(each.seconds for each in outcomes if not each.refused)
                print(f"| ({times[len(times) // 2]:.1f} s a photo, half of them) |" + " |" * 7)


if __name__ == "__main__":
    main()
