"""A blind grading quiz: strips from a seed and from the job's own photos; answers set right.

The answers belong to the questions and go out with the marks, never before all are in. What a
photo shows counts as recorded: the crew's word, not the truth of a laboratory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from lapwright.errors import LapwrightError
from lapwright.job.agreeing import CANNOT_TELL, HEAT_LOOKS, Agreement, Look, agreement
from lapwright.record.replay import Record

Of = Literal["pull", "look"]
OFS: tuple[Of, ...] = get_args(Of)
LEAST, MOST = 5, 40  # strips of a quiz; fewer would give single answers away; our choice
GRADED: Mapping[Of, tuple[str, ...]] = {
    "pull": ("cold", "skin", "partial", "full", "break", "split"),
    "look": HEAT_LOOKS,
}
TRAINEE, ANSWER = "1", "2"  # who graded, in the table of the marks


@dataclass(frozen=True)
class Shown:
    """One strip of a quiz.

    Parameters
    ----------
    strip : str
        Its name: by seed and place, or the SHA-256 of its photo.
    truth : str
        As drawn, or as recorded.
    place : int
        From 1.
    is_photo : bool
        Whether a photo of the job is shown.
    """

    strip: str
    truth: str
    place: int
    is_photo: bool


@dataclass(frozen=True)
class Mark:
    """One answer set right.

    Parameters
    ----------
    strip, given, truth : str
        Which strip, what was said, what it is.
    """

    strip: str
    given: str
    truth: str

    @property
    def is_right(self) -> bool:
        """Whether both are one."""
        return self.given == self.truth


def strip_photos(record: Record) -> dict[str, str]:
    """Grade on record of every photographed strip, by the SHA-256 of its photo.

    Strips that two people graded differently, and pulls that were not valid, are left out.
    """
    grades: dict[tuple[str, str], set[str]] = {}
    for fact in record.all("strip"):
        grades.setdefault((fact["of"], fact["number"]), set()).add(fact["pull"])
    found: dict[str, set[str]] = {}
    for photo in record.all("photo"):
        strip = record.get(photo["of"])
        if strip is not None and strip.kind == "strip":
            found.setdefault(photo["file"], set()).update(grades[strip["of"], strip["number"]])
    return {
        sha: grade
        for sha, held in found.items()
        if len(held) == 1 and (grade := next(iter(held))) in GRADED["pull"]
    }


def drawn_order(of: Of, strips: int, *, rng: np.random.Generator) -> tuple[str, ...]:
    """What is drawn at each place: every grade comes before any comes again.

    Raises
    ------
    LapwrightError
        ``quiz_length``: too few or too many.
    """
    if not LEAST <= strips <= MOST:
        raise LapwrightError("quiz_length", have=strips, least=LEAST, most=MOST)
    order: list[str] = []
    while len(order) < strips:
        order += rng.permutation(GRADED[of]).tolist()
    return tuple(order[:strips])


def quiz(
    of: Of, strips: int, *, seed: int, rng: np.random.Generator, photos: Mapping[str, str]
) -> tuple[Shown, ...]:
    """The strips of a quiz; at most every second one is a photo.

    Parameters
    ----------
    of : {"pull", "look"}
        Pulled strips, or looks at a hot weld.
    strips : int
        How many.
    seed : int
        Names the drawn ones.
    rng : numpy.random.Generator
        Of that seed.
    photos : mapping
        From :func:`strip_photos`; of a "look" there are none.

    Raises
    ------
    LapwrightError
        ``quiz_length``.
    """
    order = drawn_order(of, strips, rng=rng)
    chosen = rng.permutation(sorted(photos)).tolist()[: strips // 2] if of == "pull" else []
    places = rng.permutation(strips)[: len(chosen)].tolist()
    photo_at = dict(zip(places, chosen, strict=True))
    return tuple(
        Shown(photo_at[place], photos[photo_at[place]], place + 1, is_photo=True)
        if place in photo_at
        else Shown(drawn_name(seed, place + 1), truth, place + 1, is_photo=False)
        for place, truth in enumerate(order)
    )


def drawn_name(seed: int, place: int) -> str:
    """Name of a drawn strip, as a file of grades has it."""
    return f"{seed}-{place}"


def marked(
    answers: Sequence[tuple[str, str]],
    *,
    of: Of,
    strips: int,
    seed: int,
    rng: np.random.Generator,
    photos: Mapping[str, str],
) -> tuple[Mark, ...]:
    """All answers set right, in their order.

    Parameters
    ----------
    answers : sequence of (str, str)
        Strip and grade.
    of, strips, seed, rng, photos
        As :func:`quiz`. Photos that came since change nothing.

    Raises
    ------
    LapwrightError
        ``quiz_unfinished``: not every strip has an answer. ``quiz_strip``: a strip of no such
        quiz. ``quiz_answer``: no grade. ``quiz_length``.
    """
    order = drawn_order(of, strips, rng=rng)
    if len({strip for strip, _ in answers}) != len(answers) or len(answers) != strips:
        raise LapwrightError("quiz_unfinished", have=len(answers), need=strips)
    truths = {drawn_name(seed, place): truth for place, truth in enumerate(order, start=1)}
    truths |= photos if of == "pull" else {}
    for strip, given in answers:
        if strip not in truths:
            raise LapwrightError("quiz_strip", strip=strip)
        if given not in (*GRADED[of], CANNOT_TELL):
            known = ", ".join((*GRADED[of], CANNOT_TELL))
            raise LapwrightError("quiz_answer", value=given, known=known)
    return tuple(Mark(strip, given, truths[strip]) for strip, given in answers)


def side_by_side(marks: Sequence[Mark]) -> Agreement:
    """The trainee's grades against the answers: count, table, and an index from 20 strips."""
    given = [Look(mark.strip, TRAINEE, mark.given) for mark in marks]
    return agreement([*given, *(Look(mark.strip, ANSWER, mark.truth) for mark in marks)])
