"""Answers about cuts as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

from lapwright.job.proving import Answers
from lapwright.report.cutstext import PER
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.units import FIELD_UNITS, from_si


def cuts_figures(answers: Answers, reader: Reader) -> Figures:
    """Answers in the reader's units and language.

    Parameters
    ----------
    answers : Answers
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; null where not asked.

    Examples
    --------
    >>> from lapwright.job.proving import Asked, prove
    >>> cuts_figures(prove(Asked(taken=20)), Reader())["proved"]["bad_share_limit"]
    0.1391
    """
    asked, plan = answers.asked, answers.plan
    unit = FIELD_UNITS[reader.units]["length"]

    def length(metres: float) -> float:
        return round(from_si(metres, unit), 1)

    proved = {
        "taken": asked.taken,
        "bad": asked.bad,
        "bad_share_limit": _round(answers.share),
        "places": asked.places,
        "bad_places_limit": answers.places,
        "cuts_needed": [{"bad_share": share, "cuts": cuts} for share, cuts in answers.needed],
    }
    return {
        "sure": asked.sure,
        "proved": None if asked.taken is None else proved,
        "groups": [
            {
                "group": group.name,
                "taken": group.taken,
                "bad": group.bad,
                f"length_{unit}": length(group.length),
                "bad_share_limit": _round(share),
            }
            for group, share in answers.groups
        ],
        "whole_bad_share_limit": _round(answers.seam),
        "probed": None
        if asked.probed is None or answers.rate is None
        else {
            f"length_{unit}": length(asked.probed),
            "voids": asked.voids,
            "noticed": asked.noticed,
            f"voids_limit_per_{round(from_si(PER[reader.units], unit))}_{unit}": round(
                answers.rate * PER[reader.units], 3
            ),
        },
        "plan": None
        if plan is None
        else {
            "cuts": plan.taken,
            "bad_allowed": plan.allowed,
            "places": plan.places,
            "curve": [
                {"bad_share": share, "accepted": round(chance, 4)}
                for share, chance in answers.curve
            ],
        },
        "spacing": None
        if asked.spacing is None
        else {
            f"every_{unit}": length(asked.spacing),
            f"stretch_{unit}": length(asked.stretch),
            "hit": _round(answers.hit),
        },
        "cautions": caution_figures(answers.cautions, reader),
    }


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
