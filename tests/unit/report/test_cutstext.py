"""Answers about cuts in words and figures."""

from __future__ import annotations

from typing import Any

import pytest

from lapwright.job.proving import Asked, prove
from lapwright.proof.cuts import Group
from lapwright.report.cutsfigures import cuts_figures
from lapwright.report.cutstext import cuts_text, percent, rate_text
from lapwright.report.figures import Reader
from lapwright.words import LANGUAGES

ALL = Asked(
    taken=20,
    groups=(Group("hand", 6, 0, 243.8), Group("machine 1", 14, 1, 2743.0)),
    probed=1524.0,
    noticed=0.8,
    good=0.01,
    poor=0.1,
    spacing=152.4,
)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_every_reader_gets_every_word(language: Any, units: Any) -> None:
    """No sentence lacks a value, in either language and either system."""
    reader = Reader(language, units)
    for asked in (ALL, Asked(taken=20, places=272, good=0.01, poor=0.1)):
        text = cuts_text(prove(asked), reader).plain
        assert "?" not in text
        assert "{" not in text


def test_plain_sentences_carry_the_figures() -> None:
    """The limits of the trade table: 20 clean cuts leave 14 %; 5,000 ft leave 0.6, at 80 % 0.7."""
    text = cuts_text(prove(ALL), Reader()).plain
    assert "0 bad of 20: up to 14 % of the seam" in text
    assert "59 cuts" in text
    assert "up to 0.7 per 1000 ft" in text
    assert "every 500 ft" in text
    assert "with 10 %" in text


def test_good_and_poor_are_marked_in_the_curve() -> None:
    """The two shares that the plan was made for are named beside their chances."""
    lines = cuts_text(prove(ALL), Reader()).plain.splitlines()
    assert [line.split()[0] for line in lines if line.endswith("good")] == ["1.0"]
    assert [line.split()[0] for line in lines if line.endswith("poor")] == ["10"]


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.6316, "63 %"), (0.0952, "9.5 %"), (0.003, "0.30 %"), (0.0, "0 %"), (1.0, "100 %"),
     (0.00001, "under 0.01 %")],
)  # fmt: skip
def test_shares_keep_two_figures(share: float, text: str) -> None:
    """Small shares are not rounded to nothing."""
    assert percent(share, Reader()) == text


def test_rates_are_told_per_1000_feet_or_100_metres() -> None:
    """One void per 100 m is 3.0 per 1,000 ft."""
    assert rate_text(0.01, Reader()) == "3.0 per 1000 ft"
    assert rate_text(0.01, Reader("es", "metric")) == "1,0 por 100 m"


def test_json_leaves_null_what_was_not_asked() -> None:
    """A reader of the JSON can tell not asked from nothing found."""
    figures = cuts_figures(prove(Asked(probed=304.8)), Reader())
    assert figures["probed"]["voids_limit_per_1000_ft"] == pytest.approx(2.996, abs=1e-3)
    assert [figures[key] for key in ("proved", "plan", "spacing", "whole_bad_share_limit")] == [
        None
    ] * 4
    full = cuts_figures(prove(ALL), Reader(units="metric"))
    assert full["spacing"] == {"every_m": 152.4, "stretch_m": 15.2, "hit": 0.1}
    assert full["plan"]["cuts"] == 52
    assert full["groups"][1]["length_m"] == 2743.0
