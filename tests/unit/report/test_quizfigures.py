"""A quiz for the page: nothing in it tells a grade before the marks."""

from __future__ import annotations

import json
import re

import numpy as np

from lapwright.job.quiz import Mark, Shown, quiz, side_by_side
from lapwright.report.figures import Reader
from lapwright.report.quizfigures import marks_figures, quiz_figures
from lapwright.words import LANGUAGES, say

SHA = "a" * 64
JOB = "01976d00-0000-7000-8000-00000000000a"


def luck(number: int) -> np.random.Generator:
    """Luck of a drawing."""
    return np.random.default_rng([4, number])


def shown() -> tuple[Shown, ...]:
    """Ten strips, one of them a photo graded full."""
    return quiz("pull", 10, seed=4, rng=luck(0), photos={SHA: "full"})


def test_strips_carry_no_grade() -> None:
    """Beside the list of answers, the same for all strips, no grade stands anywhere."""
    for language in LANGUAGES:
        figures = quiz_figures(shown(), Reader(language), of="pull", seed=4, job=JOB, luck=luck)
        text = json.dumps(figures["strips"]).lower()
        names = [each["grade"] for each in figures["grades"]]
        names += [say("grade", name, language=language) for name in names]
        assert not [name for name in names if re.search(rf"\b{name}\b", text)]
    assert names[:7] == ["cold", "skin", "partial", "full", "break", "split", "cannot_tell"]


def test_a_photo_is_named_by_job_and_content_alone() -> None:
    """Its address is the one at which every phone fetches it."""
    figures = quiz_figures(shown(), Reader(), of="pull", seed=4, job=JOB, luck=luck)
    (photo,) = [strip for strip in figures["strips"] if strip["photo"]]
    assert photo["photo"] == f"api/jobs/{JOB}/photos/{SHA}"
    assert (photo["svg"], photo["hand"]) == (None, "")
    assert set(photo) == set(figures["strips"][0])


def test_the_looks_are_drawn_as_looks() -> None:
    """A quiz of looks asks for signs and is drawn with a lip, whatever the seed."""
    looks = quiz("look", 6, seed=4, rng=luck(0), photos={})
    figures = quiz_figures(looks, Reader(), of="look", seed=4, job=None, luck=luck)
    assert figures["grades"][0]["grade"] == "clear"
    assert all("corner" in one["says"] or "lip" in one["says"] for one in figures["strips"])


def test_marks_say_what_to_look_at() -> None:
    """One line for each grade missed, once; a photo counts as recorded."""
    marks = [Mark("4-1", "full", "partial"), Mark("4-2", "full", "partial"),
             Mark("4-3", "cold", "cold"), Mark(SHA, "cold", "full")]  # fmt: skip
    figures = marks_figures(marks, side_by_side(marks), Reader())
    assert (figures["right"], figures["says"]) == (1, "1 of 4 right.")
    assert [line.split(":")[0] for line in figures["next_time"]] == ["partial", "full"]
    assert [mark["says"] for mark in figures["marks"]] == [
        "Strip 1: you said full; it is partial.",
        "Strip 2: you said full; it is partial.",
        "Strip 3: cold, as you said.",
        "Strip 4: you said cold; on record it is full.",
    ]
    assert figures["agreement"]["same"] == 1
    assert figures["grade_words"] == ["cold", "partial", "full"]
