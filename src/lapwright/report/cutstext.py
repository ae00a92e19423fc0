"""What cuts and probing prove, and a plan for cuts, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.text import Text

from lapwright.job.proving import Answers
from lapwright.report.figures import Reader
from lapwright.report.text import caution_text
from lapwright.words import number

PER = {"us": 304.8, "metric": 100.0}  # m; voids are told per 1,000 ft or per 100 m


def cuts_text(answers: Answers, reader: Reader) -> Text:
    """Each question's answer in one plain sentence; the formula stays in the docs.

    Parameters
    ----------
    answers : Answers
        Worked out.
    reader : Reader
        Language and units.

    Returns
    -------
    rich.text.Text
    """
    text = Text()
    blocks = (proved, _groups, probed, _plan, _spacing)
    for lines in (list(block(answers, reader)) for block in blocks):
        if lines:
            text.append(lines[0] + "\n", style="bold")
            text.append("".join(f"  {line}\n" for line in lines[1:]))
    return text + caution_text(answers.cautions, reader)


def percent(share: float, reader: Reader) -> str:
    """A share with two figures: 63 %, 9.5 %, 0.30 %."""
    value = 100 * share
    if 0 < value < 0.01:
        return f"{reader.say('label', 'under')} {number(0.01, 2, reader.language)} %"
    decimals = 0 if value >= 10 or value == 0 else 1 if value >= 1 else 2
    return f"{number(value, decimals, reader.language)} %"


def rate_text(rate: float, reader: Reader) -> str:
    """Voids per 1,000 ft or 100 m."""
    per = PER[reader.units]
    data = {"value": number(rate * per, 1, reader.language), "seam": reader.write("seam", per)}
    return reader.say("cuts", "rate", data)


def proved(answers: Answers, reader: Reader) -> Iterator[str]:
    """What a share of bad ones looked at leaves possible."""
    asked = answers.asked
    data = {"bad": asked.bad, "taken": asked.taken, "level": percent(asked.sure, reader)}
    if answers.places is not None:
        more = {"places": asked.places, "count": answers.places}
        yield reader.say("cuts", "proved_places", data | more)
    if answers.share is not None:
        yield reader.say("cuts", "proved", data | {"limit": percent(answers.share, reader)})
    for share, needed in answers.needed:
        data = {"share": percent(share, reader), "needed": needed}
        yield reader.say("cuts", "would_need", data)


def _groups(answers: Answers, reader: Reader) -> Iterator[str]:
    if answers.seam is None:
        return
    limit, level = percent(answers.seam, reader), percent(answers.asked.sure, reader)
    yield reader.say("cuts", "groups", {"limit": limit, "level": level})
    width = max(len(group.name) for group, _ in answers.groups)
    for group, share in answers.groups:
        data = {
            "bad": group.bad,
            "taken": group.taken,
            "seam": reader.write("seam", group.length),
            "limit": percent(share, reader),
        }
        yield f"{group.name.ljust(width)}  {reader.say('cuts', 'group', data)}"


def probed(answers: Answers, reader: Reader) -> Iterator[str]:
    """What probed seam leaves possible."""
    asked = answers.asked
    if answers.rate is None or asked.probed is None:
        return
    data = {
        "voids": asked.voids,
        "seam": reader.write("seam", asked.probed),
        "rate": rate_text(answers.rate, reader),
        "level": percent(asked.sure, reader),
        "noticed": percent(asked.noticed, reader),
    }
    yield reader.say("cuts", "probed", data)


def _plan(answers: Answers, reader: Reader) -> Iterator[str]:
    plan, asked = answers.plan, answers.asked
    if plan is None:
        return
    data = {"taken": plan.taken, "allowed": plan.allowed, "places": plan.places}
    yield reader.say("cuts", "plan" if plan.places is None else "plan_places", data)
    yield reader.say("cuts", "curve")
    for share, chance in answers.curve:
        name = {asked.good: "good", asked.poor: "poor"}.get(share)
        beside = f"  {reader.say('cuts', name)}" if name else ""
        yield f"{percent(share, reader):>6}  {percent(chance, reader):>6}{beside}"


def _spacing(answers: Answers, reader: Reader) -> Iterator[str]:
    asked = answers.asked
    if answers.hit is None or asked.spacing is None:
        return
    data = {
        "spacing": asked.spacing,
        "stretch": asked.stretch,
        "chance": percent(answers.hit, reader),
    }
    yield reader.say("cuts", "spacing", data)
