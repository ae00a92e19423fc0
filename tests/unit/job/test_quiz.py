"""The grading quiz: what is shown, and marks only for the whole."""

from __future__ import annotations

import numpy as np
import pytest
from tests import cast

from lapwright.errors import LapwrightError
from lapwright.job.quiz import (
    GRADED,
    LEAST,
    MOST,
    Of,
    drawn_name,
    drawn_order,
    marked,
    quiz,
    side_by_side,
    strip_photos,
)
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.window.strips import PULLS

SHAS = {f"{place:064x}": grade for place, grade in enumerate(["cold", "full", "partial", "full"])}


def rng(seed: int = 4) -> np.random.Generator:
    """Luck of a seed."""
    return np.random.default_rng([seed, 0])


@pytest.mark.parametrize("of", ["pull", "look"])
def test_every_grade_comes_before_any_comes_again(of: Of) -> None:
    """The first six of ten hold each of the six once, in an order that the seed decides."""
    order = drawn_order(of, 10, rng=rng())
    assert sorted(order[:6]) == sorted(GRADED[of])
    assert len({drawn_order(of, 10, rng=rng(seed)) for seed in range(8)}) > 4
    assert order == drawn_order(of, 10, rng=rng())


def test_grades_of_a_quiz_are_grades_of_the_trade() -> None:
    """All pull grades but the one that says nothing of the weld."""
    assert set(GRADED["pull"]) == set(PULLS) - {"invalid"}


def test_at_most_every_second_strip_is_a_photo() -> None:
    """Four photos among ten, each once; among six only three; a look has none."""
    shown = quiz("pull", 10, seed=4, rng=rng(), photos=SHAS)
    assert sorted(one.strip for one in shown if one.is_photo) == sorted(SHAS)
    assert all(one.truth == SHAS[one.strip] for one in shown if one.is_photo)
    assert [one.place for one in shown] == list(range(1, 11))
    few = quiz("pull", 6, seed=4, rng=rng(), photos=SHAS)
    assert sum(one.is_photo for one in few) == 3
    assert not any(one.is_photo for one in quiz("look", 10, seed=4, rng=rng(), photos=SHAS))


@pytest.mark.parametrize("strips", [LEAST - 1, MOST + 1])
def test_a_quiz_has_a_length(strips: int) -> None:
    """So short that one answer could be fished for, or so long that nobody ends it: refused."""
    with pytest.raises(LapwrightError) as caught:
        drawn_order("pull", strips, rng=rng())
    assert caught.value.code == "quiz_length"


def whole(photos: dict[str, str]) -> list[tuple[str, str]]:
    """A right answer to every strip."""
    shown = quiz("pull", 10, seed=4, rng=rng(), photos=photos)
    return [(one.strip, one.truth) for one in shown]


def marks(answers: list[tuple[str, str]], photos: dict[str, str]) -> object:
    """The marks of answers to the quiz of ten."""
    return marked(answers, of="pull", strips=10, seed=4, rng=rng(), photos=photos)


@pytest.mark.parametrize("photos", [{}, SHAS], ids=["drawn", "photos"])
def test_right_answers_are_right(photos: dict[str, str]) -> None:
    """Each strip's own truth counts, drawn or recorded."""
    assert all(one.is_right for one in marks(whole(photos), photos))  # type: ignore[attr-defined]


def test_a_photo_that_comes_meanwhile_changes_no_mark() -> None:
    """The answers name their strips: a longer list of photos marks them the same."""
    more = SHAS | {"f" * 64: "cold"}
    assert marks(whole(SHAS), SHAS) == marks(whole(SHAS), more)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (lambda a: a[:-1], "quiz_unfinished"),
        (lambda a: [*a[:-1], a[0]], "quiz_unfinished"),
        (lambda a: [*a[:-1], ("5-1", "cold")], "quiz_strip"),
        (lambda a: [*a[:-1], ("f" * 64, "cold")], "quiz_strip"),
        (lambda a: [*a[:-1], (a[-1][0], "invalid")], "quiz_answer"),
        (lambda a: [*a[:-1], (a[-1][0], "glaze")], "quiz_answer"),
    ],
    ids=["short", "twice", "other-seed", "other-photo", "no-grade", "other-quiz"],
)
def test_nothing_is_marked_before_all_is_in(change: object, code: str) -> None:
    """One strip open, doubled or strange: no mark of any strip comes out."""
    with pytest.raises(LapwrightError) as caught:
        marks(change(whole({})), {})  # type: ignore[operator]
    assert caught.value.code == code
    assert "truth" not in caught.value.data


def test_cannot_tell_is_never_right() -> None:
    """It is an answer, it is told, and it is not the grade."""
    answers = whole({})
    answers[0] = (answers[0][0], "cannot_tell")
    found = marks(answers, {})
    beside = side_by_side(found)  # type: ignore[arg-type]
    assert (beside.same, beside.strips, beside.unsure) == (9, 10, 1)
    assert beside.kappa is None  # fewer than twenty


def photographed(*pairs: tuple[str, bool]) -> list[Fact]:
    """Strips of one weld with a photo each; True: graded a second time as cold."""
    weld, *rest = cast.welded("1", "860 f", "".join(letter for letter, _ in pairs))
    strips = [each for each in rest if each.kind == "strip"]
    found = [weld, *rest]
    for place, (strip, (_, is_twice)) in enumerate(zip(strips, pairs, strict=True)):
        found.append(cast.fact("photo", at="08:00", file=f"{place:064x}", of=strip))
        if is_twice:
            found.append(cast.fact("strip", at="08:30", of=weld, number=strip["number"],
                                   pull="cold", second_look=True))  # fmt: skip
    return found


def test_photos_count_as_recorded() -> None:
    """Strips graded differently by two, and invalid pulls, are no questions."""
    facts = photographed(("f", False), ("p", False), ("f", True), ("c", True), ("x", False))
    assert strip_photos(Record(facts)) == {
        f"{0:064x}": "full", f"{1:064x}": "partial", f"{3:064x}": "cold",
    }  # fmt: skip


def test_a_photo_of_something_else_is_no_strip() -> None:
    """A photo of the weld itself shows no grade."""
    weld = cast.welded("1", "860 f", "f")
    photo = cast.fact("photo", at="08:00", file="a" * 64, of=weld[0])
    assert strip_photos(Record([*weld, photo])) == {}


def test_names_hold_seed_and_place() -> None:
    """So that two people's files of one quiz lie side by side, and of two quizzes do not."""
    assert drawn_name(12, 3) == "12-3"
