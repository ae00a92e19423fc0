"""What past days teach: an invented company's truth comes back, within the stated doubts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests import pastdays
from tests.pastdays import MEAN, Truth, company, shuffled

from lapwright.window.dayedges import BOTTOMS, day_edges
from lapwright.window.history import GROUPINGS, LEAST_DAYS, Learnt, learn
from lapwright.window.matching import Matched
from lapwright.window.pastwelds import UNKNOWN, PastWelds
from lapwright.window.prior import FAMILIES, TAIL, Earlier, Values

PLACES = ((0, 0, 0, 5), (3, 2, 1, 0), (5, 4, 0, 8))  # pairing, machine, nozzle, month from 0


@pytest.fixture(scope="module")
def companies() -> list[tuple[Truth, Learnt]]:
    """Sixteen companies of 120 days, and what was learnt from each."""
    found = (company(np.random.default_rng(seed), days=120) for seed in range(16))
    return [(truth, learn(truth.past)) for truth in found]


def asked(learnt: Learnt, place: tuple[int, int, int, int]) -> Earlier:
    """What a new day of these levels may expect."""
    pairing, machine, nozzle, month = place
    earlier = learnt.earlier_for(
        "tpo", pairing=pairing, machine=machine, nozzle=nozzle, month=month + 1
    )
    assert earlier is not None
    return earlier


def truly(truth: Truth, place: tuple[int, int, int, int]) -> Values:
    """Bottom and width that a new day of these levels has in the middle. [K]"""
    effects = [truth.effect[name][at] for name, at in zip(GROUPINGS, place, strict=True)]
    return np.asarray(np.array(MEAN) + sum(effects))


def first_days(past: PastWelds, days: int) -> PastWelds:
    """Only the first days."""
    rows = past.day < days
    kept = {name: getattr(past, name)[rows] for name in ("day", "air", "speed", "sheet", "cold",
            "partial", "full", "looked", "signs")}  # fmt: skip
    columns = ("membrane", "pairing", "machine", "nozzle", "month")
    return replace(past, **kept, **{name: getattr(past, name)[:days] for name in columns})


# --- an invented company's truth ------------------------------------------------------------------


def test_the_truth_lies_within_the_stated_doubt(companies: list[tuple[Truth, Learnt]]) -> None:
    """Of 48 expectations the truth is within 1.645 sd nine times in ten, never four sd away."""
    off = []
    for truth, learnt in companies:
        for place in PLACES:
            earlier, true = asked(learnt, place), truly(truth, place)
            off.append([(earlier.bottom - true[0]) / earlier.bottom_sd,
                        (earlier.width - true[1]) / earlier.width_sd])  # fmt: skip
    away = np.abs(off)
    assert (away < 1.645).mean(axis=0).min() >= 0.8  # three sigma of 48 draws below 0.9
    assert away.max() < 4
    assert 0.3 < np.square(off).mean() < 1.5  # and the doubts are not idly wide
    assert np.abs(np.mean(off, axis=0)).max() < 0.5


def test_what_is_learnt_beats_the_middle_of_the_company(
    companies: list[tuple[Truth, Learnt]],
) -> None:
    """Knowing pairing, machine, nozzle and month halves the error of knowing none of them."""
    known, unknown = [], []
    for truth, learnt in companies:
        for place in PLACES:
            true = truly(truth, place)
            none = learnt.earlier_for("tpo")
            assert none is not None
            earlier = asked(learnt, place)
            known.append([earlier.bottom - true[0], earlier.width - true[1]])
            unknown.append([none.bottom - true[0], none.width - true[1]])
    one, other = (np.sqrt(np.mean(np.square(each), axis=0)) for each in (known, unknown))
    assert (one < 0.6 * other).all()


def test_how_much_two_days_differ_is_learnt(companies: list[tuple[Truth, Learnt]]) -> None:
    """The spread from day to day comes out, on average over companies, to within a tenth."""
    day = np.mean([np.sqrt(learnt.variance[-1]) for _, learnt in companies], axis=0)
    assert day == pytest.approx(pastdays.SPREADS["day"], rel=0.1)
    learnt = companies[0][1]
    earlier = asked(learnt, PLACES[0])
    assert (earlier.bottom_day_sd, earlier.width_day_sd) == pytest.approx(
        np.sqrt(learnt.variance[-1])
    )
    assert earlier.freedom == TAIL


@pytest.mark.parametrize("name", ["pairing", "machine"])
def test_spreads_follow_the_days_and_not_the_guess(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where machines differ by 60 K that is found, and where they are all alike that too."""
    found = []
    for spread in (60.0, 0.0):
        monkeypatch.setitem(pastdays.SPREADS, name, (spread, spread))
        truth = company(np.random.default_rng(1), days=200, counts=(9, 9, 2))
        learnt = learn(truth.past)
        found.append(np.sqrt(learnt.variance[GROUPINGS.index(name)]))
    assumed = {"pairing": (20.0, 20.0), "machine": (15.0, 10.0)}[name]
    assert found[0].min() > 30  # nine levels weigh more than the guess, which counts for four
    assert (found[1] < assumed).all()


def test_the_order_of_days_and_welds_changes_nothing(
    companies: list[tuple[Truth, Learnt]],
) -> None:
    """Rows in any order teach the same."""
    truth, learnt = companies[3]
    again = learn(shuffled(truth.past, np.random.default_rng(0)))
    assert again.variance == pytest.approx(learnt.variance, rel=1e-4)
    for place in PLACES:
        one, other = asked(learnt, place), asked(again, place)
        assert (one.bottom, one.width) == pytest.approx((other.bottom, other.width), abs=0.01)
        assert (one.bottom_sd, one.width_sd) == pytest.approx(
            (other.bottom_sd, other.width_sd), rel=1e-3
        )


# --- against a plain calculation ------------------------------------------------------------------


def dense(past: PastWelds, variance: Values, new: tuple[int, ...]) -> tuple[Values, Values]:
    """Mean and covariance of (bottom, width) on a new day, by one table over all days.

    Days are jointly normal: two share the family's mean, each level they have in common and, by
    exp(-2 sin2(pi apart / 12)), what two months resemble each other. The day's evidence is
    renewed from what all others say until nothing moves, with the spreads held.
    """
    days = len(past.month)
    family = FAMILIES["tpo"]
    scale = np.array([family.bottom_scale, family.width_scale])
    assumed = np.array([(20.0, 20.0), (15.0, 10.0), (10.0, 10.0), (8.0, 5.0), (15.7, 19.6)])
    mean_variance = 2 * scale**2 - (assumed**2).sum(axis=0)
    levels = [np.append(getattr(past, name), key) for name, key in
              zip(GROUPINGS, (*new[:3], new[3] + 1), strict=True)]  # fmt: skip
    apart = np.pi * (levels[3][:, None] - levels[3]) / 12
    alike = [*(level[:, None] == level for level in levels[:3]), np.exp(-2 * np.sin(apart) ** 2)]
    prior = np.zeros((days + 1, 2, days + 1, 2))
    for edge in range(2):
        prior[:, edge, :, edge] = mean_variance[edge] + sum(
            spread[edge] * np.asarray(one) for spread, one in zip(variance, alike, strict=False)
        )
        own = np.arange(days)
        prior[own, edge, own, edge] += variance[-1, edge]
    prior = prior.reshape(2 * days + 2, 2 * days + 2)
    at = np.tile([family.bottom, family.width], days + 1)
    edges, evidence = day_edges(past), Matched.nothing(days)

    def posterior(left: int | None) -> tuple[Values, Values]:
        precision = np.zeros_like(prior)
        pull = np.zeros_like(at)
        natural = evidence.natural
        for day in range(days):
            if day != left:
                own = slice(2 * day, 2 * day + 2)
                precision[own, own], pull[own] = natural.precision[day], natural.pull[day]
        known = np.linalg.inv(np.eye(len(at)) + prior @ precision) @ prior
        return at + known @ (pull - precision @ at), known

    for _ in range(40):
        others = [posterior(day) for day in range(days)]
        mean = np.array([one[0][2 * day : 2 * day + 2] for day, one in enumerate(others)])
        doubt = np.array([one[1][2 * day : 2 * day + 2, 2 * day : 2 * day + 2]
                          for day, one in enumerate(others)])  # fmt: skip
        evidence = evidence.renewed(edges, (mean, doubt), share=0.8)
    mean, known = posterior(None)
    return mean[-2:], known[-2:, -2:]


def test_a_new_day_is_what_one_table_over_all_days_says() -> None:
    """Effects, months and evidence: the same mean and doubt as one dense normal law has them."""
    past = company(np.random.default_rng(7), days=14, counts=(3, 2, 2), looked=0.6).past
    learnt = learn(past)
    for place in ((0, 1, 0, 3), (2, 0, 1, 11)):
        mean, doubt = dense(past, learnt.variance, place)
        earlier = asked(learnt, place)
        assert (earlier.bottom, earlier.width) == pytest.approx(mean, abs=0.4)
        sd = np.sqrt(np.diag(doubt))
        assert (earlier.bottom_sd, earlier.width_sd) == pytest.approx(sd, rel=0.02)


# --- levels known and unknown ---------------------------------------------------------------------


def test_a_level_nobody_noted_widens_by_what_levels_differ(
    companies: list[tuple[Truth, Learnt]],
) -> None:
    """A new machine is any machine: the spread between machines comes on top, once for each."""
    _, learnt = companies[2]
    level = {"pairing": 1, "machine": 2, "nozzle": 0, "month": 4}
    for place, name in enumerate(GROUPINGS):
        left = {other: key for other, key in level.items() if other != name}
        any_one, middle = (
            learnt.expected(0, left, average=average)  # type: ignore[arg-type]
            for average in (False, True)
        )
        assert any_one[0] == pytest.approx(middle[0])
        assert any_one[1] - middle[1] == pytest.approx(np.diag(learnt.variance[place]))
        noted: dict[str, int] = {**left, name: UNKNOWN}  # asked for by name: any one is meant
        assert learnt.expected(0, noted, average=True)[1] == pytest.approx(  # type: ignore[arg-type]
            any_one[1]
        )
    never_seen = learnt.earlier_for("tpo", pairing=1, machine=77, nozzle=0, month=5)
    unknown = learnt.earlier_for("tpo", pairing=1, machine=UNKNOWN, nozzle=0, month=5)
    known = learnt.earlier_for("tpo", pairing=1, machine=2, nozzle=0, month=5)
    assert never_seen == unknown
    assert unknown is not None
    assert known is not None
    assert unknown.bottom_sd > known.bottom_sd


def test_what_a_level_adds_is_the_difference_it_makes(
    companies: list[tuple[Truth, Learnt]],
) -> None:
    """A machine moves the middle day by its effect, and the truth lies within its doubt."""
    truth, learnt = companies[5]
    middle = learnt.expected(0, {}, average=True)[0]
    for name in GROUPINGS:
        for key in range(len(truth.effect[name])):
            effect, sd = learnt.moved_by(name, key)
            with_it = learnt.expected(0, {name: key}, average=True)[0]
            assert with_it - middle == pytest.approx(effect)
            assert (abs(effect - truth.effect[name][key]) < 4 * sd).all()
            assert (sd > 0).all()


def test_a_month_without_days_takes_after_its_neighbours(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Warm Junes and cold Decembers: July is like June, May too, and November like December."""
    monkeypatch.setitem(pastdays.SPREADS, "month", (0.0, 0.0))
    truth = company(np.random.default_rng(4), days=160, counts=(2, 2, 1))
    june = np.arange(160) % 2 == 0
    moved = np.where(june, 40.0, 0.0).astype(np.float32)
    past = replace(
        truth.past,
        month=np.where(june, 6, 12).astype(np.int8),
        air=truth.past.air + moved[truth.past.day],
    )
    learnt = learn(past)

    def bottom(month: int) -> float:
        return float(learnt.expected(0, {"month": month - 1}, average=True)[0][0])

    assert bottom(6) - bottom(12) > 15
    assert abs(bottom(7) - bottom(6)) < 0.5 * abs(bottom(7) - bottom(12))
    assert bottom(5) == pytest.approx(bottom(7), abs=0.01)
    assert bottom(11) == pytest.approx(bottom(1), abs=0.01)
    assert bottom(12) < bottom(1) < bottom(3) < bottom(5) < bottom(6)


# --- too little to learn from ---------------------------------------------------------------------


def test_fewer_than_three_days_teach_nothing() -> None:
    """Two days cannot be checked against each other; three can, also if nobody looked."""
    past = company(np.random.default_rng(6), days=3, looked=0.0).past
    assert learn(first_days(past, LEAST_DAYS - 1)).earlier_for("tpo") is None
    assert learn(past).earlier_for("tpo") is not None
    assert learn(past).days.tolist() == [[3, 0, 0], [0, 0, 0]]


def test_days_count_for_their_own_family() -> None:
    """Days of one family are no days of another, and days without a pulled strip are none."""
    past = company(np.random.default_rng(6), days=6).past
    mixed = replace(past, membrane=np.array([0, 1, 1, 1, 2, 2], dtype=np.int8))
    learnt = learn(mixed)
    assert learnt.days[0].tolist() == [1, 3, 2]
    found = [learnt.earlier_for(code) is not None for code in ("tpo", "pvc", "kee")]
    assert found == [False, True, False]
    unpulled = replace(mixed, **{name: np.zeros_like(getattr(past, name)) for name in
                                 ("cold", "partial", "full")})  # fmt: skip
    only_looked = learn(unpulled)
    assert only_looked.earlier_for("pvc") is None
    assert only_looked.days.tolist() == [[0, 0, 0], [0, 0, 0]]


def test_without_a_day_nothing_is_learnt() -> None:
    """No day: nothing to expect, means and spreads stay as assumed for each family."""
    learnt = learn(first_days(company(np.random.default_rng(6), days=3).past, 0))
    assert learnt.earlier_for("tpo") is None
    assert np.sqrt(learnt.variance[-1]) == pytest.approx([15.7, 19.6], rel=1e-3)
    for place, family in enumerate(FAMILIES.values()):
        mean, _, _ = learnt.expected(place, {})
        assert mean == pytest.approx([family.bottom, family.width])


def test_a_day_nobody_looked_on_says_nothing_of_the_width() -> None:
    """From pulls alone the width stays as little known as a family's first day."""
    past = company(np.random.default_rng(6), days=40, looked=0.0).past
    earlier = learn(past).earlier_for("tpo")
    assert earlier is not None
    assert earlier.width == pytest.approx(FAMILIES["tpo"].width, abs=0.1)
    assert earlier.spread[1] == pytest.approx(np.sqrt(2) * FAMILIES["tpo"].width_scale, rel=1e-2)


def test_what_is_expected_is_a_window_that_can_be() -> None:
    """A bottom beyond the lattice is brought to its end, a width below nothing to nothing."""
    learnt = learn(company(np.random.default_rng(6), days=10).past)
    for bottom, end in ((5000.0, BOTTOMS[-1]), (-5000.0, BOTTOMS[0])):
        effect = learnt.solved.effect.copy()
        effect[:, learnt.pooling.part(-1)] = np.array([[bottom], [-5000.0]])
        far = replace(learnt, solved=replace(learnt.solved, effect=effect))
        earlier = far.earlier_for("tpo")
        assert earlier is not None
        assert (earlier.bottom, earlier.width) == (end, 0.0)


def test_levels_count_their_own_days_however_many_there_are() -> None:
    """Each level on which strips were pulled, once, with its days; a silent one is not told."""
    truth = company(np.random.default_rng(31), days=90, counts=(20, 17, 2))
    past = truth.past
    silent = past.pairing[past.day] == 19  # cut, and not one strip was valid
    none = np.where(silent, 0, past.cold), np.where(silent, 0, past.partial)
    past = replace(
        past,
        cold=none[0].astype(np.int8),
        partial=none[1].astype(np.int8),
        full=np.where(silent, 0, past.full).astype(np.int8),
    )
    levels = list(learn(past).levels())
    by = {name: {one.key: one.days for one in levels if one.by == name}
          for name in ("pairing", "machine", "nozzle", "month")}  # fmt: skip
    pulled = past.pairing != 19
    for name, found in by.items():
        keys, days = np.unique(getattr(past, name)[pulled], return_counts=True)
        assert found == dict(zip(keys.tolist(), days.tolist(), strict=True))
    assert 19 not in by["pairing"]
    assert len(levels) == sum(map(len, by.values()))
