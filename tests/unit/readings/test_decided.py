"""The answer that a decision carries, in each shape in which pages and servers kept one."""

from __future__ import annotations

from typing import Any

import pytest
from tests import cast
from tests.handed import week

from lapwright.readings.decided import decided
from lapwright.record.fact import Fact
from lapwright.window.edges import Edge


def decision(answer: Any, question: Any = None) -> Fact:
    """A decision that carries an answer."""
    return cast.fact("decision", at="08:00", test_welds=[], answer=answer, question=question or {},
                     air="860 f", speed="10 ft_min", **cast.CHAIN)  # type: ignore[arg-type]  # fmt: skip


def test_an_answer_of_the_server_is_taken_whole() -> None:
    """Each of the week's but the one from experience, with its question and its edges in K."""
    facts = [fact for fact in week() if fact.kind == "decision"]
    read = [decided(fact) for fact in facts]
    assert [one is None for one in read] == [not fact["answer"] for fact in facts]
    first = read[0]
    assert first is not None
    assert first.question is not None
    assert first.bottom == Edge(**facts[0]["answer"]["bottom"])
    assert first.p_sound == facts[0]["answer"]["set_point"]["p_sound"]


@pytest.mark.parametrize("answer", [{}, {"verdict": None}, {"verdict": "certain"}, {"verdict": 3}])
def test_no_verdict_that_is_known_is_none(answer: Any) -> None:
    """A set point from experience carries no window."""
    assert decided(decision(answer)) is None


@pytest.mark.parametrize(
    ("kept", "kelvin"),
    [({"mid_f": 860}, 733.15), ({"mid_c": 460}, 733.15), ({"mid": 733.15}, 733.15),
     ({"mid": "hot"}, None), ({"mid": True}, None), (None, None), ("text", None)],
)  # fmt: skip
def test_a_page_s_figures_become_si(kept: Any, kelvin: float | None) -> None:
    """460 °C is 733.15 K; what is no figure is not known."""
    read = decided(decision({"verdict": "certified", "bottom": kept}))
    assert read is not None
    assert read.bottom.mid == (None if kelvin is None else pytest.approx(kelvin))
    assert read.p_sound is None


@pytest.mark.parametrize(
    "question", [{}, {"welds": []}, {"moon": 1, "policy": "x"}, {"policy": 3, "welds": "no"}]
)
def test_a_question_that_is_none_does_not_hide_the_answer(question: Any) -> None:
    """As from a phone that weighed by its own table."""
    read = decided(decision({"verdict": "certified"}, question))
    assert read is not None
    assert read.question is None
