"""The window that a decision carries, worked out again: the same, or nothing at all."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lapwright.job.decided import Decided, replayed
from lapwright.job.morning import find_window
from lapwright.window.answer import Answer, Question
from lapwright.window.edges import Edge
from lapwright.window.strips import TestWeld


@pytest.fixture(scope="module")
def answer(ladder_welds: tuple[TestWeld, ...]) -> Answer:
    """The practice ladder worked out."""
    return find_window(Question(ladder_welds))


def kept(answer: Answer, **otherwise: object) -> Decided:
    """What a decision carries of an answer."""
    whole = Decided(
        verdict=answer.verdict,
        bottom=answer.bottom,
        top=answer.top,
        p_sound=None if answer.set_point is None else answer.set_point.p_sound,
        version=answer.version,
        question=answer.question,
    )
    return replace(whole, **otherwise)  # type: ignore[arg-type]


def test_a_kept_question_gives_its_answer_again(answer: Answer) -> None:
    """Replayed, the question gives the answer that was decided by."""
    morning = replayed(kept(answer))
    assert morning is not None
    assert morning.answer() == answer


def test_figures_rounded_to_a_tenth_are_the_same(answer: Answer) -> None:
    """A tenth of a degree F or C that was lost in keeping is no other answer."""
    edges = {}
    for name in ("bottom", "top"):
        edge = getattr(answer, name)
        edges[name] = Edge(*(None if end is None else round(end, 1) for end in
                             (edge.low, edge.mid, edge.high)))  # fmt: skip
    assert edges["bottom"] != answer.bottom
    assert replayed(kept(answer, **edges)) is not None


@pytest.mark.parametrize("name", ["bottom", "top"])
@pytest.mark.parametrize("part", ["low", "mid", "high"])
def test_any_end_that_differs_shows(answer: Answer, name: str, part: str) -> None:
    """Each of the six ends counts: half a tenth may differ, more or none at all may not."""
    edge = getattr(answer, name)
    end = getattr(edge, part)
    assert end is not None
    for away, same in ((0.05, True), (-0.05, True), (0.07, False), (-0.07, False)):  # K
        moved = replace(edge, **{part: end + away})
        assert (replayed(kept(answer, **{name: moved})) is not None) is same
    assert replayed(kept(answer, **{name: replace(edge, **{part: None})})) is None


def test_an_open_end_stays_open(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Where no end was known both times that is the same; a figure in its place is not."""
    answer = find_window(Question(ladder_welds[2:5]))  # full and no sign: two ends are open
    assert answer.bottom.low is None
    assert answer.top.high is None
    assert replayed(kept(answer)) is not None
    assert replayed(kept(answer, bottom=replace(answer.bottom, low=600.0))) is None


def test_another_verdict_is_another_answer(answer: Answer) -> None:
    """The verdict must be the one that was kept, whatever the edges are."""
    other = "confirm" if answer.verdict != "confirm" else "repeat"
    assert replayed(kept(answer, verdict=other)) is None


def test_another_question_gives_another_answer(answer: Answer) -> None:
    """A strip changed after the decision shows: the edges no longer fit."""
    welds = answer.question.welds
    turned = replace(welds[1], strips=welds[2].strips)
    question = replace(answer.question, welds=(welds[0], turned, *welds[2:]))
    assert replayed(kept(answer, question=question)) is None


def test_without_a_whole_question_nothing_is_replayed(answer: Answer) -> None:
    """No question was kept, or one that cannot be worked out: there is nothing to compare."""
    assert replayed(kept(answer, question=None)) is None
    assert replayed(kept(answer, question=Question())) is None  # no weld and no weather
