"""Drawn strips and looks: marked as drawn, told in words, and giving no answer away."""

from __future__ import annotations

import re
from collections.abc import Callable
from xml.etree import ElementTree

import numpy as np
import pytest

from lapwright.job.agreeing import HEAT_LOOKS
from lapwright.job.quiz import GRADED
from lapwright.report.drawnframe import PX, Drawn
from lapwright.report.drawnlook import LOOK_SIGNS, drawn_look
from lapwright.report.drawnstrip import STRIP_GRADES, drawn_strip
from lapwright.report.figures import Reader
from lapwright.words import LANGUAGES, Language, say

ALL: list[tuple[Callable[..., Drawn], str]] = [
    *((drawn_strip, grade) for grade in STRIP_GRADES),
    *((drawn_look, sign) for sign in LOOK_SIGNS),
]
SVG = "{http://www.w3.org/2000/svg}"


def drawn(draw: Callable[..., Drawn], what: str, *, seed: int = 1, lang: Language = "en") -> Drawn:
    """One drawing."""
    return draw(what, rng=np.random.default_rng(seed), reader=Reader(lang))


def test_every_grade_of_the_quiz_can_be_drawn() -> None:
    """No question without its picture, no picture without its question."""
    assert set(STRIP_GRADES) == set(GRADED["pull"])
    assert set(LOOK_SIGNS) == set(HEAT_LOOKS)


@pytest.mark.parametrize(("draw", "what"), ALL, ids=[what for _, what in ALL])
def test_the_file_gives_no_answer_away(draw: Callable[..., Drawn], what: str) -> None:
    """No name of any grade, in either language, stands in the picture or in its words."""
    names = {say("grade", each, language=lang) for _, each in ALL for lang in LANGUAGES}
    names = {name for name in names | {each for _, each in ALL} if name not in ("scrim", "clear")}
    for lang in LANGUAGES:
        for seed in range(6):
            made = drawn(draw, what, seed=seed, lang=lang)
            text = f"{made.svg} {made.says} {made.hand}".lower()
            told = [name for name in names if re.search(rf"\b{re.escape(name)}\b", text)]
            assert not told


@pytest.mark.parametrize(("draw", "what"), ALL, ids=[what for _, what in ALL])
@pytest.mark.parametrize("lang", LANGUAGES)
def test_each_says_that_it_is_drawn(draw: Callable[..., Drawn], what: str, lang: Language) -> None:
    """The mark and the scale are words in the picture, large enough for the sun."""
    root = ElementTree.fromstring(drawn(draw, what, lang=lang).svg)
    texts = {text.text: float(text.attrib["font-size"]) for text in root.iter(f"{SVG}text")}
    assert set(texts) == {say("drawn", "mark", language=lang), say("drawn", "scale", language=lang)}
    # 16 px is the least of the page; the picture may shrink from 340 to 280 px on the narrowest.
    assert min(texts.values()) * 280 / float(root.attrib["width"]) >= 16


def test_an_inch_is_an_inch() -> None:
    """The scale bar is 25.4 mm at the scale of the strip, and the strip is as high as that."""
    root = ElementTree.fromstring(drawn(drawn_strip, "cold").svg)
    bars = [line.attrib["points"] for line in root.iter(f"{SVG}polyline")]
    ends = [[float(pair.split(",")[0]) for pair in bar.split()] for bar in bars]
    assert max(end - start for start, end in ends) == pytest.approx(25.4 * PX, abs=0.2)
    heights = [float(one.attrib["height"]) for one in root.iter(f"{SVG}rect") if "x" in one.attrib]
    assert max(heights) == min(heights) == pytest.approx(25.4 * PX, abs=0.2)


@pytest.mark.parametrize(("draw", "what"), ALL, ids=[what for _, what in ALL])
def test_it_is_told_apart_without_colour(draw: Callable[..., Drawn], what: str) -> None:
    """Every colour is a grey, within 12 of 255 between its parts; none carries a meaning."""
    for colour in set(re.findall(r'"(#[0-9a-f]{3,6})"', drawn(draw, what).svg)):
        digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
        parts = [int(digits[at : at + 2], 16) for at in (0, 2, 4)]
        assert max(parts) - min(parts) <= 12, colour


def test_no_two_pictures_and_no_two_descriptions_are_alike() -> None:
    """Grades differ in what is seen or felt; one grade differs from seed to seed."""
    told = {(made.says, made.hand) for draw, what in ALL if (made := drawn(draw, what))}
    assert len(told) == len(ALL)
    for draw, what in ALL:
        assert drawn(draw, what).svg == drawn(draw, what).svg
        if what != "bare_scrim":  # woven threads in one and the same corner
            assert drawn(draw, what, seed=2).svg != drawn(draw, what).svg


def test_partial_comes_in_three_patterns() -> None:
    """Islands, stripes and one edge, each described as what it is."""
    told = {drawn(drawn_strip, "partial", seed=seed).says for seed in range(20)}
    assert told == {say("drawn", name) for name in ("islands", "stripes", "one_edge")}
