"""Learning: a grading quiz and a practice morning. No record is read but for photos, none made.

Both are stateless: a seed names what is shown, and the answers come with the last request.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np
from fastapi import APIRouter, Query, Request
from pydantic import BaseModel, ConfigDict, Field

from lapwright.errors import LapwrightError
from lapwright.job.hiddensite import Luck, Setting
from lapwright.job.practice import MOST_WELDS, Tried, practise
from lapwright.job.quiz import LEAST, MOST, Of, marked, quiz, side_by_side, strip_photos
from lapwright.job.unveiling import unveil
from lapwright.readings.start import stated_in_si
from lapwright.record.ids import CREW_CHAIN
from lapwright.report.figures import Reader
from lapwright.report.practicefigures import drawn_weld, practice_figures
from lapwright.report.quizfigures import marks_figures, quiz_figures
from lapwright.units import UnitSystem
from lapwright.web.door import Guarded, store_of
from lapwright.web.records import Records
from lapwright.web.shapes import UUID, Reads
from lapwright.words import Language

router = APIRouter(route_class=Guarded)

MOST_SEED = 1_000_000
_DRAWING = 1_000  # numbers of luck for drawings begin here: they are not those of the welds
Seed = Annotated[int, Field(ge=0, le=MOST_SEED)]
Strips = Annotated[int, Field(ge=LEAST, le=MOST)]
JobId = Annotated[str, Field(pattern=UUID)]


def _luck(seed: int, *, begin: int = 0) -> Luck:
    return lambda number: np.random.default_rng([seed, begin + number])


def _photos(request: Request, job: str | None) -> dict[str, str]:
    """Grades of the job's strips whose photos have come."""
    if job is None:
        return {}
    if job == CREW_CHAIN:
        raise LapwrightError("not_found")
    records: Records = request.app.state.records
    kept = store_of(request).photos
    found = strip_photos(records.of(job))
    return {sha: grade for sha, grade in found.items() if kept.has(sha)}


@router.get("/api/quiz")
def get_quiz(
    request: Request,
    reader: Reads,
    seed: Annotated[int, Query(ge=0, le=MOST_SEED)],
    n: Annotated[int, Query(ge=LEAST, le=MOST)] = 10,
    of: Of = "pull",
    job: Annotated[
        str | None, Query(pattern=UUID, description="whose photos are shown too")
    ] = None,
) -> dict[str, Any]:
    """Strips to grade, drawn and from the job's photos; nothing in them names a grade."""
    shown = quiz(of, n, seed=seed, rng=_luck(seed)(0), photos=_photos(request, job))
    return quiz_figures(shown, reader, of=of, seed=seed, job=job, luck=_luck(seed, begin=_DRAWING))


class Graded(BaseModel):
    """One answer of a quiz."""

    model_config = ConfigDict(extra="forbid")

    strip: Annotated[str, Field(max_length=64)]
    grade: Annotated[str, Field(max_length=20)]


class Answers(BaseModel):
    """All answers of a quiz; it is marked only when every strip has one."""

    model_config = ConfigDict(extra="forbid")

    seed: Seed
    n: Strips = 10
    of: Of = "pull"
    job: JobId | None = None
    answers: Annotated[list[Graded], Field(max_length=MOST)]
    units: UnitSystem = "us"
    lang: Language = "en"


@router.post("/api/quiz/answers")
def quiz_answers(asked: Answers, request: Request) -> dict[str, Any]:
    """Each answer set right, all side by side, and what to look at next time."""
    request.state.reader = (asked.units, asked.lang)
    marks = marked(
        [(one.strip, one.grade) for one in asked.answers],
        of=asked.of,
        strips=asked.n,
        seed=asked.seed,
        rng=_luck(asked.seed)(0),
        photos=_photos(request, asked.job),
    )
    return marks_figures(marks, side_by_side(marks), Reader(asked.lang, asked.units))


class PracticeSetting(BaseModel):
    """Air and speed, each in one unit."""

    model_config = ConfigDict(extra="forbid")

    air_f: float | None = None
    air_c: float | None = None
    speed_ft_min: float | None = None
    speed_m_min: float | None = None

    def setting(self) -> Setting:
        """In SI; what was not said is refused as zero would be."""
        stated = self.model_dump()
        air = stated_in_si("air", ("f", "c"), stated, otherwise=0.0)
        return Setting(air, stated_in_si("speed", ("ft_min", "m_min"), stated, otherwise=0.0))


class PracticeWeld(PracticeSetting):
    """A practice weld: its setting, and whether somebody looked while it was hot."""

    looked: bool = False


class PracticeMorning(BaseModel):
    """A practice morning so far. ``decide`` ends it: a set point, or "not_known"."""

    model_config = ConfigDict(extra="forbid")

    seed: Seed
    welds: Annotated[list[PracticeWeld], Field(max_length=MOST_WELDS)] = []
    decide: PracticeSetting | Literal["not_known"] | None = None
    units: UnitSystem = "us"
    lang: Language = "en"


@router.post("/api/practice")
def practice(asked: PracticeMorning, request: Request) -> dict[str, Any]:
    """What the welds so far showed, the last one drawn; the truth only with a decision."""
    request.state.reader = (asked.units, asked.lang)
    reader, luck = Reader(asked.lang, asked.units), _luck(asked.seed)
    morning = practise([Tried(one.setting(), one.looked) for one in asked.welds], luck=luck)
    end = None
    if asked.decide is not None:
        decided = None if asked.decide == "not_known" else asked.decide.setting()
        end = unveil(morning, decided, luck=luck)
    figures = practice_figures(morning, reader, seed=asked.seed, end=end)
    drawing = _luck(asked.seed, begin=_DRAWING)
    last = morning.welds[-1:]
    return {**figures, "drawn": drawn_weld(last[0], reader, luck=drawing) if last else None}
