"""Past days of an invented company with a known truth, drawn by the plain formulas of the model."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lapwright.window.pastwelds import PastWelds
from lapwright.window.prior import STEP, WIDE, Values

REFERENCE_SPEED, REFERENCE_SHEET = 0.0508, 302.6  # m/s, K; where air is equivalent air
SPREADS = {  # K; bottom and width
    "pairing": (22.0, 25.0),
    "machine": (16.0, 12.0),
    "nozzle": (10.0, 10.0),
    "month": (8.0, 6.0),
    "day": (15.0, 18.0),
}
MEAN = (650.0, 185.0)  # K


@dataclass(frozen=True)
class Truth:
    """Past days and what nobody knows: bottom and width of each, what each level adds. [K]"""

    past: PastWelds
    edges: Values
    effect: dict[str, Values]


def company(
    rng: np.random.Generator,
    *,
    days: int,
    counts: tuple[int, int, int] = (6, 5, 2),
    welds: int = 5,
    looked: float = 1.0,
) -> Truth:
    """Days with ``counts`` pairings, machines and nozzles; on a share of them somebody looked."""
    names = ("pairing", "machine", "nozzle")
    level = {n: rng.integers(0, c, days) for n, c in zip(names, counts, strict=True)}
    level["month"] = rng.integers(0, 12, days)
    effect = {
        name: rng.standard_normal((count, 2)) * SPREADS[name]
        for name, count in zip(names, counts, strict=True)
    }
    round_ = 2 * np.pi * (np.arange(12) / 12 - rng.random())
    effect["month"] = np.sqrt(2) * np.cos(round_)[:, None] * np.array(SPREADS["month"])
    edges = np.array(MEAN) + rng.standard_normal((days, 2)) * SPREADS["day"]
    for name, at in level.items():
        edges += effect[name][at]
    day = np.repeat(np.arange(days), welds)
    pulls, signs = _strips(rng, edges, day, air := 588.7 + STEP * rng.integers(0, 55, len(day)))
    saw = (rng.random(days) < looked)[day]
    past = PastWelds(
        day=day.astype(np.int32),
        air=air.astype(np.float32),
        speed=np.full(len(day), REFERENCE_SPEED, dtype=np.float32),
        sheet=np.full(len(day), REFERENCE_SHEET, dtype=np.float32),
        cold=(pulls == 0).sum(axis=1).astype(np.int8),
        partial=(pulls == 1).sum(axis=1).astype(np.int8),
        full=(pulls == 2).sum(axis=1).astype(np.int8),
        looked=saw,
        signs=signs & saw,
        membrane=np.zeros(days, dtype=np.int8),
        pairing=level["pairing"].astype(np.int32),
        machine=level["machine"].astype(np.int32),
        nozzle=level["nozzle"].astype(np.int32),
        month=(level["month"] + 1).astype(np.int8),
    )
    return Truth(past, edges, effect)


def _strips(
    rng: np.random.Generator, edges: Values, day: NDArray[np.int64], air: Values
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Grades (welds, 3) as 0 cold, 1 partial, 2 full; a sign of too much heat on each weld."""
    days, welds = len(edges), len(day)

    def over(edge: Values, strips: int) -> tuple[Values, Values]:
        sigma = rng.choice(WIDE.sigma, p=WIDE.sigma_weight / WIDE.sigma_weight.sum(), size=days)
        rho = rng.choice(WIDE.rho, p=WIDE.rho_weight / WIDE.rho_weight.sum(), size=days)[day, None]
        luck = np.sqrt(rho) * rng.choice(WIDE.effect, size=(welds, 1))
        luck = luck + np.sqrt(1 - rho) * rng.standard_normal((welds, strips))
        return air[:, None] + sigma[day, None] * luck - edge[day, None], rng.random((welds, strips))

    bond, misread = over(edges[:, 0], 3)
    zone = STEP * rng.choice(WIDE.partial_steps, size=days)[day, None]
    grade = (bond > -zone).astype(int) + (bond > 0)
    other = np.where(grade == 1, rng.choice([0, 2], size=grade.shape), 1)
    grade = np.where(misread < WIDE.misread, other, grade)
    hot, flipped = over(edges.sum(axis=1), 1)
    signs = (hot > 0)[:, 0] ^ (flipped < WIDE.misread)[:, 0]
    blunder = rng.random((2, welds)) < WIDE.blunder
    grade = np.where(blunder[0][:, None], rng.integers(0, 3, grade.shape), grade)
    return grade, np.where(blunder[1], rng.random(welds) < 0.5, signs)


def shuffled(past: PastWelds, rng: np.random.Generator) -> PastWelds:
    """The same days and welds in another order."""
    days, welds = rng.permutation(len(past.month)), rng.permutation(len(past.day))
    place = np.argsort(days).astype(np.int32)
    rows = {
        name: getattr(past, name)[welds]
        for name in ("air", "speed", "sheet", "cold", "partial", "full", "looked", "signs")
    }
    columns = {
        name: getattr(past, name)[days]
        for name in ("membrane", "pairing", "machine", "nozzle", "month")
    }
    return replace(past, day=place[past.day[welds]], **rows, **columns)
