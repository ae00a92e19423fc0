"""A quiz as the page shows it, and its marks: what is sent before the end names no grade."""

from __future__ import annotations

from collections.abc import Sequence

from lapwright.job.agreeing import CANNOT_TELL, Agreement
from lapwright.job.hiddensite import Luck
from lapwright.job.quiz import GRADED, Mark, Of, Shown
from lapwright.report.agreetext import agreement_figures
from lapwright.report.drawnlook import drawn_look
from lapwright.report.drawnstrip import drawn_strip
from lapwright.report.figures import Figures, Reader
from lapwright.report.practicefigures import drawn_figures


def quiz_figures(
    shown: Sequence[Shown], reader: Reader, *, of: Of, seed: int, job: str | None, luck: Luck
) -> Figures:
    """Strips to grade, and the grades to choose from in one order for all.

    Parameters
    ----------
    shown : sequence of Shown
        From :func:`lapwright.job.quiz.quiz`.
    reader : Reader
        Language.
    of, seed, job : str, int, str
        What was asked for; a photo's address holds its job and hash, nothing else.
    luck : callable
        Luck of each drawing by its place.
    """
    return {
        "practice": True,
        "says": reader.say("quiz", "mark"),
        "seed": seed,
        "of": of,
        "n": len(shown),
        "grades": [
            {"grade": grade, "says": reader.say("grade", grade)}
            for grade in (*GRADED[of], CANNOT_TELL)
        ],
        "strips": [_strip(one, reader, of=of, job=job, luck=luck) for one in shown],
    }


def _strip(shown: Shown, reader: Reader, *, of: Of, job: str | None, luck: Luck) -> Figures:
    place = {"strip": shown.strip, "place": shown.place}
    if shown.is_photo:
        photo = f"api/jobs/{job}/photos/{shown.strip}"
        says = reader.say("quiz", "photo")
        return {**place, "photo": photo, "svg": None, "says": says, "hand": ""}
    draw = drawn_strip if of == "pull" else drawn_look
    drawn = draw(shown.truth, rng=luck(shown.place), reader=reader)
    return {**place, "photo": None, **drawn_figures(drawn)}


def marks_figures(marks: Sequence[Mark], found: Agreement, reader: Reader) -> Figures:
    """Each answer set right, and a line for each grade that was missed."""
    right = sum(mark.is_right for mark in marks)
    missed = dict.fromkeys(mark.truth for mark in marks if not mark.is_right)
    return {
        "practice": True,
        "right": right,
        "says": reader.say("quiz", "result", {"right": right, "of": len(marks)}),
        "marks": [
            {
                "strip": mark.strip,
                "given": mark.given,
                "truth": mark.truth,
                "is_right": mark.is_right,
                "says": _told(mark, place, reader),
            }
            for place, mark in enumerate(marks, start=1)
        ],
        "agreement": agreement_figures(found, reader),
        "grade_words": [reader.say("grade", grade) for grade in found.grades],
        "next_time": [reader.say("next_time", grade) for grade in missed],
    }


def _told(mark: Mark, place: int, reader: Reader) -> str:
    if mark.is_right:
        word = {"place": place, "truth": reader.say("grade", mark.truth)}
        return reader.say("quiz", "told_right", word)
    code = "told_photo" if len(mark.strip) == 64 else "told"
    words = {name: reader.say("grade", getattr(mark, name)) for name in ("given", "truth")}
    return reader.say("quiz", code, {**words, "place": place})
