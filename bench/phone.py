"""The phone's answer without a signal against the server's, in a real browser.

python bench/phone.py --sites 200 --seed 401 --family base

The phone weighs a sample table in JavaScript, the server sums over the whole lattice. Each
row of the first table: the table was made after so many welds, the phone answers after so
many. "corrected": one weld the server knew was typed in wrongly and is put right.
"""

from __future__ import annotations

import argparse
import gzip
import json
import os
import shutil
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from time import perf_counter
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # one core

import numpy as np
from ours import MAX_AIR, MIN_AIR, REFERENCE, Followed
from playwright.sync_api import Page, sync_playwright
from sites import FAMILIES, draw_sites, weld, weld_stream

import lapwright.web
from lapwright.job.morning import Morning
from lapwright.job.phone import LEAST_EFFECTIVE, sample_table
from lapwright.physics.heat import equivalent_air
from lapwright.window.answer import Question
from lapwright.window.nextweld import information
from lapwright.window.particles import PARTICLES
from lapwright.window.soundness import AXIS
from lapwright.window.strips import Pull, TestWeld

STATIC = Path(lapwright.web.__file__).parent / "static"
ORIGIN = "http://phone.test/"  # served from the folder, no network
CASES = ((0, 2, False), (0, 4, False), (2, 4, False), (3, 6, False), (3, 4, True), (4, 8, False))
SLOW_DOWN = 4  # a cheap phone against this machine, as browsers' own tools have it
TIMED_SITES = 20
TURNED: dict[Pull, Pull] = {"cold": "full", "full": "cold"}

Welds = tuple[TestWeld, ...]


@dataclass(frozen=True)
class Compared:
    """Phone against server at one site after one number of welds; temperatures in K."""

    effective: float
    is_sure: bool
    bottom: float
    top: float
    p_sound: float
    lost: float
    phone: str
    server: str
    learnt: float


def ask(welds: Welds) -> Question:
    """The question of a crew at the reference condition."""
    here = {"speed": REFERENCE.speed, "sheet": REFERENCE.sheet, "ambient": REFERENCE.ambient}
    return Question(welds, min_air=MIN_AIR, max_air=MAX_AIR, **here)


@contextmanager
def phone() -> Iterator[Page]:
    """A page that holds the modules and nothing else."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield browser.new_page()
        browser.close()


def load(page: Page) -> None:
    """A page as freshly opened: nothing compiled, nothing kept."""

    def answered(route: Any) -> None:
        name = route.request.url.removeprefix(ORIGIN)
        if name:
            route.fulfill(path=STATIC / name, content_type="text/javascript")
        else:
            route.fulfill(body="<title>phone</title>", content_type="text/html")

    page.unroute_all()
    page.route(f"{ORIGIN}**", answered)
    page.goto(ORIGIN)
    page.evaluate("async () => { window.weigh = (await import('/field/weigh/window.js')).weigh; }")


def weighed(page: Page, table: str, welds: Welds) -> dict[str, Any]:
    """The phone's answer."""
    script = "([table, welds]) => weigh(JSON.parse(table), welds)"
    answer: dict[str, Any] = page.evaluate(script, [table, [asdict(each) for each in welds]])
    return answer


def morning_welds(family: str, *, sites: int, seed: int, count: int) -> Iterator[Welds]:
    """Welds of each site, each the one the server asked for; when done, the set point again."""
    for index, site in enumerate(draw_sites(FAMILIES[family], count=sites, seed=seed)):
        run, luck = Followed(), weld_stream(seed, index)
        for _ in range(count):
            air = run.suggest()
            run.observe(air, weld(site, air=air, rng=luck))
        yield run.welds


def mistyped(welds: Welds) -> Welds:
    """The second weld with cold and full exchanged, as a tired hand might."""
    turned = tuple(
        replace(strip, pull=TURNED.get(strip.pull, strip.pull)) for strip in welds[1].strips
    )
    return (welds[0], replace(welds[1], strips=turned), *welds[2:])


def compared(page: Page, known: Welds, welds: Welds, *, seed: int, particles: int) -> Compared:
    """One answer of the phone beside the server's."""
    rng = np.random.default_rng(seed)
    table = json.dumps(sample_table(ask(known), rng=rng, particles=particles).as_json())
    here = weighed(page, table, welds)
    morning = Morning(ask(welds))
    answer = morning.answer()

    def off(edge: str) -> float:
        mine, true = here[edge]["mid"], getattr(answer, edge).mid
        return np.nan if mine is None or true is None else mine - true

    p_sound = lost = np.nan
    if here["setPoint"] is not None and answer.set_point is not None:
        at = here["setPoint"]
        truly = float(
            morning.soundness.at(at["air"], speed=at["speed"], sheet=morning.conditions.sheet)
        )
        p_sound, lost = at["pSound"] - truly, answer.set_point.p_sound - truly
    learnt = np.nan
    if here["next"]["reason"] in ("learn", "lower") and answer.next.information is not None:
        kappa, sheet = morning.belief.mean_kappa, morning.conditions.sheet
        x = equivalent_air(here["next"]["air"], sheet=sheet, speed=REFERENCE.speed, kappa=kappa)
        gain = float(np.interp(x, AXIS, information(morning.belief)))
        learnt = gain / answer.next.information
    return Compared(
        here["effective"], here["sure"], off("bottom"), off("top"), p_sound, lost,
        here["verdict"], answer.verdict, learnt,
    )  # fmt: skip


def root_mean_square(values: list[float]) -> float:
    """Over the sites that have a figure."""
    return float(np.sqrt(np.nanmean(np.square(values))))


def row(found: list[Compared], name: str) -> str:
    """One row of the table."""
    effective = np.array([each.effective for each in found])
    learnt = [each.learnt for each in found]
    both = Counter((each.server == "certified", each.phone == "certified") for each in found)
    figures = [
        f"{np.median(effective):.0f} ({np.percentile(effective, 5):.0f})",
        f"{np.mean([each.is_sure for each in found]):.2f}",
        f"{1.8 * root_mean_square([each.bottom for each in found]):.1f}",
        f"{1.8 * root_mean_square([each.top for each in found]):.1f}",
        f"{root_mean_square([each.p_sound for each in found]):.3f}",
        f"{np.nanmax([each.lost for each in found]):.3f}",
        f"{np.mean([each.server == each.phone for each in found]):.2f}",
        f"{both[True, True]} / {both[True, False]} / {both[False, True]}",
        f"{np.nanmedian(learnt):.2f} ({np.nanpercentile(learnt, 5):.2f})",
    ]
    return " | ".join(["", name, *figures, ""]).strip()


def times(page: Page, mornings: list[Welds], *, particles: int) -> Iterator[tuple[str, float]]:
    """Milliseconds of one call, the processor slowed down."""
    slow = page.context.new_cdp_session(page)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOW_DOWN})
    script = """([text, welds]) => {
      const table = JSON.parse(text);
      return [4, 4, 5, 6].map((count) => {
        const start = performance.now();
        weigh(table, welds.slice(0, count));
        return performance.now() - start;
      });
    }"""
    names = ("four welds, page just opened", "the same again", "a fifth weld", "a sixth weld")
    for index, welds in enumerate(mornings):
        load(page)
        rng = np.random.default_rng(index)
        table = sample_table(ask(welds[:2]), rng=rng, particles=particles)
        given = [json.dumps(table.as_json()), [asdict(each) for each in welds]]
        yield from zip(names, page.evaluate(script, given), strict=True)
        warm = page.evaluate(script, given)  # another table object: nothing kept but compiled code
        yield "four welds, all new, page in use", warm[0]


def main() -> None:
    """Compare, time, and print Markdown tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--sites", type=int, default=200)
    parser.add_argument("--seed", type=int, default=401)
    parser.add_argument("--family", choices=FAMILIES, default="base")
    parser.add_argument("--particles", type=int, default=PARTICLES)
    given = parser.parse_args()
    most = max(count for _, count, _ in CASES)
    mornings = list(morning_welds(given.family, sites=given.sites, seed=given.seed, count=most))
    print(f"{given.sites} sites, {given.family}, seed {given.seed}, {given.particles} particles\n")
    print(
        "| table after, answer after | effective size, median (5 %) "
        f"| sure (>= {LEAST_EFFECTIVE:.0f}, clear of the level) | bottom, rms F | top, rms F "
        "| P(sound), rms | most P(sound) given away | same verdict "
        "| certified by both / server only / phone only | information of the next weld (5 %) |"
    )
    print("|---" * 10 + "|")
    with phone() as page:
        load(page)
        for known, count, is_corrected in CASES:
            found = []
            for index, welds in enumerate(mornings):
                before = mistyped(welds[:known]) if is_corrected else welds[:known]
                seed = given.seed + index
                found.append(
                    compared(page, before, welds[:count], seed=seed, particles=given.particles)
                )
            print(row(found, f"{known}, {count}{', corrected' if is_corrected else ''}"))
        timed: dict[str, list[float]] = {}
        for name, value in times(page, mornings[:TIMED_SITES], particles=given.particles):
            timed.setdefault(name, []).append(value)
    print(f"\n| weigh(), processor slowed {SLOW_DOWN} times | median | worst |\n|---|---|---|")
    for name, values in timed.items():
        print(f"| {name} | {np.median(values):.0f} ms | {max(values):.0f} ms |")
    start = perf_counter()
    rng = np.random.default_rng(given.seed)
    table = sample_table(ask(mornings[0][:4]), rng=rng, particles=given.particles)
    taken = perf_counter() - start
    text = json.dumps(table.as_json(), separators=(",", ":")).encode()
    print(
        f"\nThe table: {len(text) / 1000:.0f} kB, {len(gzip.compress(text)) / 1000:.0f} kB gz, "
        f"made in {1000 * taken:.0f} ms"
    )


if __name__ == "__main__":
    main()
