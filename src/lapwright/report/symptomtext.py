"""Symptoms with their causes and what to do, for page and terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from lapwright.job.clues import Clue
from lapwright.job.symptoms import Likely
from lapwright.report.figures import Figures, Reader

_TABLES = {"pull": "card", "evenness": "evenness", "defect_type": "defect", "wind": "day"}
_CHANGED = {"power": ("topic", "power"), "wind": ("ask", "wind"), "sun": ("ask", "sun"),
            "substrate": ("ask", "substrate")}  # fmt: skip


def clue_says(clue: Clue, reader: Reader) -> str:
    """A clue in one line."""
    data = dict(clue.data)
    if clue.name == "even_spacing":  # inches or millimetres, as one measures a roller
        data["step"] = reader.write("strip_width", data.pop("length"))
    if clue.of:
        section, code = _TABLES.get(clue.name, "trigger"), clue.of
        if clue.name == "changed_before":
            section, code = _CHANGED.get(clue.of, ("trigger", clue.of))
        data["what"] = reader.say(section, code)
    return reader.say("clue", clue.name, data)


def symptom_figures(told: Sequence[Likely], reader: Reader) -> Figures:
    """Symptoms as the page shows them: causes with the clues first, what to do, the clues."""
    return {
        "symptoms": [
            {
                "code": each.symptom.name,
                "says": reader.say("symptom", each.symptom.name),
                "do": reader.say("symptom_do", each.symptom.name),
                "causes": [
                    {"code": cause, "says": reader.say("cause", cause), "in_record": is_spoken}
                    for cause, is_spoken in each.causes
                ],
                "clues": [clue_says(clue, reader) for clue in each.clues],
                "basis": reader.say("symptom_basis", each.symptom.basis),
            }
            for each in told
        ]
    }


def symptom_text(told: Sequence[Likely], reader: Reader) -> Text:
    """The same for the terminal; what the record speaks for is bold."""
    text = Text()
    if not any(each.clues for each in told):
        text.append(reader.say("symptom_head", "no_log") + "\n", style="italic")
    for each in told:
        text.append(reader.say("symptom", each.symptom.name), style="bold")
        text.append(f"  ({each.symptom.name})\n", style="dim")
        text.append(f"  {reader.say('symptom_head', 'causes')}: ")
        for number, (cause, is_spoken) in enumerate(each.causes):
            text.append("; " if number else "")
            text.append(reader.say("cause", cause), style="bold yellow" if is_spoken else "")
        do = reader.say("symptom_do", each.symptom.name)
        text.append(f"\n  {reader.say('symptom_head', 'do')}: {do}\n")
        if each.clues:
            clues = "; ".join(dict.fromkeys(clue_says(clue, reader) for clue in each.clues))
            text.append(f"  {reader.say('symptom_head', 'log')}: {clues}\n")
        basis = reader.say("symptom_basis", each.symptom.basis)
        text.append(f"  {reader.say('symptom_head', 'basis', {'basis': basis})}\n", style="dim")
    return text
