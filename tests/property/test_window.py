"""Rules of the window that hold for any welds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from pydantic import TypeAdapter

from lapwright.job.morning import Morning, find_window
from lapwright.readings.start import question_from
from lapwright.readings.strips import read_welds
from lapwright.units import from_si, to_si
from lapwright.window.answer import Answer, Question
from lapwright.window.belief import Belief
from lapwright.window.drift import Drift
from lapwright.window.edges import Edge
from lapwright.window.prior import BOTTOM, FAMILIES, TOP, Prior
from lapwright.window.setpoint import POLICIES
from lapwright.window.soundness import Soundness, Tested
from lapwright.window.strips import PULLS, Overheat, Strip, TestWeld

ANSWERS = TypeAdapter(Answer)
WEAK = Belief.before(Prior())
TEN = to_si(10, "ft_min")


@st.composite
def welds(
    draw: st.DrawFn,
    *,
    least: int = 0,
    most: int = 5,
    looks: tuple[Overheat | None, ...] = ("none", "signs", None),
) -> tuple[TestWeld, ...]:
    """A morning of a few welds, strips as they come, near each other in conditions."""
    made = []
    for number in range(1, draw(st.integers(least, most)) + 1):
        strips = tuple(
            Strip(str(place), draw(st.sampled_from(PULLS)), draw(st.sampled_from(looks)))
            for place in range(1, draw(st.integers(1, 3)) + 1)
        )
        made.append(
            TestWeld(
                str(number),
                air=to_si(draw(st.integers(11, 22)) * 50, "f"),
                speed=to_si(draw(st.sampled_from([8.0, 10.0, 12.5])), "ft_min"),
                ambient=to_si(80, "f"),
                sheet=to_si(draw(st.sampled_from([60, 80, 120])), "f"),
                strips=strips,
            )
        )
    return tuple(made)


@st.composite
def questions(draw: st.DrawFn) -> Question:
    """A question as a morning might ask it."""
    return Question(
        draw(welds()),
        membrane=draw(st.sampled_from(sorted(FAMILIES))),
        ambient=draw(st.sampled_from([285.0, 305.0])),
        sheet=draw(st.sampled_from([None, 295.0, 330.0])),
        max_air=draw(st.sampled_from([700.0, 893.15])),
        policy=draw(st.sampled_from(POLICIES)),
        level=draw(st.sampled_from([0.6, 0.9])),
        vary=draw(st.sampled_from(["air", "speed"])),
        plan=draw(st.sampled_from(["learn", "ladder"])),
        drift=draw(st.sampled_from([Drift(), Drift(-8.0, 4.0, 1, 0.95)])),
    )


@given(asked=questions(), turn=st.randoms(use_true_random=False))
@settings(max_examples=10)
def test_order_of_welds_does_not_matter(asked: Question, turn: object) -> None:
    """Rows and files in any order give the same answer, but for the question kept."""
    shuffled = list(asked.welds)
    turn.shuffle(shuffled)  # type: ignore[attr-defined]
    again = find_window(replace(asked, welds=tuple(shuffled)))
    assert replace(again, question=asked) == find_window(asked)


@given(asked=questions())
@settings(max_examples=10)
def test_an_answer_survives_json_and_replays(asked: Question) -> None:
    """Written and read back it is equal, and its question gives the same answer again."""
    answer = find_window(asked)
    kept = ANSWERS.validate_json(ANSWERS.dump_json(answer))
    assert kept == answer
    assert find_window(kept.question) == answer


@given(asked=questions())
@settings(max_examples=10)
def test_answers_keep_their_promises(asked: Question) -> None:
    """Chances are chances, intervals in order, settings within the machine, no easy certificate."""
    answer = find_window(asked)
    for edge in (answer.bottom, answer.top):
        told = [end for end in (edge.low, edge.mid, edge.high) if end is not None]
        assert told == sorted(told)
    points = [answer.set_point, answer.fastest, *answer.policies.values()]
    for point in points:
        if point is not None:
            assert 0 <= point.p_sound <= 1
            assert 0 <= point.p_sound_drift <= 1
            if asked.vary == "air":
                assert asked.min_air <= point.air <= asked.max_air
    assert 0 <= answer.p_window <= 1
    assert answer.certified == (answer.verdict == "certified")
    if answer.certified:
        assert answer.set_point is not None
        assert answer.set_point.p_sound >= asked.level
        assert answer.confirmed_by in {weld.number for weld in asked.welds if weld.is_clean}
        assert len(asked.welds) >= 2
    if answer.next.done:
        assert answer.verdict not in ("no_test_weld", "test_again", "confirm", "top_unknown") or (
            answer.next.reason == "ladder_done"
        )


@given(made=welds())
@settings(max_examples=20)
def test_belief_and_soundness_are_probabilities(made: tuple[TestWeld, ...]) -> None:
    """The joint sums to 1; P(sound) lies in 0 to 1 wherever it is asked."""
    belief = WEAK.observe_all(made)
    assert belief.joint.sum() == pytest.approx(1)
    sound = Soundness(belief, Tested.of(made)).at(
        np.linspace(300.0, 1000.0, 15)[:, None, None],
        speed=np.array([0.001, 0.04, 0.0508, 0.3])[:, None],
        sheet=np.array([230.0, 300.0, 380.0]),
    )
    assert sound.min() >= 0
    assert sound.max() <= 1


@given(made=welds(), air=st.floats(500, 1000), more=st.floats(0, 200), ratio=st.floats(1.0, 2.5))
@settings(max_examples=20)
def test_hotter_or_slower_never_bonds_less(
    made: tuple[TestWeld, ...], air: float, more: float, ratio: float
) -> None:
    """P(19 of 20 strips are full) never falls with hotter air or a slower or warmer lap."""
    map_ = Soundness(WEAK.observe_all(made), Tested.of(made))

    def bonded(air: float, speed: float = TEN, sheet: float = 300.0) -> float:
        return 1 - map_.p_bottom_beyond(air, speed=speed, sheet=sheet)

    assert bonded(air + more) >= bonded(air) - 1e-12
    assert bonded(air, speed=TEN / ratio) >= bonded(air) - 1e-12
    assert bonded(air, sheet=300.0 + more / 10) >= bonded(air) - 1e-12


@given(made=welds(), air=st.floats(450, 1000), more=st.floats(0, 300))
@settings(max_examples=20)
def test_a_hotter_machine_never_has_less_window(
    made: tuple[TestWeld, ...], air: float, more: float
) -> None:
    """P(a window within reach) grows with reach and never passes P(the bottom is within reach)."""
    map_ = Soundness(WEAK.observe_all(made), Tested.of(made))
    near, far = (map_.p_window(each, speed=TEN, sheet=300.0) for each in (air, air + more))
    assert near <= far + 1e-12
    assert near <= 1 - map_.p_bottom_beyond(air, speed=TEN, sheet=300.0) + 1e-9


def median(belief: Belief, *, of_top: bool) -> float:
    """Median of an edge over the lattice, linear within a cell."""
    mass = belief.joint.sum(axis=(0, 1) if of_top else (0, 2))
    lattice = TOP if of_top else BOTTOM
    return float(np.interp(0.5, np.cumsum(mass), lattice))


AIRS: SearchStrategy[float] = st.integers(55, 114).map(lambda ten: to_si(10 * ten, "f"))


# Strips at odds with each other may widen the spread, or be taken for a blunder, rather than move
# the edge: that is what heavy tails are for. For a lone weld whose strips agree the rule is strict.


def regraded(made: tuple[TestWeld, ...], *, of_top: bool, **reading: str) -> float:
    """Median of an edge when every strip of a lone weld reads like this."""
    (only,) = made
    strips = tuple(replace(strip, **reading) for strip in only.strips)  # type: ignore[arg-type]
    return median(WEAK.observe(replace(only, strips=strips)), of_top=of_top)


@given(made=welds(least=1, most=1))
@settings(max_examples=30)
def test_a_better_grade_never_raises_the_bottom(made: tuple[TestWeld, ...]) -> None:
    """Strips read full instead of partial or cold: the bottom's median does not rise."""
    cold, partial, full = (
        regraded(made, of_top=False, pull=pull) for pull in ("cold", "partial", "full")
    )
    assert full <= partial + 1e-6
    assert full <= cold + 1e-6


@given(made=welds(least=1, most=1))
@settings(max_examples=30)
def test_a_sign_never_raises_the_top(made: tuple[TestWeld, ...]) -> None:
    """Strips seen with signs instead of none: the top's median does not rise."""
    signs, none = (regraded(made, of_top=True, overheat=look) for look in ("signs", "none"))
    assert signs <= none + 1e-6


@given(air=AIRS, strips=st.integers(1, 5))
@settings(max_examples=30)
def test_one_more_like_it_strengthens(air: float, strips: int) -> None:
    """From the weak belief, each further full strip of a weld never raises the bottom."""

    def after(count: int) -> Belief:
        read = tuple(Strip(str(n), "full", "signs") for n in range(count))
        return WEAK.observe(TestWeld("1", air, TEN, 300.0, 300.0, read))

    fewer, more = after(strips), after(strips + 1)
    assert median(more, of_top=False) <= median(fewer, of_top=False) + 1e-6
    assert median(more, of_top=True) <= median(fewer, of_top=True) + 1e-6


@given(made=welds(least=1, looks=(None,)))
@settings(max_examples=10)
def test_not_looked_never_tells_the_top(made: tuple[TestWeld, ...]) -> None:
    """Pulls alone: no top, never certified, and given the bottom the top is as before."""
    morning = Morning(Question(made))
    answer = morning.answer()
    assert answer.top == Edge(None, None, None)
    assert not answer.certified
    assert answer.verdict in ("top_unknown", "no_window", "saturated", "repeat")
    assert np.array_equal(morning.belief.heat, WEAK.heat)


COLUMNS = "weld,air_{t},speed_{v},ambient_{t},sheet_{t},strip,pull,overheat"


def written(made: tuple[TestWeld, ...], *, t: str, v: str) -> str:
    """The welds as a crew's file in one unit system."""
    rows = [COLUMNS.format(t=t, v=v)]
    for weld in made:
        head = [weld.number, repr(from_si(weld.air, t)), repr(from_si(weld.speed, v)),
                repr(from_si(weld.ambient, t)), repr(from_si(weld.sheet, t))]  # fmt: skip
        rows += [
            ",".join([*head, strip.number, strip.pull, strip.overheat or ""])
            for strip in weld.strips
        ]
    return "\n".join(rows)


@given(made=welds(least=1), sheet=st.integers(40, 140))
@settings(max_examples=10)
def test_both_unit_systems_decide_alike(made: tuple[TestWeld, ...], sheet: int) -> None:
    """The same morning in F and ft/min or in C and m/min: the same verdict and setting."""
    us = question_from(read_welds(written(made, t="f", v="ft_min")), {"sheet_f": sheet})
    celsius = from_si(to_si(sheet, "f"), "c")
    metric = question_from(read_welds(written(made, t="c", v="m_min")), {"sheet_c": celsius})
    one, other = find_window(us), find_window(metric)
    assert one.verdict == other.verdict
    assert one.next.air == pytest.approx(other.next.air)
    assert one.next.reason == other.next.reason
    assert one.p_window == pytest.approx(other.p_window, abs=1e-6)
    assert (one.set_point is None) == (other.set_point is None)
    if one.set_point is not None and other.set_point is not None:
        assert one.set_point.air == pytest.approx(other.set_point.air)
        assert one.set_point.p_sound == pytest.approx(other.set_point.p_sound, abs=1e-6)
