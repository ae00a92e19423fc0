"""Makes likelihood.json: what strips say about particles, worked out slowly and by other means.

python tests/golden/make.py

Nothing of lapwright's model code is called: the normal integral is ``math.erfc``, the weld
effect comes from the closed form of Student's t with three degrees of freedom, strips are
multiplied one by one, particles summed one by one. Only the table's layout and constants
are taken from ``sample_table``. Beside the sum over the model's 21 weld effects stands the
adaptive integral over all of them (QUADPACK), which says how far 21 reach.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from math import atan, erfc, exp, fsum, hypot, log, pi, sqrt
from pathlib import Path
from typing import Any

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

from lapwright.job.phone import sample_table
from lapwright.window.answer import Question

HERE = Path(__file__).parent
SEED = 4
PARTICLES = 24
MAX_AIR = 893.15  # K
EFFECTS, EFFECT_SCALE = 21, 0.8
READS = {"cold": 0, "skin": 0, "partial": 1, "full": 2, "break": 2}

Json = dict[str, Any]


def normal(z: float) -> float:
    """The normal integral."""
    return 0.5 * erfc(-z / sqrt(2))


def student_below(t: float) -> float:
    """Student's t, three degrees of freedom: closed form (Abramowitz and Stegun 26.7.3)."""
    return 0.5 + (atan(t / sqrt(3)) + (t / sqrt(3)) / (1 + t * t / 3)) / pi


def student_density(t: float) -> float:
    """Its density."""
    return 2 / (pi * sqrt(3) * (1 + t * t / 3) ** 2)


NODES = [
    EFFECT_SCALE
    * brentq(lambda t, share=(n + 0.5) / EFFECTS: student_below(t) - share, -50, 50, xtol=1e-14)
    for n in range(EFFECTS)
]


def rise(speed: float, kappa: float) -> float:
    """Half-space heated by convection, at its face (Incropera and DeWitt)."""
    b = kappa / sqrt(speed)
    return 1 - exp(b * b) * erfc(b)


def heat(law: Json, air: float, sheet: float, speed: float, kappa: float) -> float:
    """Equivalent air: the same face temperature at the reference sheet and speed."""
    face = sheet + rise(speed, kappa) * (air - sheet)
    at = law["reference_sheet"]
    return at + (face - at) / rise(law["reference_speed"], kappa)


def particle(table: Json, i: int) -> Json:
    """One particle, its places turned into what they stand for."""
    law, at = table["law"], {name: column[i] for name, column in table["particles"].items()}
    return {
        "kappa": law["kappa"][at["kappa"]],
        "bottom": law["bottom"][0] + law["step"] * at["bottom"],
        "top": law["top"][0] + law["step"] * at["top"],
        "bond": (law["sigma"][at["bond_sigma"]], law["rho"][at["bond_rho"]]),
        "heat": (law["sigma"][at["heat_sigma"]], law["rho"][at["heat_rho"]]),
        "zone": law["zone"][at["zone"]],
        "weight": at["weight"],
    }


def pull_chance(each: Json, x: float, effect: float, grade: int, misread: float) -> float:
    """Chance that one strip is read so, given the weld's effect."""
    sigma, rho = each["bond"]
    z = x + sigma * sqrt(rho) * effect
    own = sigma * sqrt(1 - rho)
    true = (
        normal((each["bottom"] - each["zone"] - z) / own),
        normal((z - each["bottom"] + each["zone"]) / own) - normal((z - each["bottom"]) / own),
        normal((z - each["bottom"]) / own),
    )
    read = {  # what it is -> what it is read as
        0: (1 - misread, misread, 0.0),
        1: (misread / 2, 1 - misread, misread / 2),
        2: (0.0, misread, 1 - misread),
    }
    return fsum(true[what] * read[what][grade] for what in range(3))


def sign_chance(each: Json, x: float, effect: float, signs: bool, misread: float) -> float:
    """Chance that one look says so, given the weld's effect."""
    sigma, rho = each["heat"]
    z = x + sigma * sqrt(rho) * effect
    burnt = normal((z - each["top"]) / (sigma * sqrt(1 - rho)))
    seen = burnt * (1 - misread) + (1 - burnt) * misread
    return seen if signs else 1 - seen


def product(chances: Sequence[float]) -> float:
    """All of them together."""
    total = 1.0
    for chance in chances:
        total *= chance
    return total


def over_nodes(strips: Callable[[float], float]) -> float:
    """Mean over the model's weld effects."""
    return fsum(strips(effect) for effect in NODES) / EFFECTS


def over_law(strips: Callable[[float], float]) -> float:
    """Integral over the law of the weld effect, by the angle that makes its range finite."""

    def bent(angle: float) -> float:
        t = sqrt(3) * np.tan(angle)
        return strips(EFFECT_SCALE * t) * student_density(t) * sqrt(3) / np.cos(angle) ** 2

    return float(quad(bent, -pi / 2, pi / 2, epsabs=1e-13, epsrel=1e-10, limit=400)[0])


def log_likelihood(
    table: Json, weld: Json, i: int, mean: Callable[[Callable[[float], float]], float]
) -> float:
    """Of one weld under one particle."""
    law, each = table["law"], particle(table, i)
    reached = weld["measured_air"] or min(weld["air"], table["asked"]["max_air"])
    x = heat(law, reached, weld["sheet"], weld["speed"], each["kappa"])
    grades = [READS[strip["pull"]] for strip in weld["strips"] if strip["pull"] in READS]
    signs = [strip["overheat"] == "signs" for strip in weld["strips"] if strip["overheat"]]
    misread, blunder = law["misread"], law["blunder"]
    bond = mean(lambda u: product([pull_chance(each, x, u, grade, misread) for grade in grades]))
    burn = mean(lambda u: product([sign_chance(each, x, u, sign, misread) for sign in signs]))
    return (log((1 - blunder) * bond + blunder * 3.0 ** -len(grades)) if grades else 0.0) + (
        log((1 - blunder) * burn + blunder * 2.0 ** -len(signs)) if signs else 0.0
    )


def weights(table: Json, welds: Sequence[Json]) -> list[float]:
    """Share of each particle after the welds."""
    raw = [
        particle(table, i)["weight"]
        * exp(fsum(log_likelihood(table, weld, i, over_nodes) for weld in welds))
        for i in range(PARTICLES)
    ]
    return [each / fsum(raw) for each in raw]


def quantiles(table: Json, share: Sequence[float], edge: str, here: Json) -> list[float]:
    """Of an edge as air here; each particle is spread evenly over one step of the lattice."""
    law = table["law"]
    every = [particle(table, i) for i in range(PARTICLES)]

    def below(air: float) -> float:
        parts = []
        for weight, each in zip(share, every, strict=True):
            x = heat(law, air, here["sheet"], here["speed"], each["kappa"])
            parts.append(weight * min(1.0, max(0.0, (x - each[edge]) / law["step"] + 0.5)))
        return fsum(parts)

    return [brentq(lambda air, p=p: below(air) - p, 200, 3000, xtol=1e-11) for p in law["interval"]]


def p_sound(table: Json, share: Sequence[float], welds: Sequence[Json], at: Json) -> float:
    """Of a setting: bond limit below and overheat limit above, particle by particle."""
    law = table["law"]
    start, count = law["axis"]
    axis = [start + law["step"] * n for n in range(count)]
    speeds, sheets = [w["speed"] for w in welds], [w["sheet"] for w in welds]
    faster = log(at["speed"] / min(max(at["speed"], min(speeds)), max(speeds)))
    colder = min(max(at["sheet"], min(sheets)), max(sheets)) - at["sheet"]
    moved = min(1.0, hypot(faster / law["full_move_log_speed"], colder / law["full_move_sheet"]))
    give = [
        max(0.0, law["per_log_speed"][edge] * faster + law["per_cold"][edge] * colder)
        for edge in range(2)
    ]

    def read(curve: Callable[[float], float], x: float) -> float:
        """A curve known at the points of the axis, straight between them."""
        place = min(max((x - start) / law["step"], 0.0), count - 1 - 1e-9)
        n, part = int(place), place - int(place)
        return (1 - part) * curve(axis[n]) + part * curve(axis[n + 1])

    def doubted(curve: Callable[[float], float]) -> Callable[[float], float]:
        """A curve as the normal law of the structural doubt leaves it."""

        def mean(y: float) -> float:
            bell = [exp(-0.5 * ((y - z) / law["structural_sd"]) ** 2) for z in axis]
            return fsum(b * curve(z) for b, z in zip(bell, axis, strict=True)) / fsum(bell)

        return mean

    near, far = [], []
    for weight, each in zip(share, (particle(table, i) for i in range(PARTICLES)), strict=True):
        x = heat(law, at["air"], at["sheet"], at["speed"], each["kappa"])
        scale = rise(at["speed"], each["kappa"]) / rise(law["reference_speed"], each["kappa"])
        bond_limit = each["bottom"] + law["limit"] * each["bond"][0]
        heat_limit = each["top"] - law["limit"] * each["heat"][0]

        def bonds(y: float, limit: float = bond_limit) -> float:
            return min(1.0, max(0.0, (y - limit) / law["step"] + 0.5))

        def holds(y: float, limit: float = heat_limit) -> float:
            return min(1.0, max(0.0, (limit - y) / law["step"] + 0.5))

        low, high = x - give[0] * scale, x + give[1] * scale
        near.append(weight * read(bonds, low) * read(holds, high))
        if moved:
            far.append(weight * read(doubted(bonds), low) * read(doubted(holds), high))
    return (1 - moved) * fsum(near) + moved * fsum(far)


def weld(
    number: str, air: float, pulls: str, looks: str, *, speed: float = 0.0508,
    sheet: float = 302.6, measured_air: float | None = None,
) -> Json:  # fmt: skip
    """One letter per strip: (c)old, (p)artial, (f)ull, s(k)in, (b)reak, (s)plit, (x) invalid."""
    names = {"c": "cold", "p": "partial", "f": "full", "k": "skin", "b": "break", "s": "split"}
    seen = {"n": "none", "s": "signs", "-": None}
    strips = [
        {"number": str(n), "pull": names.get(pull, "invalid"), "overheat": seen[look]}
        for n, (pull, look) in enumerate(zip(pulls, looks, strict=True), 1)
    ]
    return {
        "number": number, "air": air, "speed": speed, "sheet": sheet, "ambient": 300.0,
        "measured_air": measured_air, "strips": strips,
    }  # fmt: skip


WELDS = {
    "one strip": weld("1", 650.0, "f", "n"),
    "three strips": weld("1", 640.0, "cpf", "nns"),
    "one answer per weld": weld("1", 820.0, "fff", "s--"),
    "not looked": weld("1", 700.0, "fpf", "---"),
    "all full": weld("1", 760.0, "fff", "nnn"),
    "all cold": weld("1", 590.0, "ccc", "nnn"),
    "ten strips": weld("1", 660.0, "ccppppffff", "nnnnnnnnss"),
    "skin, break, split, invalid": weld("1", 690.0, "kbsx", "nn-s"),
    "hotter than the machine": weld("1", 950.0, "fff", "sss"),
    "measured cooler": weld("1", 800.0, "ffp", "nnn", measured_air=738.5),
    "fast and cold": weld("1", 830.0, "pff", "nnn", speed=0.0711, sheet=281.0),
    "slow and warm": weld("1", 640.0, "fff", "nns", speed=0.0254, sheet=318.0),
    "far too cold": weld("1", 310.0, "fff", "sss"),
    "far too hot": weld("1", 2500.0, "ccc", "nnn", measured_air=2500.0),
    "nothing said": weld("1", 700.0, "sx", "--"),
}
MORNINGS = {
    "at one speed": [
        weld("1", 660.0, "ppf", "nnn"), weld("2", 800.0, "fff", "nns"),
        weld("3", 730.0, "fff", "nnn"),
    ],
    "over the day": [
        weld("1", 700.0, "fff", "n--"), weld("2", 600.0, "ccp", "---", sheet=296.0),
        weld("3", 840.0, "fff", "s--", speed=0.0600), weld("4", 742.0, "fff", "n--"),
    ],
}  # fmt: skip
PLACES = (  # conditions, settings at them: as tested, carried a little, carried far
    {"speed": 0.0508, "sheet": 302.6, "airs": [640.0, 700.0, 741.3, 790.0, 870.0]},
    {"speed": 0.0640, "sheet": 300.0, "airs": [720.0, 790.0]},
    {"speed": 0.0508, "sheet": 291.0, "airs": [700.0, 770.0]},
    {"speed": 0.0430, "sheet": 310.0, "airs": [660.0, 740.0]},
)


def drawn(rng: np.random.Generator) -> dict[str, list[float]]:
    """Particles anywhere a window may be, the extremes of rho and kappa among them."""

    def among(low: int, high: int) -> list[float]:
        return [int(n) for n in rng.integers(low, high, PARTICLES)]

    bottom = among(45, 75)
    columns = {
        "kappa": among(0, 5),
        "bottom": bottom,
        "top": [n + int(rng.integers(0, 60)) for n in bottom],
        "bond_sigma": among(0, 5),
        "bond_rho": [n % 3 for n in range(PARTICLES)],
        "zone": among(0, 3),
        "heat_sigma": among(0, 5),
        "heat_rho": [n // 3 % 3 for n in range(PARTICLES)],
        "weight": [round(float(w), 4) for w in rng.uniform(0.1, 4.0, PARTICLES)],
    }
    columns["bottom"][0], columns["top"][0] = 0, 150  # the ends of the lattice
    columns["bottom"][1], columns["top"][1] = 100, 94
    return columns


def made() -> Json:
    """The whole file."""
    rng = np.random.default_rng(SEED)
    question = Question(max_air=MAX_AIR, ambient=300.0)
    table = sample_table(question, rng=rng, particles=PARTICLES).as_json()
    table = json.loads(json.dumps(table))  # as the phone gets it: tuples are lists
    table["particles"] = drawn(rng)
    mornings = {}
    for name, welds in MORNINGS.items():
        share = weights(table, welds)
        mornings[name] = {
            "welds": welds,
            "weights": share,
            "effective": 1 / fsum(each * each for each in share),
            "places": [
                {
                    "speed": place["speed"],
                    "sheet": place["sheet"],
                    "bottom": quantiles(table, share, "bottom", place),
                    "top": quantiles(table, share, "top", place),
                    "airs": place["airs"],
                    "p_sound": [
                        p_sound(table, share, welds, {**place, "air": air}) for air in place["airs"]
                    ],
                }
                for place in PLACES
            ],
        }
    return {
        "made_by": "tests/golden/make.py",
        "version": table["version"],
        "model": table["model"],
        "seed": SEED,
        "table": table,
        "welds": {
            name: {
                "weld": each,
                "log_likelihood": [
                    log_likelihood(table, each, i, over_nodes) for i in range(PARTICLES)
                ],
                "integrated": [log_likelihood(table, each, i, over_law) for i in range(PARTICLES)],
            }
            for name, each in WELDS.items()
        },
        "mornings": mornings,
    }


if __name__ == "__main__":
    text = json.dumps(made(), separators=(",", ":"), allow_nan=False)
    (HERE / "likelihood.json").write_text(text + "\n", encoding="utf-8")
