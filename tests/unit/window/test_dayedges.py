"""The edges of many days at once: the likelihood of one morning's belief, day by day."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from tests.pastdays import REFERENCE_SHEET, REFERENCE_SPEED, company, shuffled

from lapwright.window.belief import Belief
from lapwright.window.dayedges import BOTTOMS, TOPS, DayEdges, day_edges
from lapwright.window.pastwelds import FAMILY_CODES, PastWelds
from lapwright.window.prior import BOTTOM, STEP, TOP, Prior, Values
from lapwright.window.strips import Overheat, Pull, Strip, TestWeld

PULLS: dict[str, Pull] = {"c": "cold", "p": "partial", "f": "full"}
MEDIAN = 2  # of the five nodes of kappa


def weld(
    steps: float,
    pulls: str,
    heat: Overheat | None = None,
    *,
    speed: float = REFERENCE_SPEED,
    sheet: float = REFERENCE_SHEET,
) -> TestWeld:
    """A weld so many steps of 10 F above the lowest bottom; one look tells its heat."""
    looks = [heat, *[None] * len(pulls)]
    strips = [
        Strip(str(place), PULLS[pull], seen)
        for place, (pull, seen) in enumerate(zip(pulls, looks, strict=False))
    ]
    if heat is not None and not pulls:
        strips = [Strip("1", "invalid", heat)]
    air = float(BOTTOM[0] + steps * STEP)
    return TestWeld("1", air, speed, sheet, sheet, tuple(strips))


def past(days: Sequence[Sequence[TestWeld]], membrane: str = "tpo") -> PastWelds:
    """The welds of some days as columns; nothing else is known of the days."""
    welds = [(day, each) for day, made in enumerate(days) for each in made]
    count = len(days)

    def column(values: Sequence[object], kind: str) -> np.ndarray:
        return np.array(values, dtype=kind)

    bonds = np.array([each.bond_counts for _, each in welds], dtype=np.int8).reshape(-1, 3)
    heats = np.array([each.heat_counts for _, each in welds]).reshape(-1, 2)
    return PastWelds(
        day=column([day for day, _ in welds], "i4"),
        air=column([each.true_air for _, each in welds], "f4"),
        speed=column([each.speed for _, each in welds], "f4"),
        sheet=column([each.sheet for _, each in welds], "f4"),
        cold=bonds[:, 0],
        partial=bonds[:, 1],
        full=bonds[:, 2],
        looked=heats.sum(axis=1) > 0,
        signs=heats[:, 1] > 0,
        membrane=column([FAMILY_CODES.index(membrane)] * count, "i1"),
        pairing=column([-1] * count, "i4"),
        machine=column([-1] * count, "i4"),
        nozzle=column([-1] * count, "i4"),
        month=column([0] * count, "i1"),
    )


def believed(welds: Sequence[TestWeld], membrane: str = "tpo") -> tuple[Values, Values]:
    """Profiles of bottom and top by the belief of a morning, at the median of kappa."""
    belief = Belief.before(Prior(membrane)).observe_all(welds)
    bond = belief.bond[MEDIAN].sum(axis=(0, 1, 2))[::2]
    heat = belief.heat[MEDIAN].sum(axis=(0, 1))[::2]
    return np.log(bond / bond.max()), np.log(heat / heat.max())


DAYS = {
    "a ladder": [
        weld(30, "ccc", "none"),
        weld(40, "pfp", "none"),
        weld(55, "fff", "none"),
        weld(84, "fff", "signs"),
    ],
    "between the points of the lattice": [weld(41.5, "cfp", "none"), weld(63, "ff", "signs")],
    "twice the same": [weld(48, "fpf", "none"), weld(48, "fpf", "none")],
    "one side only": [weld(60, "fff", "none")],
    "hot below the lowest top": [weld(3, "c", "signs")],
    "at the highest top": [weld(159, "f", "none")],
}


@pytest.mark.parametrize("name", DAYS)
def test_a_day_says_what_a_morning_believes(name: str) -> None:
    """Nuisances summed out over a whole day, the profiles are the belief's own likelihood."""
    edges = day_edges(past([DAYS[name]]))
    bottom, top = believed(DAYS[name])
    assert edges.bottom[0] == pytest.approx(bottom, abs=2e-4)
    assert edges.top[0] == pytest.approx(top, abs=2e-4)


@pytest.mark.parametrize("membrane", FAMILY_CODES)
def test_slow_and_cold_welds_are_brought_to_the_reference(membrane: str) -> None:
    """Speed and sheet count through the family's kappa; rounding to 5 F costs next to nothing."""
    welds = [
        weld(12, "ccp", "none", speed=0.012, sheet=275.0),
        weld(30, "fff", "none", speed=0.012, sheet=330.0),
        weld(50, "fff", "signs", speed=0.02, sheet=290.0),
    ]
    edges = day_edges(past([welds], membrane))
    for found, exact in zip((edges.bottom, edges.top), believed(welds, membrane), strict=True):
        mean, sd = moments(found[0])
        expected, wide = moments(exact)
        assert mean == pytest.approx(expected, abs=0.3)  # lattice points of 20 F
        assert sd == pytest.approx(wide, rel=0.03)


def moments(profile: Values) -> tuple[float, float]:
    """Mean and standard deviation of a place on the lattice, in points of it."""
    weight = np.exp(profile.astype(float))
    weight /= weight.sum()
    place = np.arange(len(profile))
    mean = float(weight @ place)
    return mean, float(np.sqrt(weight @ (place - mean) ** 2))


def same(one: DayEdges, other: DayEdges) -> None:
    """Two sets of days say the same."""
    for name in ("bottom", "top"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=5e-4)
    for name in ("has_bottom", "has_top"):
        assert (getattr(one, name) == getattr(other, name)).all()


def test_days_know_nothing_of_each_other() -> None:
    """In any company a day says what it says alone, also where days are taken in batches."""
    days = list(DAYS.values())
    many = day_edges(past(days * 120))
    assert len(days * 120) * 2 > 914  # more welds than one batch holds
    alone = [day_edges(past([day])) for day in days]
    for row in range(len(days) * 120):
        assert many.bottom[row] == pytest.approx(alone[row % len(days)].bottom[0], abs=5e-4)
        assert many.top[row] == pytest.approx(alone[row % len(days)].top[0], abs=5e-4)


def test_the_order_of_welds_changes_nothing() -> None:
    """Rows in any order give the same days; another numbering of days only renumbers them."""
    found = company(np.random.default_rng(3), days=40, looked=0.7).past
    edges, mixed = day_edges(found), day_edges(shuffled(found, np.random.default_rng(4)))
    days = np.random.default_rng(4).permutation(40)  # as they were mixed
    same(
        DayEdges(edges.bottom[days], edges.top[days], edges.has_bottom[days], edges.has_top[days]),
        mixed,
    )


def test_who_did_not_look_says_nothing_of_the_top() -> None:
    """Pulls alone leave the top as it was, and heat alone the bottom."""
    edges = day_edges(past([[weld(40, "cfp")], [weld(80, "", "signs")], []]))
    assert edges.has_bottom.tolist() == [True, False, False]
    assert edges.has_top.tolist() == [False, True, False]
    assert not edges.top[0].any()
    assert not edges.bottom[1].any()
    assert edges.bottom[0].any()
    assert edges.top[1].any()
    assert not edges.bottom[2].any()


def test_without_a_weld_there_is_nothing_to_say() -> None:
    """No day, or a day without a weld: empty or flat profiles, nothing seen."""
    assert day_edges(past([])).bottom.shape == (0, len(BOTTOMS))
    edges = day_edges(past([[]]))
    assert (edges.bottom.shape, edges.top.shape) == ((1, len(BOTTOMS)), (1, len(TOPS)))
    for nothing in (edges.bottom, edges.top, edges.has_bottom, edges.has_top):
        assert not nothing.any()


def test_beyond_the_lattice_more_heat_says_no_more() -> None:
    """Below the lowest bottom and above the highest top a weld counts as at that end."""
    last = float((TOP[-1] - BOTTOM[0]) / STEP)
    same(day_edges(past([[weld(-9, "c")]])), day_edges(past([[weld(0, "c")]])))
    hottest = past([[weld(last + 12, "f", "signs")]])
    same(day_edges(hottest), day_edges(past([[weld(last, "f", "signs")]])))


def test_the_strips_bend_the_edges_the_right_way() -> None:
    """Cold strips say that the bottom lies higher, a sign that the top lies lower."""
    edges = day_edges(past([[weld(40, "ccc", "signs")], [weld(40, "fff", "none")]]))
    cold, full = edges.bottom
    signs, none = edges.top
    assert (np.diff(cold) >= 0).all()
    assert (np.diff(full) <= 0).all()
    assert (np.diff(signs) <= 0).all()
    assert (np.diff(none) >= 0).all()
    at = int(np.argmin(abs(BOTTOMS - BOTTOM[0] - 40 * STEP)))
    assert cold[at + 8] - cold[at - 8] > 2
    assert full[at - 8] - full[at + 8] > 2
